"""What a check is, and how one case of a batch is replayed to explain it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RecordError
from plumbrail.trace import Certainty, Record, Step, recording

Array = NDArray[np.float64]
ALMOST_ONE = 1.0 + 1e-9
"""A ratio of exactly 1 passes; this absorbs the last bit of rounding."""


def percent(ratio: float) -> int:
    """Share of a limit in whole percent; over 100 for every ratio that fails, and for no other."""
    whole = round(100.0 * ratio)
    return max(whole, 101) if ratio > ALMOST_ONE else whole


class Status(Enum):
    """Outcome of a check."""

    PASS = "pass"
    FAIL = "fail"
    NOT_CHECKED = "not checked"


@dataclass(frozen=True)
class Check:
    """One demand against one capacity.

    ``unit`` is the SI unit of demand and capacity ("-" when only the ratio has a meaning).
    """

    id: str
    subject: str
    title: str
    status: Status
    ratio: float | None = None
    demand: float | None = None
    capacity: float | None = None
    unit: str = "-"
    combination: str = ""
    clause: str = ""
    certainty: Certainty | None = None
    note: str = ""
    family: str = ""
    """Kind of part, one of those listed at ``CheckOut.family``."""
    rule: bool = False
    """A rule of the plan or code about sizes and places, not a strength: met, it never governs.

    One that says that nothing may stand somewhere has no ratio: there is no number behind it.
    """
    replay: Callable[[], Record] | None = field(default=None, compare=False, repr=False)
    """Makes the record of its steps anew."""
    opened: Callable[[], Check] | None = field(default=None, compare=False, repr=False)
    """Of a check that is only :func:`stated`: makes the explained one."""


def not_checked(id: str, subject: str, title: str, family: str, why: str) -> Check:
    """A check that could not be made, with what is missing."""
    return Check(id, subject, title, Status.NOT_CHECKED, note=why, family=family)


@dataclass(frozen=True)
class Limit:
    """One limit state of the basis and how it is shown."""

    name: str
    """Field of the basis's ratios."""
    word: str
    """Title, and part of the id."""
    step: str
    """Provision whose result is the ratio."""
    clause: str
    rule: bool = False
    """A rule about sizes, not a strength."""


@dataclass(frozen=True)
class Case:
    """The governing case of a batch, before it is explained."""

    id: str
    subject: str
    title: str
    family: str
    ratio: float
    combination: str
    run: Callable[[], object]
    """Runs the provisions on this one case; called inside a recording."""
    step: str
    """Name of the provision function whose result is the ratio."""
    clause: str = ""
    """Clause to show; empty: the source of the capacity."""
    note: str = ""
    rule: bool = False
    """As in :class:`Check`."""


def explained(case: Case) -> Check:
    """The check of a governing case, with what its own record says.

    The case is replayed under recording; demand, capacity, clause and certainty come from the
    record. Raises RecordError when the replay does not give the ratio of the batch: a sheet must
    never print a number that its own steps do not support.
    """
    record = _record(case)
    last = _final(record, case)
    if not np.isclose(last.value.item(), case.ratio, rtol=1e-9, atol=1e-12):
        raise RecordError(f"{case.id}: replay gives {last.value.item()}, the batch {case.ratio}")
    kept = ancestors(record, last)
    wrong = [s.provision.name for s in kept if not s.holds(1e-9)]
    if wrong:
        raise RecordError(f"{case.id}: the printed formula does not give the value of {wrong}")
    demand, capacity, unit = _sides(last)
    ok = case.ratio <= ALMOST_ONE
    return Check(
        case.id, case.subject, case.title, Status.PASS if ok else Status.FAIL,
        case.ratio + 0.0, demand, capacity, unit, case.combination,
        case.clause or _clause(record, kept),
        max(s.provision.certainty for s in kept), case.note, case.family,
        case.rule, lambda: pruned(_record(case), case),
    )  # fmt: skip


def stated(case: Case) -> Check:
    """The check as the batch has it: outcome and ratio, without what only its record says.

    For screens that follow every key stroke. ``opened`` replays it, and then raises what
    :func:`explained` raises.
    """
    status = Status.PASS if case.ratio <= ALMOST_ONE else Status.FAIL
    return Check(
        case.id, case.subject, case.title, status, case.ratio + 0.0, combination=case.combination,
        clause=case.clause, note=case.note, family=case.family, rule=case.rule,
        replay=lambda: pruned(_record(case), case), opened=lambda: explained(case),
    )  # fmt: skip


def _record(case: Case) -> Record:
    with recording() as record:
        case.run()
    return record


def _final(record: Record, case: Case) -> Step:
    """The step that gives the ratio: of the named provision, nearest to the batch's value."""
    steps = [s for s in record.steps if s.provision.name.endswith("." + case.step)]
    if not steps:
        raise RecordError(f"{case.id}: no step {case.step} in its record")
    return min(steps, key=lambda s: abs(s.value.item() - case.ratio))


def _sides(step: Step) -> tuple[float, float, str]:
    """Demand, capacity and unit of a plain quotient, else the ratio and 1."""
    meta = step.provision
    if len(step.inputs) == 2:
        (a, demand), (b, capacity) = step.inputs.items()
        if meta.formula == f"{a}/{b}" and meta.units[a] == meta.units[b]:
            return demand.item(), capacity.item(), meta.units[a]
    return step.value.item(), 1.0, "-"


def ancestors(record: Record, last: Step) -> tuple[Step, ...]:
    """The steps that ``last`` rests on, in order, with itself at the end."""
    wanted, queue = {last.number}, [last.number]
    while queue:
        for origin in record.steps[queue.pop()].origins.values():
            if origin is not None and origin not in wanted:
                wanted.add(origin)
                queue.append(origin)
    return tuple(record.steps[n] for n in sorted(wanted))


def pruned(record: Record, case: Case) -> Record:
    """The record with only the steps that the ratio rests on, in their order, numbered anew."""
    kept = ancestors(record, _final(record, case))
    number = {step.number: i for i, step in enumerate(kept)}
    return Record([
        replace(s, number=number[s.number],
                origins={k: None if o is None else number[o] for k, o in s.origins.items()})
        for s in kept
    ])  # fmt: skip


_PLUMBING = ("demand over capacity", "required over provided", "vector sum", "size of a",
             "lower of two", "serviceability")  # fmt: skip


def _clause(record: Record, kept: Sequence[Step]) -> str:
    """Source of the last step that is a provision of a code rather than arithmetic."""
    for step in reversed(kept):
        source = step.provision.source
        if step.kind != "given" and not source.startswith(_PLUMBING):
            return source
    given = [s.provision.source for s in kept if s.kind == "given"]
    return given[-1] if given else ""


def broken(checks: Sequence[Check]) -> Check | None:
    """What a verdict names: of checks that fail the one with the largest ratio, else one without.

    Where nothing fails, the one that governs by :func:`worst`.
    """
    top = worst(checks)
    if top is not None and top.status is Status.FAIL:
        return top
    return next((c for c in checks if c.status is Status.FAIL), top)


def reason(note: str) -> str:
    """The first thing that a note says, in any language: what is the matter with a rule."""
    return note.partition("; ")[0].partition(". ")[0].rstrip(".")


def worst(checks: Sequence[Check]) -> Check | None:
    """The check with the largest ratio; None when no check has one.

    A rule that is met, often exactly and by construction, does not govern.
    """
    rated = [
        c for c in checks
        if c.ratio is not None and not (c.rule and c.status is Status.PASS)
    ]  # fmt: skip
    return max(rated, key=lambda c: c.ratio or 0.0, default=None)
