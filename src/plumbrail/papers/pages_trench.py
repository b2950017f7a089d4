"""Pages of the trench in the book: cautions before it is opened, and the list to tick."""

from __future__ import annotations

from plumbrail.papers.pdf_blocks import Block, Bullets, Caution, Heading, Paragraph, Ticks
from plumbrail.papers.trench_facts import TrenchFacts, unchecked, verdict_words
from plumbrail.papers.words import say, tell


def opening(facts: TrenchFacts) -> list[Block]:
    """Verdict, length and cautions."""
    o = facts.trench.option
    return [
        Paragraph(verdict_words(facts), strong=True),
        Paragraph(say("{length} of trench, {hand} of it by hand.", length=facts.length(o.length),
                      hand=facts.length(o.hand))),
        Caution(say("trench"), tuple(tell(c) for c in facts.trench.cautions)),
    ]  # fmt: skip


def closing(facts: TrenchFacts) -> list[Block]:
    """What is done in order, distances, what is not checked."""
    t = facts.trench
    found: list[Block] = [
        Heading(say("Trench: before and while digging"), 2),
        Ticks(tuple(tell(c) for c in t.checklist)),
    ]
    for title, words in (
        (say("Distance from other services"), [tell(s) for s in t.separations]),
        (say("Not checked"), unchecked(facts)),
        (say("To keep in mind"), [tell(n) for n in t.notes]),
    ):
        if words:
            found += [Heading(title, 2), Bullets(tuple(words))]
    return found
