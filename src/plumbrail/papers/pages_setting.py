"""The hole-by-hole card for setting out: a few large figures for each hole."""

from __future__ import annotations

from collections.abc import Sequence

from plumbrail.papers.pdf_blocks import (
    BigNumber,
    BigNumbers,
    Block,
    Heading,
    PageBreak,
    Paragraph,
    Ticks,
)
from plumbrail.papers.wire_facts import capital
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say, tell
from plumbrail.setout.stakes import Stakes

_MOST = 3.25
"""Cards on a page, with what is to be minded at one hole."""
_CAUTION = 0.25
"""Room of what is to be minded, as a share of a card."""


def hole_cards(stakes: Stakes, job: JobInfo, cautions: Sequence[Sequence[str]] = ()) -> list[Block]:
    """One card for each hole, front row first, in the order of the stakes.

    ``cautions`` says for each hole what to mind there.
    """
    v = stakes.levels
    second = job.rod(float(v.pin_2_top.reading[0]), bool(v.pin_2_top.up[0]))
    read_first = Paragraph(say(
        "Lengths in {unit}, level, to the centre of the hole. Laser {height} over the top of pin "
        "1; check it first: rod on pin 2 reads {rod}.", unit=_unit(job), height=job.said(v.laser),
        rod=second))  # fmt: skip
    found: list[Block] = [Heading(say("Hole by hole")), read_first]
    taken = 0.0
    for i in range(len(stakes.ids)):
        here = cautions[i] if cautions else ()
        room = 1.0 + _CAUTION * len(here)
        if taken and taken + room > _MOST:
            found += [PageBreak(), read_first]
            taken = 0.0
        found += _card(stakes, job, i, here)
        taken += room
    return found


def _unit(job: JobInfo) -> str:
    return say("feet and inches") if job.units == "us" else say("millimetres")


def _card(stakes: Stakes, job: JobInfo, i: int, cautions: Sequence[str]) -> list[Block]:
    t, v = stakes.tapes, stakes.levels
    fix = {"good": "", "poor": say("tapes cross poorly: measure along the row instead"),
           "none": say("on the line of the pins: measure along it")}[t.fix[i]]  # fmt: skip
    words = say("Hole {id}", id=stakes.ids[i])
    bottom = job.rod(float(v.hole_bottom.reading[i]), bool(v.hole_bottom.up[i]))
    top = job.rod(float(v.post_top.reading[i]), bool(v.post_top.up[i]))
    return [
        Heading(f"{words}: {fix}" if fix else words, 2),
        *(Paragraph(capital(tell(c)), strong=True) for c in cautions),
        BigNumbers((
            BigNumber(job.length(float(t.level[i, 0])), "", say("from pin 1")),
            BigNumber(job.length(float(t.level[i, 1])), "", say("from pin 2")),
        ), large=True),
        BigNumbers((
            BigNumber(job.length(float(v.hole_depth[i])), "", say("deep, from the ground there")),
            BigNumber(bottom, "", say("rod on the bottom of the hole")),
        ), large=True),
        Ticks((say("Marked, dug, read, covered. Post {length} long, rod on its top {rod}.",
                   length=job.said(float(v.post_length[i])), rod=top.replace(" ", "\u00a0")),)),
    ]  # fmt: skip
