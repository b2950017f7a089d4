"""A day's table of shadows, with the times of the day that serve best."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.setout.base import BaseLine
from plumbrail.setout.clock import Moments
from plumbrail.setout.shadow import (
    Errors,
    errors_of,
    legs,
    shadow_bearing,
    shadow_length,
    turned,
)
from plumbrail.site.sun import Place, Sun, sun_at

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

LOWEST, HIGHEST = np.radians(10.0), np.radians(75.0)
"""A sun outside this band gives a shadow too faint and long, or too short. A judgement."""
FASTEST = np.radians(30.0) / 3600
"""A shadow that turns faster than this [rad/s] is poor: half a degree a minute. A judgement."""
UNSURE = np.radians(0.5)
"""A bearing with a larger standard deviation is poor. A judgement."""
NEAR_BEST = 1.25
"""Best are the times whose error is within this factor of the least of the day. A judgement."""
STEP = 30
"""Minutes from row to row."""


@dataclass(frozen=True)
class Shadows:
    """Shadows of a plumb line over pin 1. Axis: moment."""

    clock: tuple[str, ...]
    sun: Sun
    bearing: Array
    """Clockwise from true north [rad]."""
    from_row: Array
    """Clockwise from the way along the row to the right [rad], -pi to pi."""
    from_base: Array
    """Clockwise from the way to pin 2 [rad], 0 to 2 pi."""
    length: Array
    """On level ground [m]."""
    legs: Array
    """(moments, 2) where it meets the square about pin 1, along and across the base line [m]."""
    errors: Errors
    over_row: Array
    """Standard deviation of the bearing as an offset over the length of the row [m]."""
    use: tuple[str, ...]
    """``best``, ``fair`` or ``poor``."""

    @property
    def least(self) -> float:
        """The smallest error [rad]; infinite when there is no shadow at all."""
        return float(np.min(self.errors.total, initial=np.inf))

    @property
    def fast(self) -> Mask:
        """The shadow turns too fast for a clock in the hand."""
        return np.asarray(np.abs(self.sun.rate) > FASTEST)


@dataclass(frozen=True)
class Rig:
    """How the shadow is cast and measured."""

    plumb: float
    """Height of the plumb line's upper end over the ground [m]."""
    reach: float
    """Half-width of the square about pin 1 on which the shadow is marked [m]."""
    row: float
    """Length of the row [m]."""


def day_of_shadows(place: Place, base: BaseLine, moments: Moments, rig: Rig) -> Shadows:
    """The shadows of the moments at which the sun stands neither too low nor too high."""
    height = sun_at(place, moments.seconds).height
    keep = np.flatnonzero((height >= LOWEST) & (height <= HIGHEST))
    picked = Moments(tuple(moments.clock[i] for i in keep), moments.seconds[keep])
    return shadows(place, base, picked, rig)


def shadows(
    place: Place, base: BaseLine, moments: Moments, rig: Rig, least: float = np.inf
) -> Shadows:
    """Shadows at moments with the sun over the horizon.

    ``least`` is the smallest error of the day where the moments are only a part of it.
    """
    sun = sun_at(place, moments.seconds)
    bearing = shadow_bearing(sun)
    length = shadow_length(np.array(rig.plumb), sun.height)
    marks = legs(base, bearing, rig.reach)
    errors = errors_of(sun, base, np.minimum(np.hypot(*marks.T), length))
    return Shadows(
        moments.clock, sun, bearing, turned(bearing, base.row_bearing),
        np.mod(bearing - base.bearing, 2 * np.pi), length, marks, errors,
        errors.total * rig.row, _use(sun, errors.total, least),
    )  # fmt: skip


def _use(sun: Sun, error: Array, least: float) -> tuple[str, ...]:
    poor = (error > UNSURE) | (np.abs(sun.rate) > FASTEST)
    poor |= (sun.height < LOWEST) | (sun.height > HIGHEST)
    least = float(np.min(error, initial=least, where=~poor))
    best = ~poor & (error <= NEAR_BEST * least)
    return tuple(np.select([poor, best], ["poor", "best"], "fair").tolist())
