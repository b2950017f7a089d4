"""Exact model of cutting given sticks: which part of which beam comes from which stick.

Every use of a part on a stick carries its own two ends, so that no row needs a large constant;
this keeps the model tight and lets small jobs be proven at once.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.job import Job
from plumbrail.stock.patterns import Part, beams_of, ends_of
from plumbrail.stock.solver import Answer, Program, matrix, minimise

Terms = list[tuple[int, float]]


@dataclass
class _Rows:
    entries: list[tuple[int, int, float]] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def add(self, terms: Terms, low: float, high: float) -> None:
        self.entries += [(len(self.low), column, value) for column, value in terms]
        self.low.append(low)
        self.high.append(high)


class Layout:
    def __init__(self, job: Job, parts: list[Part], kinds: list[int], sym=True) -> None:
        self.job, self.parts, self.kinds = job, parts, kinds
        self.uses = [
            (n, s) for s, k in enumerate(kinds) for n, part in enumerate(parts)
            if part.least + job.kerf <= job.kinds[k].capacity
        ]
        self.beams = beams_of(job)
        self.ends = [ends_of(b) for b in self.beams]
        self.first = np.cumsum([0, *(len(e.low) for e in self.ends)])
        U = len(self.uses)
        self.piece0 = 3 * U
        S = len(kinds)
        self.place0 = 3 * U + len(job.pieces) * S
        self.total = self.place0 + int(self.first[-1])
        self.rows = _Rows()
        self.upper = np.full(self.total, np.inf)
        self.upper[:U] = 1
        self._ends(); self._paths(); self._fits()
        if sym: self._order()
        self._twins()

    def _ends(self):
        U = len(self.uses)
        for u, (n, s) in enumerate(self.uses):
            p = self.parts[n]; e = self.ends[p.beam]
            t, h = U + u, 2 * U + u
            self.upper[t] = e.high[p.tail]; self.upper[h] = e.high[p.head]
            self.rows.add([(t, 1.0), (u, -e.low[p.tail])], 0, np.inf)
            self.rows.add([(t, 1.0), (u, -e.high[p.tail])], -np.inf, 0)
            self.rows.add([(h, 1.0), (u, -e.low[p.head])], 0, np.inf)
            self.rows.add([(h, 1.0), (u, -e.high[p.head])], -np.inf, 0)
            most = min(p.most, self.job.kinds[self.kinds[s]].capacity - self.job.kerf)
            self.rows.add([(h, 1.0), (t, -1.0), (u, -p.least)], 0, np.inf)
            self.rows.add([(h, 1.0), (t, -1.0), (u, -most)], -np.inf, 0)

    def _paths(self):
        U = len(self.uses)
        for b, e in enumerate(self.ends):
            for end in range(len(e.low)):
                flow, hs, ts = [], [], []
                for u, (n, s) in enumerate(self.uses):
                    p = self.parts[n]
                    if p.beam != b: continue
                    if p.head == end: flow.append((u, 1.0)); hs.append((2*U+u, 1.0))
                    if p.tail == end: flow.append((u, -1.0)); ts.append((U+u, 1.0))
                f = {0: -1.0, len(e.low)-1: 1.0}.get(end, 0.0)
                self.rows.add(flow, f, f)
                x = self.place0 + int(self.first[b]) + end
                self.upper[x] = e.high[end]
                if 0 < end < len(e.low) - 1:
                    self.rows.add([*hs, (x, -1.0)], 0, 0)
                    self.rows.add([*ts, (x, -1.0)], 0, 0)
                    self.rows.add([w for w in flow if w[1] > 0], 0, 1)
        T, S = len(self.job.pieces), len(self.kinds)
        for t, piece in enumerate(self.job.pieces):
            self.rows.add([(self.piece0 + t * S + s, 1.0) for s in range(S)], len(piece.ids), len(piece.ids))
            for s, k in enumerate(self.kinds):
                self.upper[self.piece0 + t * S + s] = min(len(piece.ids), self.job.kinds[k].capacity // (piece.length + self.job.kerf))

    def load(self, s) -> Terms:
        U, S = len(self.uses), len(self.kinds)
        terms = [(self.piece0 + t * S + s, float(p.length + self.job.kerf)) for t, p in enumerate(self.job.pieces)]
        for u, (n, stick) in enumerate(self.uses):
            if stick == s:
                terms += [(2*U+u, 1.0), (U+u, -1.0), (u, float(self.job.kerf))]
        return terms

    def _fits(self):
        for s, k in enumerate(self.kinds):
            self.rows.add(self.load(s), 0, self.job.kinds[k].capacity)

    def _order(self):
        for s in range(len(self.kinds) - 1):
            if self.kinds[s] == self.kinds[s+1]:
                self.rows.add(self.load(s) + [(c, -v) for c, v in self.load(s+1)], 0, np.inf)

    def _twins(self):
        for b in range(len(self.beams) - 1):
            if self.beams[b] is self.beams[b+1]:
                terms = []
                for u, (n, s) in enumerate(self.uses):
                    p = self.parts[n]
                    if p.tail == 0 and p.beam in (b, b+1):
                        terms.append((u, float(p.head if p.beam == b else -p.head)))
                self.rows.add(terms, -np.inf, 0)

    def solve(self, least, seconds) -> Answer:
        U = len(self.uses)
        r, c, v = (np.array(x) for x in zip(*self.rows.entries))
        cost = np.zeros(self.total); cost[:U] = 1
        whole = np.zeros(self.total, dtype=bool)
        whole[:U] = True; whole[self.piece0:] = True
        A = matrix(r, c, v, (len(self.rows.low), self.total))
        from plumbrail.stock.solver import Total
        return minimise(Program(cost, A, np.array(self.rows.low), np.array(self.rows.high), np.zeros(self.total), self.upper, whole), [Total(cost, least, np.inf)], seconds)
