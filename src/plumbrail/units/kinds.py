"""The kinds of quantity that a plan, a screen or a paper speaks of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from plumbrail.units.table import find


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of quantity, the units it is written in and examples that all parse."""

    name: str
    words: str
    """The kind with its article, for messages: ``a length``."""
    si: str
    units: tuple[str, ...]
    """Accepted unit names; empty for a plain number."""
    examples: tuple[str, ...]
    bare: bool = False
    """A number without a unit is accepted."""

    @property
    def advice(self) -> str:
        """``write for example "9 ft" or "3.2 m"``."""
        quoted = [f"'{text}'" if '"' in text else f'"{text}"' for text in self.examples]
        head, last = ", ".join(quoted[:-1]), quoted[-1]
        return f"write for example {head} or {last}"


_WEIGHTS = "pcf psf/ft Pa/m kPa/m N/m3 kN/m3"
_PRESSURES = "Pa kPa MPa GPa psf psi ksi"

# name | words | SI unit | accepted units | examples
_ROWS = f"""
length | a length | m | ft in yd mi m cm mm km | 9 ft; 10 ft 6 in; 3.2 m
angle | an angle | rad | deg rad | 32 deg; 32°; 0.5 rad
slope | a slope | - | % deg rad | 4 %; -1 %; 1:12; 1/4 in per ft; 2.3 deg
area | an area | m**2 | ft2 in2 m2 mm2 | 120 ft2; 11 m2
volume | a volume | m**3 | ft3 yd3 in3 gal m3 mm3 L | 2.5 yd3; 0.8 m3; 60 L
section_modulus | a section modulus | m**3 | in3 mm3 m3 | 1.06 in3; 17400 mm3
second_moment | a second moment of area | m**4 | in4 mm4 m4 | 1.53 in4; 637000 mm4
force | a force | N | lbf kip N kN | 1200 lbf; 1.2 kip; 5.3 kN
moment | a moment | N*m | lbf*ft lbf*in kip*ft kip*in N*m kN*m | 850 lbf*ft; 1.2 kN*m
pressure | a pressure | Pa | {_PRESSURES} | 30 psf; 2400 Pa; 1.4 kPa
strength | a strength | Pa | {_PRESSURES} | 2500 psi; 35 ksi; 17 MPa
line_load | a line load | N/m | plf lbf/in kip/ft N/m kN/m | 120 plf; 1.8 kN/m
pressure_gradient | a pressure per depth | Pa/m | {_WEIGHTS} | 150 psf/ft; 23.6 kPa/m
unit_weight | a unit weight | N/m**3 | {_WEIGHTS} | 150 pcf; 23.6 kN/m3
mass | a mass | kg | lb ton kg g t | 47 lb; 21.5 kg
linear_mass | a mass per length | kg/m | lb/ft kg/m | 5.8 lb/ft; 8.6 kg/m
density | a density | kg/m**3 | lb/ft3 kg/m3 | 490 lb/ft3; 2400 kg/m3
speed | a speed | m/s | mph ft/s m/s km/h | 105 mph; 47 m/s
temperature | a temperature | K | degC degF K | 38 degC; -11 degF
temperature_difference | a temperature difference | K | K delta_degC delta_degF | 25 K; 45 degF
time | a time | s | s min h day | 45 min; 1 h 30 min; 7 day
voltage | a voltage | V | V mV kV | 38.9 V; 1 kV
current | a current | A | A mA | 14.0 A; 20 mA
power | a power | W | W kW MW | 430 W; 10.3 kW
energy | an energy | J | Wh kWh J | 800 Wh; 12 kWh
irradiation | a solar energy per area | J/m**2 | kWh/m2 Wh/m2 MJ/m2 J/m2 | 4.2 kWh/m2; 15.1 MJ/m2
irradiance | a solar power per area | W/m**2 | W/m2 kW/m2 | 850 W/m2; 0.85 kW/m2
line_resistance | a resistance per length | ohm/m | ohm/kft ohm/km ohm/m | 1.24 ohm/kft; 4.07 ohm/km
charge | a charge | C | Ah C | 100 Ah; 2.5 Ah
resistance | a resistance | ohm | ohm mohm kohm Mohm | 0.5 ohm; 1 Mohm
temperature_coefficient | a temperature coefficient | 1/K | %/K %/degC 1/K | -0.25 %/K; -0.0025 1/K
ratio | a ratio | - | % - | 21 %; 0.21
number | a plain number | - | | 4; 0.85
"""


def _kind(row: str) -> Kind:
    name, words, si, units, examples = (cell.strip() for cell in row.split("|"))
    shown = tuple(text.strip() for text in examples.split(";"))
    return Kind(name, words, si, tuple(units.split()), shown, name in {"ratio", "number"})


KINDS: Mapping[str, Kind] = MappingProxyType(
    {kind.name: kind for kind in map(_kind, _ROWS.strip().splitlines())}
)
"""Every kind of quantity by name."""


def kind_named(name: str) -> Kind:
    """The kind called ``name``; a wrong name is a mistake in the program, so ValueError."""
    if name not in KINDS:
        raise ValueError(f"no kind of quantity {name!r}; kinds: {', '.join(KINDS)}")
    return KINDS[name]


def kinds_of(unit: str) -> tuple[Kind, ...]:
    """Every kind that is written in ``unit``, by any of its spellings."""
    known = find(unit)
    return tuple(k for k in KINDS.values() if known is not None and known.name in k.units)
