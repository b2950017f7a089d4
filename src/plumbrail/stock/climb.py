"""One purchase after the other, the best first, until one holds the whole job.

All purchases before the one that is found are proven too little, so cost and waste are least by
the order alone; only the number of splices is left to the solver.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from itertools import islice, takewhile

import numpy as np

from plumbrail.stock.bounds import fewest_parts
from plumbrail.stock.job import Job
from plumbrail.stock.layout import Layout
from plumbrail.stock.outcome import untidiness
from plumbrail.stock.patterns import Part, Pattern
from plumbrail.stock.purchases import Purchase, purchases
from plumbrail.stock.zonal import Caps, Zonal

FEW = 4
"""Up to so many sticks, parts are shared out stick by stick; beyond, by patterns."""
NODES = 5_000


class Verdict(Enum):
    """What is known of one purchase when there is no plan."""

    TOO_LITTLE = "proven too little"
    UNKNOWN = "no plan found, none excluded"


@dataclass(frozen=True)
class Laid:
    """A plan on one purchase: a pattern per stick, places of splices, fewest parts proven."""

    purchase: Purchase
    sticks: tuple[Pattern, ...]
    places: tuple[int, ...]
    bound: float

    @property
    def parts(self) -> int:
        """Parts of long pieces."""
        return sum(len(p.parts) for p in self.sticks)


@dataclass(frozen=True)
class Climb:
    """How far it went: a plan or none, and the cost below which nothing can be done."""

    laid: Laid | None
    cost: float


@dataclass(frozen=True)
class Climber:
    """The job with its parts and all its patterns (None: too many)."""

    job: Job
    parts: list[Part]
    patterns: list[Pattern] | None
    deadline: float

    def climb(self, least: float, rungs: int) -> Climb:
        """Try up to ``rungs`` purchases that cost at least ``least``."""
        order = (p for p in purchases(self.job) if p.cost >= least - 1e-6)
        cost = least
        for purchase in islice(order, rungs):
            cost = purchase.cost
            found = self._lay(purchase)
            if isinstance(found, Laid):
                return Climb(self._among_equals(found, order), cost)
            if found is Verdict.UNKNOWN:
                return Climb(None, cost)
        return Climb(None, cost)

    def _among_equals(self, best: Laid, order: Iterator[Purchase]) -> Laid:
        """Other purchases of the same cost and waste may need fewer splices."""
        bound = best.bound
        for purchase in takewhile(best.purchase.equals, order):
            found = self._lay(purchase)
            if isinstance(found, Laid):
                bound = min(bound, found.bound)
                best = min(best, found, key=lambda f: f.parts)
            elif found is Verdict.UNKNOWN:
                bound = float(fewest_parts(self.job))
        return Laid(best.purchase, best.sticks, best.places, bound)

    def _seconds(self) -> float:
        """A share of the time left: a safety net, not met by jobs of an ordinary size."""
        return max(0.0, self.deadline - time.monotonic()) * 0.4

    def _lay(self, purchase: Purchase) -> Laid | Verdict:
        found: Laid | Verdict = Verdict.UNKNOWN
        if sum(purchase.counts) <= FEW:
            found = self._by_sticks(purchase)
        if found is Verdict.UNKNOWN and self.patterns is not None:
            found = self._by_patterns(purchase, self.patterns)
        return found

    def _by_sticks(self, purchase: Purchase) -> Laid | Verdict:
        """The fewest parts first: each number of parts is far easier than any number."""
        kinds = [k for k, n in enumerate(purchase.counts) for _ in range(n)]
        layout = Layout(self.job, self.parts, kinds)
        least = fewest_parts(self.job)
        for fewest, most in ((least, least), (least + 1, least + 1), (least + 2, np.inf)):
            found = layout.solve(fewest, float(most), self._seconds())
            if found is None:
                return Verdict.UNKNOWN
            if len(found.times):
                sticks = layout.patterns(found)
                bound = max(float(fewest), found.bound)
                return Laid(purchase, sticks, tuple(found.places.tolist()), bound)
        return Verdict.TOO_LITTLE

    def _by_patterns(self, purchase: Purchase, patterns: list[Pattern]) -> Laid | Verdict:
        """Only patterns that waste no more than the purchase has to spare can be sawn."""
        spare = purchase.spare(self.job)
        usable = [p for p in patterns if p.spare <= spare and purchase.counts[p.kind]]
        if not usable:
            return Verdict.TOO_LITTLE
        fewest = float(fewest_parts(self.job))
        found = self._sawn(purchase, usable, [], lambda p: float(len(p.parts)), fewest)
        return self._tidied(found) if isinstance(found, Laid) else found

    def _sawn(
        self, purchase: Purchase, usable: list[Pattern], caps: Caps,
        aim: Callable[[Pattern], float], least: float,
    ) -> Laid | Verdict:  # fmt: skip
        """Least ``aim`` with just the sticks of the purchase."""
        model = Zonal(self.job, self.parts, usable)
        wasted = np.array([float(max(0, p.spare)) for p in usable])
        caps = [*caps, (wasted, float(purchase.spare(self.job)))]
        for k, n in enumerate(purchase.counts):
            of_kind = np.array([float(p.kind == k) for p in usable])
            caps += [(of_kind, float(n)), (-of_kind, -float(n))]
        aims = np.array([aim(p) for p in usable])
        found = model.solve(aims, caps, least, self._seconds(), NODES)
        if found is None:
            return Verdict.UNKNOWN
        if not len(found.times):
            return Verdict.TOO_LITTLE
        pairs = zip(usable, found.times.tolist(), strict=True)
        sticks = tuple(p for p, n in pairs for _ in range(n))
        return Laid(purchase, sticks, tuple(found.places.tolist()), found.bound)

    def _tidied(self, best: Laid) -> Laid:
        """With the same parts of beams, like with like and the offcuts in few sticks."""
        parts = {n for p in best.sticks for n in p.parts}
        spare = best.purchase.spare(self.job)
        usable = [
            p for p in self.patterns or () if p.spare <= spare and parts.issuperset(p.parts)
        ]  # fmt: skip
        most = [(np.array([float(len(p.parts)) for p in usable]), float(best.parts))]
        found = self._sawn(best.purchase, usable, most, self._taste, -np.inf)
        if not isinstance(found, Laid):
            return best
        old, new = (sum(map(self._taste, f.sticks)) for f in (best, found))
        return replace(found, bound=best.bound) if new < old else best

    def _taste(self, p: Pattern) -> float:
        return untidiness(self.job, p.kind, p.counts, len(p.parts), p.spare)
