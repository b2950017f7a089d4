"""The section on the works: who builds, when, and what is waited for."""

from __future__ import annotations

import re
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from plumbrail.plan import fields as f
from plumbrail.plan.section import Section

Weekday = Literal["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
WEEKDAYS: tuple[Weekday, ...] = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
Hours = Annotated[f.Number, Field(gt=0, le=100)]
DayHours = Annotated[f.Number, Field(ge=1, le=14)]
Wait = Annotated[f.Count, Field(ge=0, le=60)] | Literal["none"]
Twelve = Annotated[tuple[f.Share, ...], Field(min_length=12, max_length=12)]
TwelveTemperatures = Annotated[tuple[f.Temperature, ...], Field(min_length=12, max_length=12)]


def _clock(value: str) -> str:
    found = re.fullmatch(r"([01][0-9]|2[0-3]):([0-5][0-9])", value)
    if found is None:
        raise ValueError('write hours and minutes of the day, for example "07:30"')
    return value


Clock = Annotated[f.Text, AfterValidator(_clock)]


class Inspections(Section):
    """What is looked at before the work may go on: ask the building department which and when."""

    footing: Wait = Field(
        description="Holes, before any concrete: the inspector's working days from being ready to "
        'the visit; "none" when nobody asks for it.',
        examples=[1],
    )
    trench: Wait = Field(description="The open trench with its conduit, the same.", examples=[1])
    rough: Wait = Field(
        description="Conduit, boxes, grounding and pulled wires before they are connected, the "
        "same.",
        examples=[1],
    )
    final: Wait = Field(description="Everything, the same.", examples=[2])


class WorkRates(Section):
    """Hours of one person for a unit of work, where you know better than common practice."""

    set_out: Hours | None = Field(None, description="A hole: marked and checked.", examples=[0.5])
    saw: Hours | None = Field(None, description="A cut: sawn, filed, marked.", examples=[0.2])
    hole: Hours | None = Field(
        None, description="A cubic metre of hole: drilled and cleaned out.", examples=[3.0]
    )
    post: Hours | None = Field(
        None, description="A post: stood up, braced, near plumb.", examples=[0.8]
    )
    concrete: Hours | None = Field(
        None, description="A cubic metre of concrete: mixed from bags and placed.", examples=[7.0]
    )
    beam: Hours | None = Field(
        None, description="A metre of beam: lifted, spliced, in its collars.", examples=[0.25]
    )
    brace: Hours | None = Field(None, description="A brace.", examples=[0.7])
    truing: Hours | None = Field(
        None, description="A post: measured, moved, measured again.", examples=[0.8]
    )
    rail: Hours | None = Field(None, description="A rail: laid and fixed.", examples=[0.5])
    trench: Hours | None = Field(
        None, description="A metre of trench: dug by the way you dig it.", examples=[0.35]
    )
    conduit: Hours | None = Field(
        None, description="A metre of conduit: joined and laid.", examples=[0.12]
    )
    backfill: Hours | None = Field(
        None, description="A metre of trench: filled, tape laid, tamped.", examples=[0.15]
    )
    equipment: Hours | None = Field(
        None, description="A box, switch or controller: mounted.", examples=[1.5]
    )
    grounding: Hours | None = Field(
        None, description="A bond of rail, post or box.", examples=[0.15]
    )
    pull: Hours | None = Field(
        None, description="A metre of run: all its wires pulled.", examples=[0.06]
    )
    termination: Hours | None = Field(
        None, description="A termination: stripped, landed, torqued, marked.", examples=[0.2]
    )
    module: Hours | None = Field(
        None, description="A module: carried, laid, clamped, plugged.", examples=[0.5]
    )
    test: Hours | None = Field(
        None, description="A string: measured and written down.", examples=[0.5]
    )


class Curing(Section):
    """How long concrete is left alone, at 20 degC; colder days take longer."""

    holding: Hours = Field(
        24.0,
        description="Hours at 20 degC until the first pour holds the post. Common practice, no "
        "published source.",
        examples=[24.0],
    )
    strength: Annotated[f.Number, Field(gt=0, le=28)] = Field(
        7.0,
        description="Days at 10 degC (50 degF) until the pier is loaded. 7 days is the least of "
        "moist curing for usual cement in ACI 318; the engineer may ask for more.",
        examples=[7.0],
    )


class Works(Section):
    """Who builds, when, and what is waited for."""

    start: f.Day = Field(description="First day of work.", examples=["2026-05-11"])
    crew: Annotated[f.Count, Field(ge=1, le=4)] = Field(
        description="People on site, one to four.", examples=[2]
    )
    helper: f.Flag = Field(
        False,
        description="true when one person builds and somebody comes to help with what takes two.",
        examples=[False],
    )
    weekdays: tuple[Weekday, ...] = Field(
        min_length=1,
        description="Days of the week that are worked.",
        examples=[["Mon", "Tue", "Wed", "Thu", "Fri"]],
    )
    begin: Clock = Field(
        description="Clock time at which work begins, or at sunrise when that is later.",
        examples=["07:30"],
    )
    hours: DayHours = Field(
        description="Hours worked in a day, without breaks; fewer where the light fails first.",
        examples=[8.0],
    )
    days_off: tuple[f.Day, ...] = Field(
        (), description="Days on which nobody works.", examples=[["2026-05-25"]]
    )
    weather_days: Twelve | None = Field(
        None,
        description="Share of the working days that weather takes, January to December, from your "
        "own years or a climate table. Left out: none is counted, and the papers say so.",
        examples=[
            [
                "40 %",
                "35 %",
                "25 %",
                "15 %",
                "10 %",
                "10 %",
                "5 %",
                "5 %",
                "10 %",
                "15 %",
                "30 %",
                "40 %",
            ]
        ],
    )
    air: TwelveTemperatures | None = Field(
        None,
        description="Mean air temperature of each month, for the curing. Left out: from "
        "[energy.weather].",
        examples=[[f"{v} degC" for v in (-2, 0, 3, 6, 11, 15, 19, 19, 14, 8, 2, -2)]],
    )
    augers: Annotated[f.Count, Field(ge=1, le=4)] = Field(
        1, description="Augers on site.", examples=[1]
    )
    mixers: Annotated[f.Count, Field(ge=1, le=4)] = Field(
        1, description="Mixers on site.", examples=[1]
    )
    inspections: Inspections
    curing: Curing = Field(default_factory=Curing)
    rates: WorkRates = Field(default_factory=WorkRates)

    @model_validator(mode="after")
    def _sense(self) -> Self:
        if len(set(self.weekdays)) != len(self.weekdays):
            raise ValueError("weekdays names a day twice; keep one of them")
        if self.helper and self.crew > 1:
            raise ValueError("helper is for a crew of one; take it out, or write crew = 1")
        return self
