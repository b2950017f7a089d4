"""The best way to fill one stick, given what each piece and each part is worth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.job import Job
from plumbrail.stock.network import Network

Floats = NDArray[np.float64]
TINY = 1e-9


@dataclass(frozen=True)
class Column:
    """What one stick is cut into: its kind, pieces per piece kind, and arcs of long pieces."""

    kind: int
    counts: tuple[int, ...]
    arcs: tuple[int, ...]

    def used(self, job: Job, net: Network) -> int:
        """Grid steps taken up, with one kerf per part."""
        whole = sum(n * (p.length + job.kerf) for n, p in zip(self.counts, job.pieces, strict=True))
        return whole + sum(int(net.length[a]) + job.kerf for a in self.arcs)


class Filler:
    """Fills sticks for changing worths; built once per network."""

    def __init__(self, job: Job, net: Network) -> None:
        self.job, self.net = job, net
        self.most = max(k.capacity for k in job.kinds)
        self.weights = np.unique(net.length)
        self.starts = np.searchsorted(net.length, self.weights)
        self.ends = np.append(self.starts[1:], len(net.length))
        self.copies = [
            (t, p.length + job.kerf)
            for t, p in enumerate(job.pieces)
            for _ in range(min(len(p.ids), self.most // (p.length + job.kerf)))
        ]

    def fill(self, pieces: Floats, arcs: Floats) -> tuple[list[float], list[Column]]:
        """Best worth per kind of stick and columns that reach it, then further good columns.

        ``pieces``: worth per piece kind; ``arcs``: worth per arc. A piece is never taken more
        often than it is wanted; arcs may repeat, which only weakens the bound.
        """
        self._value_parts(arcs)
        layers = self._part_layers()
        tables = self._piece_tables(pieces, layers[-1])
        best, columns = [], []
        for kind, stick in enumerate(self.job.kinds):
            best.append(float(tables[-1][stick.capacity]))
            columns.append(self._trace(kind, stick.capacity, pieces, tables, layers))
        return best, columns + self._beside(pieces, arcs)

    def _value_parts(self, arcs: Floats) -> None:
        """Keep, per length, the most valuable arc, and drop lengths that a shorter one beats."""
        self.part_weight, self.part_value = np.empty(0, dtype=np.int64), np.empty(0)
        self.part_arc = np.empty(0, dtype=np.int64)
        if not len(arcs):
            return
        value = np.maximum.reduceat(arcs, self.starts)
        before = np.maximum.accumulate(np.concatenate([[TINY], value[:-1]]))
        keep = np.flatnonzero(value > before + TINY)
        self.part_weight, self.part_value = self.weights[keep] + self.job.kerf, value[keep]
        spans = zip(self.starts[keep], self.ends[keep], strict=True)
        self.part_arc = np.array([a + int(arcs[a:b].argmax()) for a, b in spans], dtype=np.int64)

    def _part_layers(self) -> list[Floats]:
        layers = [np.zeros(self.most + 1)]
        while len(self.part_weight):
            last, following = layers[-1], layers[-1].copy()
            for weight, value in zip(self.part_weight, self.part_value, strict=True):
                if weight <= self.most:
                    np.maximum(following[weight:], last[: self.most + 1 - weight] + value,
                               out=following[weight:])  # fmt: skip
            if not (following > last + TINY).any():
                break
            layers.append(following)
        return layers

    def _piece_tables(self, pieces: Floats, start: Floats) -> list[Floats]:
        tables = [start]
        for t, weight in self.copies:
            if pieces[t] <= TINY:
                tables.append(tables[-1])
                continue
            following = tables[-1].copy()
            np.maximum(following[weight:], tables[-1][: self.most + 1 - weight] + pieces[t],
                       out=following[weight:])  # fmt: skip
            tables.append(following)
        return tables

    def _trace(
        self, kind: int, room: int, pieces: Floats, tables: list[Floats], layers: list[Floats]
    ) -> Column:
        counts = [0] * len(self.job.pieces)
        for step in range(len(self.copies), 0, -1):
            if tables[step][room] > tables[step - 1][room]:
                t, weight = self.copies[step - 1]
                counts[t] += 1
                room -= weight
        return Column(kind, tuple(counts), self._trace_parts(room, layers))

    def _trace_parts(self, room: int, layers: list[Floats]) -> tuple[int, ...]:
        arcs: list[int] = []
        for layer in range(len(layers) - 1, 0, -1):
            if layers[layer][room] > layers[layer - 1][room]:
                fits = np.flatnonzero(self.part_weight <= room)
                gain = layers[layer - 1][room - self.part_weight[fits]] + self.part_value[fits]
                pick = fits[int(gain.argmax())]
                arcs.append(int(self.part_arc[pick]))
                room -= int(self.part_weight[pick])
        return tuple(sorted(arcs))

    def _beside(self, pieces: Floats, arcs: Floats) -> list[Column]:
        """Per head of an arc the best arc into it, with the best pieces beside it."""
        if not len(arcs):
            return []
        tables = self._piece_tables(pieces, np.zeros(self.most + 1))
        columns = []
        for kind, stick in enumerate(self.job.kinds):
            room = stick.capacity - self.job.kerf - self.net.length
            fits = np.flatnonzero(room >= 0)
            worth = arcs[fits] + tables[-1][room[fits]]
            order = fits[np.lexsort((-worth, self.net.head[fits]))]
            first = np.flatnonzero(np.diff(self.net.head[order], prepend=-1))
            for arc in order[first]:
                column = self._trace(kind, int(room[arc]), pieces, tables, [np.zeros(1)])
                columns.append(Column(kind, column.counts, (int(arc),)))
        return columns
