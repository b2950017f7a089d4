"""What the papers of proving are made from, and numbers as they write them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from plumbrail.notebook.proof_entries import ProofBook
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.proving.parts import Judged, Outcome, Part
from plumbrail.proving.run import Proved
from plumbrail.proving.wanted import Subject

KELVIN = 273.15
LIGHTS = (400.0, 600.0, 800.0, 1000.0)
"""[W/m2]"""
WARMTHS = tuple(KELVIN + t for t in range(-10, 80, 10))
"""[K] of the cells."""
MARKS = {
    Outcome.PASS: later("pass"), Outcome.FAIL: later("FAIL"),
    Outcome.UNSURE: later("TOO UNCERTAIN"), Outcome.UNMEASURED: later("NOT MEASURED"),
}  # fmt: skip
GROUPS = {
    "string": later("Strings"), "ground": later("Grounding"), "torque": later("Torque"),
    "function": later("Functions"), "thermal": later("Thermal look"), "label": later("Signs"),
}  # fmt: skip


@dataclass(frozen=True)
class ProofFacts:
    """One set of tests, or the blank sheet for them."""

    job: JobInfo
    subject: Subject
    proved: Proved
    book: ProofBook | None
    by: str
    """Who tests; empty: a line to write on."""
    cold: float
    """Voltage of a string on the coldest morning [V]."""

    def warmth(self, kelvin: float) -> str:
        """A temperature as meters show it; in US units with the other one beside it."""
        celsius = kelvin - KELVIN
        said = f"{celsius:.0f} °C"
        return f"{said} ({1.8 * celsius + 32.0:.0f} °F)" if self.job.units == "us" else said


_PARTS = re.compile(r"(; |\. )")
_DIFFERENCE = re.compile(r"(\d+) K\b")


def judged_words(facts: ProofFacts, j: Judged) -> str:
    """What was read and expected, told, with light, warmth and band; in US units also in °F."""
    if j.line is None and j.outcome is Outcome.UNMEASURED and not j.words.startswith("line "):
        return tell(j.words)
    if j.group in ("label", "function"):
        what, _, found = j.words.rpartition(": ")
        return f"{tell(what)}: {tell(found)}"
    words = _DIFFERENCE.sub(_fahrenheit, j.words) if facts.job.units == "us" else j.words
    return ". ".join(filter(None, [told_in_parts(words), under(facts, j), band(j)]))


def told_in_parts(words: str) -> str:
    """Sentences told one by one, so that one without a message leaves the others told."""
    return "".join(part if part in ("; ", ". ") else tell(part) for part in _PARTS.split(words))


def _fahrenheit(found: re.Match[str]) -> str:
    return f"{found[0]} ({1.8 * float(found[1]):.0f} °F)"


def under(facts: ProofFacts, j: Judged) -> str:
    """Light and warmth of the cells of a reading; empty where they play no part."""
    if j.warmth is None:
        return ""
    warmth = figures(facts.warmth(j.warmth))
    if j.light is None:
        return say("Cells at {warmth}", warmth=warmth)
    return say("At {light} W/m², cells at {warmth}", light=figures(f"{j.light:.0f}"),
               warmth=warmth)  # fmt: skip


def band(j: Judged) -> str:
    """From where to where a voltage or current passes."""
    if j.low is None or j.high is None or j.unit not in ("V", "A"):
        return ""
    low, high = (figures(f"{v:.4g}") for v in (j.low, j.high))
    return say("Passes from {low} to {high} {unit}", low=low, high=high, unit=j.unit)


def mark(outcome: Outcome) -> str:
    """The verdict as papers show it."""
    return say(MARKS[outcome])


def size_words(part: Part) -> str:
    """How large a part of the uncertainty may be."""
    if part.kelvins:
        return figures(f"{part.size:.1f} K")
    return figures(f"{100 * part.size:.1f} %")
