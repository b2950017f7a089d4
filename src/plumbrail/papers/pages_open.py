"""What was assumed and what nobody checked, in one place at the end of the book."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.check import Check
from plumbrail.papers.pdf_blocks import Block, Bullets, Heading, PageBreak, Paragraph
from plumbrail.papers.wire_facts import capital
from plumbrail.papers.words import say, tell

_TOGETHER = 4


@dataclass(frozen=True)
class OpenFacts:
    """Everything that a reader must not take for granted."""

    unchecked: tuple[Check, ...]
    """Checks of this plan that could not be made."""
    not_covered: tuple[str, ...]
    """What plumbrail does not judge at all."""
    beside: tuple[str, ...]
    """Other things not checked: of the yield, of prices, of torques."""
    assumed: tuple[str, ...]
    missing: tuple[str, ...]
    """Parts that are not in this book, and why."""


def open_items(checks: Sequence[Check]) -> tuple[str, ...]:
    """Checks that were not made, in words."""
    return tuple(
        f"{capital(tell(c.subject))}, {tell(c.title)}: {tell(c.note)}" for c in checks
    )  # fmt: skip


def _joined(lines: Sequence[str]) -> tuple[str, ...]:
    """Several to a point, so that all of them stay on the page."""
    told = [tell(line) for line in lines]
    return tuple("; ".join(told[i : i + _TOGETHER]) + "." for i in range(0, len(told), _TOGETHER))


def open_page(facts: OpenFacts) -> list[Block]:
    """Not checked first, then what was assumed."""
    found: list[Block] = [
        Heading(say("Not checked, and assumed")),
        Paragraph(say("What stands here was left out or taken for granted. Somebody who may decide "
                      "has to look at it.")),
    ]  # fmt: skip
    parts: tuple[tuple[str, tuple[str, ...]], ...] = (
        (say("Not checked in this plan"), open_items(facts.unchecked)),
        (say("Counted as nothing, or without a figure"), tuple(tell(b) for b in facts.beside)),
        (say("Not judged by plumbrail at all"), _joined(facts.not_covered)),
        (say("Not in this book"), facts.missing),
    )
    for title, lines in parts:
        if lines:
            found += [Heading(title, 3), Bullets(tuple(dict.fromkeys(lines)))]
    return [*found, *_assumed(facts)]


def _assumed(facts: OpenFacts) -> list[Block]:
    lines = tuple(dict.fromkeys(tell(a) for a in facts.assumed))
    return [PageBreak(), Heading(say("Assumed"), 2), Bullets(lines)] if lines else []
