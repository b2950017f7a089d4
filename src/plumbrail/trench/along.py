"""What lies along a route: stretches of ground, services it passes, bends."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from plumbrail.trench import planar
from plumbrail.trench.field import Field
from plumbrail.trench.parts import Piece
from plumbrail.trench.planar import Array, IntArray

BEYOND = 3.0
"""A service is thought this far beyond its last known point [m]."""
SHORT = 1e-4
STRAIGHT = 0.01
"""Below this a bend is none: no pipe is laid straighter [rad]."""


def reach(points: Array) -> Array:
    """(n,) distance along a joined line."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])


def place(points: Array, at: Array) -> Array:
    """(m, 2) places at distances along a joined line."""
    along = reach(points)
    return np.stack([np.interp(at, along, points[:, k]) for k in (0, 1)], axis=-1)


def pieces(points: Array, field: Field) -> tuple[Piece, ...]:
    """Stretches over which nothing changes, in order."""
    lines, shares = field.cuts(points[:-1], points[1:])
    along = reach(points)
    at = np.unique(np.round(along[lines] + shares * np.diff(along)[lines], 9))
    found: list[Piece] = []
    for a, b in pairwise(at.tolist()):
        if b - a < SHORT:
            continue
        mid = place(points, np.array([0.5 * (a + b)]))
        here = [p for p in field.patches if planar.covers(p.shape, mid)[0]]
        factor, hand = field.grounds[int(field.kind_of(mid)[0])]
        names = tuple(p.name for p in here)
        if found and (found[-1].names, found[-1].factor, found[-1].hand) == (names, factor, hand):
            found[-1] = _joined(found[-1], b)
        else:
            found.append(Piece(found[-1].end if found else a, b, factor, hand, names,
                               tuple(p.kind for p in here)))  # fmt: skip
    return tuple(found)


def _joined(piece: Piece, end: float) -> Piece:
    return Piece(piece.start, end, piece.factor, piece.hand, piece.names, piece.kinds)


def met(points: Array, line: Array) -> list[tuple[float, float]]:
    """Where a route crosses a service: distance along the route, and the angle between [rad]."""
    found, along = [], reach(points)
    for k, (p, q) in enumerate(pairwise(points)):
        for a, b in pairwise(line):
            way, step = q - p, b - a
            det = way[0] * step[1] - way[1] * step[0]
            if abs(det) < 1e-12:
                continue
            off = a - p
            share = (off[0] * step[1] - off[1] * step[0]) / det
            on = (off[0] * way[1] - off[1] * way[0]) / det
            # All ends count: rounding must not lose a crossing right at a bend, or at the wall.
            if -1e-9 <= share <= 1.0 + 1e-9 and -1e-9 <= on <= 1.0 + 1e-9:
                sine = abs(det) / (np.hypot(*way) * np.hypot(*step))
                found.append((float(along[k] + share * (along[k + 1] - along[k])),
                              float(np.arcsin(min(sine, 1.0)))))  # fmt: skip
    return _once(sorted(found))


def _once(found: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """A crossing at a bend, of either line, counts once, with the flatter angle."""
    kept: list[tuple[float, float]] = []
    for at, angle in found:
        if kept and at - kept[-1][0] < 1e-6:
            kept[-1] = kept[-1][0], min(kept[-1][1], angle)
        else:
            kept.append((at, angle))
    return kept


def round_the_end(points: Array, field: Field) -> list[str]:
    """Services whose known line ends just short of the route, as if it ended in the ground."""
    found = []
    for c in field.crossed:
        for end, before in ((c.points[0], c.points[1]), (c.points[-1], c.points[-2])):
            out = (end - before) / np.hypot(*(end - before))
            if met(points, np.stack([end, end + BEYOND * out])):
                found.append(c.name)
    return list(dict.fromkeys(found))


def zone_about(found: tuple[Piece, ...], at: float, name: str) -> tuple[float, float]:
    """The stretch of a service's zone that holds a place along the route."""
    own = sorted((p for p in found if name in p.names), key=lambda p: p.start)
    low = high = at
    for p in own:
        if p.end >= at - 1e-6 and p.start <= high + 1e-6:
            high = max(high, p.end)
    for p in reversed(own):
        if p.start <= at + 1e-6 and p.end >= low - 1e-6:
            low = min(low, p.start)
    return low, high


def turns(points: Array) -> tuple[IntArray, Array]:
    """Inner points at which a route bends, and by how much, to the left above 0 [rad]."""
    way = np.diff(points, axis=0)
    one, two = way[:-1], way[1:]
    sine = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    angle = np.arctan2(sine, (one * two).sum(axis=1))
    real = np.flatnonzero(np.abs(angle) > STRAIGHT)
    return real + 1, angle[real]
