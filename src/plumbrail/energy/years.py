"""Delivered power in more made years than one, for what a battery leaves unmet.

The full chain looks at every strip of cells and would take as long again for each year. Here the
light of a year is the mean over the array, behind the same shade and the same snow rules, and what
the unevenness of that light costs is taken over from the first year, hour of day by month.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.cells import passed, warmth
from plumbrail.energy.diode import best_point
from plumbrail.energy.parts import PlaneLight, SunYear
from plumbrail.energy.run import Plant, after_strings
from plumbrail.energy.shading import MonthlyShading
from plumbrail.energy.sky import plane_light
from plumbrail.energy.snow import covered, laid_out
from plumbrail.energy.strings import StringYear
from plumbrail.weather.year import HOURS, WeatherYear, hour_of_day, month_of_hours

Array = NDArray[np.float64]
_LEAST, _MOST = 0.5, 1.5
"""The share taken over from the first year is kept within; at the edge of the day it is noise."""


@dataclass(frozen=True)
class _Means:
    """Shares of light that reach the working patches, mean over them."""

    sun: Array
    """(8760,)"""
    dome: Array
    skyline: Array
    ground: Array
    """(8760,) each, by its month."""
    heights: Array
    """(patches,) lowest points, rising."""


def other_years(
    ready: Plant, sun: SunYear, shading: MonthlyShading | None, power: Array,
    years: Sequence[WeatherYear],
) -> Array:  # fmt: skip
    """(years, 8760) delivered power [W] of the array in other years at the same place.

    ``power`` (8760,) is that of ``ready.year`` by the full chain.
    """
    means, T = _means(ready, shading), ready.plan.array.tilt
    azimuth = ready.plan.array.azimuth
    even = _even(ready, means, ready.year, ready.light)
    found = np.array([
        _even(ready, means, year, plane_light(sun, year, T, azimuth)) for year in years
    ]).reshape(-1, HOURS)  # fmt: skip
    return found * _uneven(power, even)


def _uneven(full: Array, even: Array) -> Array:
    """(8760,) full over even power, by month and hour of day."""
    group = 24 * (month_of_hours() - 1) + hour_of_day()
    above, below = (np.bincount(group, a, 288) for a in (full, even))
    share = np.where(below > 0.0, above / np.where(below > 0.0, below, 1.0), 1.0)
    return np.asarray(np.clip(share, _LEAST, _MOST)[group])


def _means(ready: Plant, shading: MonthlyShading | None) -> _Means:
    place, one = ready.place, np.ones(HOURS)
    heights = np.sort(place.height)
    if shading is None:
        return _Means(one, one, one, one, heights)
    at, month = place.points, month_of_hours() - 1
    sun = shading.through[:, at].mean(axis=1, dtype=float)

    def by_month(share: Array) -> Array:
        return np.asarray(share[:, at].mean(axis=1)[month])

    return _Means(sun, by_month(shading.dome_month), by_month(shading.skyline_month),
                  by_month(shading.ground_month), heights)  # fmt: skip


def _even(ready: Plant, means: _Means, year: WeatherYear, light: PlaneLight) -> Array:
    """(8760,) delivered power [W] if every strip got the mean light of all."""
    through = passed(light, ready.plan.array.tilt)
    straight = (light.beam + light.halo) * means.sun
    dome, band = light.dome * means.dome, light.skyline * means.skyline
    ground = light.ground * means.ground
    glass = np.maximum(through.straight * straight + through.sky * (dome + band)
                       + through.ground * ground, 0.0)  # fmt: skip
    clean = 1.0 - np.asarray(ready.losses.soiling)[month_of_hours() - 1]
    snow = _snow(ready, year, light)
    free = np.searchsorted(means.heights, snow, side="left")
    bare = np.where(snow > 0.0, 1.0 - free / len(means.heights), 1.0)
    hours = np.flatnonzero(light.total > 0.0)
    lit = (glass * clean * bare)[hours]
    T = warmth((straight + dome + band + ground)[hours], year.air[hours], year.wind[hours],
               ready.plan.module.noct)  # fmt: skip
    best = best_point(ready.module.diode.under(lit, T))
    strings = ready.counts[:, None]
    both = StringYear(best.power * strings, np.broadcast_to(best.current, (len(strings), len(lit))))
    return after_strings(ready, hours, both, set())[-1].left


def _snow(ready: Plant, year: WeatherYear, light: PlaneLight) -> Array:
    """(8760,) share of the slope under snow in this year."""
    fall = ready.losses.snow_depth
    if fall is None:
        return np.zeros(HOURS)
    return covered(laid_out(np.asarray(fall)), light.total, year.air, ready.plan.array.tilt)
