"""Other arrays: tilted rectangles without thickness, open underneath."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.plan.shade import OtherArray
from plumbrail.site.bearings import flat_direction, row_bearing
from plumbrail.site.terrain import Terrain

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Sheets:
    """Axis: sheet. The low edge of each is level."""

    names: tuple[str, ...]
    corner: Array
    """(n, 3) left end of the low edge, seen from before that array."""
    along: Array
    """(n, 3) low edge, to the right."""
    up: Array
    """(n, 3) edge up the slope, square to ``along``."""

    @property
    def top(self) -> Array:
        """(n,) height of the high edge."""
        return self.corner[:, 2] + self.up[:, 2]

    def footprint(self, k: int) -> Array:
        """(4, 2) corners of one sheet in plan."""
        a, b, c = self.corner[k, :2], self.along[k, :2], self.up[k, :2]
        return np.stack([a, a + b, a + b + c, a + c])


def sheets(plan: Sequence[OtherArray], ground: Terrain, bearing: float) -> Sheets:
    """Other arrays of the plan; ``bearing`` is the true bearing of the x axis [rad].

    The low edge stands ``low_edge`` above the ground under its middle.
    """
    at = np.array([a.at for a in plan], dtype=float).reshape(-1, 2)
    z = ground.height(at[:, 0], at[:, 1]) + np.array([a.low_edge for a in plan], dtype=float)
    tilt = np.array([a.tilt for a in plan], dtype=float)
    slope = np.array([a.slope_length for a in plan], dtype=float)
    faces = flat_direction(np.array([a.azimuth for a in plan], dtype=float), bearing)
    right = flat_direction(np.array([row_bearing(a.azimuth) for a in plan], dtype=float), bearing)
    along = right * np.array([a.row_length for a in plan], dtype=float)[:, None]
    return Sheets(
        tuple(a.name for a in plan), np.column_stack([at - 0.5 * along, z]),
        np.column_stack([along, np.zeros(len(plan))]),
        np.column_stack([-faces * (slope * np.cos(tilt))[:, None], slope * np.sin(tilt)]),
    )  # fmt: skip
