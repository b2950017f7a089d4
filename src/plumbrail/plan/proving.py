"""Section on the tests that prove a finished array."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section

Spread = Annotated[float, f.Quantity("ratio", above="0 %", most="30 %")]
LeastLight = Annotated[float, f.Quantity("irradiance", least="200 W/m2", most="1000 W/m2")]
Warmth = Annotated[float, f.Quantity("temperature_difference", above="0 K", most="20 K")]
Sort = Literal["voltmeter", "ammeter", "light sensor", "thermometer", "ohmmeter",
               "insulation tester", "torque tool", "thermal camera"]  # fmt: skip
_WARM = ("thermometer", "thermal camera")


class Meter(Section):
    """How well a meter reads, and which one it is. What is left out is common practice."""

    kind: Sort = Field(description="What it is.", examples=["voltmeter"])
    error: Spread | None = Field(
        None,
        description="Largest error of a reading, as a share of it, from the meter's sheet.",
        examples=["0.5 %"],
    )
    error_temperature: Warmth | None = Field(
        None,
        description="Largest error of a thermometer or a thermal camera, in place of error.",
        examples=["2 K"],
    )
    serial: f.Text | None = Field(
        None, max_length=60, description="Its serial number, for the record.", examples=["A-0417"]
    )
    calibrated: f.Day | None = Field(
        None, description="Day of its last calibration: year-month-day.", examples=["2026-01-15"]
    )

    @model_validator(mode="after")
    def _own_field(self) -> Self:
        warm = self.kind in _WARM
        if warm and self.error is not None:
            raise ValueError(f"a {self.kind} errs by kelvins: write error_temperature")
        if not warm and self.error_temperature is not None:
            raise ValueError(f"a {self.kind} errs by a share of its reading: write error")
        return self


class Proving(Section):
    """How the finished array is tested. What is left out is common practice."""

    by: f.Text | None = Field(
        None,
        max_length=60,
        description="Who tests, as it should stand on the record; left out, a line to write on.",
        examples=["the owner, with a licensed electrician"],
    )
    confidence: f.Confidence = Field(
        0.95,
        description="How sure plumbrail has to be before it says pass or fail.",
        examples=["95 %"],
    )
    voltage_limit: Spread = Field(
        0.05,
        description="Most that the open voltage of a string may lie off its expected value.",
        examples=["5 %"],
    )
    current_limit: Spread = Field(
        0.10,
        description="Most that the current of a string may lie off its expected value; common "
        "practice, no published source.",
        examples=["10 %"],
    )
    alike: Spread = Field(
        0.05,
        description="Most that strings alike may lie off each other, in voltage and in current.",
        examples=["5 %"],
    )
    module_voltage: Spread = Field(
        0.03,
        description="Maker's tolerance of voc, from the module's data sheet.",
        examples=["3 %"],
    )
    module_current: Spread = Field(
        0.03,
        description="Maker's tolerance of isc, from the module's data sheet.",
        examples=["3 %"],
    )
    least_light: LeastLight = Field(
        400.0,
        description="Light on the modules under which no current is judged. Voltage still is.",
        examples=["400 W/m2"],
    )
    temperature_at: Literal["back", "cell"] = Field(
        "back",
        description="Where the cell temperature is taken: back, on the back of a module, to which "
        "2.5 K are added at 1000 W/m2 and less in less light; cell, as it is.",
        examples=["back"],
    )
    instruments: dict[str, Meter] = Field(
        default_factory=dict,
        description="Meters that you know better than common practice does, by the name that the "
        "tests use.",
        examples=["meter 1"],
    )

    @model_validator(mode="after")
    def _room_for_modules(self) -> Self:
        for limit, own in (("voltage_limit", "module_voltage"), ("current_limit", "module_current"),
                           ):  # fmt: skip
            if getattr(self, limit) < getattr(self, own):
                raise ValueError(
                    f"{limit} is smaller than {own}: a good module may already be off by that; "
                    f"write a {limit} of at least {own}"
                )
        return self
