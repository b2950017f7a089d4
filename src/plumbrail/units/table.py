"""The table of units: exact factors to coherent SI, and the names that people write."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, overload

from plumbrail.errors import QuantityError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: ``SI value = (value + shift) * factor``, both exact."""

    name: str
    si: str
    """Coherent SI unit, spelled so that it can be evaluated as a product of powers."""
    factor: Fraction
    shift: Fraction = Fraction(0)

    @property
    def scale(self) -> tuple[float, float]:
        """Factor as multiplier and divisor; both whole where floats hold them exactly.

        ``320 mm`` as ``320 * 1 / 1000`` is the float nearest 0.32; ``320 * 0.001`` need not be.
        """
        top, bottom = self.factor.numerator, self.factor.denominator
        if max(top, bottom) < 2**53:
            return float(top), float(bottom)
        return float(self.factor), 1.0


_ONE = Fraction(1)
_INCH = Fraction("0.0254")  # exact: international yard and pound agreement of 1959
_FOOT = 12 * _INCH
_MILE = 5280 * _FOOT
_POUND = Fraction("0.45359237")  # exact, same agreement
_LBF = _POUND * Fraction("9.80665")  # 4.4482216152605 N exactly, with standard gravity
_KIP = 1000 * _LBF
_HOUR = Fraction(3600)
_PERCENT = Fraction(1, 100)
_RANKINE = Fraction(5, 9)
_DEGREE = Fraction(math.pi) / 180


def _ten(power: int) -> Fraction:
    return Fraction(10) ** power


_FACTORS: dict[str, dict[str, Fraction]] = {
    "-": {"-": _ONE, "%": _PERCENT},
    "m": {
        "m": _ONE, "mm": _ten(-3), "cm": _ten(-2), "km": _ten(3),
        "ft": _FOOT, "in": _INCH, "yd": 3 * _FOOT, "mi": _MILE,
    },
    "rad": {"rad": _ONE, "deg": _DEGREE},
    "m**2": {"m2": _ONE, "mm2": _ten(-6), "in2": _INCH**2, "ft2": _FOOT**2},
    "m**3": {
        "m3": _ONE, "mm3": _ten(-9), "L": _ten(-3), "in3": _INCH**3, "ft3": _FOOT**3,
        "yd3": 27 * _FOOT**3, "gal": 231 * _INCH**3,
    },
    "m**4": {"m4": _ONE, "mm4": _ten(-12), "in4": _INCH**4},
    "N": {"N": _ONE, "kN": _ten(3), "lbf": _LBF, "kip": _KIP},
    "N*m": {
        "N*m": _ONE, "kN*m": _ten(3), "lbf*ft": _LBF * _FOOT, "lbf*in": _LBF * _INCH,
        "kip*ft": _KIP * _FOOT, "kip*in": _KIP * _INCH,
    },
    "Pa": {
        "Pa": _ONE, "kPa": _ten(3), "MPa": _ten(6), "GPa": _ten(9),
        "psf": _LBF / _FOOT**2, "psi": _LBF / _INCH**2, "ksi": _KIP / _INCH**2,
    },
    "N/m": {
        "N/m": _ONE, "kN/m": _ten(3), "plf": _LBF / _FOOT, "lbf/in": _LBF / _INCH,
        "kip/ft": _KIP / _FOOT,
    },
    "Pa/m": {"Pa/m": _ONE, "kPa/m": _ten(3), "psf/ft": _LBF / _FOOT**3},
    "N/m**3": {"N/m3": _ONE, "kN/m3": _ten(3), "pcf": _LBF / _FOOT**3},
    "kg": {"kg": _ONE, "g": _ten(-3), "lb": _POUND, "ton": 2000 * _POUND, "t": _ten(3)},
    "kg/m": {"kg/m": _ONE, "lb/ft": _POUND / _FOOT},
    "kg/m**3": {"kg/m3": _ONE, "lb/ft3": _POUND / _FOOT**3},
    "m/s": {"m/s": _ONE, "km/h": _ten(3) / _HOUR, "mph": _MILE / _HOUR, "ft/s": _FOOT},
    "K": {"K": _ONE, "delta_degC": _ONE, "delta_degF": _RANKINE},
    "s": {"s": _ONE, "min": Fraction(60), "h": _HOUR, "day": 24 * _HOUR},
    "V": {"V": _ONE, "mV": _ten(-3), "kV": _ten(3)},
    "A": {"A": _ONE, "mA": _ten(-3)},
    "W": {"W": _ONE, "kW": _ten(3), "MW": _ten(6)},
    "J": {"J": _ONE, "Wh": _HOUR, "kWh": 1000 * _HOUR},
    "J/m**2": {
        "J/m2": _ONE, "MJ/m2": _ten(6), "Wh/m2": _HOUR, "kWh/m2": 1000 * _HOUR,
    },
    "W/m**2": {"W/m2": _ONE, "kW/m2": _ten(3)},
    "ohm/m": {"ohm/m": _ONE, "ohm/km": _ten(-3), "ohm/kft": _ten(-3) / _FOOT},
    "C": {"C": _ONE, "Ah": _HOUR},
    "ohm": {"ohm": _ONE, "mohm": _ten(-3), "kohm": _ten(3), "Mohm": _ten(6)},
    "1/K": {"1/K": _ONE, "%/K": _PERCENT, "%/degC": _PERCENT},
}  # fmt: skip

_AFFINE = (
    Unit("degC", "K", _ONE, Fraction("273.15")),
    Unit("degF", "K", _RANKINE, Fraction("459.67")),
)

UNITS: Mapping[str, Unit] = MappingProxyType(
    {name: Unit(name, si, f) for si, group in _FACTORS.items() for name, f in group.items()}
    | {unit.name: unit for unit in _AFFINE}
)
"""Every unit by its ASCII name."""

_SPELLINGS = {
    "m": "meter meters metre metres", "ft": "' foot feet", "in": '" inch inches',
    "yd": "yard yards", "mi": "mile miles", "deg": "degree degrees", "rad": "radian radians",
    "ft2": "sqft sq*ft", "in2": "sq*in", "ft3": "cuft cu*ft", "yd3": "cuyd cu*yd",
    "L": "l liter liters litre litres", "gal": "gallon gallons",
    "kip": "kips", "lbf*ft": "ft*lbf ft*lb lb*ft", "lbf*in": "in*lbf in*lb lb*in",
    "kip*ft": "ft*kip", "kip*in": "in*kip",
    "psf": "lbf/ft2", "psi": "lbf/in2", "ksi": "kip/in2", "plf": "lbf/ft", "pcf": "lbf/ft3",
    "lb": "lbs pound pounds", "ton": "tons", "t": "tonne tonnes",
    "km/h": "kph kmh", "mph": "mi/h",
    "s": "sec second seconds", "min": "minute minutes", "h": "hr hrs hour hours", "day": "d days",
    "ohm": "ohms", "1/K": "1/degC", "%": "percent",
}  # fmt: skip

ALIASES: Mapping[str, str] = MappingProxyType(
    {alias: name for name, line in _SPELLINGS.items() for alias in line.split()}
)
"""Other spellings that are understood, to the name in :data:`UNITS`."""

# Capitals change no meaning in these, as they would in mW and MW.
_CASELESS = "ft in yd mi deg lbf kip kips psf psi ksi plf pcf mph lb lbs gal feet foot inch inches"
_ANY_CASE = frozenset(_CASELESS.split())
_GLYPHS = str.maketrans(
    {"°": "deg", "º": "deg", "˚": "deg", "Ω": "ohm", "\u2126": "ohm", "·": "*", "⋅": "*",
     "×": "*", "-": "*", "²": "2", "³": "3", "⁴": "4", "^": "", "′": "'", "″": '"'}
)  # fmt: skip


def find(text: str) -> Unit | None:
    """The unit that ``text`` names in any accepted spelling; None when there is none."""
    unit = UNITS.get(text)
    if unit is not None:
        return unit
    name = re.sub(r"\s*([*/])\s*", r"\1", text.strip().replace("**", "").translate(_GLYPHS))
    name = re.sub(r"\s+", "*", name.removesuffix("."))
    name = re.sub(r"\bdeg\*", "deg", name)
    if name.lower() in _ANY_CASE:
        name = name.lower()
    return UNITS.get(ALIASES.get(name, name))


def near(name: str, among: Mapping[str, Any] | tuple[str, ...]) -> tuple[str, ...]:
    """Up to four known names that look like ``name``."""
    folded: dict[str, list[str]] = {}
    for known in among:
        folded.setdefault(known.lower(), []).append(known)
    close = get_close_matches(name.strip().lower(), folded, n=4, cutoff=0.5)
    return tuple(known for fold in close for known in folded[fold])[:4]


def _known(name: str) -> Unit:
    unit = find(name)
    if unit is None:
        names = near(name, UNITS)
        hint = f"near names: {', '.join(names)}" if names else f"units: {', '.join(UNITS)}"
        raise QuantityError(f'unknown unit "{name}"; {hint}')
    return unit


@overload
def to_si(value: float, unit: str) -> float: ...
@overload
def to_si(value: Array, unit: str) -> Array: ...
def to_si(value: Any, unit: str) -> Any:
    """Number or array (any shape) in ``unit`` to coherent SI; raises QuantityError."""
    known = _known(unit)
    if known.name == "-":
        return value
    top, bottom = known.scale
    if known.shift:
        value = value + float(known.shift)
    return value * top / bottom


@overload
def from_si(value: float, unit: str) -> float: ...
@overload
def from_si(value: Array, unit: str) -> Array: ...
def from_si(value: Any, unit: str) -> Any:
    """Number or array (any shape) in coherent SI to ``unit``; raises QuantityError."""
    known = _known(unit)
    if known.name == "-":
        return value
    top, bottom = known.scale
    shown = value * bottom / top
    return shown - float(known.shift) if known.shift else shown


def si_unit(unit: str) -> str:
    """Coherent SI unit of ``unit``, e.g. ``psf`` to ``Pa``, ``in3`` to ``m**3``; ``-`` for none."""
    return _known(unit).si
