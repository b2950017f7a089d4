"""Twelve monthly means of sun and air: what they may be, and a smooth year through them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from plumbrail.energy.shapes import DayShapes
from plumbrail.errors import RangeError
from plumbrail.weather.usual import DAILY_SWING, WARMEST
from plumbrail.weather.year import DAYS, HOURS, hour_of_day, month_of_hours

Array = NDArray[np.float64]

LOWEST, HIGHEST = 0.05, 0.8
"""Clearness of a month that is believed. The highest is where the correlations end."""
TWILIGHT = 0.36e6
"""Day outside the air [J/m2] below which a month may have no light at all: 0.1 kWh/m2."""
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip


def clearness_of_months(sun12: Array, shapes: DayShapes) -> Array:
    """(12,) monthly energy over that outside the air; raises RangeError for what cannot be."""
    outside = month_means(shapes.outside)
    found = np.zeros(12)
    for i, (H, H_0) in enumerate(zip(sun12, outside, strict=True)):
        share = H / H_0 if H_0 > 0 else (np.inf if H > 0 else 0.0)
        if share > HIGHEST or (H_0 > TWILIGHT and share < LOWEST):
            raise RangeError(
                f"energy.weather.sun: {H / 3.6e6:.3g} kWh/m2 on a mean day of {MONTHS[i]} cannot "
                f"be: {H_0 / 3.6e6:.3g} kWh/m2 reach the top of the air there, of which "
                f"{LOWEST:.0%} to {HIGHEST:.0%} come down. Write the mean energy of a day on level "
                "ground, January first; check the latitude too."
            )
        found[i] = share
    return found


def month_means(days: Array) -> Array:
    """(12,) means of (365,)."""
    starts = np.append(0, np.cumsum(DAYS)[:-1])
    return np.asarray(np.add.reduceat(days, starts) / DAYS)


def of_days(months: Array) -> Array:
    """(365,) value of each day's month."""
    return np.repeat(months, DAYS)


def of_hours(months: Array) -> Array:
    """(8760,) value of each hour's month."""
    return np.asarray(months, dtype=float)[month_of_hours() - 1]


def smooth_air(air12: Array) -> Array:
    """(8760,) air temperature [K]: a smooth curve with the given monthly means, and a daily swing
    of DAILY_SWING about it."""
    ends = np.cumsum(24 * DAYS)
    middles = ends - 12 * DAYS
    at = np.append(middles, middles[0] + HOURS)
    unit = np.vstack([np.eye(12), np.eye(12)[:1]])
    hours = np.arange(HOURS) + 0.5
    curve = CubicSpline(at, unit, bc_type="periodic")(hours + HOURS * (hours < at[0]))
    means = np.add.reduceat(curve, ends - 24 * DAYS, axis=0) / (24 * DAYS)[:, None]
    swing = DAILY_SWING / 2 * np.cos(2 * np.pi * (hour_of_day() + 0.5 - WARMEST) / 24)
    return np.asarray(curve @ np.linalg.solve(means, air12) + swing)
