"""The three forms of typical-year files: where in a line each value stands, and its unit."""

from __future__ import annotations

import re
from dataclasses import dataclass

from plumbrail.errors import WeatherError

WANTED = "Give a typical year as EPW, TMY3 (CSV) or TMY2."


@dataclass(frozen=True)
class Column:
    """One kind of value in a file: SI value = scale × printed + shift."""

    name: str
    """In words, for messages."""
    place: slice
    """Characters of the line, or fields of it."""
    scale: float
    shift: float
    low: float
    high: float
    """What can be, in SI."""
    absent: float
    """Printed where nothing was measured; so is anything beyond it."""


@dataclass(frozen=True)
class Form:
    """How a file is laid out."""

    name: str
    heading: int
    """Lines before the first hour."""
    separated: bool
    """Fields with commas between; else fixed columns."""
    columns: tuple[Column, ...]
    """ghi, dni, dhi, air, wind, then snow and albedo where the form has them."""
    snow: bool
    albedo: bool


@dataclass(frozen=True)
class Station:
    """What the heading says."""

    name: str
    latitude: float
    longitude: float
    """[deg]"""
    elevation: float
    """[m]"""
    zone: float
    """Local standard time less UTC [h]."""


_KINDS = {
    "ghi": ("radiation on level ground", 1.0, 0.0, 0.0, 2000.0),
    "dni": ("radiation straight from the sun", 1.0, 0.0, 0.0, 2000.0),
    "dhi": ("radiation from the sky", 1.0, 0.0, 0.0, 2000.0),
    "air": ("air temperature", 1.0, 273.15, 180.0, 335.0),
    "wind": ("wind", 1.0, 0.0, 0.0, 110.0),
    "snow": ("snow depth", 0.01, 0.0, 0.0, 20.0),
    "albedo": ("albedo", 1.0, 0.0, 0.0, 1.0),
}
_MAIN = ("ghi", "dni", "dhi", "air", "wind")


def _columns(
    kinds: tuple[str, ...], places: list[slice], absent: list[float], tenths: tuple[str, ...] = ()
) -> tuple[Column, ...]:
    made = []
    for kind, place, gone in zip(kinds, places, absent, strict=True):
        name, scale, shift, low, high = _KINDS[kind]
        made.append(Column(name, place, 0.1 if kind in tenths else scale, shift, low, high, gone))
    return tuple(made)


def _field(index: int) -> slice:
    return slice(index, index + 1)


EPW = Form(
    "EPW", 8, True,
    _columns((*_MAIN, "snow", "albedo"), [_field(i) for i in (13, 14, 15, 6, 21, 30, 32)],
             [9999, 9999, 9999, 99.9, 999, 999, 999]), True, True,
)  # fmt: skip
TMY2 = Form(
    "TMY2", 1, False,
    _columns((*_MAIN, "snow"), [slice(17, 21), slice(23, 27), slice(29, 33), slice(67, 71),
                                slice(95, 98), slice(133, 136)],
             [9999, 9999, 9999, 9999, 999, 999], ("air", "wind")), True, False,
)  # fmt: skip
_TMY3_NAMES = ("GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)", "Wspd (m/s)",
               "Alb (unitless)")  # fmt: skip
_TMY2_HEAD = re.compile(
    r"^\s*(\d+)\s+(\S.*?)\s+([A-Z]{2})\s+(-?\d+)\s+([NS])\s+(\d+)\s+(\d+)\s+([EW])\s+(\d+)\s+(\d+)"
    r"\s+(-?\d+)\s*$"
)


def recognise(lines: list[str], file: str) -> Form:
    """The form of a file, by what it holds; raises WeatherError when it is none of the three."""
    first, second = (lines[i] if len(lines) > i else "" for i in (0, 1))
    if first.upper().startswith("LOCATION,"):
        return EPW
    if _TMY2_HEAD.match(first):
        return TMY2
    if second.startswith("Date (MM/DD/YYYY),Time (HH:MM)"):
        return _tmy3(second, file)
    shown = first.strip()[:40] or "nothing"
    raise WeatherError(f"{file} is no weather file that can be read: it begins with {shown!r}. "
                       f"{WANTED}")  # fmt: skip


def _tmy3(names_line: str, file: str) -> Form:
    names = [n.strip() for n in names_line.split(",")]
    lost = [n for n in _TMY3_NAMES[:5] if n not in names]
    if lost:
        raise WeatherError(f"{file} line 2: no column {lost[0]!r}. {WANTED}")
    found = [_field(names.index(n)) for n in _TMY3_NAMES if n in names]
    kinds = (*_MAIN, "albedo")[: len(found)]
    return Form(
        "TMY3", 2, True, _columns(kinds, found, [-9900.0] * len(found)), False, len(found) == 6
    )


def station(form: Form, line: str, file: str) -> Station:
    """The heading's first line; raises WeatherError when it cannot be read."""
    try:
        found = _station(form, line)
    except (ValueError, IndexError) as error:
        raise WeatherError(
            f"{file} line 1: no place, height and time zone can be read in {line.strip()[:70]!r}"
        ) from error
    if not (abs(found.latitude) <= 90 and abs(found.longitude) <= 180 and abs(found.zone) <= 14
            and -500 <= found.elevation <= 9000):  # fmt: skip
        raise WeatherError(f"{file} line 1: there is no such place as {line.strip()[:70]!r}")
    return found


def _station(form: Form, line: str) -> Station:
    if form is TMY2:
        match = _TMY2_HEAD.match(line)
        if match is None:
            raise ValueError(line)
        g = match.groups()
        north, east = (1 if g[4] == "N" else -1), (1 if g[7] == "E" else -1)
        return Station(
            f"{g[1].title()} {g[2]}", north * (int(g[5]) + int(g[6]) / 60),
            east * (int(g[8]) + int(g[9]) / 60), float(g[10]), float(g[3]),
        )  # fmt: skip
    parts = [p.strip().strip('"') for p in line.split(",")]
    if form is EPW:
        name, rest = f"{parts[1]} {parts[2]}", [parts[i] for i in (6, 7, 9, 8)]
    else:
        name, rest = f"{parts[1].title()} {parts[2]}", [parts[i] for i in (4, 5, 6, 3)]
    latitude, longitude, elevation, zone = map(float, rest)
    return Station(name.strip(), latitude, longitude, elevation, zone)
