"""Does a straight line from a point toward the light meet a thing? docs/method/energy-shade.md

Points (p, 3) and unit vectors (r, 3) in local axes give masks (r, p). Every solid here is convex:
a line meets it between two places at most. Only places ahead of the point count. All is written as
outer products of what belongs to the direction with what belongs to the point, which is what makes
a year cheap.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import GeometryError, Problem
from plumbrail.site.surroundings import Kind, Surroundings

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

TINY = 1e-12
"""Stands for a component of a unit vector that is nought: the ray then leaves 1 m in 1e12 m."""
FIELD = {Kind.BOX: "boxes", Kind.TREE: "trees", Kind.SHEET: "arrays"}


def blocked(around: Surroundings, k: int, points: Array, toward: Array) -> Mask:
    """(r, p) the k-th thing stands between the point and the light; not for the horizon."""
    kind, i = around.place(k)
    if kind is Kind.BOX:
        b = around.boxes
        return meets_box(points, toward, b.middle[i], b.half[i], b.axis[i], float(b.top[i]))
    if kind is Kind.SHEET:
        s = around.sheets
        return meets_sheet(points, toward, s.corner[i], s.along[i], s.up[i])
    if kind is Kind.HORIZON:
        raise ValueError("the horizon is no solid; see domes.above_horizon")
    c = around.crowns
    meets = meets_ball if c.round[i] else meets_cone
    return meets(points, toward, c.stem[i], float(c.radius[i]), float(c.bottom[i]), float(c.top[i]))


def meets_box(
    points: Array, toward: Array, middle: Array, half: Array, axis: Array, top: float
) -> Mask:
    """An upright block that goes down without end: three pairs of planes, the lowest left out."""
    turn = np.stack([axis, [-axis[1], axis[0]]], axis=-1)
    at, way = (points[:, :2] - middle) @ turn, _sure(toward[:, :2] @ turn)
    start, end = _between(way[:, 0], -half[0] - at[:, 0], half[0] - at[:, 0])
    low, high = _between(way[:, 1], -half[1] - at[:, 1], half[1] - at[:, 1])
    np.maximum(start, low, out=start)
    np.minimum(end, high, out=end)
    rise = _sure(toward[:, 2])
    up = np.multiply.outer(1.0 / rise, top - points[:, 2])
    rising = (rise > 0)[:, None]
    np.minimum(end, np.where(rising, up, np.inf), out=end)
    np.maximum(start, np.where(rising, 0.0, np.maximum(up, 0.0)), out=start)
    return np.asarray(end > start)


def meets_cone(
    points: Array, toward: Array, stem: Array, radius: float, bottom: float, top: float
) -> Mask:
    """A cone on its flat bottom: f <= 0 inside, and f along the ray is a parabola.

    The part of the ray between the heights of bottom and tip is asked at both ends and, where the
    parabola has its lowest place in it, there.
    """
    k2 = (radius / (top - bottom)) ** 2
    w, d = points - np.array([*stem, top]), toward.copy()
    d[:, 2] = _sure(d[:, 2])
    start, end = _between(d[:, 2], bottom - points[:, 2], top - points[:, 2])
    np.maximum(start, 0.0, out=start)
    fall = np.array([1.0, 1.0, -k2])
    a = (d * d @ fall)[:, None]
    b = (d * fall) @ w.T
    c = w * w @ fall
    lowest = np.clip(-b / np.where(np.abs(a) < TINY, TINY, a), start, end)
    f = _parabola(a, b, c, lowest)
    for place in (start, end):
        np.minimum(f, _parabola(a, b, c, place), out=f)
    return np.asarray((f <= 0.0) & (end > start))


def meets_ball(
    points: Array, toward: Array, stem: Array, radius: float, bottom: float, top: float
) -> Mask:
    """An ellipsoid of revolution: the nearest the ray comes to its middle, in units of its axes."""
    size = np.array([radius, radius, 0.5 * (top - bottom)])
    w = (points - np.array([*stem, 0.5 * (top + bottom)])) / size
    d = toward / size
    a = (d * d).sum(axis=1)[:, None]
    b = d @ w.T
    nearest = np.maximum(-b / a, 0.0)
    return np.asarray(_parabola(a, b, (w * w).sum(axis=1), nearest) <= 1.0)


def meets_sheet(points: Array, toward: Array, corner: Array, along: Array, up: Array) -> Mask:
    """A rectangle: where the ray pierces its plane, as shares of both edges."""
    normal = np.cross(along, up)
    w = points - corner
    t = np.multiply.outer(1.0 / _sure(toward @ normal / np.linalg.norm(normal)),
                          -(w @ normal) / np.linalg.norm(normal))  # fmt: skip
    hit = t > 0.0
    for edge in (along, up):
        share = (w @ edge + t * (toward @ edge)[:, None]) / (edge @ edge)
        hit &= (share >= 0.0) & (share <= 1.0)
    return np.asarray(hit)


def refuse_inside(around: Surroundings, points: Array) -> None:
    """Raises GeometryError naming each thing that some of the points (p, 3) are inside of.

    A line through a point meets a convex solid on both sides of it only from within.
    """
    level = np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]])
    problems = []
    for k, name in enumerate(around.names):
        kind, i = around.place(k)
        if kind is not Kind.HORIZON and blocked(around, k, points, level).all(axis=0).any():
            problems.append(Problem(
                f"site.shade.{FIELD[kind]}[{i}]",
                f'"{name}" reaches into the modules of this array. Check its place and size; '
                "places are measured from hole F1, along the row to the right and to the back",
            ))  # fmt: skip
    if problems:
        raise GeometryError(problems)


def _sure(way: Array) -> Array:
    """Components without noughts, which could not be divided by."""
    return np.where(np.abs(way) < TINY, TINY, way)


def _between(way: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Where a ray enters and leaves the slab between two planes ``low`` and ``high`` ahead."""
    one, two = np.multiply.outer(1.0 / way, low), np.multiply.outer(1.0 / way, high)
    return np.minimum(one, two), np.maximum(one, two)


def _parabola(a: Array, b: Array, c: Array, t: Array) -> Array:
    return (a * t + 2.0 * b) * t + c
