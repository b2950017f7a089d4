"""Calculation pages: every step behind a check, as recorded and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from plumbrail.check import Check, Status, percent
from plumbrail.papers import book_values as values
from plumbrail.papers.pdf_blocks import Block, Bullets, Heading, Paragraph, Step, Steps, Table
from plumbrail.papers.wire_facts import capital
from plumbrail.papers.words import figures, say, tell
from plumbrail.trace import Record
from plumbrail.trace import Step as Recorded


@dataclass(frozen=True)
class Load:
    """A load and the steps of its pressure."""

    case: str
    words: str
    record: Record


@dataclass(frozen=True)
class Sum:
    """One check with the record behind it."""

    check: Check
    record: Record
    combination: str = ""
    """As printed, e.g. ``0.6D + 0.6W``; empty when none governs."""
    source: str = ""
    loads: tuple[tuple[str, float], ...] = ()
    """Load cases of that combination with their factors."""


def chosen(checks: Sequence[Check]) -> tuple[Check, ...]:
    """The worst check of each kind and family, and every one that fails, in their order."""
    worst: dict[tuple[str, str], Check] = {}
    for c in checks:
        kind = c.family, c.title
        if c.ratio is not None and (kind not in worst or c.ratio > (worst[kind].ratio or 0.0)):
            worst[kind] = c
    kept = {c.id for c in worst.values()}
    return tuple(c for c in checks if c.id in kept or c.status is Status.FAIL)


def table_of(checks: Iterable[Check], system: str, title: str) -> Table:
    """The checks that a builder should know of, in words."""
    rows = tuple((f"{capital(tell(c.subject))}: {tell(c.title)}", *_numbers(c, system))
                 for c in checks)  # fmt: skip
    return Table(_head(), rows, title, ("left", "right", "right", "right"))


def index_of(checks: Sequence[Check], system: str) -> Table:
    """The checks of the following pages at one glance, each with its page."""
    rows = tuple((f"{c.id}: {tell(c.subject)}", *_numbers(c, system), "") for c in checks)
    head = (*_head(), say("Page"))
    return Table(head, rows, "", ("left", "right", "right", "right", "right"),
                 pages=tuple(heading_of(c) for c in checks))  # fmt: skip


def heading_of(c: Check) -> str:
    """Over the steps of a check."""
    return f"{c.id}: {tell(c.subject)}, {tell(c.title)}"


def _head() -> tuple[str, str, str, str]:
    return say("Check"), say("Demand"), say("Capacity"), say("Used, result")


def _numbers(c: Check, system: str) -> tuple[str, str, str]:
    demand, capacity = (values.quantity(v, c.unit, system) for v in (c.demand, c.capacity))
    result = f"{used(c.ratio)} {outcome(c)}"
    return _whole(figures(demand)), _whole(figures(capacity)), _whole(result)


def _whole(text: str) -> str:
    """Never broken over lines."""
    return text.replace(" ", "\u00a0")


def used(ratio: float | None) -> str:
    """A whole percentage; never rounded down to 100 % when it is over."""
    if ratio is None:
        return "–"
    return f"{percent(ratio)} %"


def outcome(c: Check) -> str:
    """The status in the language of the book."""
    words = {Status.PASS: say("pass"), Status.FAIL: say("FAILS"),
             Status.NOT_CHECKED: say("NOT CHECKED")}  # fmt: skip
    return words[c.status]


def how_to_read() -> list[Block]:
    """What the pages hold and how their lines are to be read."""
    return [
        Paragraph(say(
            "Here is the worst check of each kind for every sort of part, and every check that "
            "fails. The numbers are those of the run named at the foot of the page, in coherent "
            "units (m, N, Pa, kg, rad, s); behind a result the same in the units of the job. A "
            "number in square brackets behind a value names the step that gave it. How sure a "
            "step is stands beside its result; the check is as sure as its least sure step."
        )),
        Paragraph(say(
            "Whoever reviews this looks first at steps marked from memory, second-hand copy or "
            "common practice, and compares them with the printed code."
        )),
    ]  # fmt: skip


def load_pages(loads: Sequence[Load], system: str) -> list[Block]:
    """Steps of every wind and snow load that a check of this book rests on."""
    found: list[Block] = [Heading(say("Loads"), 2)]
    for load in loads:
        found.append(Heading(f"{load.case}: {tell(load.words)}", 3))
        found += record_blocks(load.record, system)
    return found if loads else []


def sum_pages(one: Sum, system: str) -> list[Block]:
    """One check: verdict, where it comes from, given numbers, steps."""
    c = one.check
    found: list[Block] = [Heading(heading_of(c), 2)]
    found.append(Paragraph(f"{used(c.ratio)}: {outcome(c)}. {_sides(c, system)}", strong=True))
    found.append(Paragraph(_origin(one)))
    if c.note:
        found.append(Paragraph(f"{capital(tell(c.note))}."))
    return [*found, *record_blocks(one.record, system)]


def _sides(c: Check, system: str) -> str:
    demand, capacity = (values.quantity(v, c.unit, system) for v in (c.demand, c.capacity))
    if not demand or not capacity:
        return ""
    return say("Demand {demand}, capacity {capacity}.", demand=demand, capacity=capacity)


def _origin(one: Sum) -> str:
    c = one.check
    sure = "?" if c.certainty is None else tell(c.certainty.words)
    words = say("By {clause}; least sure value: {sure}.", clause=c.clause or "–", sure=sure)
    if not one.combination:
        return words
    cases = ", ".join(f"{values.figure(factor)} × {case}" for case, factor in one.loads)
    return words + " " + say("Governed by {combination} ({source}): {cases}.",
                             combination=one.combination, source=one.source,
                             cases=cases)  # fmt: skip


def record_blocks(record: Record, system: str) -> list[Block]:
    """Given numbers as a list, then analysis and provisions step by step."""
    given = [s for s in record.steps if s.kind == "given"]
    worked = [s for s in record.steps if s.kind != "given"]
    place = {s.number: i + 1 for i, s in enumerate(worked)}
    found: list[Block] = []
    if given:
        found.append(Bullets(tuple(_given(s, system) for s in _once(given))))
    if worked:
        found.append(Steps("", tuple(_step(s, place, system) for s in worked)))
    return found


def _once(steps: Sequence[Recorded]) -> list[Recorded]:
    """Given numbers without those that are given twice over."""
    seen = {(s.provision.symbol, s.provision.source, s.value.tobytes()): s for s in steps}
    return list(seen.values())


def _given(s: Recorded, system: str) -> str:
    """``V = 46.939 m/s (105 mph): wind speed; site.wind_speed (stated in the plan)``."""
    meta = s.provision
    value = f"{values.symbol(meta.symbol)}\u00a0=\u00a0{values.both(s.value, meta.unit, system)}"
    what = f"{tell(meta.title)}; " if meta.title else ""
    return f"{value}: {what}{meta.source} ({tell(meta.certainty.words)})"


def _step(s: Recorded, place: dict[int, int], system: str) -> Step:
    meta = s.provision
    result = values.both(s.value, meta.unit, system)
    if meta.formula:
        formula = f"{values.symbol(meta.symbol)} = {values.printed(meta.formula)}"
        numbers = values.filled_in(s, place)
    else:
        start = values.fed(s, place)
        words = say("worked out from {what}", what=start) if start else say("from the analysis")
        formula = f"{values.symbol(meta.symbol)}: {words}"
        numbers = values.valued(s.value, meta.unit)
    sure = tell(meta.certainty.words)
    if s.residual is not None:
        sure = say("{sure}; misfit {misfit}", sure=sure, misfit=f"{s.residual:.1e}")
    title = tell(meta.title) if meta.title else say("Step")
    return Step(title, meta.source, formula, numbers, result, sure)
