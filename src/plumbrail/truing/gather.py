"""Everything that one notebook measured, as one network of points, set-ups and moves.

Unknowns: x, y, z of every version of every point, then the height of every laser plane. Pin 1
stands where the plan has it and pin 2 lies on the plan's line through both, at about its distance.
Marks have a height only. What no reading determines is held near the plan by as few assumptions as
there are loose directions, so that they never change what the readings do determine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Moved, Reading
from plumbrail.plan.truing import Truing
from plumbrail.truing.determined import null_space
from plumbrail.truing.observe import Rows, read_off
from plumbrail.truing.parts import Array, IntArray, Mask
from plumbrail.truing.points import Place, Points
from plumbrail.truing.rows import make_rows
from plumbrail.truing.versions import INCH, Versions, versions_of

ASSUMED = INCH
"""Standard deviation of what is taken from the plan because no reading tells it, for example the
ground at a post. Common practice, no published source."""
PINS_APART = INCH / 8
"""Standard deviation of the distance of the pins, as driven with a tape. Common practice."""
ON_LINE = 5e-4
"""Pin 2 is on the line by definition, as far as the middle of a pin can be told [m]."""
_HEADS_FIRST = 1e4
"""The heads hold a free frame: their mean offset counts, that of other points hardly does."""


@dataclass(frozen=True)
class Pseudo:
    """Linear conditions that are no readings. Axis: condition."""

    matrix: Array
    """(conditions, unknowns)"""
    value: Array
    sd: Array
    line: IntArray
    """Line of the noted move, 0 for the pins and what is assumed."""
    words: tuple[str, ...]
    """Point of the noted move, ``pin 2`` or empty."""

    def take(self, picks: Mask) -> Pseudo:
        """Some of the conditions."""
        words = tuple(w for w, pick in zip(self.words, picks, strict=True) if pick)
        matrix, value, sd = self.matrix[picks], self.value[picks], self.sd[picks]
        return Pseudo(matrix, value, sd, self.line[picks], words)

    def joined(self, other: Pseudo) -> Pseudo:
        """Both, one after the other."""
        return Pseudo(
            np.vstack([self.matrix, other.matrix]), np.append(self.value, other.value),
            np.append(self.sd, other.sd), np.append(self.line, other.line),
            self.words + other.words,
        )  # fmt: skip


@dataclass(frozen=True)
class Gathered:
    """A network before it is adjusted."""

    points: Points
    readings: tuple[Reading, ...]
    rows: Rows
    sd: Array
    versions: Versions
    setups: tuple[str, ...]
    known: Pseudo
    """Noted moves and what pin 2 is by definition."""
    truing: Truing
    notes: tuple[str, ...]

    @property
    def observed(self) -> Array:
        """Readings as written, SI."""
        return np.array([r.value for r in self.readings])

    @property
    def places(self) -> Array:
        """(versions, 3) as planned."""
        return self.points.planned[self.versions.point]

    @property
    def size(self) -> int:
        """Number of coordinates and laser heights, known ones included."""
        return 3 * len(self.versions.point) + len(self.setups)

    @cached_property
    def unknown(self) -> IntArray:
        """Places of the unknowns among all coordinates and laser heights."""
        fixed = np.zeros((len(self.versions.point), 3), dtype=bool)
        place = self.points.place[self.versions.point]
        fixed[self.versions.point == self.points.of(Place.PIN)[0]] = True
        fixed[place == Place.MARK, :2] = True
        free = np.append(~fixed.ravel(), np.ones(len(self.setups), dtype=bool))
        return np.flatnonzero(free)

    @cached_property
    def start(self) -> Array:
        """(size,) the plan, with each laser where the middle one of its readings has it."""
        xyz = self.places
        below, _ = read_off(self.rows, xyz, np.zeros(len(self.setups)))
        high = self.observed - below
        seen = [high[self.rows.setup == k] for k in range(len(self.setups))]
        lasers = [np.median(h) if len(h) else xyz[:, 2].max() for h in seen]
        return np.append(xyz.ravel(), lasers)

    @cached_property
    def level_places(self) -> Array:
        """(versions, 3) as planned, with all ground as high as pin 1."""
        xyz, place = self.places.copy(), self.points.place[self.versions.point]
        pin = self.points.planned[self.points.of(Place.PIN)[0]]
        xyz[(place != Place.HEAD) & (place != Place.END), 2] = pin[2]
        return xyz

    @cached_property
    def pattern(self) -> Array:
        """(readings, unknowns) slopes at the level places."""
        lasers = np.zeros(len(self.setups))
        return read_off(self.rows, self.level_places, lasers)[1][:, self.unknown]

    def loose(self, kept: Mask | None = None) -> Array:
        """(unknowns, d) basis of what readings, moves and pins do not determine."""
        return self._loose if kept is None or kept.all() else self._null(kept)

    @cached_property
    def _loose(self) -> Array:
        return self._null(np.ones(len(self.readings), dtype=bool))

    def _null(self, kept: Mask) -> Array:
        return null_space(np.vstack([self.pattern[kept], self.known.matrix[:, self.unknown]]))

    def assumed(self, loose: Array) -> Pseudo:
        """One condition for each loose direction: no change from the plan along it."""
        weight = np.ones(self.size)
        heads = self.points.place[self.versions.point] == Place.HEAD
        weight[: 3 * len(heads)] = np.repeat(np.where(heads, _HEADS_FIRST, 1.0), 3)
        felt = loose.T * weight[self.unknown]
        rows = np.linalg.solve(felt @ loose, felt) if len(felt) else felt
        matrix = np.zeros((len(rows), self.size))
        matrix[:, self.unknown] = rows
        d = len(rows)
        return Pseudo(matrix, matrix @ self.start, np.full(d, ASSUMED), np.zeros(d, dtype=np.int64),
                      ("",) * d)  # fmt: skip

    def current(self, matrix: Array) -> Array:
        """(3 points, k) of a matrix (unknowns, k): where the points are now; 0 where they are
        known."""
        full = np.zeros((self.size, matrix.shape[1]))
        full[self.unknown] = matrix
        columns = 3 * self.versions.current[:, None] + np.arange(3)
        return full[columns.ravel()]

    def from_current(self, slopes: Array) -> Array:
        """(k, unknowns) slopes of values (k, 3 points) of where the points are now."""
        full = np.zeros((len(slopes), self.size))
        columns = 3 * self.versions.current[:, None] + np.arange(3)
        full[:, columns.ravel()] = slopes
        return full[:, self.unknown]

    def untied(self) -> Gathered:
        """Without the conditions of noted moves: where things stand by the readings alone."""
        pins = self.known.line == 0
        return self if pins.all() else replace(self, known=self.known.take(pins))

    def only(self, kept: Mask) -> Gathered:
        """Without some readings; set-ups stay."""
        readings = tuple(r for r, k in zip(self.readings, kept, strict=True) if k)
        return replace(self, readings=readings, rows=self.rows.take(kept), sd=self.sd[kept])


def gather(
    points: Points, readings: Sequence[Reading], moved: tuple[Moved, ...], truing: Truing
) -> tuple[Gathered, tuple[Problem, ...]]:
    """The network of a notebook, and the rows that have no place in it."""
    versions, no_moves = versions_of(points, moved)
    made, no_rows = make_rows(points, versions, readings, truing)
    known = _pins(points, versions, len(made.setups)).joined(_ties(versions, len(made.setups)))
    found = Gathered(points, made.readings, made.rows, made.sd, versions, made.setups, known,
                     truing, made.notes)  # fmt: skip
    return found, tuple(sorted(no_moves + no_rows, key=lambda p: p.line or 0))


def _pins(points: Points, versions: Versions, setups: int) -> Pseudo:
    """Pin 2 on its line, and about as far as planned."""
    first, second = points.of(Place.PIN)[:2]
    step = (points.planned[second] - points.planned[first])[:2]
    u = step / np.hypot(step[0], step[1])
    matrix = np.zeros((2, 3 * len(versions.point) + setups))
    matrix[:, 3 * second : 3 * second + 2] = [[-u[1], u[0]], u]
    value = matrix[:, 3 * second : 3 * second + 2] @ points.planned[second, :2]
    return Pseudo(matrix, value, np.array([ON_LINE, PINS_APART]), np.zeros(2, dtype=np.int64),
                  ("pin 2",) * 2)  # fmt: skip


def _ties(versions: Versions, setups: int) -> Pseudo:
    """New version less old version, as noted."""
    ties = versions.ties
    matrix = np.zeros((3 * len(ties), 3 * len(versions.point) + setups))
    for i, tie in enumerate(ties):
        for k in range(3):
            matrix[3 * i + k, 3 * tie.new + k] = 1.0
            matrix[3 * i + k, 3 * tie.old + k] = -1.0
    none = np.zeros(0)
    return Pseudo(
        matrix, np.concatenate([none, *(t.shift for t in ties)]),
        np.concatenate([none, *(t.sd for t in ties)]),
        np.repeat(np.array([t.line for t in ties], dtype=np.int64), 3),
        tuple(t.words for t in ties for _ in range(3)),
    )  # fmt: skip
