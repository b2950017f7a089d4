"""Dimensions for the side section and for the plan, ready to print in the units of the job."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plumbrail.app.messages import Label
from plumbrail.model.parts import Model
from plumbrail.units import show

Array = NDArray[np.float64]
Place = Array | Sequence[float]


def dimensions(model: Model, station: int, units: str) -> list[Label]:
    """Of the side section at a station, and of the plan."""
    return [*_section(model, station, units), *_plan(model, units)]


def _label(
    view: Literal["section", "plan"], a: Place, b: Place, units: str, words: str = ""
) -> Label:
    start = (float(a[0]), float(a[1]), float(a[2]))
    end = (float(b[0]), float(b[1]), float(b[2]))
    size = show(float(np.linalg.norm(np.subtract(end, start))), "length", units)
    return Label(view=view, start=start, end=end, words=f"{words} {size}".strip())


def _section(model: Model, station: int, units: str) -> Iterator[Label]:
    """Posts out of the ground, holes, between the rows, the low edge over the ground, the tilt."""
    posts, piers = model.posts, model.piers
    pair = [i for i, k in enumerate(posts.station) if k == station]
    for i in pair:
        ground = posts.base[i]
        yield _label("section", ground, [*posts.head_xy[i], float(posts.top[i])], units)
        yield _label("section", [*posts.xy[i], float(piers.bottom[i])], ground, units)
    front, back = pair[0], pair[-1]
    level = float(min(posts.ground[front], posts.ground[back]))
    yield _label("section", [*posts.xy[front], level], [*posts.xy[back], level], units)
    x = float(posts.xy[front, 0])
    low = model.plane.point(x - model.plane.low_x, 0.0)
    ground_z = float(model.terrain.height(low[0], low[1]))
    yield _label("section", [low[0], low[1], ground_z], low, units)
    high = model.plane.point(x - model.plane.low_x, model.plane.slope_length)
    words = f"tilt {show(model.plane.tilt, 'angle', units)}, slope"
    yield _label("section", low, high, units, words)


def _plan(model: Model, units: str) -> Iterator[Label]:
    """Between neighbouring front holes, between the rows, and over all."""
    posts = model.posts
    front = [i for i, row in enumerate(posts.row) if row == 0]
    back = [i for i, row in enumerate(posts.row) if row == 1]
    at = np.column_stack([posts.xy, posts.ground])
    for a, b in pairwise(front):
        yield _label("plan", at[a], at[b], units)
    yield _label("plan", at[front[0]], at[back[0]], units)
    plane = model.plane
    left, right = plane.point(plane.x_left, 0.0), plane.point(plane.x_left + plane.row_length, 0.0)
    yield _label("plan", left, right, units, "array")
