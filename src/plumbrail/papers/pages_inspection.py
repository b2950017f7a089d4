"""The inspection checklist: stages of the work with their hold points, to be signed."""

from __future__ import annotations

from collections.abc import Sequence

from plumbrail.papers.pdf_blocks import Block, Heading, Paragraph, Table, Ticks
from plumbrail.papers.words import say, tell
from plumbrail.truing.holdpoints import HOLD_POINTS


def checklist(open_items: Sequence[str], wired: bool) -> list[Block]:
    """Stages in order; ``open_items``: checks that a person on site has to make."""
    found: list[Block] = [
        Heading(say("Inspection checklist")),
        Paragraph(say("A hold point stops the work until somebody who may decide has looked and "
                      "signed. Nothing here is signed by plumbrail.")),
        Heading(say("Hold points of digging and pour"), 2),
        Ticks(tuple(tell(words) for words in HOLD_POINTS)),
        Heading(say("Frame, after the pour"), 2),
        Ticks(_frame()),
    ]  # fmt: skip
    if wired:
        found += [Heading(say("Wiring"), 2), Ticks(_wiring())]
    if open_items:
        found += [Heading(say("Not checked by plumbrail: look at these"), 2),
                  Ticks(tuple(open_items))]  # fmt: skip
    return [*found, Heading(say("Signed"), 2), _signatures(wired)]


def _frame() -> tuple[str, ...]:
    return (
        say("Concrete has the strength and the age that the engineer or the bag asks for before "
            "rails, modules or people load the frame."),
        say("Splices of the beams where the drawing shows them, sleeves in to their marks."),
        say("Every bolt torqued and marked; cut ends painted with zinc-rich paint."),
        say("Clamps inside the clamp zone of the module; none on glass."),
        say("Diagonals of rails and modules alike; low edge at its height over the ground."),
    )  # fmt: skip


def _wiring() -> tuple[str, ...]:
    return (
        say(
            "HOLD POINT: trench open: cover measured, conduit and warning ribbon seen, before it "
            "is filled."
        ),
        say(
            "Grounding conductor, lugs and jumpers in place and tight before the first string is "
            "connected."
        ),
        say("Polarity and open voltage of every string measured and written down."),
        say("HOLD POINT: final electrical inspection before the equipment is switched on."),
        say("All signs in place, with their values filled in."),
    )


def _signatures(wired: bool) -> Table:
    stages = [say("Services located"), say("Holes"), say("First pour"), say("Trued, ready to pour"),
              say("Rest poured"), say("Frame and modules")]  # fmt: skip
    if wired:
        stages += [say("Trench"), say("Wiring, final")]
    head = (say("Stage"), say("Name"), say("Signature"), say("Date"))
    rows = tuple((s, "______________", "______________", "__________") for s in stages)
    return Table(head, rows)
