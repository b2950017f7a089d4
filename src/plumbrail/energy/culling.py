"""Which directions can meet a thing at all, seen from anywhere on the array."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.site.surroundings import Surroundings

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SLACK = 1e-6
"""Added to the window of bearings and heights [rad], so that rounding loses nothing."""


def may_meet(around: Surroundings, k: int, points: Array, toward: Array) -> Mask:
    """(r,) False where no ray (r, 3) from any of the points (p, 3) can meet the k-th solid.

    The window runs over the bearings from a box about the points to a polygon about the thing, and
    up to the height of its top seen from the lowest point at the least distance.
    """
    polygon = around.footprint(k)
    gaps = (polygon[:, None] - _corners(points)).reshape(-1, 2)
    rise = around.top(k) - float(points[:, 2].min())
    flat = np.hypot(toward[:, 0], toward[:, 1])
    if rise <= 0.0:  # rays that go down are left to the exact test
        return np.asarray(toward[:, 2] <= SLACK)
    middle = gaps.mean(axis=0)
    off = _turned(gaps, middle)
    if not _all_ahead(gaps, middle):
        return np.ones(len(toward), dtype=bool)
    within = _turned(toward[:, :2], middle)
    nearest = _least_distance(gaps, middle)
    low = toward[:, 2] * nearest <= (rise + SLACK * nearest) * flat
    return np.asarray((within >= off.min() - SLACK) & (within <= off.max() + SLACK) & low)


def _corners(points: Array) -> Array:
    low, high = points[:, :2].min(axis=0), points[:, :2].max(axis=0)
    return np.array([low, [high[0], low[1]], high, [low[0], high[1]]])


def _turned(flat: Array, middle: Array) -> Array:
    """Angle of directions (n, 2) off ``middle`` [rad], counter-clockwise."""
    return np.arctan2(middle[0] * flat[:, 1] - middle[1] * flat[:, 0], flat @ middle)


def _all_ahead(gaps: Array, middle: Array) -> bool:
    """The thing and the array lie on two sides of a line square to ``middle``."""
    return bool((gaps @ middle).min() > 0.0)


def _least_distance(gaps: Array, middle: Array) -> float:
    """Not more than the distance in plan between thing and array."""
    return float((gaps @ middle).min() / np.hypot(*middle))
