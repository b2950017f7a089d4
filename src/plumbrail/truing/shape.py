"""The frame as it stands, and values of its shape with their slopes.

A value depends on a few points; its *slope* is the change with every coordinate. Slopes are built
as (values, points, 3) and laid flat at the end.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.points import Place, Points

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
ROWS = ("front", "back")


@dataclass(frozen=True)
class Measured:
    """Values of one kind."""

    value: Array
    """(values,)."""
    slope: Array
    """(values, points, 3)."""

    def about_mean(self) -> Measured:
        """Each value less the mean of all."""
        return Measured(self.value - self.value.mean(), self.slope - self.slope.mean(axis=0))

    def less(self, planned: Array) -> Measured:
        """Each value less what the plan wants."""
        return Measured(self.value - planned, self.slope)


@dataclass(frozen=True)
class Chord:
    """The level line through the first and the last head of a row."""

    first: int
    last: int
    """Indices of points."""
    length: float
    u: Array
    """(2,) unit vector to the right."""
    n: Array
    """(2,) unit vector square to it, to the back."""

    def turn(self, slope: Array, rate: Array) -> None:
        """Add to ``slope`` what follows when the chord turns: ``rate`` (values,) per radian."""
        step = rate[:, None] * self.n / self.length
        slope[:, self.last, :2] += step
        slope[:, self.first, :2] -= step


@dataclass(frozen=True)
class Shape:
    """Points at the given places, with the indices of heads, bases and ends by row."""

    points: Points
    xyz: Array

    @cached_property
    def heads(self) -> IntArray:
        """(2, posts in a row)."""
        return np.stack([self.points.of(Place.HEAD, row) for row in (0, 1)])

    @cached_property
    def bases(self) -> IntArray:
        """(2, posts in a row)."""
        return np.stack([self.points.of(Place.BASE, row) for row in (0, 1)])

    @cached_property
    def ends(self) -> IntArray:
        """(2, 2): left and right end of each beam."""
        return np.stack([self.points.of(Place.END, row) for row in (0, 1)])

    @cached_property
    def chords(self) -> tuple[Chord, Chord]:
        """Front, back."""
        return self._chord(0), self._chord(1)

    def _chord(self, row: int) -> Chord:
        first, last = int(self.heads[row, 0]), int(self.heads[row, -1])
        d = (self.xyz[last] - self.xyz[first])[:2]
        length = float(np.hypot(d[0], d[1]))
        u = d / length
        return Chord(first, last, length, u, np.array([-u[1], u[0]]))

    def flat(self, values: int) -> Array:
        """Slopes to fill, (values, points, 3), all zero."""
        return np.zeros((values, len(self.points.ids), 3))

    def names(self, points: IntArray) -> tuple[str, ...]:
        """Ids of points."""
        return tuple(self.points.ids[p] for p in points)

    def between(self, start: IntArray, end: IntArray) -> Array:
        """(values, 3) from one point to another."""
        return self.xyz[end] - self.xyz[start]

    def of_difference(self, start: IntArray, end: IntArray, value: Array, rate: Array) -> Measured:
        """Values of the differences end - start, with their ``rate`` (values, 3) of change."""
        slope = self.flat(len(start))
        each = np.arange(len(start))
        slope[each, end] += rate
        slope[each, start] -= rate
        return Measured(value, slope)

    def distance(self, start: IntArray, end: IntArray) -> Measured:
        """Straight distance between points."""
        d = self.between(start, end)
        length = np.linalg.norm(d, axis=1)
        return self.of_difference(start, end, length, d / length[:, None])

    def level_distance(self, start: IntArray, end: IntArray) -> Measured:
        """Distance between points seen from above."""
        d = self.between(start, end) * [1.0, 1.0, 0.0]
        length = np.linalg.norm(d, axis=1)
        return self.of_difference(start, end, length, d / length[:, None])

    def rise(self, start: IntArray, end: IntArray) -> Measured:
        """How much higher the end is."""
        up = np.tile([0.0, 0.0, 1.0], (len(start), 1))
        return self.of_difference(start, end, self.between(start, end)[:, 2], up)

    def along(self, start: IntArray, end: IntArray, row: int) -> Measured:
        """From start to end along the chord of a row, to the right positive."""
        chord = self.chords[row]
        return self._directed(start, end, chord, chord.u, chord.n)

    def across(self, start: IntArray, end: IntArray, row: int) -> Measured:
        """From start to end square to the chord of a row, to the back positive."""
        chord = self.chords[row]
        return self._directed(start, end, chord, chord.n, -chord.u)

    def _directed(
        self, start: IntArray, end: IntArray, chord: Chord, way: Array, turned: Array
    ) -> Measured:
        """``turned`` is the change of the direction ``way`` with the turn of the chord."""
        d = self.between(start, end)[:, :2]
        rate = np.tile(np.append(way, 0.0), (len(start), 1))
        measured = self.of_difference(start, end, d @ way, rate)
        chord.turn(measured.slope, d @ turned)
        return measured


def angle_of(opposite: Measured, adjacent: Measured) -> Measured:
    """Angle whose tangent is opposite/adjacent."""
    o, a = opposite.value, adjacent.value
    square = (o**2 + a**2)[:, None, None]
    slope = (a[:, None, None] * opposite.slope - o[:, None, None] * adjacent.slope) / square
    return Measured(np.arctan2(o, a), slope)
