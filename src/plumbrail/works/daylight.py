"""Sunrise and sunset by date and place."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from plumbrail.plan.zones import time_zone
from plumbrail.site.sun import Place, sun_at

Array = NDArray[np.float64]
RADIUS = 0.26667
"""Half the sun's disc [deg], as in NREL/TP-560-34302: its upper edge makes the day."""
STEP = 300.0


def daylight(place: Place, zone: str, days: list[date]) -> tuple[Array, Array]:
    """(days,) clock of sunrise and of sunset [h after midnight of the clock on the wall].

    A day without one has 0 and 24 when the sun stays up, 12 and 12 when it stays down.
    """
    spot, tz = place, time_zone(zone)
    midnight = [datetime(d.year, d.month, d.day, tzinfo=tz) for d in days]
    first = np.array([m.timestamp() for m in midnight])
    grid = np.arange(0.0, 86400.0 + STEP, STEP)
    moments = first[:, None] + grid
    up = sun_at(spot, moments.ravel()).true_height.reshape(moments.shape)
    # 0.5667° of bending at the horizon, as the algorithm has it for the edge of the day
    above = np.degrees(up) + RADIUS + 0.5667
    rise, fall = np.empty(len(days)), np.empty(len(days))
    for i, row in enumerate(above):
        rise[i], fall[i] = _edges(row, grid)
    return _clock(first, rise, tz), _clock(first, fall, tz)


def _edges(above: Array, grid: Array) -> tuple[float, float]:
    light = above > 0
    if light.all():
        return 0.0, 86400.0
    if not light.any():
        return 43200.0, 43200.0
    turn = np.flatnonzero(np.diff(light.astype(int)))
    at = [grid[k] + STEP * above[k] / (above[k] - above[k + 1]) for k in turn]
    ups = [t for t, k in zip(at, turn, strict=True) if light[k + 1]]
    downs = [t for t, k in zip(at, turn, strict=True) if not light[k + 1]]
    return (ups[0] if ups else 0.0), (downs[-1] if downs else 86400.0)


def _clock(first: Array, seconds: Array, tz: object) -> Array:
    """Hours on the wall; a clock that is changed at night moves with it."""
    found = []
    for start, after in zip(first.tolist(), seconds.tolist(), strict=True):
        moment = datetime.fromtimestamp(start + after, UTC).astimezone(tz)  # type: ignore[arg-type]
        base = datetime.fromtimestamp(start, UTC).astimezone(tz)  # type: ignore[arg-type]
        wall = moment.replace(tzinfo=None) - base.replace(tzinfo=None)
        found.append(wall / timedelta(hours=1))
    return np.array(found)
