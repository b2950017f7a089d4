"""The year of weather that the yield is worked out from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
HOURS = 8760
YEAR = 2025
"""Calendar that all years are laid on: no leap day. The sun's places differ by less than 0.3°
between years."""
NEW_YEAR = 1735689600.0
"""1 January 2025, 0:00 UTC [s since 1970]."""


class Origin(StrEnum):
    """Where a year of weather comes from."""

    FILE = "weather file"
    MONTHS = "twelve monthly means"
    CLEAR = "sky without any cloud"


@dataclass(frozen=True)
class WeatherYear:
    """Axis: hour, 8760 from 1 January, local standard time; each value stands for the hour that
    begins there, whatever the labels of the file."""

    ghi: Array
    """Sun's power on level ground, mean of the hour [W/m2]."""
    dni: Array
    """Straight from the sun, on a plane that faces it [W/m2]."""
    dhi: Array
    """From the rest of the sky, on level ground [W/m2]."""
    air: Array
    """Air temperature [K]."""
    wind: Array
    """Wind at the modules [m/s]."""
    snowfall: Array | None
    """Fresh snow in the hour [m]; None where nobody says."""
    albedo: Array
    """Share of light that the ground throws back."""
    latitude: float
    longitude: float
    """[rad], north and east positive."""
    elevation: float
    """[m]"""
    utc_offset: float
    """Local standard time less UTC [s]."""
    origin: Origin
    source: str
    """In words: file name and station, or plan field."""
    notes: tuple[str, ...]
    """What a reader should know: label convention found, what was filled in, error band."""

    @property
    def middle(self) -> Array:
        """(hours,) middle of each hour [s since 1970-01-01 UTC]."""
        return np.asarray(NEW_YEAR - self.utc_offset + 3600.0 * (np.arange(HOURS) + 0.5))


def month_of_hours() -> IntArray:
    """(8760,) month of each hour, 1 to 12."""
    return np.repeat(np.arange(1, 13), 24 * DAYS)


def hour_of_day() -> IntArray:
    """(8760,) hour in which each begins, 0 to 23, local standard time."""
    return np.tile(np.arange(24), 365)
