"""Distances in plan between places, joined lines and outlines. All lengths [m].

An outline is its corners in order, the last joined to the first; it need not be convex and may run
either way round.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
ARC = np.pi / 12.0
"""Largest step of the straight pieces about a corner that an inner line bends round [rad]."""


@dataclass(frozen=True)
class Nearest:
    """The nearest places of two things; both in the overlap where they share one."""

    distance: float
    here: Array
    """(2,) on the first."""
    there: Array
    """(2,) on the second."""


def closed(outline: ArrayLike) -> Array:
    """(n + 1, 2) the outline as a line that comes back to its first corner."""
    corners = np.asarray(outline, dtype=float)
    return np.concatenate([corners, corners[:1]])


def feet(points: ArrayLike, line: ArrayLike) -> Array:
    """(p, pieces, 2) the place on each straight piece of a joined line nearest to each point."""
    p, at = np.asarray(points, dtype=float).reshape(-1, 1, 2), np.asarray(line, dtype=float)
    start, step = at[:-1], np.diff(at, axis=0)
    long = np.maximum((step * step).sum(axis=-1), np.finfo(float).tiny)
    share = np.clip(((p - start) * step).sum(axis=-1) / long, 0.0, 1.0)
    return np.asarray(start + share[..., None] * step)


def to_line(points: ArrayLike, line: ArrayLike) -> Array:
    """(p,) distance of each point from a joined line of two places or more."""
    p = np.asarray(points, dtype=float).reshape(-1, 1, 2)
    return np.asarray(np.hypot(*np.moveaxis(feet(p, line) - p, -1, 0)).min(axis=1))


def inside(points: ArrayLike, outline: ArrayLike) -> Mask:
    """(p,) whether each point lies in an outline; one on its edge may count either way."""
    p, at = np.asarray(points, dtype=float).reshape(-1, 1, 2), closed(outline)
    (x0, y0), (x1, y1) = at[:-1].T, at[1:].T
    straddles = (y0 > p[..., 1]) != (y1 > p[..., 1])
    rise = np.where(y1 == y0, 1.0, y1 - y0)
    right = p[..., 0] < x0 + (p[..., 1] - y0) / rise * (x1 - x0)
    return np.asarray((straddles & right).sum(axis=1) % 2 == 1)


def room_inside(points: ArrayLike, outline: ArrayLike) -> Array:
    """(p,) distance of each point from the edge of an outline, below 0 for those outside."""
    away = to_line(points, closed(outline))
    return np.where(inside(points, outline), away, -away)


def crossings(one: ArrayLike, other: ArrayLike) -> Mask:
    """(pieces, pieces) which straight pieces of two joined lines cross or touch."""
    a, b = np.asarray(one, dtype=float), np.asarray(other, dtype=float)
    p, q, r, s = a[:-1, None], a[1:, None], b[None, :-1], b[None, 1:]
    first, second = _turn(p, q, r) * _turn(p, q, s), _turn(r, s, p) * _turn(r, s, q)
    apart = (np.maximum(p, q) < np.minimum(r, s)) | (np.maximum(r, s) < np.minimum(p, q))
    return np.asarray((first <= 0) & (second <= 0) & ~apart.any(axis=-1))


def lines_apart(one: ArrayLike, other: ArrayLike) -> Nearest:
    """Nearest places of two joined lines."""
    a, b = np.asarray(one, dtype=float), np.asarray(other, dtype=float)
    met = np.argwhere(crossings(a, b))
    if len(met):
        at = _meeting(a[met[0, 0] :][:2], b[met[0, 1] :][:2])
        return Nearest(0.0, at, at)
    return min(_ends(a, b), _swapped(_ends(b, a)), key=lambda n: n.distance)


def outlines_apart(one: ArrayLike, other: ArrayLike) -> Nearest:
    """Nearest places of two outlines; distance 0 where they share ground."""
    a, b = np.asarray(one, dtype=float), np.asarray(other, dtype=float)
    if inside(a[:1], b)[0]:
        return Nearest(0.0, a[0], a[0])
    if inside(b[:1], a)[0]:
        return Nearest(0.0, b[0], b[0])
    return lines_apart(closed(a), closed(b))


def outline_room(inner: ArrayLike, outer: ArrayLike) -> Nearest:
    """How far one outline stays inside another.

    The distance is below 0 by how far the first sticks out, at its corner that does so most.
    """
    a, b = np.asarray(inner, dtype=float), np.asarray(outer, dtype=float)
    room = room_inside(a, b)
    if (room < 0).any():
        k = int(room.argmin())
        places = feet(a[k], closed(b))[0]
        return Nearest(float(room[k]), a[k], places[_least(places, a[k])])
    return lines_apart(closed(a), closed(b))


def inset(outline: ArrayLike, by: float) -> list[Array]:
    """Pieces (2, 2) of the line inside an outline that keeps a distance from all of its edge.

    Corners that point inward are gone round in straight pieces no nearer than ``by``. None where
    the outline is too narrow.
    """
    corners = np.asarray(outline, dtype=float)
    following = np.roll(corners, -1, axis=0)
    area = float((corners[:, 0] * following[:, 1] - following[:, 0] * corners[:, 1]).sum())
    if area < 0:
        corners = corners[::-1]
    pieces = _shifted(corners, by)
    kept: list[Array] = []
    for piece in pieces:
        for part in _split(piece, pieces):
            middle = part.mean(axis=0)[None]
            if room_inside(middle, corners)[0] >= by * (1.0 - 1e-9) - 1e-9:
                kept.append(part)
    return kept


def _shifted(corners: Array, by: float) -> list[Array]:
    """Each side of an anticlockwise outline moved inward, and arcs about corners that reach in."""
    count, pieces = len(corners), []
    step = np.roll(corners, -1, axis=0) - corners
    normal = np.stack([-step[:, 1], step[:, 0]], axis=-1) / np.hypot(*step.T)[:, None]
    for i in range(count):
        j = (i + 1) % count
        pieces.append(np.stack([corners[i], corners[j]]) + by * normal[i])
        turn = float(np.arctan2(_cross(normal[i], normal[j]), normal[i] @ normal[j]))
        if turn < 0:
            pieces += _arc(corners[j], normal[i], turn, by)
    return pieces


def _arc(centre: Array, first: Array, turn: float, by: float) -> list[Array]:
    """Straight pieces that touch a circle from outside, over a turn."""
    count = int(np.ceil(-turn / ARC))
    start, half = float(np.arctan2(first[1], first[0])), 0.5 * turn / count
    angles = start + half * (2 * np.arange(count) + 1)
    reach = by / np.cos(half)
    mid = centre + reach * np.stack([np.cos(angles), np.sin(angles)], axis=-1)
    ends = [centre + by * first, *mid,
            centre + by * np.array([np.cos(start + turn), np.sin(start + turn)])]  # fmt: skip
    return [np.stack([a, b]) for a, b in pairwise(ends)]


def _split(piece: Array, others: list[Array]) -> list[Array]:
    """A straight piece cut wherever another one crosses it."""
    step = piece[1] - piece[0]
    shares = [0.0, 1.0]
    for other in others:
        way = other[1] - other[0]
        det = _cross(step, way)
        if abs(det) > 1e-12:
            share = _cross(other[0] - piece[0], way) / det
            if 0.0 < share < 1.0:
                shares.append(float(share))
    shares.sort()
    found = [piece[0] + np.array([[a], [b]]) * step
             for a, b in pairwise(shares) if b - a > 1e-9]  # fmt: skip
    return [np.asarray(f) for f in found]


def _ends(points: Array, line: Array) -> Nearest:
    """The corner of one line that is nearest to another line."""
    found = feet(points, line)
    away = np.hypot(*np.moveaxis(found - points[:, None], -1, 0))
    i, j = np.unravel_index(int(away.argmin()), away.shape)
    return Nearest(float(away[i, j]), points[i], found[i, j])


def _swapped(n: Nearest) -> Nearest:
    return Nearest(n.distance, n.there, n.here)


def _least(places: Array, point: Array) -> int:
    return int(np.hypot(*(places - point).T).argmin())


def _meeting(one: Array, other: Array) -> Array:
    """A place that two straight pieces share."""
    step, way = one[1] - one[0], other[1] - other[0]
    det = _cross(step, way)
    if det == 0.0:
        found = feet(other, one)[:, 0]
        return np.asarray(found[int(np.hypot(*(found - other).T).argmin())])
    return np.asarray(one[0] + _cross(other[0] - one[0], way) / det * step)


def _cross(a: Array, b: Array) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def _turn(a: Array, b: Array, c: Array) -> Array:
    """Twice the area of triangles, positive where they turn left."""
    return np.asarray((b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1])
                      - (b[..., 1] - a[..., 1]) * (c[..., 0] - a[..., 0]))  # fmt: skip
