"""What each thing hides from each point, kept thing by thing so that one can be left out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.culling import may_meet
from plumbrail.energy.rays import blocked
from plumbrail.site.surroundings import Surroundings

Array = NDArray[np.float64]
Single = NDArray[np.float32]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]

CHUNK = 100_000
"""Rays tested at a time: about what stays in a processor's near memory."""


@dataclass(frozen=True)
class Cast:
    """What one thing hides. Axes: row, point; a row is an hour or a direction of the sky."""

    rows: IntArray
    """(r,) rows in which it hides something from some point."""
    hit: NDArray[np.uint8]
    """(r, p / 8) one bit a point, high bit first."""
    light: Single
    """(r, m) share that comes through where it hides; m is 1, or 12 months."""

    def share(self, points: int, month: int) -> Single:
        """(r, p) share that comes through, in one of the m months."""
        hidden = np.unpackbits(self.hit, axis=1, count=points).view(np.bool_)
        light = self.light[:, month, None]
        return np.where(hidden, light, np.float32(1.0))


def cast(around: Surroundings, k: int, points: Array, toward: Array, light: Array) -> Cast:
    """Trace one solid against directions (r, 3); ``light`` (r, m) comes through it."""
    rows = np.flatnonzero(may_meet(around, k, points, toward))
    step = max(1, CHUNK // len(points))
    found, bits = [], []
    for begin in range(0, len(rows), step):
        part = rows[begin : begin + step]
        hit = blocked(around, k, points, toward[part])
        some = hit.any(axis=1)
        found.append(part[some])
        bits.append(np.packbits(hit[some], axis=1))
    width = -(-len(points) // 8)
    rows = np.concatenate([np.zeros(0, dtype=np.int64), *found])
    packed = np.concatenate([np.zeros((0, width), dtype=np.uint8), *bits])
    return Cast(rows, packed, light[rows].astype(np.float32))


def cast_level(share: Array, points: int) -> Cast:
    """The same for the horizon, alike for all points: share (r,) of each row that it lets by."""
    rows = np.flatnonzero(share < 1.0)
    ones = np.packbits(np.ones((1, points), dtype=bool), axis=1)
    return Cast(rows, np.repeat(ones, len(rows), axis=0), share[rows, None].astype(np.float32))


def product(casts: Iterable[Cast], rows: int, points: int, month: int = 0) -> Single:
    """(rows, p) share that comes through all of them: shares multiply."""
    through = np.ones((rows, points), dtype=np.float32)
    for one in casts:
        through[one.rows] *= one.share(points, month if one.light.shape[1] > 1 else 0)
    return through
