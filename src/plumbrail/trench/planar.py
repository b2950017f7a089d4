"""The few things asked of the geometry library, typed. Shapes are areas in local axes [m]."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from types import ModuleType
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]
Shape: TypeAlias = Any
"""An area, perhaps of several parts and with holes; the library has no types of its own."""

STEPS = 3
"""Straight pieces of a quarter of a circle; they touch it from outside."""
FINE_STEPS = 6
"""The same about services, whose zones are priced but not turned at."""
HAIR = 1e-6
"""How far corners that a route may touch stand off [m]."""


@cache
def library() -> ModuleType:
    """The geometry library, loaded when the first shape is made."""
    import shapely  # type: ignore[import-untyped]

    found: ModuleType = shapely
    return found


def area(outline: ArrayLike) -> Shape:
    """An area by its corners (n, 2), in order round it."""
    return library().make_valid(library().polygons(np.asarray(outline, dtype=float)))


def disc(centre: ArrayLike, radius: float, steps: int = STEPS) -> Shape:
    """A polygon about a circle, nowhere inside it."""
    x, y = np.asarray(centre, dtype=float)
    return _round(library().points(x, y), radius, steps)


def about_line(points: ArrayLike, half: float) -> Shape:
    """All ground within a distance of a joined line."""
    return _round(library().linestrings(np.asarray(points, dtype=float)), half, FINE_STEPS)


def grown(shape: Shape, by: float) -> Shape:
    """A shape and all ground within a distance of it; its round corners err to the outside."""
    # what is next to nothing would make the library return nothing at all
    return shape if by < HAIR else _round(shape, by, STEPS)


def _round(shape: Shape, by: float, steps: int) -> Shape:
    return library().buffer(shape, by / np.cos(np.pi / (4 * steps)), quad_segs=steps)


def shrunk(shape: Shape, by: float) -> Shape:
    """The part of a shape that keeps a distance from its edge; may be empty."""
    return library().buffer(shape, -by, quad_segs=STEPS) if by > 0 else shape


def aside(ring: Array, by: float = HAIR) -> Array:
    """The corners of a ring moved out of its area by a hair (into it, below 0)."""
    back, on = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    one, two = (np.stack([w[:, 1], -w[:, 0]], axis=1) / np.hypot(*w.T)[:, None] for w in (back, on))
    sharp = np.maximum(1.0 + (one * two).sum(axis=1), 0.02)
    return np.asarray(ring + by * (one + two) / sharp[:, None])


def joined(shapes: Sequence[Shape]) -> Shape:
    """All of them together."""
    return library().union_all(list(shapes))


def without(shape: Shape, other: Shape) -> Shape:
    """What is left of a shape."""
    return library().difference(shape, other)


def frame(points: ArrayLike, margin: float) -> Shape:
    """A box about places, with a margin."""
    at = np.asarray(points, dtype=float).reshape(-1, 2)
    (x0, y0), (x1, y1) = at.min(axis=0) - margin, at.max(axis=0) + margin
    return library().box(x0, y0, x1, y1)


def parts(shape: Shape) -> list[Shape]:
    """The areas that a shape is made of."""
    found = library().get_parts(shape)
    return [p for p in found.tolist() if p.geom_type == "Polygon" and not p.is_empty]


def rings(shape: Shape) -> list[Array]:
    """Every edge ring (corners, 2) without the last corner, the area to the left of the way."""
    found = []
    for part in parts(shape):
        turned = library().geometry.polygon.orient(part)
        for ring in (turned.exterior, *turned.interiors):
            corners = np.array(ring.coords)[:-1, :2]
            keep = np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1) > 1e-9
            if keep.sum() >= 3:
                found.append(corners[keep])
    return found


def empty(shape: Shape) -> bool:
    """Nothing is left of it."""
    return bool(shape.is_empty)


def covers(shape: Shape, points: ArrayLike) -> Mask:
    """(n,) which places lie inside a shape."""
    at = np.asarray(points, dtype=float).reshape(-1, 2)
    return np.asarray(library().contains_xy(shape, at[:, 0], at[:, 1]), dtype=bool)


def ready(shape: Shape) -> Shape:
    """The shape, prepared for many questions."""
    library().prepare(shape)
    return shape


def lines(starts: Array, ends: Array) -> Any:
    """(n,) straight lines."""
    return library().linestrings(np.stack([starts, ends], axis=1))


def blocked(starts: Array, ends: Array, shape: Shape) -> Mask:
    """(n,) which straight lines meet a shape."""
    if empty(shape) or not len(starts):
        return np.zeros(len(starts), dtype=bool)
    return np.asarray(library().intersects(lines(starts, ends), shape), dtype=bool)


class Borders:
    """Straight pieces of edges that many lines are asked about."""

    def __init__(self, start: Array, end: Array) -> None:
        self.start, self.end = start, end
        self._tree = library().STRtree(lines(start, end) if len(start) else [])

    def met(self, p: Array, q: Array) -> IntArray:
        """(2, pairs) line and piece that share a place."""
        if not len(self.start) or not len(p):
            return np.zeros((2, 0), dtype=np.int64)
        found = self._tree.query(lines(p, q), predicate="intersects")
        return np.asarray(found, dtype=np.int64)


def distance(shape: Shape, point: ArrayLike) -> float:
    """Level distance of a place from a shape; 0 inside."""
    x, y = np.asarray(point, dtype=float)
    return float(library().distance(shape, library().points(x, y)))


def nearest_edge(shape: Shape, point: ArrayLike) -> Array:
    """(2,) the place on the edge of a shape that is nearest."""
    x, y = np.asarray(point, dtype=float)
    line = library().shortest_line(library().boundary(shape), library().points(x, y))
    return np.array(line.coords)[0, :2]


def apart(one: Shape, other: Shape) -> float:
    """Distance between two shapes."""
    return float(library().distance(one, other))


def edge_line(points: ArrayLike) -> Shape:
    """A joined line, to ask its distance from shapes."""
    return library().linestrings(np.asarray(points, dtype=float))


def furthest(one: Shape, other: Shape) -> float:
    """How far two joined lines come apart at the most."""
    return float(library().hausdorff_distance(one, other))


def together(one: ArrayLike, other: ArrayLike, barred: Sequence[Shape]) -> bool:
    """Two places are joined by free ground."""
    return (
        _part(one, barred, (one, other)).distance(
            library().points(*(float(v) for v in np.asarray(other)))
        )
        == 0.0
    )


def about(place: ArrayLike, barred: Sequence[Shape]) -> list[int]:
    """Which shapes edge the free ground about a place."""
    free = library().buffer(_part(place, barred, (place,)), 1e-3)
    return [k for k, s in enumerate(barred) if bool(library().intersects(free, s))]


def _part(place: ArrayLike, barred: Sequence[Shape], spots: Sequence[ArrayLike]) -> Shape:
    """The part of the free ground that a place lies in."""
    every = [np.array(s.bounds).reshape(2, 2) for s in barred if not empty(s)]
    room = frame(np.concatenate([*every, *(np.reshape(p, (1, 2)) for p in spots)]), 10.0)
    free = without(room, joined(barred))
    point = library().points(*(float(v) for v in np.asarray(place)))
    found = parts(free)
    return min(found, key=lambda part: float(part.distance(point)))
