"""Exact model of cutting and splicing at once: patterns chosen, splices free within their zones.

Whole numbers say how often a pattern is sawn and where each splice lies; a pattern whose parts
might not fit at their longest holds the splices back when it is used.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.job import Job
from plumbrail.stock.patterns import Part, Pattern, beams_of, ends_of
from plumbrail.stock.solver import Program, Rows, Terms, Total, minimise

Floats = NDArray[np.float64]
Caps = list[tuple[Floats, float]]
"""Weights per pattern, and the most that their sum may be."""


@dataclass(frozen=True)
class Solution:
    """Times per pattern, place per splice variable [steps], and the solver's bound on the aim."""

    times: NDArray[np.int64]
    places: NDArray[np.int64]
    bound: float


def twin_rows(rows: Rows, job: Job, parts: list[Part], starts: list[tuple[int, int]]) -> None:
    """Of two long pieces alike, the first part of one ends no later: no mirror plans.

    ``starts``: first parts of long pieces, and a column that counts each.
    """
    beams = beams_of(job)
    for beam in range(len(beams) - 1):
        if beams[beam] is beams[beam + 1]:
            terms = [
                (column, float(parts[n].head if parts[n].beam == beam else -parts[n].head))
                for n, column in starts
                if parts[n].beam in (beam, beam + 1)
            ]
            rows.add(terms, -np.inf, 0.0)


class Zonal:
    """The model of one job; built once, solved for several aims."""

    def __init__(self, job: Job, parts: list[Part], patterns: list[Pattern]) -> None:
        self.job, self.parts, self.patterns = job, parts, patterns
        self.ends = [ends_of(b) for b in beams_of(job)]
        self.first = np.cumsum([0, *(len(e.low) for e in self.ends)])
        self.using: dict[int, list[int]] = {}
        for p, pattern in enumerate(patterns):
            for n in pattern.parts:
                self.using.setdefault(n, []).append(p)
        self.rows = Rows()
        self._wanted()
        self._paths()
        self._fits()
        starts = [(n, p) for n, used in self.using.items() if parts[n].tail == 0 for p in used]
        twin_rows(self.rows, job, parts, starts)

    def place(self, beam: int, end: int) -> int:
        """Column of the variable for a place of a beam."""
        return len(self.patterns) + int(self.first[beam]) + end

    def _wanted(self) -> None:
        for t, piece in enumerate(self.job.pieces):
            terms = [(p, float(x.counts[t])) for p, x in enumerate(self.patterns) if x.counts[t]]
            self.rows.add(terms, float(len(piece.ids)), np.inf)
        for k, kind in enumerate(self.job.kinds):
            if kind.available is not None:
                terms = [(p, 1.0) for p, x in enumerate(self.patterns) if x.kind == k]
                self.rows.add(terms, 0.0, float(kind.available))

    def _paths(self) -> None:
        """The parts used make one path from end to end of each beam."""
        for beam, at in enumerate(self.ends):
            for end in range(len(at.low)):
                terms: Terms = []
                for n, part in enumerate(self.parts):
                    if part.beam == beam and end in (part.tail, part.head):
                        sign = 1.0 if part.head == end else -1.0
                        terms += [(p, sign) for p in self.using.get(n, [])]
                flow = {0: -1.0, len(at.low) - 1: 1.0}.get(end, 0.0)
                self.rows.add(terms, flow, flow)

    def _fits(self) -> None:
        for p, pattern in enumerate(self.patterns):
            if pattern.spare >= 0:
                continue
            parts = [self.parts[n] for n in pattern.parts]
            most = float(sum(part.most for part in parts))
            terms = [(p, float(-pattern.spare))]
            for part in parts:
                terms += [(self.place(part.beam, part.head), 1.0),
                          (self.place(part.beam, part.tail), -1.0)]  # fmt: skip
            self.rows.add(terms, -np.inf, most)
        self._least_parts()

    def _least_parts(self) -> None:
        for n, part in enumerate(self.parts):
            at = self.ends[part.beam]
            lack = part.least - (at.low[part.head] - at.high[part.tail])
            if lack <= 0 or n not in self.using:
                continue
            terms = [(p, -float(lack)) for p in self.using[n]]
            terms += [(self.place(part.beam, part.head), 1.0),
                      (self.place(part.beam, part.tail), -1.0)]  # fmt: skip
            self.rows.add(terms, float(part.least - lack), np.inf)

    def solve(
        self,
        aim: Floats,
        caps: Caps,
        least: float,
        seconds: float,
        nodes: int | None = None,
    ) -> Solution | None:
        """Least ``aim`` (per pattern) within ``caps``; None when nothing was found in time.

        An infeasible model gives a solution without times and an infinite bound.
        """
        count, total = len(self.patterns), len(self.patterns) + int(self.first[-1])
        rest = np.zeros(total - count)
        upper = [1.0 if x.parts else np.inf for x in self.patterns]
        program = Program(
            np.concatenate([aim, rest]), *self.rows.limits(total),
            np.concatenate([np.zeros(count), *(e.low for e in self.ends)]),
            np.concatenate([upper, *(e.high for e in self.ends)]), np.ones(total, dtype=bool),
        )  # fmt: skip
        totals = [Total(program.cost, least, np.inf)]
        totals += [Total(np.concatenate([w, rest]), -np.inf, most) for w, most in caps]
        answer = minimise(program, totals, seconds, nodes)
        if answer.infeasible:
            return Solution(np.empty(0, np.int64), np.empty(0, np.int64), np.inf)
        if answer.x is None:
            return None
        x = np.round(answer.x).astype(np.int64)
        return Solution(x[:count], x[count:], answer.bound)
