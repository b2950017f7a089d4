"""Sections on weather, losses, loads and the battery."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section

Twelve = Annotated[tuple[f.Share, ...], Field(min_length=12, max_length=12)]


class Weather(Section):
    """A year of weather: a file, or twelve monthly means, or neither."""

    file: f.Text | None = Field(
        None,
        description="Typical-year file, beside the plan: EPW, or TMY3 or TMY2 as published. Left "
        "out, the monthly means count.",
        examples=["my-town.epw"],
    )
    sun: Annotated[tuple[f.Irradiation, ...], Field(min_length=12, max_length=12)] | None = Field(
        None,
        description="In place of a file: mean solar energy of a day on level ground, January to "
        "December, from a solar atlas. With neither, a sky without any cloud is taken, which is an "
        "upper bound.",
        examples=[[f"{v} kWh/m2" for v in (1.7, 2.6, 3.9, 5.2, 6.3, 7.0, 7.5, 6.5, 5.0, 3.3, 1.9,
                                            1.5)]],
    )  # fmt: skip
    air: Annotated[tuple[f.Temperature, ...], Field(min_length=12, max_length=12)] | None = Field(
        None,
        description="With sun: mean air temperature of each month.",
        examples=[[f"{v} degC" for v in (-3, -1, 2, 6, 10, 14, 19, 18, 13, 7, 1, -3)]],
    )
    wind: f.Speed | None = Field(
        None,
        description="With sun, or with neither: mean wind at the modules.",
        examples=["5 mph"],
    )
    albedo: Twelve | None = Field(
        None,
        description="Share of the light that the ground throws back, January to December; 20 % on "
        "grass, 60 % on snow. Left out: the file's own, else 20 %.",
        examples=[["60 %", "60 %", "40 %", *["20 %"] * 7, "20 %", "50 %"]],
    )

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if self.file is not None and self.sun is not None:
            raise ValueError("give either a file or the monthly means sun and air, not both")
        if (self.sun is None) != (self.air is None):
            raise ValueError("sun and air go together: twelve values each, January to December")
        return self


class Losses(Section):
    """What is lost between the light and the meter. Each stands on the papers by itself."""

    soiling: Twelve = Field(
        (0.02,) * 12,
        description="Lost to dust and droppings, January to December.",
        examples=[["2 %"] * 12],
    )
    snow_depth: Annotated[tuple[f.Depth, ...], Field(min_length=12, max_length=12)] | None = Field(
        None,
        description="Fresh snow that falls in each month, January to December; it slides off by "
        "tilt and warmth. Left out: a weather file's own, else none, and the papers say so.",
        examples=[["14 in", "10 in", "6 in", "2 in", *["0 in"] * 5, "1 in", "6 in", "12 in"]],
    )
    mismatch: f.Share = Field(
        0.01, description="Modules of one string that differ.", examples=["1 %"]
    )
    first_light: f.Share = Field(
        0.015,
        description="Lost in the first days of a new module by light itself; from its data sheet.",
        examples=["1.5 %"],
    )
    wiring: f.Share | None = Field(
        None,
        description="Lost in the wires at full power. Left out: worked out from the real run of "
        "[wiring].",
        examples=["1.5 %"],
    )
    conversion: f.PositiveShare = Field(
        0.96,
        description="Mean efficiency of the controller or inverter; from its data sheet.",
        examples=["96 %"],
    )
    down_time: f.Share = Field(0.005, description="Time out of order.", examples=["0.5 %"])


class Generator(Section):
    """A generator that fills the battery."""

    power: f.BigPower = Field(description="Charging power, after the charger.", examples=["3 kW"])
    start: f.Share = Field(
        0.3, description="Starts when the battery falls to this charge.", examples=["30 %"]
    )
    stop: f.Share = Field(
        0.8, description="Stops when the battery has reached this charge.", examples=["80 %"]
    )

    @model_validator(mode="after")
    def _order(self) -> Self:
        if self.start >= self.stop:
            raise ValueError("start must be a lower charge than stop")
        return self


class OffGrid(Section):
    """Loads and battery of a place without a grid, or with one that fails."""

    daily: Annotated[tuple[f.Energy, ...], Field(min_length=1, max_length=12)] = Field(
        description="Energy used in a day, once or twelve times, January to December. Add up the "
        "labels and hours, or read a meter for a week in each season.",
        examples=[["9 kWh"]],
    )
    hours: Annotated[tuple[f.Number, ...], Field(min_length=24, max_length=24)] = Field(
        (1.0,) * 24,
        description="Share of it in each hour of clock time from midnight; only their proportion "
        "counts.",
        examples=[[1.0] * 24],
    )
    usable: f.Energy = Field(
        description="Energy that may be drawn from the full battery: its rating times the depth "
        "the maker allows.",
        examples=["20 kWh"],
    )
    efficiency: f.Share = Field(
        0.92, description="Energy out of the battery over energy in.", examples=["92 %"]
    )
    charge_power: f.BigPower | None = Field(
        None, description="Most that may be charged.", examples=["5 kW"]
    )
    draw_power: f.BigPower | None = Field(
        None, description="Most that may be drawn.", examples=["5 kW"]
    )
    reliability: f.Share = Field(
        0.99,
        description="Share of the year's load that sun and battery must meet without a generator.",
        examples=["99 %"],
    )
    years_share: f.PositiveShare = Field(
        0.9,
        description="Share of the made years in which that must hold; only for a year made from "
        "monthly means, of which twenty are made. A weather file is one year.",
        examples=["90 %"],
    )
    generator: Generator | None = None

    @model_validator(mode="after")
    def _shape(self) -> Self:
        if len(self.daily) not in (1, 12):
            raise ValueError(f"daily lists {len(self.daily)} values; write one, or twelve")
        if min(self.hours) < 0 or sum(self.hours) <= 0:
            raise ValueError("hours must be 0 or more, and not all 0")
        if self.efficiency <= 0:
            raise ValueError("efficiency must be more than 0 %")
        return self


class Energy(Section):
    """Weather, losses and loads for the yield."""

    weather: Weather = Field(default_factory=Weather)
    losses: Losses = Field(default_factory=Losses)
    off_grid: OffGrid | None = None
