"""The ground as a route sees it: what it may not enter, what digs dearer, what it crosses."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from plumbrail.trench import planar
from plumbrail.trench.planar import HAIR, Array, Borders, IntArray, Mask, Shape

FLATTEST = 0.05
"""Sine of the flattest angle at which a crossing is still told from a line beside (3 degrees)."""


@dataclass(frozen=True)
class Obstacle:
    """Ground that no trench may enter."""

    name: str
    kind: str
    """building, array, pier, stem, roots, keep out, easement, boundary."""
    shape: Shape
    clear: float
    """Distance to be kept from it [m]."""

    @cached_property
    def grown(self) -> Shape:
        """With its clearance."""
        return planar.grown(self.shape, self.clear)


@dataclass(frozen=True)
class Patch:
    """Ground that digs dearer, or by hand only."""

    name: str
    kind: str
    """paving, rock, roots, service zone, under the array."""
    shape: Shape
    factor: float = 1.0
    """Digging there over that in open ground; where patches overlap the largest counts."""
    hand: bool = False


@dataclass(frozen=True)
class Crossed:
    """A buried line that a route may cross at a price."""

    name: str
    kind: str
    points: Array
    """(n, 2)"""
    zone: float
    """Half width of the ground about it that is dug by hand [m]."""


@dataclass(frozen=True)
class Features:
    """What straight lines run through. Axis: line."""

    lengths: Array
    """(n, grounds) [m] in each kind of ground, see :attr:`Field.grounds`."""
    square: Array
    """(n, services) sum over crossings of one over the sine of the angle."""
    crossings: IntArray
    """(n, services)"""

    def at(self, keep: Mask | IntArray) -> Features:
        """Of some of the lines."""
        return Features(self.lengths[keep], self.square[keep], self.crossings[keep])


def stacked(found: list[Features]) -> Features:
    """One after the other."""
    return Features(
        np.concatenate([f.lengths for f in found]), np.concatenate([f.square for f in found]),
        np.concatenate([f.crossings for f in found]),
    )  # fmt: skip


@dataclass(frozen=True)
class Field:
    """All of it."""

    obstacles: tuple[Obstacle, ...] = ()
    patches: tuple[Patch, ...] = ()
    crossed: tuple[Crossed, ...] = ()

    @cached_property
    def barred(self) -> Shape:
        """Where no trench may be."""
        return planar.ready(planar.joined([o.grown for o in self.obstacles]))

    @cached_property
    def levels(self) -> tuple[float, ...]:
        """Factors of digging, the dearest first; open ground (1) last but for cheaper patches."""
        return tuple(sorted({p.factor for p in self.patches if p.factor != 1.0}, reverse=True))

    @cached_property
    def grounds(self) -> tuple[tuple[float, bool], ...]:
        """(factor, by hand) of each kind of ground: open ground first."""
        every = (1.0, *self.levels)
        return tuple((f, hand) for hand in (False, True) for f in every)

    @cached_property
    def level_shapes(self) -> tuple[Shape, ...]:
        """The area of each level."""
        return tuple(
            planar.ready(planar.joined([p.shape for p in self.patches if p.factor == level]))
            for level in self.levels
        )

    @cached_property
    def by_hand(self) -> Shape:
        """Ground that is dug by hand."""
        return planar.ready(planar.joined([p.shape for p in self.patches if p.hand]))

    @cached_property
    def borders(self) -> Borders:
        """Edges of all dearer ground."""
        found = [r for s in (*self.level_shapes, self.by_hand) for r in planar.rings(s)]
        ends = [np.roll(r, -1, axis=0) for r in found]
        none = np.zeros((0, 2))
        return Borders(np.concatenate([none, *found]), np.concatenate([none, *ends]))

    @cached_property
    def service_pieces(self) -> tuple[Array, Array, IntArray]:
        """Straight pieces of the services: starts, ends, and whose they are."""
        rows = [(a, b, k) for k, c in enumerate(self.crossed) for a, b in pairwise(c.points)]
        if not rows:
            return np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0, dtype=np.int64)
        starts, ends, owner = zip(*rows, strict=True)
        return np.array(starts), np.array(ends), np.array(owner, dtype=np.int64)

    def kind_of(self, points: Array) -> IntArray:
        """(n,) number of the kind of ground at places."""
        level = np.zeros(len(points), dtype=np.int64)
        for i in reversed(range(len(self.levels))):
            level[planar.covers(self.level_shapes[i], points)] = i + 1
        hand = planar.covers(self.by_hand, points)
        return level + hand * (len(self.levels) + 1)

    def features(self, p: Array, q: Array) -> Features:
        """What straight lines from ``p`` to ``q`` (n, 2) run through."""
        square, crossings = self._crossings(p, q)
        return Features(self._lengths(p, q), square, crossings)

    def cuts(self, p: Array, q: Array) -> tuple[IntArray, Array]:
        """Lines and shares of their length at which the ground may change, in order, with ends."""
        at, share = [np.arange(len(p)), np.arange(len(p))], [np.zeros(len(p)), np.ones(len(p))]
        line, piece = self.borders.met(p, q)
        if line.size:
            a, b = self.borders.start[piece], self.borders.end[piece]
            way, along = q[line] - p[line], b - a
            det = _cross(way, along)
            slant = np.abs(det) > 1e-12 * np.hypot(*way.T) * np.hypot(*along.T)
            t = _cross(a - p[line], along)[slant] / det[slant]
            at, share = [*at, line[slant]], [*share, t]
            for end in (a, b):  # lines along an edge change where it ends
                flat = ~slant
                w = way[flat]
                s = ((end[flat] - p[line[flat]]) * w).sum(axis=1) / np.maximum(
                    (w * w).sum(axis=1), 1e-30)  # fmt: skip
                at, share = [*at, line[flat]], [*share, s]
        lines, shares = np.concatenate(at), np.clip(np.concatenate(share), 0.0, 1.0)
        order = np.lexsort((shares, lines))
        return lines[order], shares[order]

    def _lengths(self, p: Array, q: Array) -> Array:
        lines, shares = self.cuts(p, q)
        own = lines[1:] == lines[:-1]
        step = np.where(own, np.diff(shares), 0.0)
        keep = step > 1e-12
        mid = 0.5 * (shares[1:] + shares[:-1])[keep]
        line = lines[1:][keep]
        way = q - p
        kinds = self.kind_of(p[line] + mid[:, None] * way[line])
        many = len(self.grounds)
        sums = np.bincount(line * many + kinds, step[keep] * np.hypot(*way[line].T),
                           len(p) * many)  # fmt: skip
        return np.asarray(sums.reshape(len(p), many))

    def _crossings(self, p: Array, q: Array) -> tuple[Array, IntArray]:
        square = np.zeros((len(p), len(self.crossed)))
        counts = np.zeros((len(p), len(self.crossed)), dtype=np.int64)
        a, b, owner = self.service_pieces
        turned = (p[:, 0] > q[:, 0]) | ((p[:, 0] == q[:, 0]) & (p[:, 1] > q[:, 1]))
        low = np.where(turned[:, None], q, p)[:, None]  # counted alike in both directions
        high = np.where(turned[:, None], p, q)[:, None]
        way, along = high - low, b - a
        beside = (_cross(along, low - a) >= 0) != (_cross(along, high - a) >= 0)
        ends = (_cross(way, a - low) >= 0) != (_cross(way, b - low) >= 0)
        line, piece = np.nonzero(beside & ends)
        step, run = way[line, 0], along[piece]
        long = np.hypot(*step.T) * np.hypot(*run.T)
        sine = np.abs(_cross(step, run)) / np.maximum(long, 1e-30)
        np.add.at(square, (line, owner[piece]), 1.0 / np.maximum(sine, FLATTEST))
        np.add.at(counts, (line, owner[piece]), 1)
        return square, counts


def _cross(a: Array, b: Array) -> Array:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


@dataclass(frozen=True)
class Corners:
    """Corners of the barred ground that a taut route may turn at."""

    at: Array
    """(n, 2) a hair outside."""
    before: Array
    after: Array
    """(n, 2) its neighbours on the edge."""


def corners(field: Field) -> Corners:
    """Every outward corner of the barred ground."""
    return _outward([planar.aside(ring) for ring in planar.rings(field.barred)])


def shoulders(field: Field) -> Corners:
    """Where a route turns that goes round a service rather than over it: corners about its zone,
    and its very ends."""
    found = _outward([_outline(c) for c in field.crossed])
    none = np.zeros((0, 2))
    tips = np.concatenate([none, *(_tips(c) for c in field.crossed)])
    free = np.full(tips.shape, np.nan)
    return Corners(*(np.concatenate(pair) for pair in zip(
        (found.at, found.before, found.after), (tips, free, free), strict=True)))  # fmt: skip


def _outward(found: list[Array]) -> Corners:
    at, before, after = [np.zeros((0, 2))], [np.zeros((0, 2))], [np.zeros((0, 2))]
    for ring in found:
        back, on = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
        outward = _cross(ring - back, on - ring) > 0
        at.append(ring[outward])
        before.append(back[outward])
        after.append(on[outward])
    return Corners(np.concatenate(at), np.concatenate(before), np.concatenate(after))


def _outline(c: Crossed) -> Array:
    """(corners, 2) about the zone of a service, its ends square with cut corners."""
    way = np.diff(c.points, axis=0)
    way /= np.hypot(*way.T)[:, None]
    right = np.stack([way[:, 1], -way[:, 0]], axis=1)
    one, two = np.vstack([right[:1], right]), np.vstack([right, right[-1:]])
    sharp = np.maximum(1.0 + (one * two).sum(axis=1), 0.2)
    out = (c.zone + HAIR) * (one + two) / sharp[:, None]
    cut, cap = np.tan(np.pi / 8), c.zone + HAIR
    first, last = c.points[0] - cap * way[0], c.points[-1] + cap * way[-1]
    down, up = c.points + out, c.points - out
    for side in (down, up):
        side[0] -= cut * cap * way[0]
        side[-1] += cut * cap * way[-1]
    return np.vstack([down, last + cut * out[-1], last - cut * out[-1], up[::-1],
                      first - cut * out[0], first + cut * out[0]])  # fmt: skip


def _tips(c: Crossed) -> Array:
    """(2, 2) a hair beyond its ends."""
    ends = np.stack([c.points[0] - c.points[1], c.points[-1] - c.points[-2]])
    return np.asarray(c.points[[0, -1]] + HAIR * ends / np.hypot(*ends.T)[:, None])


@dataclass(frozen=True)
class Edges:
    """Edges of dearer ground, a hair to its cheaper side, where a route may bend."""

    rings: tuple[Array, ...]
    """(corners, 2) each, closed by its first."""
    own_hand: tuple[bool, ...]
    """Edge of ground that is dug by hand, not of rock or paving."""

    @cached_property
    def start(self) -> Array:
        """(n, 2)"""
        return np.concatenate([np.zeros((0, 2)), *self.rings])

    @cached_property
    def end(self) -> Array:
        """(n, 2)"""
        return np.concatenate([np.zeros((0, 2)), *(np.roll(r, -1, axis=0) for r in self.rings)])

    @cached_property
    def hand(self) -> Mask:
        """(n,)"""
        both = zip(self.rings, self.own_hand, strict=True)
        return np.array([h for r, h in both for _ in range(len(r))], dtype=bool)

    @cached_property
    def ring(self) -> IntArray:
        """(n,) number of its ring."""
        return np.repeat(np.arange(len(self.rings)), [len(r) for r in self.rings])

    @cached_property
    def long(self) -> Array:
        """(n,) [m]"""
        return np.asarray(np.hypot(*(self.end - self.start).T))

    @cached_property
    def borders(self) -> Borders:
        """To ask which lines meet them."""
        return Borders(self.start, self.end)

    @cached_property
    def along(self) -> Array:
        """(n,) way along its ring to the start of each edge [m]."""
        found = [np.cumsum(self.long[self.ring == r]) - self.long[self.ring == r]
                 for r in range(len(self.rings))]  # fmt: skip
        return np.concatenate([np.zeros(0), *found])

    def beside(self, points: Array, aside: Array) -> Array:
        """Places on the edges, some way to each side of where a joined line passes over them."""
        line, edge = self.borders.met(points[:-1], points[1:])
        p, way = points[:-1][line], np.diff(points, axis=0)[line]
        step = self.end[edge] - self.start[edge]
        det = _cross(way, step)
        good = np.abs(det) > 1e-12
        share = np.clip(_cross(way, p - self.start[edge])[good] / det[good], 0.0, 1.0)
        found = [np.zeros((0, 2))]
        at = self.along[edge[good]] + share * self.long[edge[good]]
        for ring in np.unique(self.ring[edge[good]]):
            mine = self.ring[edge[good]] == ring
            found.append(self._places(int(ring), (at[mine][:, None] + aside).ravel()))
        return np.concatenate(found)

    def _places(self, ring: int, at: Array) -> Array:
        corners = np.concatenate([self.rings[ring], self.rings[ring][:1]])
        reach = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
        turned = np.mod(at, reach[-1])
        return np.stack([np.interp(turned, reach, corners[:, k]) for k in (0, 1)], axis=1)


def edges(field: Field) -> Edges:
    """Every edge that is worth a bend."""
    found, hand = [], []
    for k, shape in enumerate((*field.level_shapes, field.by_hand)):
        own = k == len(field.levels)
        by = -HAIR if not own and field.levels[k] < 1.0 else HAIR
        for edge in planar.rings(shape):
            found.append(planar.aside(edge, by))
            hand.append(own)
    return Edges(tuple(found), tuple(hand))
