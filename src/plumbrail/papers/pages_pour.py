"""The pour sheet: order, bags, water, what to look at before, during and after."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.papers.pdf_blocks import (
    BigNumber,
    BigNumbers,
    Block,
    Caution,
    Heading,
    PageBreak,
    Paragraph,
    Side,
    Table,
    Ticks,
)
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say
from plumbrail.stock.concrete import BagCount


@dataclass(frozen=True)
class Pour:
    """What is poured. Stages: holding pour, rest."""

    ids: tuple[str, ...]
    bags: BagCount
    holding: float
    """Height of the first pour over the bottom of the hole [m]."""
    verdict: str
    """Of the pour gate, in the language of the book; empty: no readings."""
    ready: bool
    job: JobInfo


def pour_sheet(p: Pour) -> list[Block]:
    """A page for whoever mixes, and one with the order of work and what the weather asks for."""
    first, rest = (int(n) for n in p.bags.per_pier.sum(axis=1))
    size = p.bags.size.name
    return [
        *_gate(p),
        BigNumbers((
            BigNumber(str(first), "", say("bags of {size} for the first pour", size=size)),
            BigNumber(str(rest), "", say("bags of {size} for the rest", size=size)),
            BigNumber(p.job.said(p.holding), "", say("height of the first pour")),
        )),
        _bags(p),
        PageBreak(),
        Heading(say("Order of work"), 2),
        Ticks(_order(p)),
        *_weather(),
    ]  # fmt: skip


def _gate(p: Pour) -> list[Block]:
    if not p.verdict:
        words = say("The rest is not poured before the frame is measured and found ready: no "
                    "readings were given for this book.")  # fmt: skip
        return [Caution(say("hold point"), (words,))]
    if p.ready:
        words = say("By the readings: {verdict}. The hold points of the inspection page still have "
                    "to be signed by a person.", verdict=p.verdict)  # fmt: skip
        return [Paragraph(words, strong=True)]
    words = say("By the readings: {verdict}. Do not pour the rest.", verdict=p.verdict)
    return [Caution(say("hold point"), (words,))]


def _bags(p: Pour) -> Table:
    head = (say("Hole"), say("First pour, bags"), say("Poured, time"), say("Rest, bags"),
            say("Poured, time"))  # fmt: skip
    first, rest = p.bags.per_pier
    blank = "_______"
    rows = tuple(
        (id, str(int(a)), blank, str(int(b)), blank)
        for id, a, b in zip(p.ids, first, rest, strict=True)
    )
    note = say("Water for each bag: ask the bag, and write it here: ________ . No more than that: "
               "wet concrete is weak.")  # fmt: skip
    title = say("Bags for each hole, in this order")
    sides: tuple[Side, ...] = ("left", "right", "center", "right", "center")
    return Table(head, rows, title, sides, ticks=True, note=note)


def _order(p: Pour) -> tuple[str, ...]:
    return (
        say("Inspection before any concrete, where the building department asks for one: holes "
            "seen and signed for. Depth, firm ground, no water, no loose soil, nothing frozen."),
        say("Posts in their holes, planned cover of concrete under and beside each foot, braced "
            "both ways."),
        say("First pour: {height} in every hole, in the order of the table, both rows, so that no "
            "post is pushed by its neighbour's. Rod it; keep the posts plumb.",
            height=p.job.said(p.holding)),
        say("Let it set as long as the bag says before a post is moved by it. Write the time: "
            "________"),
        say("True the frame: field sheet, readings, moves, readings again."),
        say("HOLD POINT: the rest is poured only when the readings are found ready to pour and "
            "every hold point is signed."),
        say("Rest: in the same order, without a pause in one hole. While it can still be worked, "
            "take plumb, string and rod readings once more and correct at once."),
        say("Slope the top away from the post so that water runs off."),
        say("Cure: keep it damp and covered, braces on, nobody loads the frame, as long as the bag "
            "or the engineer says. Write the day: ________"),
    )  # fmt: skip


def _weather() -> list[Block]:
    return [
        Caution(say("cold weather"), (
            say("No concrete against frozen ground. When the air is at or may fall below 40 °F "
                "(4 °C), have warm water, covers and days of protection planned (ACI 306R, as "
                "publicly quoted)."),
        )),
        Caution(say("hot or wet weather"), (
            say("Concrete no hotter than 95 °F (35 °C) (ACI 301, as publicly quoted): shade the "
                "bags, cool water, mix small. No water added to stiff concrete. No pour in heavy "
                "rain; keep water out of the holes."),
        )),
    ]  # fmt: skip
