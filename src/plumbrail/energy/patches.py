"""Points on the modules at which light is asked for, by the strips that bypass diodes guard."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

MOST = 4
"""Points a patch, at most."""
MANY = 200
"""Modules beyond which one point a patch is taken if nothing is said."""


@dataclass(frozen=True)
class Patches:
    """One patch is one half of one bypass strip of one module. Axis: patch, or point.

    Patches run by module, strip, half; the points of a patch stand together in that order.
    """

    module: IntArray
    """(patches,) index of the module."""
    strip: IntArray
    """(patches,) from 0; strips lie along the module's long side, counted across it: from the left
    in portrait, from the low edge in landscape."""
    half: IntArray
    """(patches,) from 0; halves lie one after the other along the long side: from the low edge in
    portrait, from the left in landscape."""
    patch: IntArray
    """(points,) index of the patch."""
    xyz: Array
    """(points, 3) on the top of the module's frame."""
    weight: Array
    """(points,) share of its patch that a point stands for."""
    normal: Array
    """(3,)"""

    @property
    def each(self) -> int:
        """Points a patch."""
        return len(self.patch) // len(self.module)

    def mean(self, values: Array) -> Array:
        """(..., patches) means over each patch of values (..., points)."""
        return values.reshape(*values.shape[:-1], len(self.module), self.each).mean(axis=-1)


def patches(model: Model, plan: Plan, each: int | None = None) -> Patches:
    """Patches of all modules with ``each`` points a patch, 1 to 4.

    Left out: 2, or 1 for more than 200 modules. Raises RangeError for another number.
    """
    count = len(model.modules.ids)
    each = (2 if count <= MANY else 1) if each is None else each
    if not 1 <= each <= MOST:
        raise RangeError(f"each is {each}; write 1 to {MOST} points a patch")
    long, short, part = _grid(plan, each)
    landscape = plan.array.orientation == "landscape"
    along, up = (long, short) if landscape else (short, long)
    corner = model.modules.corners + plan.module.thickness * model.plane.normal
    a, b, _, d = (corner[:, None, i] for i in range(4))  # low left, low right, high left
    xyz = a + along[:, None] * (b - a) + up[:, None] * (d - a)
    strips, halves = plan.module.bypass, plan.module.halves
    own = np.arange(count * strips * halves)
    return Patches(
        own // (strips * halves), own // halves % strips, own % halves,
        np.repeat(own, each), xyz.reshape(-1, 3), np.full(len(own) * each, part),
        model.plane.normal,
    )  # fmt: skip


def _grid(plan: Plan, each: int) -> tuple[Array, Array, float]:
    """Places of one module's points as shares of its long and of its short side; weight of each."""
    strips, halves = plan.module.bypass, plan.module.halves
    n, m = _split(each, plan.module.length / halves, plan.module.width / strips)
    strip, half, j, i = (g.ravel() for g in np.mgrid[0:strips, 0:halves, 0:m, 0:n])
    return (half + (i + 0.5) / n) / halves, (strip + (j + 0.5) / m) / strips, 1.0 / each


def _split(each: int, long: float, short: float) -> tuple[int, int]:
    """Points along the long and the short side of a patch, so that their cells are most square."""
    ways = [(n, each // n) for n in range(1, each + 1) if each % n == 0]
    return min(ways, key=lambda w: abs(np.log((long / w[0]) / (short / w[1]))))
