"""The sun's place by a short series: good to 0.05°, for days and hours, not for setting out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import NEW_YEAR

Array = NDArray[np.float64]
ALMANAC = "Astronomical Almanac, low-precision sun"
M = Certainty.MEMORY
D = Certainty.DERIVED
TURN = {"L": (0.0, 6.28), "g": (0.0, 6.28)}
OBLIQUITY = float(np.radians(23.435))
"""Of the ecliptic, for the years about 2010; it falls by 0.013° in a century."""
NOON_2000 = 946728000.0
"""1 January 2000, 12:00 UTC [s since 1970]."""


@provision(
    ALMANAC, "lam [rad]", "L + c_1*sin(g) + c_2*sin(2*g)", M, L="rad", g="rad",
    constants={"c_1": (float(np.radians(1.915)), "rad"), "c_2": (float(np.radians(0.020)), "rad")},
    ranges=TURN,
)  # fmt: skip
def ecliptic_longitude(L: Array, g: Array) -> Array:
    """The sun's longitude on its path, from its mean longitude and its mean anomaly."""
    return np.asarray(L + np.radians(1.915) * np.sin(g) + np.radians(0.020) * np.sin(2 * g))


@provision(
    ALMANAC, "sin_delta [-]", "sin(epsilon)*sin(lam)", M, lam="rad",
    constants={"epsilon": (OBLIQUITY, "rad")}, ranges={"lam": (0.0, 6.28)},
)  # fmt: skip
def declination_sine(lam: Array) -> Array:
    """Sine of the sun's declination."""
    return np.asarray(np.sin(OBLIQUITY) * np.sin(lam))


@provision(
    "Spherical triangle of pole, zenith and sun", "cos_z [-]",
    "sin(delta)*sin(phi) + cos(delta)*cos(phi)*cos(omega)", D,
    phi="rad", delta="rad", omega="rad",
    ranges={"phi": (-1.5, 1.5), "delta": (-0.41, 0.41), "omega": (-3.1, 3.1)},
)  # fmt: skip
def zenith_cosine(phi: Array, delta: Array, omega: Array) -> Array:
    """Cosine of the angle between sun and zenith."""
    return np.asarray(np.sin(delta) * np.sin(phi) + np.cos(delta) * np.cos(phi) * np.cos(omega))


def days_since_2000(hours: Array, utc_offset: float) -> Array:
    """Days from noon of 1 January 2000, for hours of the year in standard time, any shape."""
    seconds = NEW_YEAR - utc_offset + 3600 * np.asarray(hours, dtype=float)
    return np.asarray((seconds - NOON_2000) / 86400)


def declination(n: Array) -> Array:
    """The sun's declination [rad] at n days since 2000."""
    return np.asarray(np.arcsin(declination_sine(_longitude(n))))


def equation_of_time(n: Array) -> Array:
    """Solar time less mean time [s] at n days since 2000."""
    lam = _longitude(n)
    ascension = np.arctan2(np.cos(OBLIQUITY) * np.sin(lam), np.cos(lam))
    turn = np.mod(_mean_longitude(n) - ascension + np.pi, 2 * np.pi) - np.pi
    return np.asarray(86400 / (2 * np.pi) * turn)


def hour_angle(hours: Array, longitude: float, utc_offset: float) -> Array:
    """Sun past its noon [rad], −π to π, for hours of the year in standard time, any shape."""
    solar = 3600 * np.asarray(hours) - utc_offset
    solar = solar + equation_of_time(days_since_2000(hours, utc_offset))
    turned = 2 * np.pi * solar / 86400 + longitude
    return np.asarray(np.mod(turned, 2 * np.pi) - np.pi)


def _mean_longitude(n: Array) -> Array:
    return np.radians(280.460 + 0.9856474 * np.asarray(n))


def _longitude(n: Array) -> Array:
    anomaly = np.radians(357.528 + 0.9856003 * np.asarray(n))
    return ecliptic_longitude(_mean_longitude(n), anomaly)
