"""Buildings, walls and tanks: upright blocks without windows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.plan.shade import Box
from plumbrail.site.terrain import Terrain

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Boxes:
    """Axis: box. Each goes down without end: what is under it is ground."""

    names: tuple[str, ...]
    middle: Array
    """(n, 2) of the footprint."""
    half: Array
    """(n, 2) half its sides, in its own axes."""
    axis: Array
    """(n, 2) unit vector of its own first axis; the second lies 90° counter-clockwise of it."""
    top: Array
    """(n,) height of its top, level."""

    def footprint(self, k: int) -> Array:
        """(4, 2) corners of one box in plan."""
        along, across = self.axis[k], np.array([-self.axis[k][1], self.axis[k][0]])
        corner = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * self.half[k]
        return np.asarray(self.middle[k] + corner @ np.stack([along, across]))


def boxes(plan: Sequence[Box], ground: Terrain) -> Boxes:
    """Boxes of the plan; the top counts from the ground under the middle of the footprint."""
    middle = np.array([b.at for b in plan], dtype=float).reshape(-1, 2)
    turn = np.array([b.turn for b in plan], dtype=float)
    height = np.array([b.height for b in plan], dtype=float)
    return Boxes(
        tuple(b.name for b in plan), middle,
        0.5 * np.array([b.size for b in plan], dtype=float).reshape(-1, 2),
        np.stack([np.cos(turn), -np.sin(turn)], axis=-1),  # clockwise seen from above
        ground.height(middle[:, 0], middle[:, 1]) + height,
    )  # fmt: skip
