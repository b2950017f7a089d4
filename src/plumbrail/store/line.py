"""Undo and redo as a pure function of the steps of a job: nothing but the steps remembers them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from plumbrail.store.records import Step, StepKind


@dataclass(frozen=True, slots=True)
class Line:
    """The states that undo and redo move along, as the revisions that first had them."""

    revisions: tuple[int, ...] = ()
    at: int = -1
    """Which of them the plan is now."""

    @property
    def undo(self) -> int | None:
        """The revision whose text the next undo brings back; None at the beginning."""
        return self.revisions[self.at - 1] if self.at > 0 else None

    @property
    def redo(self) -> int | None:
        """The revision whose text the next redo brings back; None where nothing was undone."""
        beyond = self.at + 1
        return self.revisions[beyond] if beyond < len(self.revisions) else None


def line_of(steps: Iterable[Step]) -> Line:
    """The line after all ``steps`` of one job, in their order.

    An undo moves back on the line and a redo forward; everything else, going back to an older
    revision too, is a new state behind the present one, and what lay beyond is dropped.
    """
    revisions: list[int] = []
    at = -1
    for step in steps:
        if step.kind is StepKind.UNDO:
            at -= 1
        elif step.kind is StepKind.REDO:
            at += 1
        else:
            at += 1
            revisions[at:] = [step.revision]
    return Line(tuple(revisions), at)
