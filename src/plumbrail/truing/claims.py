"""What a notebook says about itself that cannot all be true: moves of what does not move."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Axis, Held, Hold, Moved, Notebook, Slides
from plumbrail.plan.truing import Truing
from plumbrail.truing.naming import listed
from plumbrail.truing.suspicion import amount
from plumbrail.truing.versions import SET_TO

_STATES = {Hold.CONCRETED: "in concrete", Hold.SET: "set in a little concrete"}
_PARTS = {"": "top", "base": "foot", "post": "foot"}
_ASK = "which is right?"


def first_of_each(held: Iterable[Held]) -> tuple[Held, ...]:
    """Without rows that only say once more how a post stands: limits count from the first one."""
    found: list[Held] = []
    last: dict[str, Hold] = {}
    for row in held:
        if last.get(row.post) is not row.hold:
            found.append(row)
        last[row.post] = row.hold
    return tuple(found)


def contradicted(notebook: Notebook, truing: Truing, units: str) -> tuple[Problem, ...]:
    """Noted moves that the rows above them say cannot be, with the lines of both.

    A post in concrete does not move; of one that is set only the top leans, as far as the plan
    allows; a beam slides in its collar as far as its ``slides`` row says.
    """
    site = _Site(notebook.moved, first_of_each(notebook.held), notebook.slides, truing.lean, units)
    return tuple(Problem("", words, m.line) for m in notebook.moved for words in site.against(m))


@dataclass(frozen=True)
class _Site:
    moved: Sequence[Moved]
    held: Sequence[Held]
    slides: Sequence[Slides]
    lean: float
    units: str

    def against(self, move: Moved) -> Iterator[str]:
        """Why a move cannot be as noted."""
        post, _, part = move.point.partition(" ")
        lifted = move.axis is Axis.UP and not part
        if lifted or part == "beam":
            yield from self._slid(move)
            return
        states = [h for h in self.held if h.post == post and h.line < move.line]
        if not states or states[-1].hold is Hold.LOOSE:
            return
        state = states[-1]
        if part or state.hold is Hold.CONCRETED:
            yield (f"this moves the {_PARTS[part]} of {post}, which line {state.line} has "
                   f"{_STATES[state.hold]}: {_ASK}")  # fmt: skip
            return
        gone = self._gone(move, state.line)
        if abs(gone) > self.lean + SET_TO:
            yield (f"this leans the top of {post} by {self._much(gone)} in all, which line "
                   f"{state.line} has {_STATES[state.hold]}; the plan allows "
                   f"{self._much(self.lean)}: {_ASK}")  # fmt: skip

    def _slid(self, move: Moved) -> Iterator[str]:
        rows = [s for s in self.slides if s.place == move.point and s.line < move.line]
        if not rows:
            return
        gone = self._gone(move, rows[-1].line)
        if not rows[-1].least - SET_TO <= gone <= rows[-1].most + SET_TO:
            beam = "" if " " in move.point else "the beam at "
            yield (f"this slides {beam}{move.point} {self._much(gone)} in all, farther than line "
                   f"{rows[-1].line} says that it can: {_ASK}")  # fmt: skip

    def _gone(self, move: Moved, since: int) -> float:
        """How far it was moved in all, from a line to this move."""
        return sum(m.amount for m in self.moved
                   if (m.point, m.axis) == (move.point, move.axis)
                   and since < m.line <= move.line)  # fmt: skip

    def _much(self, value: float) -> str:
        return amount(value, False, self.units)


def slides_twice(slides: Sequence[Slides]) -> tuple[str, ...]:
    """Places with more than one ``slides`` row, and which of them counts."""
    lines: dict[str, list[int]] = {}
    for row in slides:
        lines.setdefault(row.place, []).append(row.line)
    return tuple(
        f"lines {listed([str(n) for n in numbers])} say how far {place} slides: line {numbers[-1]} "
        "counts"
        for place, numbers in lines.items() if len(numbers) > 1
    )  # fmt: skip
