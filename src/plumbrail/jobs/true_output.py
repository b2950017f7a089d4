"""``plumbrail true --json`` and the record of the pour gate."""

from __future__ import annotations

from typing import Literal

import numpy as np
from pydantic import Field

from plumbrail.jobs.output import CAUTION, Out, ProblemOut, RunOut, problem_out, run_out
from plumbrail.jobs.truing import Truing
from plumbrail.truing.parts import Built, Survey, Verdict
from plumbrail.truing.run import Trued


class NotebookOut(Out):
    """The readings a result was made from."""

    sha256: str = Field(description="Checksum of the readings file.")
    source: str = Field(description="The readings file as named on the command line.")
    last: str = Field(description="Time of the last reading, as written; empty when none is.")
    used: int = Field(description="Readings used.")
    set_aside: int = Field(description="Readings set aside until somebody looks again.")
    struck: int = Field(description="Readings struck out by their writer.")
    blank: int = Field(description="Rows without a value.")


class GateOut(Out):
    """The pour gate."""

    ready: Literal["ready to pour", "not ready", "not enough readings"]
    reasons: list[str] = Field(description="Why, most important first.")
    hold_points: list[str] = Field(description="What a person looks at before any concrete.")
    cautions: list[str]


class ReadingOut(Out):
    """One reading and what the others say about it; m or rad."""

    line: int = Field(description="Row of the readings file.")
    kind: str
    start: str = Field(description="From, or the point itself.")
    end: str = Field(description="To; empty for rod and plumb.")
    at: str = Field(description="Point held against a string; else empty.")
    value: float = Field(description="As read.")
    adjusted: float = Field(description="As it should have read.")
    sd: float = Field(description="Standard deviation by its instrument.")
    redundancy: float = Field(description="0: nothing checks it; 1: the others would give it.")
    normalised: float = Field(description="Residual over its standard deviation.")
    finds: float | None = Field(description="Least blunder found with 80 % power; null: none.")
    set_aside: bool


class SuspicionOut(Out):
    """A reading that looks wrong."""

    lines: list[int] = Field(description="Rows of which one is wrong.")
    size: float = Field(description="By how much it reads too long or too high [m or rad].")
    words: str


class HiddenOut(Out):
    """A reading in which a slip could stay unseen while a value is really outside; m or rad."""

    line: int
    redundancy: float = Field(description="Below 0.01 nothing checks it, and the pour is held.")
    slip: float | None = Field(description="Least slip that would show; null: none would.")
    value: str = Field(description="Id of the value that hangs on it most.")
    shift: float = Field(description="What that slip, at most 1 ft or 5°, does to the value.")
    others: int = Field(description="How many more values could be outside unseen.")


class ValueOut(Out):
    """One value against its tolerance; m, or rad where ``angle``."""

    id: str
    family: str = Field(
        description="straight, level, parallel, plumb, plane, tilt, spacing, square or height."
    )
    subject: str
    what: str
    angle: bool
    value: float | None = Field(description="null: not measured.")
    sd: float | None = Field(description="Standard deviation; null: not measured.")
    low: float | None = Field(description="Limit; null: none is stated.")
    high: float | None = Field(description="Limit; null: none is stated.")
    after: float | None = Field(description="After the moves; null: not measured.")
    verdict: Literal["inside", "outside", "too uncertain to say", "not measured", "not checked"]


class MoveOut(Out):
    """One thing to do on site."""

    place: str = Field(description="F3: head with the beam; F3 base; F3 post: both; front beam.")
    axis: Literal["along", "across", "up"]
    amount: float = Field(description="[m], positive to the right, to the back, up.")
    thought_fixed: bool
    words: str


class MendingOut(Out):
    """The fewest, then smallest moves."""

    outcome: str
    moves: list[MoveOut]
    stuck: list[str] = Field(description="Ids of values that no allowed move brings inside.")
    measure_again: list[str]
    proven: bool
    gap: float = Field(description="Share of moves that could at most be saved.")
    aim: str = Field(description="How much room the moves leave.")


class PointOut(Out):
    """Where a point is, in the axes of hole F1 [m]."""

    id: str
    xyz: list[float]
    planned: list[float]
    sd: list[float] = Field(description="Standard deviation of x, y, z.")
    determined: list[bool] = Field(
        description="Whether the readings alone fix x, y, z; false everywhere for a free datum."
    )


class TrueReport(Out):
    """Output of ``plumbrail true --json``."""

    schema_name: Literal["plumbrail.true"] = Field("plumbrail.true", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    notebook: NotebookOut
    gate: GateOut
    confidence: float = Field(description="Kept from every limit.")
    mending: MendingOut
    suspicions: list[SuspicionOut]
    problems: list[ProblemOut] = Field(description="Rows that have to be put right.")
    missing: list[str] = Field(description="Readings that settle what is not measured.")
    missing_proven: bool = Field(description="No fewer readings would do.")
    sharper: list[str] = Field(
        description="Readings that would make uncertain values sure, or check what nothing checks."
    )
    values: list[ValueOut]
    points: list[PointOut]
    readings: list[ReadingOut]
    enlarged: float = Field(description="Factor on all standard deviations.")
    statistic: float = Field(description="Weighted sum of squares of the residuals.")
    limit: float = Field(description="Its 95 % limit.")
    redundant: int = Field(description="Redundant readings.")
    iterations: int
    doubts: list[str] = Field(description="Noted moves that the readings contradict.")
    hidden: list[HiddenOut] = Field(
        description="Readings in which a slip would not show although a value hangs on it."
    )
    notes: list[str]
    caution: str = CAUTION


class GateRecord(Out):
    """A line of the record of the pour gate: what was known, and the verdict."""

    schema_name: Literal["plumbrail.pour-gate"] = Field("plumbrail.pour-gate", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    notebook: NotebookOut
    confidence: float
    gate: GateOut
    moves: list[str] = Field(description="Moves that were still to be made.")
    suspicions: list[str]
    caution: str = CAUTION


def true_report(made: Truing) -> TrueReport:
    """Truing as output."""
    t = made.trued
    return TrueReport(
        run=run_out(made.run), job=made.plan.job.name, notebook=_notebook(made), gate=_gate(made),
        confidence=t.mending.confidence, mending=_mending(made),
        suspicions=[
            SuspicionOut(lines=[t.survey.readings[i].line for i in s.readings], size=s.size,
                         words=s.words)
            for s in t.survey.suspicions
        ],
        problems=[problem_out(p) for p in t.problems],
        missing=[w.words for w in t.missing], missing_proven=t.missing_proven,
        sharper=[w.words for w in t.sharper], values=_values(t.built, t.mending.after),
        points=_points(t.survey), readings=_readings(t.survey), enlarged=t.survey.enlarged,
        statistic=t.survey.statistic, limit=t.survey.limit, redundant=t.survey.freedom,
        iterations=t.survey.iterations, notes=list(t.survey.notes),
        doubts=list(t.survey.doubts), hidden=_hidden(t),
    )  # fmt: skip


def gate_record(made: Truing) -> GateRecord:
    """The pour gate as it is recorded."""
    t = made.trued
    return GateRecord(
        run=run_out(made.run), job=made.plan.job.name, notebook=_notebook(made),
        confidence=t.mending.confidence, gate=_gate(made),
        moves=[m.words for m in t.mending.moves], suspicions=[s.words for s in t.survey.suspicions],
    )  # fmt: skip


def _notebook(made: Truing) -> NotebookOut:
    book, survey = made.notebook, made.trued.survey
    aside = int(survey.suspect.sum())
    times = [r.time for r in book.readings if r.time]
    return NotebookOut(
        sha256=book.sha256, source=book.source, last=times[-1] if times else "",
        used=len(survey.readings) - aside, set_aside=aside, struck=len(book.struck),
        blank=book.blank,
    )  # fmt: skip


def _gate(made: Truing) -> GateOut:
    gate = made.trued.gate
    return GateOut(ready=gate.ready.value, reasons=list(gate.reasons),
                   hold_points=list(gate.hold_points), cautions=list(gate.cautions))  # fmt: skip


def _mending(made: Truing) -> MendingOut:
    m, built = made.trued.mending, made.trued.built
    return MendingOut(
        outcome=m.outcome.value,
        moves=[MoveOut(place=v.place, axis=v.axis, amount=v.amount, thought_fixed=v.fixed,
                       words=v.words) for v in m.moves],
        stuck=[built.ids[i] for i in m.stuck], measure_again=list(m.remeasure), proven=m.proven,
        gap=m.gap, aim=m.aim,
    )  # fmt: skip


def _hidden(t: Trued) -> list[HiddenOut]:
    s = t.survey
    return [
        HiddenOut(line=s.readings[h.reading].line, redundancy=float(s.redundancy[h.reading]),
                  slip=_finite(h.slip), value=t.built.ids[h.value], shift=h.shift,
                  others=h.others)
        for h in t.hidden
    ]  # fmt: skip


def _values(built: Built, after: np.ndarray) -> list[ValueOut]:
    def known(value: float, i: int) -> float | None:
        return float(value) if built.verdict[i] is not Verdict.UNMEASURED else None

    return [
        ValueOut(
            id=built.ids[i], family=built.family[i], subject=built.subject[i], what=built.what[i],
            angle=bool(built.angle[i]), value=known(built.value[i], i), sd=_finite(built.sd[i]),
            low=_finite(built.low[i]), high=_finite(built.high[i]), after=known(after[i], i),
            verdict=built.verdict[i].value,
        )
        for i in range(len(built.ids))
    ]  # fmt: skip


def _points(survey: Survey) -> list[PointOut]:
    where = survey.positions
    sd = np.sqrt(np.maximum(np.diag(where.cov), 0.0)).reshape(-1, 3)
    held = (np.abs(where.loose).max(axis=1, initial=0.0) < 1e-6).reshape(-1, 3)
    return [
        PointOut(id=id, xyz=where.xyz[i].tolist(), planned=where.points.planned[i].tolist(),
                 sd=sd[i].tolist(), determined=held[i].tolist())
        for i, id in enumerate(where.points.ids)
    ]  # fmt: skip


def _readings(s: Survey) -> list[ReadingOut]:
    return [
        ReadingOut(
            line=r.line, kind=r.kind.value, start=r.start, end=r.end, at=r.at, value=r.value,
            adjusted=float(s.adjusted[i]), sd=float(s.sd[i]), redundancy=float(s.redundancy[i]),
            normalised=float(s.w[i]), finds=_finite(s.mdb[i]), set_aside=bool(s.suspect[i]),
        )
        for i, r in enumerate(s.readings)
    ]  # fmt: skip


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
