"""Lines and outlines on the ground as a plan writes them: what makes one unusable."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import Annotated

from pydantic import AfterValidator, Field

from plumbrail.plan import fields as f

Place = tuple[f.Length, f.Length]
MOST = 200
"""Points of one line or outline."""


def line_of(points: tuple[Place, ...]) -> tuple[Place, ...]:
    """The points, when they make a line; raises ValueError in words."""
    for i, (a, b) in enumerate(pairwise(points)):
        if a == b:
            raise ValueError(f"points {i + 1} and {i + 2} are the same place; keep one of them")
    return points


def outline_of(points: tuple[Place, ...]) -> tuple[Place, ...]:
    """The corners, when they go round an area once; raises ValueError in words."""
    if len(points) > 1 and points[0] == points[-1]:
        raise ValueError("the last corner repeats the first; leave it out, the outline closes")
    for i, j in combinations(range(len(points)), 2):
        if points[i] == points[j]:
            raise ValueError(f"corners {i + 1} and {j + 1} are the same place; keep one of them")
    crossed = crossing(points)
    if crossed is not None:
        i, j = crossed
        raise ValueError(
            f"the side from corner {_side(i, points)} meets the side from corner "
            f"{_side(j, points)}; list the corners in the order in which you walk round"
        )
    return points


def crossing(points: Sequence[Place]) -> tuple[int, int] | None:
    """Two sides of a closed outline that meet elsewhere than at a shared corner, or None.

    Sides that share a corner meet elsewhere when one folds back along the other.
    """
    count = len(points)
    sides = [(points[i], points[(i + 1) % count]) for i in range(count)]
    for i, j in combinations(range(count), 2):
        beside = j == i + 1 or (i == 0 and j == count - 1)
        if _folds(*sides[i], *sides[j]) if beside else _meet(*sides[i], *sides[j]):
            return i, j
    return None


def _side(i: int, points: Sequence[Place]) -> str:
    return f"{i + 1} to {(i + 1) % len(points) + 1}"


def _turn(a: Place, b: Place, c: Place) -> float:
    """Twice the area of a triangle, positive when it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _within(a: Place, b: Place, c: Place) -> bool:
    """A point in line with a and b lies between them."""
    return all(min(a[k], b[k]) <= c[k] <= max(a[k], b[k]) for k in (0, 1))


def _meet(a: Place, b: Place, c: Place, d: Place) -> bool:
    """Two straight pieces share a point."""
    to_c, to_d, to_a, to_b = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if to_c * to_d < 0 and to_a * to_b < 0:
        return True
    ends = ((to_c, a, b, c), (to_d, a, b, d), (to_a, c, d, a), (to_b, c, d, b))
    return any(turn == 0 and _within(p, q, r) for turn, p, q, r in ends)


def _folds(a: Place, b: Place, c: Place, d: Place) -> bool:
    """Two sides with one shared corner run back over one another."""
    ends = [p for p in (a, b) if p not in (c, d)] + [p for p in (c, d) if p not in (a, b)]
    shared = next(p for p in (a, b) if p in (c, d))
    if len(ends) < 2:
        return True
    one, two = ends
    along = (one[0] - shared[0]) * (two[0] - shared[0]) + (one[1] - shared[1]) * (
        two[1] - shared[1]
    )
    return _turn(shared, one, two) == 0 and along > 0


GroundLine = Annotated[
    tuple[Place, ...], Field(min_length=2, max_length=MOST), AfterValidator(line_of)
]
"""A line over the ground by its points."""
Outline = Annotated[
    tuple[Place, ...], Field(min_length=3, max_length=MOST), AfterValidator(outline_of)
]
"""An area by its corners, in order round it."""
