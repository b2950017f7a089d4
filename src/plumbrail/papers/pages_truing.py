"""What the readings say, for the clipboard: verdict, moves, reasons."""

from __future__ import annotations

from plumbrail.papers.pdf_blocks import (
    BigNumber,
    BigNumbers,
    Block,
    Bullets,
    Caution,
    Heading,
    Paragraph,
    Ticks,
)
from plumbrail.papers.truing_lists import VERDICTS
from plumbrail.papers.words import say, tell
from plumbrail.truing.parts import Ready, Verdict
from plumbrail.truing.run import Trued


def gate_words(trued: Trued) -> str:
    """The verdict of the pour gate."""
    return say(VERDICTS[trued.gate.ready])


def truing_pages(trued: Trued, checksum: str) -> list[Block]:
    """Verdict in words and numbers, what to move, what to read again, and why."""
    gate, built, moves = trued.gate, trued.built, trued.mending.moves
    words = gate_words(trued)
    inside = int(built.has(Verdict.INSIDE).sum())
    open_ = int((built.has(Verdict.UNMEASURED) | built.has(Verdict.UNSURE)).sum())
    found: list[Block] = [
        Heading(say("What the readings say: {verdict}", verdict=words)),
        BigNumbers((
            BigNumber(str(inside), "", say("values inside tolerance")),
            BigNumber(str(int(built.has(Verdict.OUTSIDE).sum())), "", say("outside")),
            BigNumber(str(open_), "", say("not measured, or too uncertain to say")),
        )),
        Paragraph(say("Checksum of the readings: {sum}", sum=checksum[:16])),
    ]  # fmt: skip
    if gate.ready is not Ready.READY:
        found.append(Caution(say("hold point"), (say("Do not pour the rest yet."),)))
    if trued.survey.suspicions:
        found += [Heading(say("Look at these readings first"), 2),
                  Ticks(tuple(tell(s.words) for s in trued.survey.suspicions))]  # fmt: skip
    if moves:
        found += [Heading(say("Moves, in this order"), 2),
                  Ticks(tuple(f"{k}. {tell(m.words)}{_fixed(m.fixed)}"
                              for k, m in enumerate(moves, 1)))]  # fmt: skip
    if trued.mending.remeasure:
        found += [Heading(say("Then measure again"), 2),
                  Ticks(tuple(tell(r) for r in trued.mending.remeasure))]  # fmt: skip
    return [*found, Heading(say("Why"), 2),
            Bullets(tuple(tell(r) for r in gate.reasons) or ("–",))]  # fmt: skip


def _fixed(fixed: bool) -> str:
    return f" ({say('this was thought fixed: decide before touching it')})" if fixed else ""
