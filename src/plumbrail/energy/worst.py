"""The month that decides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.losses import monthly
from plumbrail.weather.year import DAYS

Array = NDArray[np.float64]


@dataclass(frozen=True)
class WorstMonth:
    """The month with the least yield, or with the least for its load."""

    month: int
    """1 to 12"""
    daily: float
    """Energy of a mean day in it [J]."""
    cover: float | None
    """Yield over load in it; None without a load."""


def worst_month(power: Array, load: Array | None = None) -> WorstMonth:
    """From (8760,) delivered power, and load if there is one [W].

    Without a load: the least energy of a mean day. With one: the least yield over load; a month
    without load does not count.
    """
    energy = monthly(power)
    if load is None or not load.any():
        k = int(np.argmin(energy / DAYS))
        return WorstMonth(k + 1, float(energy[k] / DAYS[k]), None)
    asked = monthly(load)
    cover = np.where(asked > 0.0, energy / np.where(asked > 0.0, asked, 1.0), np.inf)
    k = int(np.argmin(cover))
    return WorstMonth(k + 1, float(energy[k] / DAYS[k]), float(cover[k]))
