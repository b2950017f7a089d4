"""Places a route may bend at, and the straight lines between them that nothing bars.

Corners of barred ground are joined only by taut lines: a shortest route goes round a corner, never
away from it. A line that no route cheaper than one already known can use is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from plumbrail.trench import planar
from plumbrail.trench.field import Corners, Features, Field, corners, stacked
from plumbrail.trench.planar import Array, IntArray, Mask

NEAR = 6.0
"""Nodes this near to a late one are joined to it [m]."""
CHUNK = 40_000
"""Lines looked at at once."""


@dataclass(frozen=True)
class Rates:
    """What a route costs, in whatever is to be least."""

    ground: Array
    """(grounds,) per metre in each kind of ground."""
    square: Array
    """(services,) for a crossing square on; one at an angle costs more by one over its sine."""
    turn: float
    """Per radian of bend."""
    each: float = 0.0
    """For any crossing, whatever its angle."""

    def cost(self, found: Features) -> Array:
        """(n,) of straight lines."""
        crossed = found.square @ self.square + self.each * found.crossings.sum(axis=1)
        return np.asarray(found.lengths @ self.ground + crossed)

    @property
    def least(self) -> float:
        """Per metre where it is cheapest."""
        return float(self.ground.min())


@dataclass(frozen=True)
class Door:
    """Places where a route may begin or end, and what comes before each."""

    at: Array
    """(n, 2)"""
    cost: Array
    """(n,) in the terms of the rates."""
    way: Array
    """(n, 2) direction in which the route leaves; nan where it is free."""


def door(at: Array, way: Array | None = None) -> Door:
    """One place."""
    heading = np.full(2, np.nan) if way is None else way
    return Door(np.asarray(at, dtype=float).reshape(1, 2), np.zeros(1), heading.reshape(1, 2))


class Graph:
    """Grows by nodes; its lines hold exact features, so that any rates can be put on them."""

    def __init__(self, field: Field, start: Door, end: Door) -> None:
        self.field, self.start, self.end = field, start, end
        self.budget = np.inf
        """Longest route [m] that can still be of use."""
        self.u, self.v = np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        turns = corners(self.field)
        free = ~planar.covers(self.field.barred, turns.at)
        ends = np.concatenate([self.start.at, self.end.at])
        none = np.full((len(ends), 2), np.nan)
        self.nodes = np.concatenate([ends, turns.at[free]])
        self.before = np.concatenate([none, turns.before[free]])
        self.after = np.concatenate([none, turns.after[free]])
        services, grounds = len(self.field.crossed), len(self.field.grounds)
        self.found = Features(np.zeros((0, grounds)), np.zeros((0, services)),
                              np.zeros((0, services), dtype=np.int64))  # fmt: skip
        self._join(0)

    @property
    def starts(self) -> IntArray:
        """Nodes of the start."""
        return np.arange(len(self.start.at))

    @property
    def ends(self) -> IntArray:
        """Nodes of the end."""
        return len(self.start.at) + np.arange(len(self.end.at))

    def add(self, places: Array, known: Sequence[int] | None = None) -> None:
        """Add free places that are of use, joined to all nodes; or with ``known`` to those few,
        to one another, and to what is near."""
        none = np.full(places.shape, np.nan)
        self.turns(Corners(places, none, none), known)

    def turns(self, found: Corners, known: Sequence[int] | None = None) -> None:
        """The same for corners, which only taut lines meet."""
        places = found.at
        keep = (self._detour(places) <= self.budget) & ~planar.covers(self.field.barred, places)
        places = places[keep]
        if not len(places):
            return
        first = len(self.nodes)
        self.nodes = np.concatenate([self.nodes, places])
        self.before = np.concatenate([self.before, found.before[keep]])
        self.after = np.concatenate([self.after, found.after[keep]])
        self._join(first, known)

    def prune(self) -> None:
        """Leave out the lines that no route within the budget can use."""
        keep = self._useful(self.nodes[self.u], self.nodes[self.v])
        self.u, self.v, self.found = self.u[keep], self.v[keep], self.found.at(keep)

    def _detour(self, places: Array) -> Array:
        return _nearest(self.start.at, places) + _nearest(self.end.at, places)

    def _join(self, first: int, known: Sequence[int] | None = None) -> None:
        """Lines from the nodes from ``first`` on to those before them and among themselves."""
        one, two = np.meshgrid(np.arange(len(self.nodes)), np.arange(first, len(self.nodes)))
        i, j = one.ravel(), two.ravel()
        keep = i < j
        if known is not None:
            wanted = np.zeros(len(self.nodes), dtype=bool)
            wanted[list(known)] = True
            wanted[first:] = True
            keep &= wanted[i] | (np.hypot(*(self.nodes[i] - self.nodes[j]).T) < NEAR)
        i, j = i[keep], j[keep]
        for at in range(0, len(i), 4 * CHUNK):
            self._join_some(i[at : at + 4 * CHUNK], j[at : at + 4 * CHUNK])

    def _join_some(self, i: IntArray, j: IntArray) -> None:
        p, q = self.nodes[i], self.nodes[j]
        keep = (np.hypot(*(q - p).T) > 1e-9) & self._useful(p, q)
        keep &= self._taut(i, q) & self._taut(j, p)
        i, j = i[keep], j[keep]
        keep = ~planar.blocked(self.nodes[i], self.nodes[j], self.field.barred)
        i, j = i[keep], j[keep]
        if not i.size:
            return
        found = self.field.features(self.nodes[i], self.nodes[j])
        self.u, self.v = np.concatenate([self.u, i]), np.concatenate([self.v, j])
        self.found = stacked([self.found, found])

    def _useful(self, p: Array, q: Array) -> Mask:
        """Some route within the budget can use the line."""
        if not np.isfinite(self.budget):
            return np.ones(len(p), dtype=bool)
        s, e = self.start.at, self.end.at
        along = np.minimum(_nearest(s, p) + _nearest(e, q), _nearest(s, q) + _nearest(e, p))
        return np.asarray(along + np.hypot(*(q - p).T) <= self.budget)

    def _taut(self, i: IntArray, to: Array) -> Mask:
        """The line touches the corner ``i`` without entering between its two sides."""
        at = self.nodes[i]
        way = to - at
        a = _cross(way, self.before[i] - at)
        b = _cross(way, self.after[i] - at)
        slack = 1e-9 * np.hypot(*way.T)
        free = np.isnan(a)
        return np.asarray(free | ((a >= -slack) & (b >= -slack)) | ((a <= slack) & (b <= slack)))

    def spread(self, cost: Array) -> Spread:
        """Least cost from the start to each node and on to the end, bends not counted."""
        first, came = self._from(self.starts, self.start.cost, cost)
        last, _ = self._from(self.ends, self.end.cost, cost)
        return Spread(first, last, came)

    def _from(self, sources: IntArray, entry: Array, cost: Array) -> tuple[Array, IntArray]:
        count = len(self.nodes)
        hub = np.full(len(sources), count)
        # a cost of nothing would read as no line
        weights = np.concatenate([np.maximum(cost, 1e-12), np.maximum(entry, 1e-12)])
        rows, columns = np.concatenate([self.u, hub]), np.concatenate([self.v, sources])
        graph = csr_array((weights, (rows, columns)), shape=(count + 1, count + 1))
        least, came = dijkstra(graph, directed=False, indices=[count], return_predecessors=True)
        return np.asarray(least[0, :count]), np.asarray(came[0, :count], dtype=np.int64)


@dataclass(frozen=True)
class Spread:
    """Axis: node."""

    first: Array
    """From the start."""
    last: Array
    """To the end."""
    came: IntArray
    """The node before it on its way from the start; below 0 or beyond the last: none."""


def _nearest(places: Array, points: Array) -> Array:
    return np.asarray(
        np.hypot(points[:, None, 0] - places[None, :, 0], points[:, None, 1] - places[None, :, 1])
        .min(axis=1)
    )  # fmt: skip


def _cross(a: Array, b: Array) -> Array:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
