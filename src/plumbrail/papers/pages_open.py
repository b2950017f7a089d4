"""What was assumed and what nobody checked, on one page at the end of the book."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.check import Check
from plumbrail.papers.pdf_blocks import Block, Bullets, Dense, Heading, Paragraph
from plumbrail.papers.wire_facts import capital
from plumbrail.papers.words import say, tell

_RUN = 3
"""So many ids that follow each other become a range."""
_FIGURE = re.compile(r"give ([\w.]+)")
_NUMBERED = re.compile(r"(.*?)(\d+)(\D*)")


@dataclass(frozen=True)
class OpenFacts:
    """Everything that a reader must not take for granted."""

    unchecked: tuple[Check, ...]
    """Checks of this plan that could not be made."""
    not_covered: tuple[str, ...]
    """What plumbrail does not judge at all."""
    beside: tuple[str, ...]
    """Other things not checked: of the yield, of prices, of torques."""
    usual: tuple[str, ...]
    """Losses of the yield that the plan does not state."""
    assumed: tuple[str, ...]
    missing: tuple[str, ...]
    """Parts that are not in this book, and why."""


def open_items(checks: Sequence[Check]) -> tuple[str, ...]:
    """Checks that were not made, in words."""
    return tuple(
        f"{capital(tell(c.subject))}, {tell(c.title)}: {tell(c.note)}" for c in checks
    )  # fmt: skip


def grouped(checks: Sequence[Check]) -> tuple[str, ...]:
    """Checks that were not made: one line for all that say the same, with their ids.

    ``F1 to F8.bending, bending: ask the maker``; checks of another title that want the same stand
    in the same line, parted by a semicolon. All that want one figure in the plan and nothing else
    share a line: ``give in the plan: frame.deflection.rail (rails.deflection)``.
    """
    notes: dict[str, dict[str, list[str]]] = {}
    for c in checks:
        notes.setdefault(c.note, {}).setdefault(c.title, []).append(c.id)
    wanted = {note: _FIGURE.fullmatch(note) for note in notes}
    figures = tuple(f"{found[1]} ({ids([i for names in notes[note].values() for i in names])})"
                    for note, found in wanted.items() if found)  # fmt: skip
    lines = tuple(
        f"{'; '.join(f'{ids(names)}, {tell(title)}' for title, names in titles.items())}: "
        f"{tell(note)}"
        for note, titles in notes.items() if not wanted[note]
    )  # fmt: skip
    asked = (say("give in the plan: {figures}", figures=", ".join(figures)),) if figures else ()
    return (*lines, *asked)


def ids(names: Sequence[str]) -> str:
    """Ids in their order, three or more that count on as a range: ``F1 to F8.bending, B1.shear``.

    What both ends of a range share at their end is said once.
    """
    found: list[str] = []
    left = list(names)
    while left:
        run = _run(left)
        left = left[len(run) :]
        found.append(_range(run[0], run[-1]) if len(run) >= _RUN else ", ".join(run))
    return ", ".join(found)


def _run(names: Sequence[str]) -> list[str]:
    """The first name and those that count on from it."""
    run = [names[0]]
    for name in names[1:]:
        if name != _next(run[-1]):
            break
        run.append(name)
    return run


def _next(name: str) -> str:
    """``F2.bending`` after ``F1.bending``; empty for a name without a number."""
    found = _NUMBERED.fullmatch(name)
    return f"{found[1]}{int(found[2]) + 1}{found[3]}" if found else ""


def _range(first: str, last: str) -> str:
    tail = _NUMBERED.fullmatch(first)
    end = tail[3] if tail else ""
    return say("{first} to {last}", first=first.removesuffix(end), last=last)


def open_page(facts: OpenFacts) -> list[Block]:
    """Not checked first, then what was assumed: all of it on one page while there is room."""
    parts: list[Block] = []
    for title, lines, run_in in (
        (say("Not checked in this plan"), grouped(facts.unchecked), False),
        (say("Not stated, or counted as nothing"), _beside(facts), True),
        (say("Not in this book"), facts.missing, True),
        (say("Not judged by plumbrail at all"), _told(facts.not_covered), True),
        (say("Assumed"), _told(facts.assumed), True),
    ):
        if lines:
            parts += [Heading(title, 3), Bullets(tuple(dict.fromkeys(lines)), run_in)]
    words = say("What stands here was left out or taken for granted. Somebody who may decide has "
                "to look at it.")  # fmt: skip
    over = say("This is more than a page holds: {n} of {all} points stand on page {pages}.")
    head = Heading(say("Not checked, and assumed")), Paragraph(words, strong=True)
    return [Dense(tuple(parts), 2, over, head, narrow=True)]


def _told(lines: Sequence[str]) -> tuple[str, ...]:
    return tuple(tell(line) for line in lines)


def _beside(facts: OpenFacts) -> tuple[str, ...]:
    lines = [tell(b) for b in facts.beside]
    if facts.usual:
        names = ", ".join(tell(u) for u in facts.usual)
        lines.append(say("not stated, counted at usual values: {names}", names=names))
    return tuple(lines)
