"""Which hour a label of the file means: found by test, for every file.

Light on level ground is what comes straight from the sun, times the cosine of its zenith angle,
plus what comes from the sky. The cosine fits at the true middle of the hour and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import WeatherError
from plumbrail.weather.almanac import days_since_2000, declination, hour_angle, zenith_cosine
from plumbrail.weather.forms import Station
from plumbrail.weather.rows import Rows

Array = NDArray[np.float64]

OFFSETS = np.arange(-6, 7) / 2
"""From label to middle of the hour [h] that are tried."""
HIGH_SUN = 0.1
"""Cosine of the zenith angle above which the parts are compared: lower, half an hour of sun and
the mean of an hour are not the same."""
MOST = 40.0
"""Misfit [W/m2] above which nothing fits. A judgement: files read 1 to 10 at the right offset."""
TELLING = 5.0
"""Misfit [W/m2] that the worst place of the sun must have. A judgement: files have 60 to 160."""
CLEARER = 0.8
"""The right offset must fit this much better than any other. A judgement."""


@dataclass(frozen=True)
class Labels:
    """What the labels mean."""

    offset: float
    """From the label to the middle of the hour [h]."""
    misfit: float
    """Root mean square of dni·cos z + dhi − ghi [W/m2]."""
    words: str


def misfits(rows: Rows, station: Station) -> Array:
    """(13,) root mean square misfit [W/m2] at each of OFFSETS; nan without any light."""
    ghi, dni, dhi = rows.values[:, :3].T
    known = np.isfinite(ghi + dni + dhi)
    return np.array([
        _misfit(ghi[known], dni[known], dhi[known], rows.label[known] + step, station)
        for step in OFFSETS
    ])  # fmt: skip


def _misfit(ghi: Array, dni: Array, dhi: Array, middle: Array, station: Station) -> float:
    phi, longitude = np.radians(station.latitude), float(np.radians(station.longitude))
    zone = 3600 * station.zone
    omega = hour_angle(middle, longitude, zone)
    cosine = zenith_cosine(np.array(phi), declination(days_since_2000(middle, zone)), omega)
    # bright hours count even where this place of the sun has night: that is what gives it away
    day = (cosine > HIGH_SUN) | ((dni > 50) & (ghi > 100))
    if not day.any():
        return float("nan")
    gap = (dni * np.maximum(cosine, 0) + dhi - ghi)[day]
    return float(np.sqrt(np.mean(gap**2)))


def find(rows: Rows, station: Station, file: str) -> Labels:
    """What the labels mean; raises WeatherError when no hour fits."""
    found = misfits(rows, station)
    if np.isnan(found).all():
        raise WeatherError(f"{file}: no radiation by day in it")
    if np.nanmax(found) < TELLING:
        raise WeatherError(
            f"{file}: its radiation is the same wherever the sun stands, as if none came straight "
            "from the sun. All three columns (level ground, straight from the sun, from the sky) "
            "are needed."
        )
    best = int(np.nanargmin(found))
    others = np.nanmin(np.delete(found, best))
    offset, misfit = float(OFFSETS[best]), float(found[best])
    if misfit > MOST or misfit > CLEARER * others:
        raise WeatherError(
            f"{file}: its radiation fits no place of the sun within 3 h of its labels (straight "
            f"from the sun × cosine + from the sky misses the level-ground value by {misfit:.0f} "
            f"W/m2 at best). Latitude, longitude or time zone in the heading may be wrong, or the "
            "columns may be mixed up."
        )
    if abs(offset) > 0.5:
        raise WeatherError(
            f"{file}: its radiation fits a sun {abs(offset):g} h "
            f"{'after' if offset > 0 else 'before'} its labels. The time zone or the longitude "
            "in the heading is wrong, or its sign."
        )
    return Labels(offset, misfit, _words(offset, misfit))


def _words(offset: float, misfit: float) -> str:
    means = {-0.5: "the end of the hour", 0.5: "the beginning of the hour"}.get(
        offset, "the middle of the hour"
    )
    return (
        f"Labels of the file mean {means}: by test, radiation and the sun's place then agree "
        f"within {misfit:.1f} W/m2 (root mean square)."
    )
