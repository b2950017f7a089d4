"""What a run was made from: plan, program, tables. Printed on every paper."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail import __version__
from plumbrail.plan.reader import LoadedPlan
from plumbrail.tables.loader import fingerprint


@dataclass(frozen=True)
class Run:
    """Identity of one computation of one plan."""

    plan: str
    """SHA-256 of the plan file."""
    program: str
    tables: str
    """SHA-256 over the checksums of all tables."""
    source: str

    @property
    def short(self) -> str:
        """Short form for title blocks."""
        return f"plan {self.plan[:8]}, plumbrail {self.program}, tables {self.tables[:8]}"


def run_of(loaded: LoadedPlan) -> Run:
    """The identity of a run of this plan."""
    return Run(loaded.sha256, __version__, fingerprint(), loaded.source)
