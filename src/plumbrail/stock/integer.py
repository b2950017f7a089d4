"""Whole sticks: the best plan that the columns at hand allow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from plumbrail.stock.master import Cap, Master, Weights

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Whole:
    """How often each column is used, and how often a splice is moved one position to the left.

    ``finished``: the solver proved that these columns allow nothing better.
    """

    times: NDArray[np.int64]
    moves: NDArray[np.int64]
    finished: bool


def best_of(
    master: Master, aim: Weights, caps: tuple[Cap, ...], least: float, seconds: float,
    taste: Floats | None = None,
) -> Whole | None:  # fmt: skip
    """Least ``aim`` over the master's columns within ``caps``; None when none was found in time.

    ``least``: a proven bound, given to the solver so that it stops when it gets there.
    ``taste``: per column, a preference among equals, summing to less than the smallest step of aim.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    count = len(master.columns)
    A, sides = master.matrix(), master.sides()
    T, N = len(master.job.pieces), len(master.net.place)
    cost = np.zeros(A.shape[1])
    cost[:count] = [aim.of(c) for c in master.columns]
    low, high = sides.copy(), sides.copy()
    high[:T], low[T + N :] = np.inf, -np.inf
    rows = [LinearConstraint(A, low, high)]
    if np.isfinite(least):
        size = max(1.0, abs(least))
        rows.append(LinearConstraint(csr_array((cost / size)[None, :]), least / size, np.inf))
    for cap in caps:
        weights = np.zeros(A.shape[1])
        weights[:count] = [cap.weights.of(c) for c in master.columns]
        size = max(1.0, abs(cap.most))
        rows.append(LinearConstraint(csr_array(weights[None, :] / size), -np.inf, cap.most / size))
    if taste is not None:
        cost[:count] += taste
    whole = np.zeros(A.shape[1])
    whole[:count] = 1
    options = {"mip_rel_gap": 1e-9, "time_limit": max(0.2, seconds)}
    res = milp(cost, constraints=rows, bounds=Bounds(0, np.inf), integrality=whole, options=options)
    if res.x is None:
        return None
    x = np.round(res.x).astype(np.int64)
    return Whole(x[:count], x[count:], res.status == 0)
