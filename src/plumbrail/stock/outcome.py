"""What a way of solving hands back."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.stock.job import Job
from plumbrail.stock.records import Level, Splices, Stick


@dataclass(frozen=True)
class Outcome:
    """A plan with what is proven of it.

    ``levels``: cost, length opened [steps], parts of long pieces. ``anywhere``: bound on cost for
    splices anywhere in the zones. ``spacing``: splice positions considered are this far apart
    [steps]; 1 means every one.
    """

    sticks: tuple[Stick, ...]
    splices: tuple[Splices, ...]
    levels: tuple[Level, Level, Level]
    anywhere: float
    spacing: int

    @property
    def rank(self) -> tuple[float, float, float]:
        """Smaller is better."""
        cost, length, parts = (level.value for level in self.levels)
        return round(cost, 6), length, parts


def untidiness(job: Job, kind: int, counts: tuple[int, ...], parts: int, room: int) -> float:
    """How little one likes to saw a stick this way: a taste, not an aim that is proven.

    Every further length on a stick is another setting of the stop; one large offcut is worth more
    than several small ones.
    """
    lengths = sum(n > 0 for n in counts) + parts
    share = max(0, room) / job.kinds[kind].capacity
    return lengths + 0.4 * (1.0 - share**2)
