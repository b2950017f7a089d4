"""Where things sit: junction boxes of the modules, shares of the row, combiner boxes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.model.parts import Model
from plumbrail.plan.models import Combiners
from plumbrail.wiring.parts import Array, IntArray

FRONT, BACK = 0, 1
ALIKE = 0.1
"""Distances [m] that differ by less count as equal, so that as built is wired as planned."""


@dataclass(frozen=True)
class Box:
    """A combiner box and how wires get to it."""

    id: str
    row: int
    """Beam whose wires come down to it: 0 front, 1 back."""
    along: float
    """Distance along that beam, from its left end, where they leave it [m]."""
    point: Array
    """(3,)"""
    post: int
    """Post that it hangs on; -1 where it needs an upright of its own."""


def junctions(model: Model) -> Array:
    """(modules, 3) middle of each module's underside, where its two leads are taken to start."""
    return np.asarray(model.modules.corners.mean(axis=1))


def split(total: int, parts: int) -> tuple[int, ...]:
    """``total`` in parts as even as can be, the larger ones first."""
    least, more = divmod(total, parts)
    return tuple(least + (i < more) for i in range(parts))


def shares(model: Model, taken: IntArray, strings: tuple[int, ...], per: int) -> list[IntArray]:
    """Modules of each box: whole columns from the left as far as they go.

    ``taken`` are the modules in use, ``strings`` the strings of each box, ``per`` modules in each.
    """
    rank = np.lexsort((model.modules.row[taken], model.modules.column[taken]))
    ends = np.cumsum([n * per for n in strings])
    return [np.sort(part) for part in np.split(taken[rank], ends[:-1])]


def boxes(model: Model, combiners: Combiners, parts: list[IntArray]) -> list[Box]:
    """A box for each share, at the free post nearest to the chosen corner of the share."""
    row = BACK if combiners.corner.startswith("back") else FRONT
    right = combiners.corner.endswith("right")
    found: list[Box] = []
    for number, modules in enumerate(parts):
        x = model.modules.corners[modules][..., 0]
        corner = float(x.max() if right else x.min())
        found.append(_box(model, combiners, f"C{number + 1}", row, corner, found))
    return found


def _box(
    model: Model, combiners: Combiners, id: str, row: int, corner: float, others: list[Box]
) -> Box:
    posts = np.flatnonzero(model.posts.row == row)
    free = np.array([p for p in posts.tolist() if p not in [b.post for b in others]], dtype=int)
    if free.size:
        post = int(free[nearest(np.abs(model.posts.head[free, 0] - corner))[0]])
        height = model.posts.ground[post] + combiners.height
        along = float(model.beams.supports[row, int(model.posts.station[post]) - 1])
        return Box(id, row, along, model.posts.at_height(post, height), post)
    start, step = model.beams.start[row], model.beams.end[row] - model.beams.start[row]
    share = np.clip((corner - start[0]) / step[0], 0.0, 1.0)
    along = float(share * model.beams.length)
    point = model.beams.point(row, along)
    ground = float(np.asarray(model.terrain.height(point[0], point[1])))
    return Box(id, row, along, np.array([point[0], point[1], ground + combiners.height]), -1)


def nearest(away: Array) -> IntArray:
    """Places of the smallest distance and of all that are as good as equal to it."""
    return np.flatnonzero(away <= away.min() + ALIKE)


def start_of_run(combiners: Combiners, found: list[Box]) -> int:
    """The box that the run to the equipment starts at: the outermost one on the chosen side."""
    return len(found) - 1 if combiners.corner.endswith("right") else 0
