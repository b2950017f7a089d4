"""Where the sun stands in each hour of the year, and how strong it is outside the air."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import SunYear
from plumbrail.site.sun import Place, sun_at
from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import HOURS, NEW_YEAR, WeatherYear

Array = NDArray[np.float64]

SOLAR_CONSTANT = 1367.0
"""[W/m2], World Radiation Center, as the textbooks have it."""
HORIZON = float(np.radians(-0.5667))
"""Height of the disc's middle, without the bending of light, when it is seen on the horizon."""
_STEPS = (np.arange(60) + 0.5) / 60
"""Middles of the minutes of an hour."""


@dataclass(frozen=True)
class LitHours:
    """The part of each hour in which the sun is up. Axis: hour."""

    middle: Array
    """Of that part [s since 1970-01-01 UTC]; of the hour, by night."""
    share: Array
    """Of the hour, 0 to 1."""


def sun_year(year: WeatherYear) -> SunYear:
    """The sun over the place of a year of weather, by SPA."""
    place = Place(year.latitude, year.longitude, year.elevation)
    return sun_over(place, lit_hours(place, year.utc_offset))


def lit_hours(place: Place, utc_offset: float) -> LitHours:
    """When the sun is up in each hour of standard time, to half a minute.

    The height over an hour follows a parabola through its begin, middle and end.
    """
    begin = np.asarray(NEW_YEAR - utc_offset + 3600.0 * np.arange(HOURS))
    edge = np.asarray(NEW_YEAR - utc_offset + 1800.0 * np.arange(2 * HOURS + 1))
    above = sun_at(place, edge).true_height - HORIZON
    first, half, last = above[:-2:2], above[1::2], above[2::2]
    share, middle = (half > 0).astype(float), np.full(HOURS, 0.5)
    mixed = np.flatnonzero(((first > 0) != (half > 0)) | ((half > 0) != (last > 0)))
    a, b, c = (v[mixed, None] for v in (first, half, last))
    lit = a + (4 * b - 3 * a - c) * _STEPS + (2 * a - 4 * b + 2 * c) * _STEPS**2 > 0
    share[mixed] = lit.mean(axis=1)
    middle[mixed] = (lit * _STEPS).sum(axis=1) / np.maximum(lit.sum(axis=1), 1)
    return LitHours(begin + 3600.0 * np.where(share > 0, middle, 0.5), share)


def sun_over(place: Place, lit: LitHours) -> SunYear:
    """The sun in the middle of the lit part of each hour."""
    sun = sun_at(place, lit.middle)
    up = (lit.share > 0) & (sun.height > 0)
    mass = np.full(HOURS, np.nan)
    mass[up] = air_mass(np.pi / 2 - sun.height[up])
    outside = normal_outside(day_angle(np.arange(0.5, HOURS)))
    return SunYear(sun.height, sun.bearing, up, outside, mass)


def day_angle(hours: Array) -> Array:
    """Angle of the day, 0 on 1 January, for hours of the year [rad]."""
    return np.asarray(2 * np.pi * np.floor(np.asarray(hours) / 24) / 365)


@provision(
    "Spencer 1971, Fourier series of the sun", "G_on [W/m**2]",
    "G_sc*(1.00011 + 0.034221*cos(B) + 0.00128*sin(B) + 0.000719*cos(2*B) + 0.000077*sin(2*B))",
    Certainty.MEMORY, B="rad", constants={"G_sc": (SOLAR_CONSTANT, "W/m**2")},
    ranges={"B": (0.0, 6.3)},
)  # fmt: skip
def normal_outside(B: Array) -> Array:
    """The sun's power outside the air, on a plane that faces it."""
    return np.asarray(SOLAR_CONSTANT * (
        1.00011 + 0.034221 * np.cos(B) + 0.00128 * np.sin(B) + 0.000719 * np.cos(2 * B)
        + 0.000077 * np.sin(2 * B)
    ))  # fmt: skip


@provision(
    "Kasten and Young 1989, Applied Optics 28(22)", "m [-]",
    "1/(cos(theta_z) + 0.50572*(96.07995 - theta_z*180/pi)**(-1.6364))", Certainty.CONFIRMED,
    theta_z="rad", ranges={"theta_z": (0.0, 1.57)},
)  # fmt: skip
def air_mass(theta_z: Array) -> Array:
    """Way of the light through the air over that from the zenith, at sea level."""
    return np.asarray(1 / (np.cos(theta_z) + 0.50572 * (96.07995 - np.degrees(theta_z)) ** -1.6364))
