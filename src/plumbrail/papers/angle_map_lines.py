"""Lines of equal value over a grid."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Edge = tuple[int, int, int]
"""Row and column of a corner of the grid, and 0 for the edge along or 1 for the edge up."""


def level_lines(x: Array, y: Array, values: Array, level: float) -> list[Array]:
    """Lines (n, 2) along which ``values`` (len(y), len(x)) are ``level``, straight in each cell.

    A closed line ends where it begins. In a saddle the mean of the corners decides.
    """
    over = values >= level
    mixed = over[:-1, :-1] * 1 + over[:-1, 1:] * 2 + over[1:, 1:] * 4 + over[1:, :-1] * 8
    links: dict[Edge, list[Edge]] = {}
    for r, c in np.argwhere((mixed > 0) & (mixed < 15)).tolist():
        middle = values[r : r + 2, c : c + 2].mean() >= level
        for a, b in _pairs(int(mixed[r, c]), bool(middle)):
            one, two = _edge(r, c, a), _edge(r, c, b)
            links.setdefault(one, []).append(two)
            links.setdefault(two, []).append(one)
    places = {e: _place(e, x, y, values, level) for e in links}
    return [np.array([places[e] for e in chain]) for chain in _chains(links)]


_ONE = {
    1: (3, 0), 2: (0, 1), 3: (3, 1), 4: (1, 2), 6: (0, 2), 7: (3, 2), 8: (2, 3), 9: (0, 2),
    11: (1, 2), 12: (1, 3), 13: (0, 1), 14: (3, 0),
}  # fmt: skip
"""Sides of a cell, 0 low, 1 right, 2 high, 3 left, that a line joins, by its corners above."""


def _pairs(corners: int, middle: bool) -> list[tuple[int, int]]:
    if corners in (5, 10):
        joined = (corners == 5) == middle  # the corners above hang together
        return [(0, 1), (2, 3)] if joined else [(3, 0), (1, 2)]
    return [_ONE[corners]]


def _edge(r: int, c: int, side: int) -> Edge:
    return [(r, c, 0), (r, c + 1, 1), (r + 1, c, 0), (r, c, 1)][side]


def _place(edge: Edge, x: Array, y: Array, values: Array, level: float) -> tuple[float, float]:
    r, c, up = edge
    a = float(values[r, c])
    b = float(values[r + 1, c] if up else values[r, c + 1])
    t = (level - a) / (b - a)
    if up:
        return float(x[c]), float(y[r] + t * (y[r + 1] - y[r]))
    return float(x[c] + t * (x[c + 1] - x[c])), float(y[r])


def _chains(links: dict[Edge, list[Edge]]) -> list[list[Edge]]:
    """Open lines from their ends first, then rings."""
    found, left = [], dict(links)
    for start in [*(e for e, to in links.items() if len(to) == 1), *links]:
        if start not in left:
            continue
        chain, last = [start], None
        at: Edge | None = start
        while at is not None:
            to = left.pop(at)
            ahead = [e for e in to if e in left and e != last]
            closes = not ahead and len(chain) > 2 and start in to and last != start
            last, at = at, ahead[0] if ahead else None
            if at is not None:
                chain.append(at)
            elif closes:
                chain.append(start)
        found.append(chain)
    return found
