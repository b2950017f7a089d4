"""Exact model of cutting a few given sticks: which part of which beam comes from which stick.

Every use of a part on a stick carries its own two ends, held between the limits of their zones
times whether it is used. No row needs a large constant, so small jobs are proven at once.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.job import Job
from plumbrail.stock.patterns import Part, Pattern, beams_of, ends_of
from plumbrail.stock.solver import Program, Rows, Terms, Total, minimise
from plumbrail.stock.zonal import Solution, twin_rows

NODES = 5_000


class Layout:
    """The model of one job on the sticks of one purchase.

    Columns: whether each use is made; its left ends; its right ends; pieces of each kind per
    stick; places of the splices.
    """

    def __init__(self, job: Job, parts: list[Part], kinds: list[int]) -> None:
        self.job, self.parts, self.kinds = job, parts, kinds
        self.uses = [
            (n, s) for s, k in enumerate(kinds) for n, part in enumerate(parts)
            if part.least + job.kerf <= job.kinds[k].capacity
        ]  # fmt: skip
        self.ends = [ends_of(b) for b in beams_of(job)]
        self.first = np.cumsum([0, *(len(e.low) for e in self.ends)])
        self.pieces = 3 * len(self.uses)
        self.places = self.pieces + len(job.pieces) * len(kinds)
        self.rows = Rows()
        self._limits()
        self._paths()
        self._sticks()
        starts = [(n, u) for u, (n, _) in enumerate(self.uses) if parts[n].tail == 0]
        twin_rows(self.rows, job, parts, starts)

    def _sides(self, u: int) -> tuple[tuple[int, int], tuple[int, int]]:
        """Column and place of the left and of the right end of a use."""
        part, many = self.parts[self.uses[u][0]], len(self.uses)
        return (many + u, part.tail), (2 * many + u, part.head)

    def _limits(self) -> None:
        for u, (n, s) in enumerate(self.uses):
            part, at = self.parts[n], self.ends[self.parts[n].beam]
            for column, end in self._sides(u):
                self.rows.add([(column, 1.0), (u, -at.low[end])], 0.0, np.inf)
                self.rows.add([(column, 1.0), (u, -at.high[end])], -np.inf, 0.0)
            (left, _), (right, _) = self._sides(u)
            most = min(part.most, self.job.kinds[self.kinds[s]].capacity - self.job.kerf)
            self.rows.add([(right, 1.0), (left, -1.0), (u, -part.least)], 0.0, np.inf)
            self.rows.add([(right, 1.0), (left, -1.0), (u, -most)], -np.inf, 0.0)

    def _paths(self) -> None:
        """The parts used make one path from end to end of each beam, and meet at its places."""
        flow: dict[tuple[int, int], Terms] = {}
        meet: dict[tuple[int, int, bool], Terms] = {}
        for u, (n, _) in enumerate(self.uses):
            beam = self.parts[n].beam
            for right, (column, end) in enumerate(self._sides(u)):
                flow.setdefault((beam, end), []).append((u, 1.0 if right else -1.0))
                meet.setdefault((beam, end, bool(right)), []).append((column, 1.0))
        for beam, at in enumerate(self.ends):
            last = len(at.low) - 1
            for end in range(last + 1):
                net = {0: -1.0, last: 1.0}.get(end, 0.0)
                self.rows.add(flow.get((beam, end), []), net, net)
                place = (self.places + int(self.first[beam]) + end, -1.0)
                for right in (False, True) if 0 < end < last else ():
                    self.rows.add([*meet.get((beam, end, right), []), place], 0.0, 0.0)

    def _sticks(self) -> None:
        kerf, count = self.job.kerf, len(self.kinds)
        loads: list[Terms] = [[] for _ in self.kinds]
        for u, (_, s) in enumerate(self.uses):
            (left, _), (right, _) = self._sides(u)
            loads[s] += [(right, 1.0), (left, -1.0), (u, float(kerf))]
        for t, piece in enumerate(self.job.pieces):
            mine = [self.pieces + t * count + s for s in range(count)]
            for s, column in enumerate(mine):
                loads[s].append((column, float(piece.length + kerf)))
            self.rows.add([(c, 1.0) for c in mine], len(piece.ids), len(piece.ids))
        for s, k in enumerate(self.kinds):
            self.rows.add(loads[s], 0.0, float(self.job.kinds[k].capacity))
            if s and self.kinds[s - 1] == k:  # of sticks alike, the fuller first
                other = [(c, -v) for c, v in loads[s]]
                self.rows.add(loads[s - 1] + other, 0.0, np.inf)

    def solve(self, fewest: int, most: float, seconds: float) -> Solution | None:
        """Fewest parts between two limits; None: nothing found. Times count uses, then pieces."""
        many, total = len(self.uses), self.places + int(self.first[-1])
        parts, whole = np.zeros(total), np.ones(total, dtype=bool)
        parts[:many], whole[many : self.pieces] = 1.0, False
        upper = np.full(total, float(self.job.total))
        upper[:many] = 1.0
        program = Program(parts, *self.rows.limits(total), np.zeros(total), upper, whole)
        answer = minimise(program, [Total(parts, float(fewest), most)], seconds, NODES)
        if answer.infeasible:
            return Solution(np.empty(0, np.int64), np.empty(0, np.int64), np.inf)
        if answer.x is None:
            return None
        x: NDArray[np.int64] = np.round(answer.x).astype(np.int64)
        times = np.concatenate([x[:many], x[self.pieces : self.places]])
        return Solution(times, x[self.places :], answer.bound)

    def patterns(self, found: Solution) -> tuple[Pattern, ...]:
        """One pattern per stick of a solution."""
        many, count = len(self.uses), len(self.kinds)
        pieces = found.times[many:].reshape(len(self.job.pieces), count)
        return tuple(
            Pattern(
                k, tuple(pieces[:, s].tolist()),
                tuple(n for u, (n, at) in enumerate(self.uses) if at == s and found.times[u]), 0,
            )
            for s, k in enumerate(self.kinds)
        )  # fmt: skip
