"""Proving in the build book: the verdict, what is suspected, the calendar."""

from __future__ import annotations

from plumbrail.papers.pdf_blocks import Block, Bullets, Caution, Heading, Paragraph, Table
from plumbrail.papers.proving_facts import GROUPS, ProofFacts, judged_words, mark
from plumbrail.papers.proving_record import headline, suspicion_words
from plumbrail.papers.words import say, tell
from plumbrail.proving.calendar import DUTIES
from plumbrail.proving.cautions import CAUTIONS


def proving_pages(facts: ProofFacts) -> list[Block]:
    """Pages of the chapter; without tests only cautions and the calendar."""
    found: list[Block] = [Caution(say("live array"), tuple(tell(c) for c in CAUTIONS))]
    if facts.book is None:
        found.append(Paragraph(say("No tests were given: hand-over is NOT COMPLETE. The test "
                                   "sheet is in this chapter."), True))  # fmt: skip
    else:
        found += _verdict(facts)
    head = (say("What"), say("Every"), say("First after"), say("Done on"))
    rows = tuple((tell(d.words), say("{n} months", n=d.months), say("{n} months", n=d.first),
                  "__________") for d in DUTIES)  # fmt: skip
    title = say("Maintenance; common practice, no published source")
    return [*found, Table(head, rows, title)]


def _verdict(facts: ProofFacts) -> list[Block]:
    found: list[Block] = [Paragraph(headline(facts), True)]
    for s in facts.proved.suspicions:
        who = ", ".join(s.strings) or say("all strings")
        found += [Heading(say("Suspected: {who}", who=who), 3), Bullets(tuple(suspicion_words(s)))]
    head = (say("Where"), say("Test"), say("Result"), say("Read and expected"))
    for group, title in GROUPS.items():
        rows = tuple((j.subject, tell(j.title), mark(j.outcome), judged_words(facts, j))
                     for j in facts.proved.judged if j.group == group)  # fmt: skip
        if rows:
            found.append(Table(head, rows, say(title)))
    return found
