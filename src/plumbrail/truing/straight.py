"""Each beam by itself: straight seen from above and from the side, level, spacing of its posts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from plumbrail.plan.truing import Tolerances
from plumbrail.truing.block import Block, Limits, same
from plumbrail.truing.shape import ROWS, Chord, Measured, Shape

IntArray = NDArray[np.int64]


def side_off_chord(shape: Shape, row: int, points: IntArray) -> Measured:
    """Points to the back of the chord of a row, seen from above."""
    return shape.across(np.full(len(points), shape.chords[row].first), points, row)


def height_off_chord(shape: Shape, row: int, points: IntArray) -> Measured:
    """Points above the straight line from the first to the last head of a row."""
    chord = shape.chords[row]
    start = np.full(len(points), chord.first)
    along = shape.along(start, points, row)
    up = shape.rise(start, points)
    k = _grade(shape, chord)
    share = along.value[:, None, None]
    slope = up.slope - k.value * along.slope - share * k.slope
    return Measured(up.value - k.value * along.value, slope)


def _grade(shape: Shape, chord: Chord) -> Measured:
    """Rise of the chord per level length, (1,)."""
    first, last = np.array([chord.first]), np.array([chord.last])
    up, run = shape.rise(first, last), shape.level_distance(first, last)
    k = up.value / run.value
    return Measured(k, (up.slope - k * run.slope) / run.value)


def straight(shape: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Heads between the first and the last, then the beam ends, off the straight line."""
    for row, name in enumerate(ROWS):
        heads = shape.heads[row]
        places = shape.names(heads[1:-1])
        subject = tuple(f"{name} beam at {p}" for p in places)
        yield from _off(shape, tolerances, row, heads[1:-1], places, subject, optional=False)
        sides = ("left", "right")
        subject = tuple(f"{name} beam, {side} end" for side in sides)
        yield from _off(shape, tolerances, row, shape.ends[row], sides, subject, optional=True)


def _off(
    shape: Shape, tolerances: Tolerances, row: int, points: IntArray, places: tuple[str, ...],
    subject: tuple[str, ...], *, optional: bool,
) -> Iterator[Block]:  # fmt: skip
    limits, posts = Limits.within(tolerances.straight), shape.names(shape.heads[row])
    line = f"the straight line from {posts[0]} to {posts[-1]}"
    kinds = (
        ("side", f"behind {line}, seen from above", side_off_chord),
        ("height", f"above {line}", height_off_chord),
    )
    for kind, words, measure in kinds:
        ids = tuple(f"{ROWS[row]}.straight.{kind}.{place}" for place in places)
        measured = measure(shape, row, points)
        what = same(words, ids)
        yield Block("straight", ids, subject, what, measured, limits, optional=optional)


def level(shape: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Heads above or below the mean height of their row."""
    for row, name in enumerate(ROWS):
        heads = shape.heads[row]
        places = shape.names(heads)
        ids = tuple(f"{name}.level.{place}" for place in places)
        subject = tuple(f"{name} beam at {place}" for place in places)
        what = same(f"above the mean height of the {name} beam", ids)
        measured = shape.rise(np.repeat(heads[:1], len(heads)), heads).about_mean()
        yield Block("level", ids, subject, what, measured, Limits.within(tolerances.level))


def spacing_along(shape: Shape, planned: Shape, tolerances: Tolerances) -> Iterator[Block]:
    """Straight distance of neighbouring heads of a row, off the plan."""
    for row, name in enumerate(ROWS):
        start, end = shape.heads[row, :-1], shape.heads[row, 1:]
        pairs = [f"{p}-{q}" for p, q in zip(shape.names(start), shape.names(end), strict=True)]
        ids = tuple(f"{name}.spacing.{pair}" for pair in pairs)
        subject = tuple(f"{name} beam from {pair.replace('-', ' to ')}" for pair in pairs)
        measured = shape.distance(start, end).less(planned.distance(start, end).value)
        what = same("longer than planned", ids)
        yield Block("spacing", ids, subject, what, measured, Limits.within(tolerances.spacing))
