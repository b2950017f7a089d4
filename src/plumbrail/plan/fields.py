"""Types of plan fields: text with a unit in the file, a number in coherent SI in the model."""

from __future__ import annotations

import operator
import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Discriminator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    Strict,
    Tag,
)
from pydantic.config import JsonDict
from pydantic_core import CoreSchema, core_schema

from plumbrail.errors import QuantityError
from plumbrail.units import KINDS, parse


@dataclass(frozen=True)
class Quantity:
    """Marks a field as a quantity of a kind, with limits written as a builder would."""

    kind: str
    above: str | None = None
    least: str | None = None
    most: str | None = None
    slip: str | None = None
    """Upper limit that no code sets; it catches slips of unit and of the keyboard."""

    def read(self, value: object) -> float:
        """SI value of what the plan says; QuantityError in words when it will not do."""
        try:
            number = parse(value, self.kind)
        except OverflowError:  # a whole number too long for a float
            raise QuantityError(f"this number is too large; {KINDS[self.kind].advice}") from None
        for limit, misses, words in (
            (self.above, operator.le, "more than"),
            (self.least, operator.lt, "at least"),
            (self.most, operator.gt, "at most"),
        ):
            if limit is not None and misses(number, parse(limit, self.kind)):
                raise QuantityError(f'"{value}" will not do; it must be {words} {limit}')
        if self.slip is not None and abs(number) > parse(self.slip, self.kind):
            raise QuantityError(f'"{value}" is beyond {self.slip}: a slip of unit or number?')
        return number

    def write(self, value: float) -> str:
        """The SI value as text that reads back as the same number."""
        kind = KINDS[self.kind]
        if kind.bare:
            return repr(value)
        if self.kind == "slope":
            return f"{value!r}:1"
        si = kind.si.replace("**", "")
        return f"{value!r} {si}"

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        as_text = core_schema.plain_serializer_function_ser_schema(
            self.write, when_used="json-unless-none"
        )
        return core_schema.no_info_plain_validator_function(self.read, serialization=as_text)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        limits = {
            "above": self.above, "least": self.least, "most": self.most, "slip": self.slip,
        }  # fmt: skip
        return {
            "type": "string",
            "kind": self.kind,
            "examples": list(KINDS[self.kind].examples),
            **{name: limit for name, limit in limits.items() if limit is not None},
        }


def _one_or_list(value: object) -> str:
    """Which half of "one length, or a list of them" a plan means, so that only it is judged."""
    return "list" if isinstance(value, list | tuple) else "one"


_FIRST_YEAR, _LAST_YEAR = 2000, 2100

STARTER: JsonDict = {"starter": True}
"""Marks a field that may be left out but that the starter plan states."""

# TOML's own numbers: `true` is no number and "4" no count, whatever Python thinks.
Number = Annotated[float, Strict()]
Count = Annotated[int, Strict()]
Flag = Annotated[bool, Strict()]


def _one_line(value: str) -> str:
    """Text that fits in a line of a terminal and in a drawing."""
    if not value.isprintable():
        raise ValueError("the text holds a line break or an invisible character; take it out")
    return value


Text = Annotated[str, AfterValidator(_one_line)]


def _day(value: object) -> date:
    """Only a whole date: left to itself, pydantic takes numbers for seconds since 1970."""
    written = f'"{value[:40]}"' if isinstance(value, str) else str(value)[:40]
    advice = 'write year-month-day in quotes, for example "2026-05-04"'
    day = value if isinstance(value, date) and not isinstance(value, datetime) else None
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value.strip()):
        try:
            day = date.fromisoformat(value.strip())
        except ValueError:
            raise ValueError(f"there is no day {written}; {advice}") from None
    if day is None:
        raise ValueError(f"{written} is not a day; {advice}")
    if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
        raise ValueError(f"{written} is a slip of the year? {advice}")
    return day


Day = Annotated[date, BeforeValidator(_day)]

Length = Annotated[float, Quantity("length", slip="1000 ft")]
PositiveLength = Annotated[float, Quantity("length", above="0 in", slip="1000 ft")]
Depth = Annotated[float, Quantity("length", least="0 in", slip="1000 ft")]
Kerf = Annotated[float, Quantity("length", least="0 in", slip="2 in")]
LaserHeight = Annotated[float, Quantity("length", above="0 in", slip="50 ft")]
ModuleSide = Annotated[float, Quantity("length", least="4 in", slip="20 ft")]
ModuleThickness = Annotated[float, Quantity("length", above="0 in", slip="1 ft")]
WireDiameter = Annotated[float, Quantity("length", least="0.05 in", slip="3 in")]
Trunk = Annotated[float, Quantity("length", above="0 in", slip="15 ft")]
TubeDiameter = Annotated[float, Quantity("length", least="1/2 in", slip="4 ft")]
Elevation = Annotated[float, Quantity("length", least="-1300 ft", slip="20000 ft")]
SmallAngle = Annotated[float, Quantity("angle", above="0 deg", most="10 deg")]
Tilt = Annotated[float, Quantity("angle", least="0 deg", most="60 deg")]
Latitude = Annotated[float, Quantity("angle", least="-66 deg", most="66 deg")]
Longitude = Annotated[float, Quantity("angle", least="-180 deg", most="180 deg")]
Azimuth = Annotated[float, Quantity("angle", least="0 deg", most="360 deg")]
Slope = Annotated[float, Quantity("slope", least="-100 %", most="100 %")]
Share = Annotated[float, Quantity("ratio", least="0 %", most="100 %")]
PositiveShare = Annotated[float, Quantity("ratio", above="0 %", most="100 %")]
Confidence = Annotated[float, Quantity("ratio", least="80 %", most="99.9 %")]
Speed = Annotated[float, Quantity("speed", above="0 mph", slip="300 mph")]
Pressure = Annotated[float, Quantity("pressure", least="0 psf", slip="1000 psf")]
PositivePressure = Annotated[float, Quantity("pressure", above="0 psf", slip="100000 psf")]
Strength = Annotated[float, Quantity("strength", above="0 psi", slip="20000 psi")]
PressureGradient = Annotated[
    float, Quantity("pressure_gradient", above="0 psf/ft", slip="10000 psf/ft")
]
Force = Annotated[float, Quantity("force", above="0 lbf", slip="1000 kip")]
Moment = Annotated[float, Quantity("moment", above="0 lbf*ft", slip="1000 kip*ft")]
Mass = Annotated[float, Quantity("mass", above="0 lb", slip="1000 lb")]
LineLoad = Annotated[float, Quantity("line_load", above="0 plf", slip="10000 plf")]
LinearMass = Annotated[float, Quantity("linear_mass", above="0 lb/ft", slip="1000 lb/ft")]
Area = Annotated[float, Quantity("area", above="0 in2", slip="1000 in2")]
SectionModulus = Annotated[float, Quantity("section_modulus", above="0 in3", slip="1000 in3")]
SecondMoment = Annotated[float, Quantity("second_moment", above="0 in4", slip="10000 in4")]
Temperature = Annotated[float, Quantity("temperature", least="-80 degC", most="70 degC")]
Power = Annotated[float, Quantity("power", above="0 W", slip="10 kW")]
Voltage = Annotated[float, Quantity("voltage", above="0 V", slip="2000 V")]
Current = Annotated[float, Quantity("current", above="0 A", slip="1000 A")]
Energy = Annotated[float, Quantity("energy", above="0 Wh", slip="10000 kWh")]
EnergyOrNone = Annotated[float, Quantity("energy", least="0 Wh", slip="10000 kWh")]
Irradiation = Annotated[float, Quantity("irradiation", least="0 kWh/m2", most="15 kWh/m2")]
HorizonAngle = Annotated[float, Quantity("angle", least="0 deg", most="80 deg")]
Turn = Annotated[float, Quantity("angle", least="-360 deg", most="360 deg")]
BigPower = Annotated[float, Quantity("power", above="0 W", slip="1 MW")]
CurrentOrNone = Annotated[float, Quantity("current", least="0 A", slip="1000 A")]
TemperatureCoefficient = Annotated[float, Quantity("temperature_coefficient", slip="5 %/K")]

OneOrEach = Annotated[
    Annotated[PositiveLength, Tag("one")] | Annotated[tuple[PositiveLength, ...], Tag("list")],
    Discriminator(_one_or_list),
]
OneOrPair = Annotated[
    Annotated[PositiveLength, Tag("one")]
    | Annotated[tuple[PositiveLength, PositiveLength], Tag("list")],
    Discriminator(_one_or_list),
]
