"""Exact model of cutting and splicing at once: patterns chosen, splices free within their zones.

Whole numbers say how often a pattern is sawn and where each splice lies; a pattern whose parts
might not fit at their longest holds the splices back when it is used.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.job import Job
from plumbrail.stock.patterns import Part, Pattern, beams_of, ends_of
from plumbrail.stock.solver import Program, Total, matrix, minimise

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Solution:
    """Times per pattern, place per splice variable [steps], and the solver's bound on the aim."""

    times: NDArray[np.int64]
    places: NDArray[np.int64]
    bound: float


@dataclass
class _Rows:
    entries: list[tuple[int, int, float]] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def add(self, terms: list[tuple[int, float]], low: float, high: float) -> None:
        self.entries += [(len(self.low), column, value) for column, value in terms]
        self.low.append(low)
        self.high.append(high)


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
        self.rows = _Rows()
        self.used = sorted(self.using)
        self.tails = {n: len(patterns) + i for i, n in enumerate(self.used)}
        self.heads = {n: at + len(self.used) for n, at in self.tails.items()}
        self.uses = {n: at + 2 * len(self.used) for n, at in self.tails.items()}
        self.places = len(patterns) + 3 * len(self.used)
        self._wanted()
        self._paths()
        self._ends()
        self._fits()
        self._twins()

    def place(self, beam: int, end: int) -> int:
        """Column of the variable for a place of a beam; 0 when there is no splice."""
        return self.places + int(self.first[beam]) + end

    def use(self, n: int, weight: float) -> list[tuple[int, float]]:
        """So much when part ``n`` is used."""
        return [(self.uses[n], weight)]

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
                terms: list[tuple[int, float]] = []
                for n, part in enumerate(self.parts):
                    if part.beam == beam and end in (part.tail, part.head):
                        sign = 1.0 if part.head == end else -1.0
                        terms += self.use(n, sign) if n in self.using else []
                flow = {0: -1.0, len(at.low) - 1: 1.0}.get(end, 0.0)
                self.rows.add(terms, flow, flow)

    def _twins(self) -> None:
        """Of two long pieces alike, the first part of one ends no later: no mirror plans."""
        beams = beams_of(self.job)
        for beam in range(len(beams) - 1):
            if beams[beam] is beams[beam + 1]:
                terms = [
                    (self.uses[n], float(part.head if part.beam == beam else -part.head))
                    for n, part in enumerate(self.parts)
                    if part.tail == 0 and part.beam in (beam, beam + 1) and n in self.using
                ]
                self.rows.add(terms, -np.inf, 0.0)

    def _ends(self) -> None:
        """Both ends of a used part lie in their zones; all ends at one splice are one place.

        Every row is scaled by whether the part is used, so that no large constant loosens it.
        """
        meet: dict[tuple[int, int], list[list[tuple[int, float]]]] = {}
        for n in self.used:
            part = self.parts[n]
            at = self.ends[part.beam]
            for column, end in ((self.tails[n], part.tail), (self.heads[n], part.head)):
                self.rows.add([(column, 1.0), *self.use(n, -at.low[end])], 0.0, np.inf)
                self.rows.add([(column, 1.0), *self.use(n, -at.high[end])], -np.inf, 0.0)
                sides = meet.setdefault((part.beam, end), [[], []])
                sides[end == part.head].append((column, 1.0))
            self.rows.add([(self.uses[n], -1.0), *((p, 1.0) for p in self.using[n])], 0.0, 0.0)
            length = [(self.heads[n], 1.0), (self.tails[n], -1.0)]
            self.rows.add([*length, *self.use(n, -part.least)], 0.0, np.inf)
            longest = [(p, -float(self._longest(n, p))) for p in self.using[n]]
            self.rows.add([*length, *longest], -np.inf, 0.0)
        for (beam, end), sides in meet.items():
            if 0 < end < len(self.ends[beam].low) - 1:
                for side in sides:
                    self.rows.add([*side, (self.place(beam, end), -1.0)], 0.0, 0.0)

    def _longest(self, n: int, p: int) -> int:
        """Longest that a part can be on a stick of a pattern: the others at their least."""
        pattern = self.patterns[p]
        others = sum(self.parts[m].most - self.parts[m].least for m in pattern.parts if m != n)
        return min(self.parts[n].most, self.parts[n].most + pattern.spare + others)

    def _fits(self) -> None:
        """One row for all patterns with the same parts, of which one at most is used."""
        alike: dict[tuple[int, ...], list[tuple[int, float]]] = {}
        for p, pattern in enumerate(self.patterns):
            if pattern.spare < 0 and len(pattern.parts) > 1:
                alike.setdefault(pattern.parts, []).append((p, -float(pattern.spare)))
        for parts, terms in alike.items():
            for n in parts:
                terms += [(self.heads[n], 1.0), (self.tails[n], -1.0)]
                terms += self.use(n, -float(self.parts[n].most))
            self.rows.add(terms, -np.inf, 0.0)

    def solve(
        self, aim: Floats, caps: list[tuple[Floats, float]], least: float, seconds: float
    ) -> Solution | None:
        """Least ``aim`` (per pattern) within ``caps``; None when nothing was found in time.

        An infeasible model gives a solution without times and an infinite bound.
        """
        count, total = len(self.patterns), self.places + int(self.first[-1])
        r, c, v = (np.array(x) for x in zip(*self.rows.entries, strict=True))
        A = matrix(r, c, v, (len(self.rows.low), total))
        rest = np.zeros(total - count)
        upper = [1.0 if x.parts else np.inf for x in self.patterns]
        ends = 2 * [self.job.total] * len(self.used) + [1.0] * len(self.used)
        whole = np.ones(total, dtype=bool)
        whole[count : self.places] = False
        program = Program(
            np.concatenate([aim, rest]), A, np.array(self.rows.low), np.array(self.rows.high),
            np.zeros(total), np.concatenate([upper, ends, *(e.high for e in self.ends)]), whole,
        )  # fmt: skip
        totals = [Total(program.cost, least, np.inf)]
        totals += [Total(np.concatenate([w, rest]), -np.inf, most) for w, most in caps]
        answer = minimise(program, totals, seconds)
        if answer.infeasible:
            return Solution(np.empty(0, np.int64), np.empty(0, np.int64), np.inf)
        if answer.x is None:
            return None
        x = np.round(answer.x).astype(np.int64)
        return Solution(x[:count], x[self.places :], answer.bound)
