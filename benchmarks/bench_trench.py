"""How long a route takes, beside a plain search over a grid. Rows: (name, value, unit)."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from benchmarks.timing import quickest
from plumbrail.trench import planar
from plumbrail.trench.field import Field

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from trenches import busy, rates, way

START, END = (1.0, 1.0), (118.0, 74.0)
GIVEN = {"square": 5.0, "turn": 1.0}
Row = tuple[str, float, str]


def by_grid(field: Field, step: float) -> tuple[float, float]:
    """Cost and length of the way over a grid joined to all eight neighbours."""
    xs, ys = np.arange(0, 120.01, step), np.arange(0, 76.01, step)
    at = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)
    index = np.arange(len(at)).reshape(len(xs), len(ys))
    pairs = [(index[:-1], index[1:]), (index[:, :-1], index[:, 1:]),
             (index[:-1, :-1], index[1:, 1:]), (index[:-1, 1:], index[1:, :-1])]  # fmt: skip
    u = np.concatenate([a.ravel() for a, _ in pairs])
    v = np.concatenate([b.ravel() for _, b in pairs])
    free = ~planar.covers(field.barred, at)
    keep = free[u] & free[v]
    u, v = u[keep], v[keep]
    price = rates(field, square=5.0).cost(field.features(at[u], at[v]))
    long = np.hypot(*(at[u] - at[v]).T)
    graph = csr_array((price, (u, v)), shape=(len(at), len(at)))
    s, e = (int(np.hypot(*(at - p).T).argmin()) for p in (START, END))
    cost, came = dijkstra(graph, directed=False, indices=[s], return_predecessors=True)
    total, node = 0.0, e
    while node != s:
        before = int(came[0, node])
        total += float(np.hypot(*(at[node] - at[before])))
        node = before
    assert long.size
    return float(cost[0, e]), total


def run() -> list[Row]:
    """All rows."""
    rows: list[Row] = []
    for seed in (1, 2, 3):
        ours = way(busy(seed), START, END, **GIVEN)
        assert ours is not None
        took = quickest(lambda s=seed: way(busy(s), START, END, **GIVEN), 3)
        name = f"route, 30 obstacles, 20 services, place {seed}"
        rows += [(f"{name}: time", took, "s"), (f"{name}: bound over cost",
                                                 100 * ours.bound / ours.cost, "%")]  # fmt: skip
        straight = way(busy(seed), START, END, square=5.0)
        assert straight is not None
        for step in (1.0, 0.5):
            grid = quickest(lambda s=seed, d=step: by_grid(busy(s), d), 1)
            cost, _ = by_grid(busy(seed), step)
            rows += [(f"  plain grid of {step:g} m: time over ours", grid / took, "x"),
                     (f"  plain grid of {step:g} m: dearer than ours",
                      100 * (cost / straight.cost - 1), "%")]  # fmt: skip
    return rows
