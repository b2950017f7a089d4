"""Light of every month on planes of many angles at once.

The cosine of incidence is a product of what the plane has (cos β, sin β) and what the hour has
(sin h, cos h cos(Z − γ)), so weighing the hours once by the light that falls along the sun's
direction leaves two multiplications, one maximum and one sum for each hour and plane.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import AngleMap, SunYear
from plumbrail.energy.perez import perez_sky
from plumbrail.energy.skies import Sky
from plumbrail.energy.sky import incidence_cosine
from plumbrail.trace import require
from plumbrail.weather.year import DAYS, WeatherYear, month_of_hours

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

TILTS = np.radians(np.arange(0.0, 90.1, 5.0))
"""19 of them."""


def facing(latitude: float) -> Array:
    """(37,) azimuths [rad] from east to west over the equator's side, rising; on the southern half
    of the earth from 270° − 360° = −90° (west) over north to 90°."""
    return np.radians(np.arange(-90.0, 90.1, 5.0) + (180.0 if latitude >= 0 else 0.0))


def angle_map(
    sun: SunYear, year: WeatherYear, tilts: Array, azimuths: Array, sky: Sky | None = None
) -> AngleMap:
    """Light of each month on unshaded planes (t,) by (a,) [rad]; the sums of ``plane_light``.

    Raises RangeError for tilts beyond 0 to 90°, where the skyline is another one.
    """
    require("tilt [rad]", 0.0, tilts, np.pi / 2 + 1e-12, "angle map", "Take 0 to 90°.")
    shares = sky or perez_sky(sun, year)
    day = np.flatnonzero(sun.up & (year.dni + year.dhi > 0))
    month = month_of_hours()
    starts = np.searchsorted(month[day], np.arange(1, 13))
    along = (year.dni + year.dhi * shares.halo / shares.spread)[day]
    plane = np.stack([np.cos(tilts), np.sin(tilts)], axis=1)
    level = along * np.cos(sun.height[day])
    sky_and_ground = _even(year, shares.halo, shares.skyline, plane)
    energy = np.empty((tilts.size, azimuths.size, 12))
    hour = np.empty((2, day.size))
    hour[0] = along * np.sin(sun.height[day])
    for i, azimuth in enumerate(azimuths):
        hour[1] = level * np.cos(sun.bearing[day] - azimuth)
        light = plane @ hour
        np.maximum(light, 0.0, out=light)
        energy[:, i] = _months(light, starts) + sky_and_ground
    energy += _dark(sun, year, shares, tilts, azimuths)
    return AngleMap(tilts, azimuths, 3600.0 * energy)


def _months(light: Array, starts: IntArray) -> Array:
    """(t, 12) sums of (t, hours); a month without any light is 0."""
    ends = np.append(starts[1:], light.shape[1])
    full = ends > starts
    found = np.zeros((light.shape[0], 12))
    if full.any():
        found[:, full] = np.add.reduceat(light, starts[full], axis=1)
    return found


def _even(year: WeatherYear, halo: Array, skyline: Array, plane: Array) -> Array:
    """(t, 12) [W h/m2] of dome, skyline and ground, which do not depend on the azimuth."""
    hours = np.stack([year.dhi * (1 - halo), year.dhi * skyline, year.ghi * year.albedo])
    sums = np.add.reduceat(hours, np.append(0, 24 * np.cumsum(DAYS)[:-1]), axis=1)
    c, s = plane[:, :1], plane[:, 1:]
    return np.asarray((1 + c) / 2 * sums[0] + s * sums[1] + (1 - c) / 2 * sums[2])


def _dark(sun: SunYear, year: WeatherYear, shares: Sky, tilts: Array, azimuths: Array) -> Array:
    """(t, a, 12) [W h/m2] to add where a dark skyline takes more than there is (plane_light).

    Such hours are few. The even part falls with the tilt, so upright planes tell which they are.
    """
    beta = tilts[:, None]
    found = np.zeros((tilts.size, azimuths.size, 12))
    month = month_of_hours()
    for hour in np.flatnonzero((1 - shares.halo) / 2 + shares.skyline < 0):
        F_1, F_2 = shares.halo[hour], shares.skyline[hour]
        cosine = incidence_cosine(sun.height[hour], sun.bearing[hour], beta, azimuths)
        whole = (
            (1 - F_1) * (1 + np.cos(beta)) / 2 + F_2 * np.sin(beta)
            + F_1 * np.maximum(cosine, 0.0) / shares.spread[hour]
        )  # fmt: skip
        found[:, :, month[hour] - 1] += year.dhi[hour] * np.maximum(-whole, 0.0)
    return found
