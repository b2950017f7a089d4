"""The cheapest route in a graph, bends counted.

Without bends it is a plain shortest way. That way, its bends priced, bounds what any other may
cost; only lines within the bound are kept, and over those the cost of arriving by each line, bends
counted, is bettered until nothing changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from plumbrail.trench.graph import Graph, Rates
from plumbrail.trench.planar import Array, IntArray

SLACK = 1e-12


@dataclass(frozen=True)
class Found:
    """A way through a graph."""

    nodes: tuple[int, ...]
    cost: float


def plain(graph: Graph, rates: Rates) -> Found | None:
    """The cheapest way by all but its bends, which are then added to its cost."""
    spread = graph.spread(rates.cost(graph.found))
    total = spread.first[graph.ends] + graph.end.cost
    k = int(total.argmin())
    if not np.isfinite(total[k]):
        return None
    nodes = [int(graph.ends[k])]
    while 0 <= (before := int(spread.came[nodes[-1]])) < len(graph.nodes):
        nodes.append(before)
    way = tuple(reversed(nodes))
    return Found(way, float(total[k]) + rates.turn * _bends(graph, way))


def cheapest(graph: Graph, rates: Rates) -> Found | None:
    """The cheapest route of a graph; None where nothing joins start and end."""
    found = plain(graph, rates)
    if found is None or rates.turn == 0.0:
        return found
    return _Turning(graph, rates, found).run()


def _bends(graph: Graph, nodes: tuple[int, ...]) -> float:
    """All angles of a way, those at its doors too [rad]."""
    steps = np.diff(graph.nodes[list(nodes)], axis=0)
    first = graph.start.way[nodes[0]]
    last = -graph.end.way[nodes[-1] - len(graph.start.at)]
    return float(turned(np.vstack([first, steps]), np.vstack([steps, last])).sum())


def turned(one: Array, two: Array) -> Array:
    """(n,) angle between directions [rad]; 0 where one is free (nan)."""
    sine = one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0]
    cosine = one[..., 0] * two[..., 0] + one[..., 1] * two[..., 1]
    angle = np.abs(np.arctan2(sine, cosine))
    return np.where(np.isnan(angle), 0.0, angle)


class _Turning:
    """Arrivals by line, over the lines that a cheaper way could use."""

    def __init__(self, graph: Graph, rates: Rates, known: Found) -> None:
        self.graph, self.rates, self.known = graph, rates, known
        cost = rates.cost(graph.found)
        spread = graph.spread(cost)
        tail, head = np.concatenate([graph.u, graph.v]), np.concatenate([graph.v, graph.u])
        both = np.concatenate([cost, cost])
        keep = spread.first[tail] + both + spread.last[head] <= known.cost * (1 + SLACK)
        self.tail, self.head, self.cost = tail[keep], head[keep], both[keep]
        way = graph.nodes[self.head] - graph.nodes[self.tail]
        self.way = way / np.hypot(*way.T)[:, None]
        self.best = np.full(len(self.tail), np.inf)
        self.came = np.full(len(self.tail), -1, dtype=np.int64)
        self.rest = spread.last
        self.onward = self.cost + self.rest[self.head]
        self.goal = known.cost * (1 + SLACK)
        self.fresh = np.zeros(len(self.tail), dtype=bool)
        """Lines whose arrival got cheaper since it was carried on."""
        nodes = np.unique(self.tail)
        self.order = nodes[np.argsort(spread.first[nodes], kind="stable")].tolist()
        self.into = _grouped(self.head, len(graph.nodes))
        self.out = _grouped(self.tail, len(graph.nodes))

    def run(self) -> Found:
        """The cheapest way; the known one where none betters it."""
        g = self.graph
        for k, s in enumerate(g.starts.tolist()):
            out = self.out[s]
            turn = self.rates.turn * turned(g.start.way[k], self.way[out])
            self.best[out] = g.start.cost[k] + turn + self.cost[out]
            self.fresh[out] = True
        while sum(self._pass(node) for node in self.order):
            pass
        goal, at = self.known.cost, -1
        for k, e in enumerate(g.ends.tolist()):
            into = self.into[e]
            turn = self.rates.turn * turned(self.way[into], -g.end.way[k])
            whole = self.best[into] + turn + g.end.cost[k]
            if into.size and whole.min() < goal - SLACK:
                goal, at = float(whole.min()), int(into[whole.argmin()])
        return self.known if at < 0 else Found(self._back(at), goal)

    def _pass(self, node: int) -> bool:
        """Carry what is new at a node on to its lines; True where one got cheaper."""
        into = self.into[node]
        cost = self.best[into]
        # with the least that is still to come, no more than the way known; and no more than another
        # arrival, however that has to turn
        most = min(self.goal - self.rest[node], cost.min(initial=np.inf) + self.rates.turn * np.pi)
        fresh = self.fresh[into]
        self.fresh[into] = False
        into = into[fresh & (cost <= most)]
        if not into.size:
            return False
        out = self.out[node]
        out = out[self.best[into].min() + self.onward[out] <= self.goal]
        turn = turned(self.way[into][:, None], self.way[out][None])
        whole = self.best[into][:, None] + self.rates.turn * turn
        pick = whole.argmin(axis=0)
        cost = whole[pick, np.arange(len(out))] + self.cost[out]
        better = cost < self.best[out] - SLACK
        self.best[out[better]], self.came[out[better]] = cost[better], into[pick[better]]
        self.fresh[out[better]] = True
        return bool(better.any())

    def _back(self, line: int) -> tuple[int, ...]:
        nodes = [int(self.head[line])]
        while line >= 0:
            nodes.append(int(self.tail[line]))
            line = int(self.came[line])
        return tuple(reversed(nodes))


def _grouped(ends: IntArray, nodes: int) -> list[IntArray]:
    """Lines by their node."""
    order = np.argsort(ends, kind="stable")
    first = np.searchsorted(ends[order], np.arange(nodes + 1))
    return [order[a:b] for a, b in pairwise(first)]
