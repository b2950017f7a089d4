"""The cheapest route over ground that digs differently: docs/method/trench.md.

Over one kind of ground, with crossings at a price, a route bends only at corners of barred ground,
and the graph is exact. Where dearer ground begins it bends as light does at glass; places along
those edges are added where they can matter, halved until nothing changes, and the bends of the
route found then slide along their edges to the exact place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.trench.field import Edges, Field, edges, shoulders
from plumbrail.trench.graph import Door, Graph, Rates
from plumbrail.trench.planar import Array
from plumbrail.trench.search import Found, cheapest, plain
from plumbrail.trench.sliding import Track, slide

COARSE = 3.0
"""Spacing of the first places along edges of rock or paving [m]."""
MOST = 60
"""First places in all, however long those edges are."""
ASIDE = np.array([-4.0, -1.5, -0.5, 0.0, 0.5, 1.5, 4.0])
"""Places tried beside each passage of the best route over an edge [m]."""
CLOSER = 0.35
ROUNDS = 8
SETTLED = 1e-6
"""Share of the cost by which a round must better it, or the next one looks closer."""
NEAREST = 0.03
"""Reach of the last look [m], as a share of the first."""
SAME = 1e-9
DETOUR = 2.0


@dataclass(frozen=True)
class Way:
    """A route as a joined line."""

    points: Array
    """(n, 2)"""
    cost: float
    """In the terms of the rates it was found for, doors and bends with it."""
    spacing: float
    """Of the places about its bends on edges of dearer ground [m]; 0 where it has none."""
    bound: float
    """First-order bound on how much dearer it is than the best that bends on as many edges:
    spacing times the rates on both sides, over all its bends there."""
    door: tuple[int, int]
    """Which of the places of start and end it uses."""


def route(field: Field, start: Door, end: Door, rates: Rates) -> Way | None:
    """The cheapest route; None where there is none."""
    return routes(field, start, end, [rates])[0]


def routes(field: Field, start: Door, end: Door, wanted: list[Rates]) -> list[Way | None]:
    """The cheapest route for each of several rates, over one graph."""
    graph = Graph(field, start, end)
    first = [plain(graph, r) for r in wanted]
    if any(f is None for f in first):
        return [None for _ in wanted]
    every = edges(field)
    graph.budget = _budget(graph, first, wanted)
    graph.prune()
    if field.levels:
        graph.add(_along_levels(every))
    graph.turns(shoulders(field))
    return [_finished(graph, every, r, _refine(graph, every, r)) for r in wanted]


def _budget(graph: Graph, first: list[Found | None], wanted: list[Rates]) -> float:
    """Longest route that can be of use: exact for the first rates; for others no more than
    :data:`DETOUR` times the shortest way, as one that shuns crossings at any price could lead
    anywhere."""
    most = [f.cost / r.least for f, r in zip(first, wanted, strict=True) if f is not None]
    ones = Rates(np.ones(len(graph.field.grounds)), np.zeros(len(graph.field.crossed)), 0.0)
    short = plain(graph, ones)
    assert short is not None
    return max(most[0], min(max(most), DETOUR * short.cost)) * (1 + SAME)


def _along_levels(every: Edges) -> Array:
    """Places along the edges of rock, paving and the like."""
    own = ~every.hand
    long = every.long[own]
    step = max(COARSE, float(long.sum()) / MOST)
    found = [
        p + np.linspace(0.0, 1.0, max(1, int(np.ceil(n / step))), endpoint=False)[:, None] * (q - p)
        for p, q, n in zip(every.start[own], every.end[own], long, strict=True)
    ]
    return np.concatenate(found)


def _refine(graph: Graph, every: Edges, rates: Rates) -> float:
    """Add places beside the passages of the best route until nothing changes; the last reach."""
    if np.ptp(rates.ground) == 0.0 and not rates.square.any():
        return 0.0
    last, reach = np.inf, 1.0
    for step in range(ROUNDS):
        found = plain(graph, rates) if step < ROUNDS - 2 else cheapest(graph, rates)
        assert found is not None
        if last - found.cost < SETTLED * found.cost:
            reach *= CLOSER
        if reach < NEAREST:
            break
        last = found.cost
        points = graph.nodes[list(found.nodes)]
        places = every.beside(points, ASIDE * reach)
        if not len(places):
            return 0.0
        known = np.concatenate([graph.nodes, places])
        _, index = np.unique(np.round(known, 7), axis=0, return_index=True)
        graph.add(known[np.sort(index[index >= len(graph.nodes)])], found.nodes)
    return float(0.3 * reach)


def _finished(graph: Graph, every: Edges, rates: Rates, spacing: float) -> Way:
    found = cheapest(graph, rates)
    assert found is not None
    own = np.array(found.nodes)
    loose = np.isnan(graph.before[own, 0])
    loose[[0, -1]] = False
    s, e = int(own[0]), int(own[-1]) - len(graph.start.at)
    track = Track(graph.field, rates, graph.nodes[own], loose, graph.start.way[s],
                  -graph.end.way[e])  # fmt: skip
    slid = slide(track, every)
    cost = slid.cost() + float(graph.start.cost[s] + graph.end.cost[e])
    bends = int(slid.loose.sum())
    worst = rates.ground.max() + rates.ground[0]
    return Way(slid.points, min(cost, found.cost), spacing if bends else 0.0,
               float(0.5 * bends * spacing * worst), (s, e))  # fmt: skip
