"""The section on an older array whose modules move to the new one."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section

Many = Annotated[f.Count, Field(ge=1, le=1000)]
SomeOrNone = Annotated[f.Count, Field(ge=0, le=1000)]


class OldString(Section):
    """A string of the old array."""

    id: f.Text = Field(min_length=1, max_length=12, description="What to call it.", examples=["O1"])
    modules: Many = Field(description="Modules in it.", examples=[6])
    pmax: f.Power | None = Field(
        None,
        description="Rated power of one of its modules. Left out: that of [module].",
        examples=["430 W"],
    )
    controller: f.Text = Field(
        min_length=1,
        max_length=20,
        description="Controller or inverter it feeds; strings with one name here are switched off "
        "together on the day one of them is disconnected.",
        examples=["left"],
    )
    reused: SomeOrNone = Field(description="Its modules that go on to the new array.", examples=[6])
    rails_reused: SomeOrNone = Field(
        0, description="Its rails that go on to the new array.", examples=[0]
    )

    @model_validator(mode="after")
    def _fits(self) -> Self:
        if self.reused > self.modules:
            raise ValueError(f"reused is {self.reused}, but the string has {self.modules} modules")
        return self


class Reserve(Section):
    """Charge that the battery keeps whatever is moved; needs [energy.off_grid]."""

    least: f.EnergyOrNone = Field(
        description="Energy in the battery that is never planned to be used, of what is usable: "
        "the loads of your worst spell without sun.",
        examples=["12 kWh"],
    )
    at_start: f.PositiveShare = Field(
        description="Charge on the evening before the works, as a share of what is usable. Do not "
        "begin below it.",
        examples=["85 %"],
    )
    sun_counted: f.PositiveShare = Field(
        description="Share of the usual sun of the season that is counted on.", examples=["70 %"]
    )


class OldArray(Section):
    """The array that stands now and gives its modules to the new one."""

    tilt: f.Tilt = Field(description="Its tilt, measured.", examples=["25 deg"])
    azimuth: f.Azimuth = Field(
        description="Its azimuth, clockwise from true north.", examples=["178 deg"]
    )
    strings: tuple[OldString, ...] = Field(min_length=1, max_length=12)
    modules_per_day: Annotated[f.Number, Field(gt=0, le=500)] = Field(
        description="Modules that the people below take down and carry over in a day of work.",
        examples=[12.0],
    )
    people: Annotated[f.Count, Field(ge=1, le=4)] = Field(
        description="People it takes to move them.", examples=[2]
    )
    least_modules: SomeOrNone = Field(
        description="Modules, old and new together, that have to give power on every day of the "
        "works; 0 when none has to.",
        examples=[6],
    )
    extra_days: Annotated[f.Count, Field(ge=0, le=60)] = Field(
        description="Days by which the works may end later for the sake of the energy.",
        examples=[2],
    )
    reserve: Reserve | None = None

    @model_validator(mode="after")
    def _known(self) -> Self:
        ids = [s.id for s in self.strings]
        if len(set(ids)) != len(ids):
            raise ValueError("two strings have the same id; give each its own")
        total = sum(s.modules for s in self.strings)
        if self.least_modules > total:
            raise ValueError(
                f"least_modules is {self.least_modules}, but the old array has only {total}"
            )
        return self
