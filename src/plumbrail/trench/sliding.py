"""The last step of a route: bends on edges of dearer ground slide to their exact place."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plumbrail.trench import planar
from plumbrail.trench.field import Edges, Field
from plumbrail.trench.graph import Rates
from plumbrail.trench.planar import Array, Mask
from plumbrail.trench.search import turned

TRIED, ROUNDS, SWEEPS = 9, 10, 4
REACH = 6.0
"""How far a bend may slide in one go [m]."""
TOUCH = 1e-5
"""A bend this near to an edge [m] lies on it."""


@dataclass(frozen=True)
class Track:
    """A route being bettered."""

    field: Field
    rates: Rates
    points: Array
    """(n, 2)"""
    loose: Mask
    """(n,) which may slide."""
    way_in: Array
    way_out: Array
    """(2,) direction before the first and after the last point; nan where it is free."""

    def cost(self) -> float:
        """Of the whole route, with its bends."""
        steps = self.field.features(self.points[:-1], self.points[1:])
        return float(self.rates.cost(steps).sum() + self.rates.turn * self.bends().sum())

    def bends(self) -> Array:
        """(n,) angle turned at each point [rad]."""
        way = np.diff(self.points, axis=0)
        return turned(np.vstack([self.way_in, way]), np.vstack([way, self.way_out]))

    def moved(self, k: int, places: Array) -> Array:
        """(m,) cost of what changes with point ``k`` at each place; infinite where barred."""
        p, many = self.points, len(places)
        before, after = np.broadcast_to(p[k - 1], (many, 2)), np.broadcast_to(p[k + 1], (many, 2))
        a, b = np.concatenate([before, places]), np.concatenate([places, after])
        cost = self.rates.cost(self.field.features(a, b))
        cost[planar.blocked(a, b, self.field.barred)] = np.inf
        whole = cost[:many] + cost[many:]
        if self.rates.turn == 0.0:
            return np.asarray(whole)
        first = self.way_in if k == 1 else p[k - 1] - p[k - 2]
        last = self.way_out if k == len(p) - 2 else p[k + 2] - p[k + 1]
        one, two = places - before, after - places
        bent = turned(np.broadcast_to(first, (many, 2)), one) + turned(one, two)
        bent += turned(two, np.broadcast_to(last, (many, 2)))
        return np.asarray(whole + self.rates.turn * bent)

    def dropped(self, k: int) -> Track:
        """Without point ``k``."""
        return replace(self, points=np.delete(self.points, k, axis=0),
                       loose=np.delete(self.loose, k))  # fmt: skip


def slide(track: Track, every: Edges) -> Track:
    """The same route with its loose bends at their best places; never dearer."""
    cost = track.cost()
    for _ in range(SWEEPS):
        k = 1
        while k < len(track.points) - 1:
            track, gone = _one(track, k, every)
            k += not gone
        now = track.cost()
        if cost - now <= 1e-7 * cost:
            break
        cost = now
    return track


def _one(track: Track, k: int, every: Edges) -> tuple[Track, bool]:
    """One bend, moved or left out."""
    shorter = track.dropped(k)
    ends = track.points[k - 1][None], track.points[k + 1][None]
    free = not planar.blocked(*ends, track.field.barred)[0]
    if free and shorter.cost() <= track.cost() + 1e-12:
        return shorter, True
    if not track.loose[k]:
        return track, False
    best, where = float(track.moved(k, track.points[k][None])[0]), track.points[k]
    for a, b in _under(track.points[k], every):
        cost, place = _along(track, k, a, b)
        if cost < best:
            best, where = cost, place
    points = track.points.copy()
    points[k] = where
    return replace(track, points=points), False


def _under(place: Array, every: Edges) -> list[tuple[Array, Array]]:
    """The edges that a place lies on."""
    a, way = every.start, every.end - every.start
    share = np.clip(((place - a) * way).sum(axis=1) / (way * way).sum(axis=1), 0.0, 1.0)
    near = np.hypot(*(a + share[:, None] * way - place).T) < TOUCH
    return [(every.start[i], every.end[i]) for i in np.flatnonzero(near)]


def _along(track: Track, k: int, a: Array, b: Array) -> tuple[float, Array]:
    """Best place of a bend on an edge: tried evenly, then closer and closer about the best."""
    now = float((track.points[k] - a) @ (b - a) / ((b - a) @ (b - a)))
    window = REACH / float(np.hypot(*(b - a)))
    low, high = max(now - window, 0.0), min(now + window, 1.0)
    best, share = np.inf, now
    for _ in range(ROUNDS):
        tried = np.linspace(low, high, TRIED)
        cost = track.moved(k, a + tried[:, None] * (b - a))
        i = int(cost.argmin())
        if cost[i] < best:
            best, share = float(cost[i]), float(tried[i])
        step = (high - low) / (TRIED - 1)
        low, high = max(share - step, 0.0), min(share + step, 1.0)
    return best, a + share * (b - a)
