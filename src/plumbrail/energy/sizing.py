"""The smallest array and battery that meet a stated reliability, without a generator."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.battery import HOUR, LEAST_SHORT, refuse_smooth
from plumbrail.errors import RangeError
from plumbrail.plan.models import OffGrid
from plumbrail.weather.year import WeatherYear

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Sizing:
    """Every pair of array and battery, and the smallest that will do. Axes: array, battery."""

    arrays: Array
    """(a,) rated power [W], rising."""
    batteries: Array
    """(b,) usable energy [J], rising."""
    each_share: Array
    """(years, a, b) share of each year's load that is not met."""
    each_hours: IntArray
    """(years, a, b)"""
    reliability: float
    """Share of the load that must be met."""
    years_share: float
    """Share of the years in which it must be."""

    @property
    def short_share(self) -> Array:
        """(a, b) mean over the years."""
        return np.asarray(self.each_share.mean(axis=0))

    @property
    def short_hours(self) -> Array:
        """(a, b) mean over the years."""
        return np.asarray(self.each_hours.mean(axis=0))

    @property
    def met_years(self) -> Array:
        """(a, b) share of the years in which as much is met as is asked for."""
        return np.asarray((1.0 - self.each_share >= self.reliability - 1e-12).mean(axis=0))

    @property
    def enough(self) -> Mask:
        """(a, b) pairs that will do."""
        return np.asarray(self.met_years >= self.years_share - 1e-12)

    @property
    def smallest_array(self) -> Array:
        """(b,) smallest array of the grid for each battery [W]; inf where none of it will do."""
        return np.where(self.enough, self.arrays[:, None], np.inf).min(axis=0)

    @property
    def smallest_battery(self) -> Array:
        """(a,) smallest battery of the grid for each array [J]; inf where none of it will do."""
        return np.where(self.enough, self.batteries, np.inf).min(axis=1)

    @property
    def corners(self) -> IntArray:
        """(n, 2) indices of the pairs of which neither part can be one step smaller."""
        ok = self.enough
        less_array = np.vstack([np.zeros((1, ok.shape[1]), dtype=bool), ok[:-1]])
        less_battery = np.hstack([np.zeros((ok.shape[0], 1), dtype=bool), ok[:, :-1]])
        return np.argwhere(ok & ~less_array & ~less_battery)


def smallest(
    per_watt: Array, load: Array, off_grid: OffGrid, arrays: Array, batteries: Array, *,
    weather: WeatherYear, daily_sequence: bool = False,
) -> Sizing:  # fmt: skip
    """All pairs of ``arrays`` [W] and ``batteries`` [J] through each year, run twice.

    ``per_watt`` (8760,) or (years, 8760) delivered power of each rated watt, ``load`` (8760,) [W];
    efficiency, limits, reliability and share of the years of the plan's ``off_grid``. What is short
    falls as either grows, which is checked on the grid, so that the smallest that will do are its
    smallest. Raises RangeError for a year without dull spells and for grids that do not rise.
    """
    refuse_smooth(weather, daily_sequence)
    return through(per_watt, load, off_grid, arrays, batteries)


def through(
    per_watt: Array, load: Array, off_grid: OffGrid, arrays: Array, batteries: Array
) -> Sizing:
    """As :func:`smallest`, for any profiles of 8760 hours."""
    for name, grid in (("arrays", arrays), ("batteries", batteries)):
        if len(grid) == 0 or grid[0] <= 0.0 or (np.diff(grid) <= 0.0).any():
            raise RangeError(f"{name} must be positive and rise")
    short = _years(np.atleast_2d(per_watt), load, off_grid, arrays, batteries)
    total = load.sum() * HOUR
    share = short.unmet / total if total > 0.0 else short.unmet
    found = Sizing(arrays, batteries, share, short.hours, off_grid.reliability,
                   off_grid.years_share)  # fmt: skip
    slack = 1e-9
    if (np.diff(share, axis=1) > slack).any() or (np.diff(share, axis=2) > slack).any():
        raise RangeError("a larger array or battery was worse: a fault of plumbrail, not a result")
    return found


@dataclass(frozen=True)
class _Tally:
    unmet: Array
    hours: IntArray


def _years(
    per_watt: Array, load: Array, off_grid: OffGrid, arrays: Array, batteries: Array
) -> _Tally:
    """Unmet energy [J] and short hours of all years and pairs."""
    way = off_grid.efficiency**0.5
    limits = (off_grid.charge_power, off_grid.draw_power)
    most_in, most_out = (np.inf if p is None else p * HOUR for p in limits)
    full = np.broadcast_to(batteries, (len(per_watt), len(arrays), len(batteries)))
    charge = full.copy()
    unmet = np.zeros_like(charge)
    hours = np.zeros(charge.shape, dtype=np.int64)
    net = (per_watt.T[:, :, None] * arrays - load[:, None, None])[..., None] * HOUR
    # (hours, years, a, 1)
    into = np.clip(net, 0.0, most_in) * way
    lack = np.maximum(-net, 0.0)
    asked = np.minimum(lack, most_out)
    for year in range(2):
        for hour in range(len(load)):
            drawn = np.minimum(asked[hour], charge * way)
            charge = np.minimum(charge - drawn / way + into[hour], full)
            if year and lack[hour].any():
                short = lack[hour] - drawn
                unmet += short
                hours += short > LEAST_SHORT * load[hour] * HOUR
    return _Tally(unmet, hours)
