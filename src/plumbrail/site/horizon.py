"""The skyline of the land, so far away that it looks the same from every module."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Horizon:
    """Corners of the skyline, straight between, once around the compass."""

    bearing: Array
    """(n,) clockwise from true north [rad], rising, 0 to 2 pi."""
    height: Array
    """(n,) above level [rad]."""

    def at(self, bearing: ArrayLike) -> Array:
        """Height of the skyline [rad] at true bearings [rad]; any shape."""
        return np.asarray(
            np.interp(np.asarray(bearing, float), self.bearing, self.height, period=2.0 * np.pi)
        )


def horizon(points: Sequence[tuple[float, float]] | None) -> Horizon | None:
    """The skyline of the plan; None where it gives none. One point alone holds all around."""
    if not points:
        return None
    bearing, height = np.array(points, dtype=float).T
    bearing = np.mod(bearing, 2.0 * np.pi)
    order = np.argsort(bearing)
    return Horizon(bearing[order], height[order])
