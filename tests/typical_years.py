"""The typical years that ship as open data inside pvlib, and files made from them."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from plumbrail.energy.parts import SunYear
from plumbrail.energy.sun import sun_year
from plumbrail.site.sun import Place
from plumbrail.weather.files import read_year
from plumbrail.weather.year import DAYS, HOURS, Origin, WeatherYear, month_of_hours

FILES = {
    "Greensboro": "723170TYA.CSV",
    "Sand Point": "703165TY.csv",
    "Miami": "12839.tm2",
}
MONTH = month_of_hours()


def path(name):
    """The file, found without importing the library."""
    return Path(find_spec("pvlib").submodule_search_locations[0]) / "data" / FILES[name]


@cache
def year(name):
    return read_year(path(name))


@cache
def sun(name):
    return sun_year(year(name))


def place(name):
    found = year(name)
    return Place(found.latitude, found.longitude, found.elevation)


def months(power):
    """(12,) sums [J] of (8760,) [W]."""
    return np.array([3600 * power[k == MONTH].sum() for k in range(1, 13)])


def means(name):
    """Light of a mean day [J/m2] and mean air [K] of each month: what an atlas would say."""
    found = year(name)
    return months(found.ghi) / DAYS, months(found.air) / DAYS / 86400


def epw(found, shift=0, zone=None, snow=None, albedo=0.2, lines=None):
    """Text of an EPW of a year, hour-ending as the form has it; ``shift`` moves the labels [h]."""
    zone = found.utc_offset / 3600 if zone is None else zone
    head = [
        f"LOCATION,Made Up,XX,-,made,000000,{np.degrees(found.latitude):.4f},"
        f"{np.degrees(found.longitude):.4f},{zone:.1f},{found.elevation:.1f}",
        "DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,made", "COMMENTS 2,made",
        "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31",
    ]  # fmt: skip
    day = np.repeat(np.arange(365), 24)
    first = np.concatenate([[0], np.cumsum(DAYS)])
    month = np.searchsorted(first, day, side="right")
    rows = []
    for h in range(8760):
        v = [*["0"] * 35]
        v[0:6] = ["2001", str(month[h]), str(day[h] - first[month[h] - 1] + 1),
                  str(h % 24 + 1 + shift), "60", "?9"]  # fmt: skip
        v[6] = f"{found.air[h] - 273.15:.1f}"
        v[13], v[14], v[15] = (f"{x[h]:.0f}" for x in (found.ghi, found.dni, found.dhi))
        v[21] = f"{found.wind[h]:.1f}"
        v[30] = "999" if snow is None else f"{snow[h]:g}"
        v[32] = f"{albedo:g}"
        rows.append(",".join(v))
    return head + rows


def made(seed, snow=0.2):
    """A sun and light of any hours: cloudy, clear, without sky, without beam."""
    rng = np.random.default_rng(seed)
    height = rng.uniform(-0.4, 1.55, HOURS)
    up = height > 0.002
    outside = rng.uniform(1320.0, 1415.0, HOURS)
    mass = np.full(HOURS, np.nan)
    z = np.degrees(np.pi / 2 - height[up])
    mass[up] = 1 / (np.cos(np.radians(z)) + 0.50572 * (96.07995 - z) ** -1.6364)
    sun = SunYear(height, rng.uniform(0, 2 * np.pi, HOURS), up, outside, mass)
    dni = np.where(up, outside * rng.uniform(0, 0.8, HOURS) * (rng.random(HOURS) > 0.3), 0.0)
    dhi = np.where(up, rng.uniform(0, 400, HOURS) * np.sin(np.maximum(height, 0)), 0.0)
    dhi *= rng.random(HOURS) > 0.05
    zero = np.zeros(HOURS)
    year = WeatherYear(
        dni * np.sin(np.maximum(height, 0)) + dhi, dni, dhi, zero + 280, zero + 1, None,
        zero + snow, 0.7, -1.0, 100.0, 0.0, Origin.FILE, "made", (),
    )  # fmt: skip
    return sun, year
