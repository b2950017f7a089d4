"""Marks of buried services: the public marking colours, with letters for paper without colour.

Colours: APWA Uniform Color Code for marking underground utility lines (from memory). The letters
are our own; they are stated on every drawing that uses them.
"""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.errors import RangeError
from plumbrail.papers.words import later


@dataclass(frozen=True, slots=True)
class Marking:
    """How one kind of buried service is marked."""

    kind: str
    letter: str
    colour: str
    """Of the paint and the flags on the ground; the drawing is black and white."""
    what: str
    pen: str
    """Of its line on the drawing."""


MARKINGS = (
    Marking("power", "E", later("red"), later("electric power, lighting"), "heavy"),
    Marking("gas", "G", later("yellow"), later("gas, oil, steam, fuel"), "hidden"),
    Marking("communication", "C", later("orange"), later("telephone, alarm, signal, fibre"),
            "centre"),
    Marking("water", "W", later("blue"), later("drinking water"), "medium"),
    Marking("reclaimed", "R", later("purple"), later("reclaimed water, irrigation, slurry"),
            "frost"),
    Marking("sewer", "S", later("green"), later("sewer, drain"), "base"),
    Marking("survey", "V", later("pink"), later("temporary survey mark"), "thin"),
    Marking("proposed", "P", later("white"), later("proposed digging"), "hidden"),
)  # fmt: skip


def marking(kind: str) -> Marking:
    """The marking of a kind; raises RangeError for one that is not there."""
    for found in MARKINGS:
        if found.kind == kind:
            return found
    known = ", ".join(m.kind for m in MARKINGS)
    raise RangeError(f"no marking colour for a service of kind {kind!r}; write one of: {known}")
