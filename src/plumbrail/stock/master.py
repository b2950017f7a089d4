"""Columns, their linear program, and bounds from it (column generation)."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.job import Job
from plumbrail.stock.network import Network
from plumbrail.stock.pricing import Column, Filler
from plumbrail.stock.solver import beside, linear, matrix, single, stacked

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Weights:
    """A sum over sticks: so much per stick of each kind and so much per part of a long piece."""

    kinds: Floats
    part: float

    def of(self, column: Column) -> float:
        """The column's share of the sum."""
        return float(self.kinds[column.kind]) + self.part * len(column.arcs)


@dataclass(frozen=True)
class Cap:
    """A limit on another sum, kept while a later aim is pursued."""

    weights: Weights
    most: float


@dataclass(frozen=True)
class Duals:
    """Solution of the linear program: value, worths and whether stand-ins were needed."""

    value: float
    pieces: Floats
    nodes: Floats
    kinds: Floats
    caps: Floats
    short: float


class Master:
    """The columns found so far, and the linear program over them."""

    def __init__(self, job: Job, net: Network) -> None:
        self.job, self.net, self.filler = job, net, Filler(job, net)
        self.columns: list[Column] = []
        self._known: set[Column] = set()
        self.limited = [k for k, s in enumerate(job.kinds) if s.available is not None]

    def add(self, columns: Iterable[Column]) -> int:
        """Add columns that are new; returns how many were."""
        fresh = [c for c in dict.fromkeys(columns) if c not in self._known]
        self.columns += fresh
        self._known.update(fresh)
        return len(fresh)

    def matrix(self) -> Any:
        """Rows: piece kinds, nodes, limited kinds. Columns: sticks, then moves to the left."""
        rows: list[int] = []
        cols: list[int] = []
        data: list[float] = []
        T, N = len(self.job.pieces), len(self.net.place)
        place = {k: T + N + i for i, k in enumerate(self.limited)}
        for c, column in enumerate(self.columns):
            entries = [(t, n) for t, n in enumerate(column.counts) if n]
            entries += [(T + int(self.net.head[a]), 1) for a in column.arcs]
            entries += [(T + int(self.net.tail[a]), -1) for a in column.arcs]
            if column.kind in place:
                entries.append((place[column.kind], 1))
            rows += [r for r, _ in entries]
            cols += [c] * len(entries)
            data += [float(v) for _, v in entries]
        moved = np.flatnonzero(self.net.left >= 0)
        after = (len(self.columns) + np.arange(len(moved))).tolist()
        rows += (T + moved).tolist() + (T + self.net.left[moved]).tolist()
        cols += after + after
        data += [-1.0] * len(moved) + [1.0] * len(moved)
        shape = (T + N + len(self.limited), len(self.columns) + len(moved))
        return matrix(rows, cols, data, shape)

    def sides(self) -> Floats:
        """Wanted per row: pieces, net flow into each node, sticks to be had."""
        flow = np.zeros(len(self.net.place))
        many = np.array([len(b.ids) for b in self.job.longs], dtype=float)
        flow[self.net.sources], flow[self.net.sinks] = -many, many
        wanted = np.array([len(p.ids) for p in self.job.pieces], dtype=float)
        had = np.array([self.job.kinds[k].available for k in self.limited], dtype=float)
        return np.concatenate([wanted, flow, had])

    def solve(self, aim: Weights, caps: tuple[Cap, ...]) -> Duals:
        """The linear program over the present columns, with dear stand-ins for what is missing."""
        T, N = len(self.job.pieces), len(self.net.place)
        real, sides = self.matrix(), self.sides()
        stand_in, dear = self._stand_ins(aim, len(sides))
        A = beside(real, stand_in)
        cost = np.zeros(A.shape[1])
        cost[: len(self.columns)] = [aim.of(c) for c in self.columns]
        cost[real.shape[1] :] = dear
        upper = [-A[:T], A[T + N :]]
        limits = [-sides[:T], sides[T + N :]]
        for cap in caps:
            row = np.zeros(A.shape[1])
            row[: len(self.columns)] = [cap.weights.of(c) for c in self.columns]
            upper.append(single(row))
            limits.append(np.array([cap.most]))
        found = linear(cost, stacked(upper), np.concatenate(limits), A[T : T + N], sides[T : T + N])
        kinds = np.zeros(len(self.job.kinds))
        kinds[self.limited] = found.upper[T : T + len(self.limited)]
        return Duals(found.value, -found.upper[:T], found.equal, kinds,
                     found.upper[T + len(self.limited) :],
                     float(found.x[real.shape[1] :].sum()))  # fmt: skip

    def _stand_ins(self, aim: Weights, rows: int) -> tuple[Any, Floats]:
        """One per piece kind and one per long kind, dearer than any real plan could be."""
        T = len(self.job.pieces)
        size = T + len(self.net.sources)
        r = [*range(T), *(T + self.net.sources), *(T + self.net.sinks)]
        c = [*range(size), *range(T, size)]
        v = [1.0] * T + [-1.0] * (size - T) + [1.0] * (size - T)
        per_stick = float(np.max(aim.kinds, initial=0.0)) + 10 * aim.part
        return matrix(r, c, v, (rows, size)), np.full(size, 300 * per_stick)

    def generate(
        self, aim: Weights, caps: tuple[Cap, ...], enough: float, sticks: float, deadline: float
    ) -> tuple[float, bool]:
        """Add columns until none improves; returns (bound, whether the program was solved out).

        Stops early once the bound reaches ``enough``. ``sticks``: no plan worth having opens
        more of one kind; it makes the bound valid before the end.
        """
        bound = -np.inf
        while True:
            duals = self.solve(aim, caps)
            worth = self._arc_worth(duals, aim, caps)
            best, columns = self.filler.fill(duals.pieces, worth)
            price = self._stick_price(duals, aim, caps)
            reduced = price - np.array(best)
            most = [sticks if k.available is None else k.available for k in self.job.kinds]
            now = duals.value + float(np.minimum(reduced, 0.0) @ np.array(most))
            bound = max(bound, now)
            good = [c for c in columns
                    if price[c.kind] - self._worth(c, duals, worth) < -1e-7]  # fmt: skip
            if bound >= enough or time.monotonic() > deadline:
                return bound, False
            if not good or not self.add(good):
                return bound, duals.short < 1e-7

    def _worth(self, column: Column, duals: Duals, arcs: Floats) -> float:
        return float(np.dot(column.counts, duals.pieces)) + float(arcs[list(column.arcs)].sum())

    def _stick_price(self, duals: Duals, aim: Weights, caps: tuple[Cap, ...]) -> Floats:
        price = aim.kinds - duals.kinds
        for cap, mu in zip(caps, duals.caps, strict=True):
            price = price - mu * cap.weights.kinds
        return price

    def _arc_worth(self, duals: Duals, aim: Weights, caps: tuple[Cap, ...]) -> Floats:
        part = aim.part - sum(
            mu * cap.weights.part for cap, mu in zip(caps, duals.caps, strict=True)
        )
        if not len(duals.nodes):
            return np.empty(0)
        return duals.nodes[self.net.head] - duals.nodes[self.net.tail] - part
