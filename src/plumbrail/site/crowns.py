"""Crowns of trees: cones and balls.

The bare stem under a crown is left out. A stem of 0.2 m hides less than a tenth of what a crown of
4 m across hides, and only below the crown; who has a bare thick trunk close by writes it as a box.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.plan.shade import Tree
from plumbrail.site.terrain import Terrain

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SIDES = 16
"""Of the polygon about a round crown in plan."""


@dataclass(frozen=True)
class Crowns:
    """Axis: tree."""

    names: tuple[str, ...]
    stem: Array
    """(n, 2) place."""
    radius: Array
    """(n,) greatest: of a cone at its foot, of a ball at half its height."""
    bottom: Array
    """(n,) height where the crown begins."""
    top: Array
    """(n,) height of the tip."""
    round: Mask
    """(n,) an ellipsoid; otherwise a cone with a flat bottom."""
    light: Array
    """(n, 12) share of the light that comes through the crown, January to December, whatever the
    length of the way through it."""

    def footprint(self, k: int) -> Array:
        """(16, 2) corners of a polygon around one crown in plan."""
        angle = 2.0 * np.pi * np.arange(SIDES) / SIDES
        reach = self.radius[k] / np.cos(np.pi / SIDES)
        return np.asarray(self.stem[k] + reach * np.stack([np.cos(angle), np.sin(angle)], axis=-1))


def crowns(plan: Sequence[Tree], ground: Terrain) -> Crowns:
    """Trees of the plan; heights count from the ground at the stem."""
    stem = np.array([t.at for t in plan], dtype=float).reshape(-1, 2)
    z = ground.height(stem[:, 0], stem[:, 1])
    return Crowns(
        tuple(t.name for t in plan), stem, np.array([t.radius for t in plan], dtype=float),
        z + np.array([t.crown_from for t in plan], dtype=float),
        z + np.array([t.height for t in plan], dtype=float),
        np.array([t.crown == "round" for t in plan], dtype=bool),
        np.array([_light(t) for t in plan], dtype=float).reshape(-1, 12),
    )  # fmt: skip


def _light(tree: Tree) -> Array:
    bare = np.isin(np.arange(1, 13), tree.bare_months or ())
    return np.where(bare, tree.light_through_bare, tree.light_through)
