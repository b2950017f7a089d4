"""Showing SI values on screens and papers, in US customary or metric units."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from plumbrail.errors import QuantityError
from plumbrail.units.kinds import kind_named
from plumbrail.units.table import from_si

_DIGITS = 4
_MOST_DECIMALS = 6
_LARGEST = 1e18
_FORGIVEN = 1e-9
"""Share of the last step: a half that a person wrote is rarely a half in floats."""

# kind | US units | metric units; "unit<limit" holds while the shown number stays below the limit
_ROWS = """
area | in2<144 ft2 | mm2<10000 m2
volume | ft3 | m3
section_modulus | in3 | mm3
second_moment | in4 | mm4
force | lbf<100000 kip | N<1000 kN
moment | lbf*ft<100000 kip*ft | N*m<1000 kN*m
pressure | psf | Pa<1000 kPa<1000 MPa
strength | psi<10000 ksi | kPa<1000 MPa
line_load | plf<10000 kip/ft | N/m<1000 kN/m
pressure_gradient | psf/ft | Pa/m<1000 kPa/m
unit_weight | pcf | N/m3<1000 kN/m3
mass | lb | g<1000 kg
linear_mass | lb/ft | kg/m
density | lb/ft3 | kg/m3
speed | mph | m/s
temperature_difference | delta_degF | K
voltage | V<10000 kV | V<10000 kV
current | A | A
power | W<1000 kW<1000 MW | W<1000 kW<1000 MW
energy | Wh<1000 kWh | Wh<1000 kWh
charge | Ah | Ah
irradiation | kWh/m2 | kWh/m2
irradiance | W/m2 | W/m2
line_resistance | ohm/kft | ohm/km
resistance | mohm<100 ohm<1000 kohm<1000 Mohm | mohm<100 ohm<1000 kohm<1000 Mohm
temperature_coefficient | %/K | %/K
ratio | % | %
"""


def _choices(cell: str) -> tuple[tuple[str, float], ...]:
    pairs = (choice.partition("<") for choice in cell.split())
    return tuple((unit, float(limit) if limit else math.inf) for unit, _, limit in pairs)


def _row(row: str) -> tuple[str, dict[str, tuple[tuple[str, float], ...]]]:
    name, us, metric = row.split("|")
    return name.strip(), {"us": _choices(us), "metric": _choices(metric)}


_SHOWN = dict(_row(row) for row in _ROWS.strip().splitlines())
_PRINTED = str.maketrans({"*": "·", "2": "²", "3": "³", "4": "⁴"})


def show(value: float, kind: str, system: str = "us", fraction: int = 16) -> str:
    """An SI value as people read it; ``fraction`` is the finest part of an inch (1, 2, … 64).

    Raises QuantityError for a value that is not finite, ValueError for a wrong kind or system.
    """
    kind_named(kind)
    if system not in {"us", "metric"}:
        raise ValueError(f"no system of units {system!r}; write 'us' or 'metric'")
    value = _finite(value)
    special = _SPECIAL.get(kind)
    if special is not None:
        return special(value, system, fraction)
    for unit, limit in _SHOWN[kind][system]:
        text = _number(from_si(value, unit), system)
        if abs(float(text.replace(",", ""))) < limit:  # as rounded: never 1000 N beside 1 kN
            break
    return f"{text} {_printed(unit)}"


def show_length_inches(value: float, fraction: int = 16) -> str:
    """A length (m) in inches only, for small moves: ``5/16"``."""
    parts, sign = _parts_of_inch(_finite(value), fraction)
    return f'{sign}{_inches(parts, fraction)}"'


def _finite(value: float) -> float:
    value = float(value)
    if not math.isfinite(value):
        raise QuantityError(f"{value:g} is not a finite number and cannot be shown")
    if abs(value) > _LARGEST:
        raise QuantityError(f"{value:g} is too large to be shown")
    return value


def _number(number: float, system: str, digits: int = _DIGITS) -> str:
    """Fixed notation with ``digits`` significant, never rounded left of the decimal point."""
    size = abs(number)
    exponent = int(f"{size:e}".partition("e")[2]) if size else 0
    decimals = min(max(digits - 1 - exponent, 0), _MOST_DECIMALS)
    return _fixed(number, decimals, system, trim=True)


def _fixed(number: float, decimals: int, system: str, trim: bool = False) -> str:
    """Fixed notation, halves away from zero (forgiving as for inches), never a signed zero."""
    number += math.copysign(_FORGIVEN * 10.0**-decimals, number)
    text = f"{number:{',' if system == 'us' else ''}.{decimals}f}"
    if trim and "." in text:
        text = text.rstrip("0").rstrip(".")
    return text if any(digit in "123456789" for digit in text) else text.lstrip("-")


def _printed(unit: str) -> str:
    text = unit.removeprefix("delta_").replace("deg", "°").replace("ohm", "Ω")
    return text.translate(_PRINTED)


def _parts_of_inch(value: float, fraction: int) -> tuple[int, str]:
    """Nearest whole number of 1/fraction inch, halves away from zero, and the sign."""
    if isinstance(fraction, bool) or fraction not in {1, 2, 4, 8, 16, 32, 64}:
        raise ValueError(f"inches are split in 1, 2, 4, 8, 16, 32 or 64 parts, not {fraction!r}")
    parts = _halves_up(abs(from_si(value, "in")) * fraction + _FORGIVEN)
    return parts, "-" if value < 0 and parts else ""


def _inches(parts: int, fraction: int, zero: bool = False) -> str:
    """``3 1/2``; below one inch ``1/2``, or ``0 1/2`` after feet, where ``1' 1/2"`` misleads."""
    whole, rest = divmod(parts, fraction)
    if not rest:
        return str(whole)
    shared = math.gcd(rest, fraction)
    text = f"{rest // shared}/{fraction // shared}"
    return f"{whole} {text}" if whole or zero else text


def _length(value: float, system: str, fraction: int) -> str:
    if system == "us":
        parts, sign = _parts_of_inch(value, fraction)
        feet, parts = divmod(parts, 12 * fraction)
        head = f"{feet:,}' " if feet else ""
        return f'{sign}{head}{_inches(parts, fraction, zero=feet > 0)}"'
    if abs(value) < 0.99995:  # from here it would read 1000 mm
        return f"{_fixed(value * 1000, 1, system, trim=True)} mm"
    return f"{_fixed(value, 3, system)} m"


def _angle(value: float, system: str, fraction: int) -> str:
    return f"{_fixed(from_si(value, 'deg'), 1, system)}°"


def _slope(value: float, system: str, fraction: int) -> str:
    return f"{_fixed(100 * value, 1, system)} %"


def print_words(text: str) -> str:
    """Words that name degrees as a plan file writes them (``75 degC column``), for print."""
    return text.replace("degC", "°C").replace("degF", "°F")


def _temperature(value: float, system: str, fraction: int) -> str:
    unit = "degF" if system == "us" else "degC"
    return f"{_fixed(from_si(value, unit), 1, system, trim=True)} {_printed(unit)}"


class _ClockStep(NamedTuple):
    big: str
    small: str
    small_size: int
    """Seconds in the small unit."""
    ratio: int
    """Small units in the big one."""
    limit: float
    """Small units from which the next step takes over."""


_CLOCK = (
    _ClockStep("min", "s", 1, 60, 3600),
    _ClockStep("h", "min", 60, 60, 48 * 60),
    _ClockStep("day", "h", 3600, 24, math.inf),
)


def _time(value: float, system: str, fraction: int) -> str:
    """Two neighbouring units at most, rounded to the smaller one."""
    size, sign = abs(value), "-" if value < 0 else ""
    seconds = _number(value, "metric")
    if abs(float(seconds)) < 60:
        return f"{seconds} s"
    step = next(step for step in _CLOCK if _halves_up(size / step.small_size) < step.limit)
    whole, rest = divmod(_halves_up(size / step.small_size), step.ratio)
    big = "days" if step.big == "day" and whole != 1 else step.big
    return f"{sign}{whole:,} {big}" + (f" {rest} {step.small}" if rest else "")


def _halves_up(size: float) -> int:
    return math.floor(size + 0.5)


def _plain_number(value: float, system: str, fraction: int) -> str:
    return _number(value, system, digits=6)


_SPECIAL: dict[str, Callable[[float, str, int], str]] = {
    "length": _length,
    "angle": _angle,
    "slope": _slope,
    "temperature": _temperature,
    "time": _time,
    "number": _plain_number,
}
