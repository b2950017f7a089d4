"""What the papers of the wiring say in words: strings, lengths to cut, sizes, places of signs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, isfinite

import numpy as np

from plumbrail.check import Check, Status
from plumbrail.model.parts import Model
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.plan.models import Plan, Wiring
from plumbrail.units import show
from plumbrail.wiring.parts import Circuit, Conduit, Wired
from plumbrail.wiring.sheet import section_of
from plumbrail.wiring.strings import members

MINUS = "−"
POLES = {"positive": "+", "negative": MINUS}
NONE = later("none will do")
UNKNOWN = later("not checked")


@dataclass(frozen=True)
class Task:
    """What the papers of the wiring are made from."""

    plan: Plan
    model: Model
    wired: Wired
    job: JobInfo

    @property
    def section(self) -> Wiring:
        """The plan's wiring section."""
        return section_of(self.plan)

    @property
    def string(self) -> Circuit:
        """The circuit of a string."""
        return self.wired.circuits[0]

    @property
    def run(self) -> Circuit:
        """The circuit of a run."""
        return self.wired.circuits[1]


@dataclass(frozen=True)
class Cut:
    """A wire of a string to be cut [m]."""

    string: str
    wire: str
    """``positive``, ``negative``, ``jumper 1``."""
    start: str
    end: str
    laid: float
    cut: float
    """With slack."""


@dataclass(frozen=True)
class Branch:
    """Strings of one box on one input of the equipment: they share a run."""

    box: int
    input: int
    strings: tuple[int, ...]


def branches(wired: Wired) -> tuple[Branch, ...]:
    """Every run with its strings, by box and input."""
    s = wired.strings
    pairs = sorted(set(zip(s.combiner.tolist(), s.input.tolist(), strict=True)))
    return tuple(
        Branch(c, i, tuple(np.flatnonzero((s.combiner == c) & (s.input == i)).tolist()))
        for c, i in pairs
    )


def cut_lengths(plan: Plan, model: Model, wired: Wired) -> tuple[Cut, ...]:
    """Home runs and jumpers of every string with the length to cut, in order of strings."""
    slack = section_of(plan).conductors.slack
    found: list[Cut] = []
    for k, name in enumerate(wired.strings.ids):
        own = [model.modules.ids[m] for m in members(wired.strings, k).tolist()]
        box = f"C{int(wired.strings.combiner[k]) + 1}"
        for path in wired.paths:
            string, _, wire = path.id.partition(" ")
            if string != name or path.kind not in ("home run", "jumper"):
                continue
            if path.kind == "jumper":
                start, end = path.what.removeprefix("from ").split(" to ")
            else:
                start, end = own[0 if wire == "positive" else -1], box
            found.append(Cut(name, wire, start, end, path.length, path.length * (1.0 + slack)))
    return tuple(found)


def stretches(model: Model, modules: Sequence[int]) -> tuple[str, ...]:
    """Modules of a string in order, those in a straight line as one: ``M1-6 to M1-1``."""
    places = [(int(model.modules.row[m]), int(model.modules.column[m])) for m in modules]
    ids, found, first = [model.modules.ids[m] for m in modules], list[str](), 0
    for i in range(1, len(ids) + 1):
        if i < len(ids) and _straight(places[first : i + 1]):
            continue
        found.append(span((ids[first], ids[i - 1])[: i - first]))
        first = i
    return tuple(found)


def _straight(places: Sequence[tuple[int, int]]) -> bool:
    """Each place is one further in the same direction."""
    steps = {(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(places)}
    return len(steps) == 1 and abs(sum(next(iter(steps)))) == 1 and 0 in next(iter(steps))


def span(names: Sequence[str]) -> str:
    """``S1`` or ``S1 to S4``."""
    if len(names) == 1:
        return names[0]
    return say("{first} to {last}", first=names[0], last=names[-1])


def cut_words(job: JobInfo, value: float) -> str:
    """A length to cut, up to the next inch or 10 mm: a wire is not cut finer."""
    step = 0.0254 if job.units == "us" else 0.01
    return job.length(ceil(value / step - 1e-9) * step)


def volts(value: float) -> str:
    """``373.4 V``."""
    return figures(f"{value:.1f}\u00a0V") if isfinite(value) else say(UNKNOWN)


def amps(value: float) -> str:
    """``17.5 A``."""
    return figures(f"{value:.1f}\u00a0A") if isfinite(value) else say(UNKNOWN)


def percent(value: float) -> str:
    """``1.4 %``."""
    return figures(f"{100.0 * value:.1f}\u00a0%") if isfinite(value) else say(UNKNOWN)


def size_words(c: Circuit) -> str:
    """``10 AWG copper PV wire``."""
    if not c.size:
        return f"{c.insulation}: {say(NONE)}"
    words = say("{size} {metal} {insulation}", size=c.size.replace(" ", "\u00a0", 1),
                metal=tell(c.metal), insulation=c.insulation)  # fmt: skip
    return words.replace("mm2", "mm²")


def conduit_words(wired: Wired, c: Conduit) -> str:
    """``PVC 40, trade size 1``."""
    if c.method == "direct burial":
        return say("cable straight in the ground")
    if c.trade:
        return say("{method}, trade size {trade}", method=c.method, trade=c.trade)
    found = next((k for k in wired.checks if k.id == c.id), None)
    failed = found is not None and found.status is Status.FAIL
    return f"{c.method}: {say(NONE if failed else 'size not checked')}"


def contents_words(task: Task, c: Conduit) -> str:
    """What lies in a conduit."""
    if not task.run.size:
        return say("wires: none will do")
    return "; ".join(tell(w) if "conductor" in w else w for w in c.contents)


def sized(words: str) -> str:
    """A size as the trade writes it; words where there is none."""
    return words if words[:1].isdigit() else tell(words)


def fused(c: Circuit) -> bool:
    """A device of a rating is in the circuit."""
    return c.device[:1].isdigit()


def device_lacking(c: Circuit) -> bool:
    """A device would be needed and none of the standard sizes will do."""
    return c.device.startswith("no compliant")


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def quantity(value: float | None, unit: str) -> str:
    """A demand or capacity; empty when only the ratio has a meaning."""
    if value is None:
        return ""
    if unit == "W":
        return figures(show(value, "power", "metric"))
    return {"V": volts, "A": amps}[unit](value) if unit in ("V", "A") else ""


def failing_words(c: Check) -> str:
    """A check that fails, with its numbers where it has any."""
    numbers = quantity(c.demand, c.unit), quantity(c.capacity, c.unit)
    sides = f": {say('{one} against {other}', one=numbers[0], other=numbers[1])}"
    note = f": {tell(c.note)}" if c.note else ""
    return f"{subject_words(c)}{sides if all(numbers) else ''}{note}"


def subject_words(c: Check) -> str:
    """What a check is about, and its title."""
    return f"{capital(tell(c.subject))}, {tell(c.title)}"


def verdict_line(checks: Sequence[Check]) -> str:
    """What every sheet says first: which checks fail, how many were not made."""
    failed = [c.id for c in checks if c.status is Status.FAIL]
    left = sum(c.status is Status.NOT_CHECKED for c in checks)
    if failed:
        names = ", ".join(failed[:3]) + (f" {say('and others')}" if len(failed) > 3 else "")
        return say("DO NOT BUILD FROM THIS SHEET: {n} of {all} checks fail ({names})",
                   n=len(failed), all=len(checks), names=names)  # fmt: skip
    if left:
        return say("No check fails; {n} of {all} are not checked: see the list", n=left,
                   all=len(checks))  # fmt: skip
    return say("All {n} checks pass", n=len(checks))


_STATIONS = (
    ("rapid shutdown", "building"), ("service", "building"), ("building", "building"),
    ("battery", "battery"), ("panel", "battery"), ("inverter", "battery"),
    ("disconnect", "disconnect"), ("connectors", "strings"), ("connections", "boxes"),
)  # fmt: skip


def station_of(where: str) -> str:
    """Part of the one-line diagram at which a sign hangs, by the words for its place."""
    return next((station for word, station in _STATIONS if word in where), "building")


def signs_at(wired: Wired, *stations: str) -> str:
    """Numbers of the signs at parts of the diagram; empty when there are none."""
    here = [f"P{i + 1}" for i, p in enumerate(wired.placards) if station_of(p.where) in stations]
    return ", ".join(here)
