"""What could be bought at all, the best purchase first."""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass

from plumbrail.stock.bounds import material
from plumbrail.stock.job import Job

LOOKED = 50_000
"""Purchases beyond this are not looked at, those too short for the material included."""


@dataclass(frozen=True, order=True)
class Purchase:
    """Sticks per kind; ``cost`` and ``length`` [steps] put purchases in order."""

    cost: float
    length: int
    counts: tuple[int, ...]

    def equals(self, other: Purchase) -> bool:
        """Same cost and same waste."""
        return (self.cost, self.length) == (other.cost, other.length)

    def spare(self, job: Job) -> int:
        """Capacity beyond what any plan needs [steps]; below 0: too short."""
        held = sum(n * k.capacity for n, k in zip(self.counts, job.kinds, strict=True))
        return held - material(job)


def purchases(job: Job) -> Iterator[Purchase]:
    """Purchases that hold the material, cheapest first, then shortest; own offcuts count too."""
    queue: list[tuple[Purchase, int]] = [(Purchase(0.0, 0, (0,) * len(job.kinds)), 0)]
    for _ in range(LOOKED):
        if not queue:
            return
        now, first = heapq.heappop(queue)
        if now.spare(job) >= 0:
            yield now
        for k in range(first, len(job.kinds)):
            kind = job.kinds[k]
            if kind.available is None or now.counts[k] < kind.available:
                counts = tuple(n + (i == k) for i, n in enumerate(now.counts))
                cost = round(sum(n * x.price for n, x in zip(counts, job.kinds, strict=True)), 6)
                heapq.heappush(queue, (Purchase(cost, now.length + kind.length, counts), k))
