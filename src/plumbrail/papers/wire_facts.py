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
from plumbrail.plan.models import Plan, Wiring
from plumbrail.units import show
from plumbrail.wiring.parts import Circuit, Conduit, Wired
from plumbrail.wiring.sheet import section_of
from plumbrail.wiring.strings import members

MINUS = "−"
POLES = {"positive": "+", "negative": MINUS}
NONE = "none will do"
UNKNOWN = "not checked"


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
        found.append(ids[first] if i - first == 1 else f"{ids[first]} to {ids[i - 1]}")
        first = i
    return tuple(found)


def _straight(places: Sequence[tuple[int, int]]) -> bool:
    """Each place is one further in the same direction."""
    steps = {(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(places)}
    return len(steps) == 1 and abs(sum(next(iter(steps)))) == 1 and 0 in next(iter(steps))


def span(names: Sequence[str]) -> str:
    """``S1`` or ``S1 to S4``."""
    return names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"


def cut_words(job: JobInfo, value: float) -> str:
    """A length to cut, up to the next inch or 10 mm: a wire is not cut finer."""
    step = 0.0254 if job.units == "us" else 0.01
    return job.length(ceil(value / step - 1e-9) * step)


def volts(value: float) -> str:
    """``373.4 V``."""
    return f"{value:.1f}\u00a0V" if isfinite(value) else UNKNOWN


def amps(value: float) -> str:
    """``17.5 A``."""
    return f"{value:.1f}\u00a0A" if isfinite(value) else UNKNOWN


def percent(value: float) -> str:
    """``1.4 %``."""
    return f"{100.0 * value:.1f}\u00a0%" if isfinite(value) else UNKNOWN


def size_words(c: Circuit) -> str:
    """``10 AWG copper PV wire``."""
    words = f"{c.size} {c.metal} {c.insulation}".replace(" ", "\u00a0", 1)
    words = words.replace("mm2", "mm²")
    return words if c.size else f"{c.insulation}: {NONE}"


def conduit_words(wired: Wired, c: Conduit) -> str:
    """``PVC 40, trade size 1``."""
    if c.method == "direct burial":
        return "cable straight in the ground"
    if c.trade:
        return f"{c.method}, trade size {c.trade}"
    found = next((k for k in wired.checks if k.id == c.id), None)
    failed = found is not None and found.status is Status.FAIL
    return f"{c.method}: {NONE if failed else f'size {UNKNOWN}'}"


def contents_words(task: Task, c: Conduit) -> str:
    """What lies in a conduit."""
    return "; ".join(c.contents) if task.run.size else f"wires: {NONE}"


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
        return show(value, "power", "metric")
    return {"V": volts, "A": amps}[unit](value) if unit in ("V", "A") else ""


def failing_words(c: Check) -> str:
    """A check that fails, with its numbers where it has any."""
    numbers = quantity(c.demand, c.unit), quantity(c.capacity, c.unit)
    sides = f": {numbers[0]} against {numbers[1]}" if all(numbers) else ""
    return f"{capital(c.subject)}, {c.title}{sides}{': ' if c.note else ''}{c.note}"


def verdict_line(checks: Sequence[Check]) -> str:
    """What every sheet says first: which checks fail, how many were not made."""
    failed = [c.id for c in checks if c.status is Status.FAIL]
    left = sum(c.status is Status.NOT_CHECKED for c in checks)
    if failed:
        names = ", ".join(failed[:3]) + (" and others" if len(failed) > 3 else "")
        return f"DO NOT BUILD FROM THIS SHEET: {len(failed)} of {len(checks)} checks fail ({names})"
    if left:
        return f"No check fails; {left} of {len(checks)} are not checked: see the list"
    return f"All {len(checks)} checks pass"


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
