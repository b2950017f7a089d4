"""Where points were and are: every noted move makes a new version of the points that it moved.

A reading sees the version that stood when it was taken: noted moves further down do not touch it.
Old and new version are tied by what was noted, as weakly as moves are set on site. How well moves
are set is common practice, no published source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Axis, Moved
from plumbrail.truing.freedom import effect
from plumbrail.truing.parts import Array, IntArray
from plumbrail.truing.points import Place, Points

INCH = 0.0254
SET_TO = INCH / 8
"""Standard deviation of a noted move along its direction [m]."""
STRAYS = INCH / 16
"""The same across its direction."""
BEAM_FOLLOWS = 0.5
"""Further standard deviation of a beam's end beside a moved post, as a share of the move."""
AXES = (Axis.ALONG, Axis.ACROSS, Axis.UP)
BEAMS = ("front beam", "back beam")


@dataclass(frozen=True)
class Tie:
    """One point moved: from one version to the next."""

    line: int
    old: int
    new: int
    shift: Array
    """(3,) as noted [m]."""
    sd: Array
    """(3,)"""
    words: str
    """``F3``"""


@dataclass(frozen=True)
class Versions:
    """Axis: version. The first ones are the points themselves."""

    point: IntArray
    """Point of each version."""
    since: IntArray
    """Line of the move that made it; 0 for the first."""
    current: IntArray
    """(points,) version that stands now."""
    ties: tuple[Tie, ...]

    def at(self, point: int, line: int) -> int:
        """Version that a reading on a line saw."""
        seen = np.flatnonzero((self.point == point) & (self.since < max(line, 1)))
        return int(seen[-1])


def versions_of(points: Points, moved: tuple[Moved, ...]) -> tuple[Versions, tuple[Problem, ...]]:
    """Versions after all noted moves, and the moves of things that there are not."""
    point, since = list(range(len(points.ids))), [0] * len(points.ids)
    current = list(point)
    ties: list[Tie] = []
    problems: list[Problem] = []
    for move in sorted(moved, key=lambda m: m.line):
        place = move.point.removesuffix(" top")
        shifts = _shifts(points, place, move.axis)
        if not shifts.any():
            problems.append(Problem("", f'"{move.point}" cannot be moved {move.axis}', move.line))
        k = AXES.index(move.axis)
        for i in np.flatnonzero(shifts):
            point.append(int(i))
            since.append(move.line)
            shift, sd = np.zeros(3), np.full(3, STRAYS)
            shift[k], sd[k] = move.amount * shifts[i], SET_TO
            if points.place[i] == Place.END and place not in BEAMS:
                sd[k] = np.hypot(SET_TO, BEAM_FOLLOWS * shift[k])
            ties.append(Tie(move.line, current[i], len(point) - 1, shift, sd, points.ids[i]))
            current[i] = len(point) - 1
    return (
        Versions(np.array(point), np.array(since), np.array(current), tuple(ties)),
        tuple(problems),
    )


def _shifts(points: Points, place: str, axis: Axis) -> Array:
    """(points,) share of a move that each point makes; all 0 when there is no such thing."""
    post = place.removesuffix(" post").removesuffix(" base")
    if place not in BEAMS and (
        post not in points.ids or points.place[points.index(post)] != Place.HEAD
    ):
        return np.zeros(len(points.ids))
    if place in BEAMS and axis is not Axis.ALONG:
        return np.zeros(len(points.ids))
    return effect(points, place, axis).reshape(-1, 3)[:, AXES.index(axis)]
