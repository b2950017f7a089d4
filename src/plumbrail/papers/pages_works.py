"""The works in the build book: dates first, then every day, then the changeover."""

from __future__ import annotations

from plumbrail.papers.pdf_blocks import Block, Bullets, Caution, Heading, Paragraph, Table, Ticks
from plumbrail.papers.words import say, tell
from plumbrail.papers.works_days import change_table, day_lines
from plumbrail.papers.works_facts import WorkFacts, headlines
from plumbrail.works.notes import DEFER, SAFE_ORDER


def works_pages(f: WorkFacts) -> list[Block]:
    """Everything on the works but the bars, which are a drawing."""
    found: list[Block] = [
        Heading(say("Works")), Bullets(tuple(headlines(f))),
        Caution(say("On site"), tuple(tell(c) for c in f.made.cautions)),
    ]  # fmt: skip
    if f.made.unchecked:
        lines = tuple(f"{say('NOT CHECKED')}: {tell(u)}" for u in f.made.unchecked)
        found += [Heading(say("Not counted"), 2), Bullets(lines)]
    found += [Heading(say("How it was planned"), 2), Bullets(tuple(tell(n) for n in f.made.notes)),
              Heading(say("Day by day"), 2)]  # fmt: skip
    for title, lines in day_lines(f):
        found += [Paragraph(title, strong=True), Ticks(lines)]
    if f.change:
        table = change_table(f)
        found += [Heading(say("Changeover"), 2),
                  Table(table.headings, tuple(table.rows), table.title), *safe_order()]  # fmt: skip
    return found


def safe_order() -> list[Block]:
    """Disconnecting and connecting one string."""
    return [Heading(say("Safe order of disconnection"), 2),
            Ticks(tuple(tell(s) for s in SAFE_ORDER)),
            Caution(say("Who may do it"), (tell(DEFER),))]  # fmt: skip
