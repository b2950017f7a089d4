"""Order of work at the head of a chapter, to be ticked off. Common practice throughout."""

from __future__ import annotations

from collections.abc import Sequence

from plumbrail.papers.pdf_blocks import Block, Heading, Table, Ticks
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, say
from plumbrail.stock.buying import Line
from plumbrail.units import show


def _order(*lines: str) -> list[Block]:
    return [Heading(say("Order of work"), 2), Ticks(lines)]


def setting_out() -> list[Block]:
    """From the pins to covered holes."""
    return _order(
        say("Services marked, owners answered, the day written down: ________"),
        say("Pins 1 and 2 set on their line and at their distance; direction checked by the sun's "
            "shadow."),
        say("Laser set up; rod on pin 1 and pin 2 reads as planned."),
        say("Every hole centre marked by two tapes from the pins, held level."),
        say("Distances and diagonals between centres checked against the table before the first "
            "hole is dug."),
        say("Holes dug, depth read with the rod, covered at once."),
    )  # fmt: skip


def framing() -> list[Block]:
    """From beams to modules."""
    return _order(
        say("Posts stand in their order: the longer ones where the drawing has them."),
        say("Sleeves in their joints, each half in; joints where the splice plan has them."),
        say("Beams in their collars, level, ends over by the same length on both sides."),
        say("Braces on before anybody climbs or pulls."),
        say("After the pour has its strength: rails square to the beams, both diagonals alike."),
        say("Modules from the low edge up, on a calm day, clamps in the clamp zone, gaps alike."),
    )  # fmt: skip


def measuring() -> list[Block]:
    """From the first pour to the pour gate."""
    return _order(
        say("First pour has set; braces on; nobody leans on the frame."),
        say("Level on firm ground. Rod on pin 1 first, and again at the end: the two may not "
            "differ by more than 1/8 in (3 mm)."),
        say("Every line of the field sheet read, said aloud, written, read back."),
        say("Readings typed in; reasons and moves of the answer done in their order."),
        say("Measured again after the last move: nothing is poured on a reading from before it."),
    )  # fmt: skip


def to_saw(lines: Sequence[Line], job: JobInfo) -> list[Block]:
    """Sticks that go through the saw, with what each weighs."""
    head = (say("How many"), say("Section"), say("Length of a stick"), say("Each weighs"))
    rows = tuple(
        (str(x.count), x.section, job.said(x.length), figures(show(x.mass_each, "mass", job.units)))
        for x in lines
    )
    title = say("Sticks for the saw")
    return [Table(head, rows, title, ("right", "left", "right", "right"), ticks=True)]
