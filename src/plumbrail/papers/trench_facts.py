"""What the papers of the trench are made from, and how they say it."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

from plumbrail.check import Check, Status
from plumbrail.model.parts import Model
from plumbrail.papers.wire_facts import failing_words
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.plan.models import Plan
from plumbrail.trench.parts import Crossing, Option, Piece, Trenched
from plumbrail.units import show


@dataclass(frozen=True)
class TrenchFacts:
    """One trench and the job it belongs to."""

    plan: Plan
    model: Model
    trench: Trenched
    job: JobInfo

    def length(self, value: float) -> str:
        """A length on the ground: to an inch, or to 10 mm, as a tape on grass tells it."""
        if self.job.units == "us":
            return show(value, "length", "us", 1)
        return figures(f"{value:.2f} m")

    def count(self, status: Status) -> int:
        """Checks with that outcome."""
        return sum(c.status is status for c in self.trench.checks)


OPTIONS = {
    "proposed": later("proposed"), "shortest": later("shortest"),
    "least hand digging": later("least hand digging"),
    "fewest crossings": later("fewest crossings"),
}  # fmt: skip
KINDS = {
    "service zone": later("zone of {name}"), "roots": later("roots: {name}"),
    "paving": later("paving: {name}"), "rock": later("rock: {name}"),
    "under the array": later("under the array"), "beside": later("{name}"),
}  # fmt: skip


def angle_words(radians: float) -> str:
    """Whole degrees."""
    return figures(f"{degrees(radians):.0f}°")


def hours_words(hours: float) -> str:
    """Hours to a tenth."""
    return figures(f"{hours:.1f} h")


def piece_words(piece: Piece) -> str:
    """What lies over a stretch; open ground where nothing does."""
    said = [
        tell(name) if kind == "beside" else say(KINDS.get(kind, "{name}"), name=name)
        for name, kind in zip(piece.names, piece.kinds, strict=True)
    ]
    return ", ".join(dict.fromkeys(said)) or say("open ground")


def gap_words(c: Crossing, facts: TrenchFacts) -> str:
    """Over or under, and how far; or that it is not known."""
    if c.gap is None or c.over is None:
        return say("depth not known: not checked")
    gap = facts.job.said(c.gap)
    return say("over it, gap {gap}", gap=gap) if c.over else say("under it, gap {gap}", gap=gap)


def differs_words(o: Option) -> str:
    """What differs from the route proposed."""
    if not o.differs:
        return "–"
    return "; ".join(tell(part) for part in o.differs.split("; "))


def verdict_words(facts: TrenchFacts) -> str:
    """One line over the sheets."""
    fails, left = facts.count(Status.FAIL), facts.count(Status.NOT_CHECKED)
    total = len(facts.trench.checks)
    if fails:
        return say("{fails} of {total} checks of the trench FAIL, {left} not checked: do not dig "
                   "from this sheet.", fails=fails, total=total, left=left)  # fmt: skip
    if left:
        return say("No check of the trench fails, {left} of {total} not checked.", total=total,
                   left=left)  # fmt: skip
    return say("All {total} checks of the trench pass.", total=total)


def failing(facts: TrenchFacts) -> list[str]:
    """Checks that fail, in words."""
    return [failing_words(c) for c in facts.trench.checks if c.status is Status.FAIL]


def unchecked(facts: TrenchFacts) -> list[str]:
    """Checks that nobody could make, with what is missing."""
    return [f"{_about(c)}: {tell(c.note)}" for c in facts.trench.checks
            if c.status is Status.NOT_CHECKED]  # fmt: skip


def _about(c: Check) -> str:
    return f"{tell(c.subject)}, {tell(c.title)}"
