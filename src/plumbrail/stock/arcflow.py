"""Exact model for pieces cut whole: every stick is a path over filled lengths (arc flow)."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.integer import Whole
from plumbrail.stock.job import Job
from plumbrail.stock.master import Cap, Master, Weights
from plumbrail.stock.pricing import Column
from plumbrail.stock.solver import Program, Total, matrix, minimise

Floats = NDArray[np.float64]
Arc = tuple[int, int, int]
"""Filled before, filled after, piece kind (-1: nothing more is put in)."""
ARCS = 120_000


def arcs_of(job: Job) -> list[Arc]:
    """Arcs of sticks filled longest piece first, never with more of a kind than is wanted."""
    most = max(k.capacity for k in job.kinds)
    reached = {0}
    arcs: set[Arc] = set()
    for t, piece in enumerate(job.pieces):
        weight, frontier = piece.length + job.kerf, set(reached)
        for _ in range(min(len(piece.ids), most // weight)):
            steps = {(u, u + weight, t) for u in frontier if u + weight <= most} - arcs
            if not steps or len(arcs) > ARCS:
                break
            arcs |= steps
            frontier = {v for _, v, _ in steps}
            reached |= frontier
    nodes = sorted(reached | {k.capacity for k in job.kinds})
    return sorted(arcs) + [(u, v, -1) for u, v in pairwise(nodes)]


def solve_exactly(
    master: Master, aim: Weights, caps: tuple[Cap, ...], least: float, seconds: float
) -> Whole | None:
    """Least ``aim`` over all patterns; adds the columns it uses. None: too large, or no time.

    Only for jobs without long pieces.
    """
    job = master.job
    arcs = arcs_of(job)
    if len(arcs) > ARCS:
        return None
    A, low, high = _rows(job, arcs)
    size = len(arcs) + len(job.kinds)
    had = [np.inf if k.available is None else float(k.available) for k in job.kinds]
    upper = np.concatenate([np.full(len(arcs), np.inf), had])

    def spread(weights: Weights) -> Floats:
        return np.concatenate([np.zeros(len(arcs)), weights.kinds])

    program = Program(spread(aim), A, low, high, np.zeros(size), upper, np.ones(size, dtype=bool))
    totals = [Total(spread(aim), least, np.inf)]
    totals += [Total(spread(cap.weights), -np.inf, cap.most) for cap in caps]
    answer = minimise(program, totals, seconds)
    if answer.x is None:
        return None
    used = np.round(answer.x).astype(np.int64)
    columns = _patterns(job, arcs, used)
    master.add(columns)
    times = [columns.count(c) for c in master.columns]
    return Whole(np.array(times, dtype=np.int64), np.zeros(0, dtype=np.int64), answer.finished)


def _rows(job: Job, arcs: list[Arc]) -> tuple[Any, Floats, Floats]:
    nodes = sorted({u for u, _, _ in arcs} | {v for _, v, _ in arcs})
    at = {u: i for i, u in enumerate(nodes)}
    data = []
    for a, (u, v, t) in enumerate(arcs):
        data += [(at[v], a, 1.0), (at[u], a, -1.0)]
        if t >= 0:
            data.append((len(nodes) + t, a, 1.0))
    for k, kind in enumerate(job.kinds):
        data += [(at[kind.capacity], len(arcs) + k, -1.0), (at[0], len(arcs) + k, 1.0)]
    r, c, v3 = (np.array(x) for x in zip(*data, strict=True))
    shape = (len(nodes) + len(job.pieces), len(arcs) + len(job.kinds))
    low = [0.0] * len(nodes) + [float(len(p.ids)) for p in job.pieces]
    high = [0.0] * len(nodes) + [np.inf] * len(job.pieces)
    A = matrix(r, c, v3, shape)
    return A, np.array(low), np.array(high)


def _patterns(job: Job, arcs: list[Arc], used: NDArray[np.int64]) -> list[Column]:
    """Take the flow apart into sticks, the longest first, so that each ends at its capacity."""
    left = {a: int(n) for a, n in zip(arcs, used[: len(arcs)], strict=True) if n}
    into: dict[int, list[Arc]] = {}
    for arc in left:
        into.setdefault(arc[1], []).append(arc)
    columns = []
    for k in sorted(range(len(job.kinds)), key=lambda k: job.kinds[k].capacity):
        for _ in range(int(used[len(arcs) + k])):
            counts, node = [0] * len(job.pieces), job.kinds[k].capacity
            while node:
                arc = next(a for a in into[node] if left[a])
                left[arc] -= 1
                if arc[2] >= 0:
                    counts[arc[2]] += 1
                node = arc[0]
            columns.append(Column(k, tuple(counts), ()))
    return columns
