"""What stands around as it is seen from one point: bearing by height."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.rays import blocked
from plumbrail.papers.yield_facts import Facts
from plumbrail.site.bearings import flat_direction
from plumbrail.site.surroundings import Kind

Array = NDArray[np.float64]

_ACROSS, _UP = 0.5, 0.1
"""Steps of bearing and height [deg]."""


@dataclass(frozen=True)
class Outline:
    """One thing against the sky. Angles in degrees."""

    name: str
    corners: Array
    """(n, 2) bearing and height, around."""
    clear: bool
    """Light comes through it in some month."""

    @property
    def top(self) -> tuple[float, float]:
        """Its highest place."""
        k = int(np.argmax(self.corners[:, 1]))
        high = np.flatnonzero(self.corners[:, 1] >= self.corners[k, 1] - 1e-9)
        return float(self.corners[high, 0].mean()), float(self.corners[k, 1])


def outlines(f: Facts, point: Array, first: float, last: float, top: float) -> list[Outline]:
    """Outlines of all solids seen from ``point`` (3,) between bearings and below a height [deg].

    With the same rays that the yield is made from. A thing cut by the edge of the picture, or seen
    on both sides of it, gives one outline for each piece.
    """
    bearings = np.arange(first, last + 1e-9, _ACROSS)
    heights = np.arange(0.0, top + 1e-9, _UP)
    flat = flat_direction(np.radians(bearings), f.around.row_bearing)
    h = np.radians(heights)
    toward = np.concatenate([
        flat[:, None, :] * np.cos(h)[None, :, None],
        np.broadcast_to(np.sin(h)[None, :, None], (len(bearings), len(h), 1)),
    ], axis=2).reshape(-1, 3)  # fmt: skip
    found = []
    for k, name in enumerate(f.around.names):
        if f.around.place(k)[0] is Kind.HORIZON:
            continue
        hit = blocked(f.around, k, point[None], toward)[:, 0].reshape(len(bearings), len(h))
        light = bool((f.around.light[k] > 0).any())
        found += [Outline(name, c, light) for c in _pieces(hit, bearings, heights)]
    return found


def _pieces(hit: NDArray[np.bool_], bearings: Array, heights: Array) -> list[Array]:
    """Corners of each unbroken run of bearings; in one bearing a convex body is one stretch."""
    some = hit.any(axis=1)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], some, [False]]).astype(int)))
    found = []
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        part = hit[begin:end]
        low = heights[part.argmax(axis=1)]
        high = heights[part.shape[1] - 1 - part[:, ::-1].argmax(axis=1)]
        across = bearings[begin:end]
        if len(across) < 2:
            continue
        found.append(np.concatenate([
            np.stack([across, low], axis=1), np.stack([across, high], axis=1)[::-1],
        ]))  # fmt: skip
    return found
