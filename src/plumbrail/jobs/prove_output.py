"""``plumbrail prove --json``: the tests, what is suspected, and the hand-over record."""

from __future__ import annotations

from math import isfinite
from typing import Literal

from pydantic import Field

from plumbrail.jobs.output import (
    CAUTION,
    Out,
    ProblemOut,
    RunOut,
    StepOut,
    problem_out,
    run_out,
    steps_out,
)
from plumbrail.jobs.proving import ProofExplanation, ProveJob
from plumbrail.notebook.proof_entries import Probe
from plumbrail.papers.proving_facts import LIGHTS, WARMTHS
from plumbrail.proving.calendar import DUTIES
from plumbrail.proving.care import budget
from plumbrail.proving.cautions import CAUTIONS, STEPS
from plumbrail.proving.expecting import expected_value
from plumbrail.proving.parts import EarthFault, Judged, Outcome, Part, StandingPost, Suspicion
from plumbrail.proving.records import has_steps

Verdict = Literal["pass", "fail", "too uncertain to say", "not measured"]


class ProofStringOut(Out):
    """One string and what it should read."""

    id: str
    modules: list[str] = Field(description="From the positive to the negative end.")
    box: str
    input: int = Field(description="Input of the equipment, from 1.")
    open_voltage: list[list[float]] = Field(
        description="Expected [V]: one row for each of warmths, one column for each of lights."
    )


class JudgedOut(Out):
    """One test with its verdict."""

    id: str
    subject: str
    title: str
    group: str = Field(
        description="string, ground, torque, function, thermal or label."
    )  # fmt: skip
    outcome: Verdict
    words: str
    measured: float | None = Field(description="SI in unit; null: none, or words.")
    expected: float | None
    low: float | None = Field(description="Passes from here; null: no such limit.")
    high: float | None = Field(description="Passes up to here; null: no such limit.")
    uncertainty: float | None = Field(description="At the plan's confidence.")
    unit: str
    line: int | None = Field(description="Row of the tests, from 1.")
    source: str
    certainty: str | None
    light: float | None = Field(description="On the modules at that moment [W/m2].")
    warmth: float | None = Field(description="Of the cells at that moment, as taken [K].")
    explained: bool = Field(description="--explain ID has its steps.")


class CandidateOut(Out):
    """One thing that would explain the readings."""

    fault: str
    strings: list[str]
    probability: float
    words: str
    check: str = Field(description="What to look at next.")
    size: float | None = Field(description="Most likely size: modules, diodes or a share.")


class SuspicionOut(Out):
    """Readings that a sound array would hardly give."""

    strings: list[str] = Field(description="Empty: all of them alike.")
    sound: float = Field(description="Probability that nothing is wrong.")
    candidates: list[CandidateOut] = Field(description="Most likely first.")
    evidence: list[str]
    apart: str = Field(description="What would tell the likeliest apart; empty: one is sure.")


class EarthOut(Out):
    """Where a string touches ground."""

    string: str
    from_negative: float = Field(description="Modules from the negative end.")
    resistance: float | None = Field(description="Of the path [ohm]; null: none was found.")
    outcome: Verdict
    words: str


class WantedOut(Out):
    """A test that is to be made."""

    kind: str
    place: str
    words: str
    group: str


class ErrorOut(Out):
    """One part of the uncertainties."""

    words: str
    size: float = Field(description="Largest error: a share, or kelvins.")
    unit: Literal["-", "K"]
    certainty: str


class DutyOut(Out):
    """One line of the maintenance calendar."""

    words: str
    months: int = Field(description="Between two times.")
    first: int = Field(description="Months after the hand-over.")
    certainty: str


class RecordedOut(Out):
    """A serial number or a photo."""

    what: str
    text: str
    line: int


class RepeatedOut(Out):
    """A test made more than once."""

    subject: str
    title: str
    line: int = Field(description="Row that no longer counts.")
    counts: int = Field(description="Row that counts.")
    words: str


class PostOut(Out):
    """Where a post stands as built; axes of the planned hole F1, along, across, up [m]."""

    id: str
    head: tuple[float, float, float]
    base: tuple[float, float, float]
    head_off: tuple[float, float, float] = Field(description="Built less planned.")
    base_off: tuple[float, float, float] = Field(description="Built less planned.")


class InsulationOut(Out):
    """The insulation test."""

    tier: str
    test_voltage: float = Field(description="[V]")
    least: float = Field(description="[ohm]")
    caution: str


class ProveReport(Out):
    """Output of ``plumbrail prove --json``, and the hand-over record. SI units."""

    schema_name: Literal["plumbrail.prove"] = Field("plumbrail.prove", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    tests: str | None = Field(description="The file of tests; null: only the blank sheet.")
    tests_sha256: str | None
    by: str | None = Field(description="Who tested, as the plan has it.")
    complete: bool = Field(description="Everything was measured and passes.")
    passed: int
    failed: int
    uncertain: int
    not_measured: int
    open: list[str] = Field(description="What stands between the array and its hand-over.")
    lights: list[float] = Field(description="[W/m2] of the tables of expected values.")
    warmths: list[float] = Field(description="Of the cells [K].")
    short_current: list[list[float]] = Field(description="Expected [A], as open_voltage.")
    expected_by: str = Field(description="How the expected values come about.")
    strings: list[ProofStringOut]
    insulation: InsulationOut
    wanted: list[WantedOut] = Field(description="Every test in its order.")
    judged: list[JudgedOut]
    beside: list[JudgedOut] = Field(description="Single comparisons that verdicts rest on.")
    suspicions: list[SuspicionOut]
    earth: list[EarthOut]
    as_built: str | None = Field(description="What the places of the posts were measured by.")
    as_built_measured: str | None = Field(description="Day of the last of those readings.")
    posts: list[PostOut] = Field(description="As built; empty where that was not measured.")
    serials: list[RecordedOut]
    photos: list[RecordedOut]
    uncertainties: list[ErrorOut]
    maintenance: list[DutyOut]
    again: list[RepeatedOut] = Field(description="Tests made more than once.")
    notes: list[str] = Field(description="What was assumed: meters that the plan does not have.")
    problems: list[ProblemOut] = Field(description="Rows that cannot be used.")
    struck: list[str]
    steps: list[str]
    cautions: list[str]
    caution: str = CAUTION


class ProveExplainReport(Out):
    """Output of ``plumbrail prove --explain ID --json``."""

    schema_name: Literal["plumbrail.prove-explain"] = Field(
        "plumbrail.prove-explain", alias="schema"
    )
    schema_version: Literal[1] = 1
    run: RunOut
    test: JudgedOut
    steps: list[StepOut]
    caution: str = CAUTION


def prove_explain_report(made: ProveJob, found: ProofExplanation) -> ProveExplainReport:
    """The steps of one test as output."""
    return ProveExplainReport(run=run_out(made.run), test=judged_out(found.judged),
                              steps=steps_out(found.record))  # fmt: skip


def prove_report(made: ProveJob) -> ProveReport:
    """The tests as output."""
    p, s, book = made.proved, made.subject, made.book
    m = s.module
    return ProveReport(
        run=run_out(made.run), job=made.plan.job.name,
        tests=None if book is None else book.source,
        tests_sha256=None if book is None else book.sha256, by=made.plan.proving.by,
        complete=p.complete, passed=p.count(Outcome.PASS), failed=p.count(Outcome.FAIL),
        uncertain=p.count(Outcome.UNSURE), not_measured=p.count(Outcome.UNMEASURED),
        open=list(p.open), lights=list(LIGHTS), warmths=list(WARMTHS),
        short_current=[[expected_value(m, Probe.SHORT, 1, G, T) for G in LIGHTS] for T in WARMTHS],
        expected_by=m.how,
        strings=[ProofStringOut(id=x.id, modules=list(x.modules), box=x.box, input=x.input,
                                open_voltage=[[expected_value(m, Probe.OPEN, x.count, G, T)
                                               for G in LIGHTS] for T in WARMTHS])
                 for x in s.strings],
        insulation=InsulationOut(tier=p.insulation.tier, test_voltage=p.insulation.test_voltage,
                                 least=p.insulation.least, caution=p.insulation.caution),
        wanted=[WantedOut(kind=w.kind.value, place=w.place, words=w.words, group=w.group)
                for w in p.wanted],
        judged=[judged_out(j) for j in p.judged], beside=[judged_out(j) for j in p.beside],
        suspicions=[_suspicion(x) for x in p.suspicions], earth=[_earth(e) for e in p.earth],
        as_built=None if s.built is None else s.built.readings,
        as_built_measured=None if s.built is None else s.built.measured or None,
        posts=[] if s.built is None else [_post(x) for x in s.built.posts],
        serials=_recorded(made, Probe.SERIAL), photos=_recorded(made, Probe.PHOTO),
        uncertainties=[_error(x) for x in budget(s.rules)],
        maintenance=[DutyOut(words=d.words, months=d.months, first=d.first,
                             certainty=d.certainty.words) for d in DUTIES],
        again=[RepeatedOut(subject=x.counts.place, title=x.counts.kind.value,
                           line=x.earlier.line, counts=x.counts.line, words=x.words)
               for x in p.again],
        notes=list(p.notes),
        problems=[] if book is None else [problem_out(x) for x in book.problems],
        struck=[] if book is None else list(book.struck), steps=list(STEPS),
        cautions=list(CAUTIONS),
    )  # fmt: skip


def judged_out(j: Judged) -> JudgedOut:
    """One verdict as output."""
    return JudgedOut.model_validate({
        "id": j.id, "subject": j.subject, "title": j.title, "group": j.group,
        "outcome": j.outcome.value, "words": j.words, "measured": _known(j.measured),
        "expected": j.expected, "low": j.low, "high": j.high, "uncertainty": j.uncertainty,
        "unit": j.unit, "line": j.line, "source": j.source,
        "certainty": None if j.certainty is None else j.certainty.words,
        "light": j.light, "warmth": j.warmth, "explained": has_steps(j),
    })  # fmt: skip


def _known(value: float | None) -> float | None:
    return None if value is None or not isfinite(value) else float(value)


def _suspicion(s: Suspicion) -> SuspicionOut:
    return SuspicionOut(
        strings=list(s.strings), sound=s.sound, evidence=list(s.evidence), apart=s.apart,
        candidates=[CandidateOut(fault=c.fault, strings=list(c.strings), words=c.words,
                                 probability=c.probability, check=c.check, size=c.size)
                    for c in s.candidates],
    )  # fmt: skip


def _earth(e: EarthFault) -> EarthOut:
    return EarthOut.model_validate({
        "string": e.string, "from_negative": e.from_negative, "resistance": _known(e.resistance),
        "outcome": e.outcome.value, "words": e.words,
    })  # fmt: skip


def _error(p: Part) -> ErrorOut:
    return ErrorOut(words=p.words, size=p.size, unit="K" if p.kelvins else "-",
                    certainty=p.certainty.words)  # fmt: skip


def _post(p: StandingPost) -> PostOut:
    off = p.head - p.planned_head, p.base - p.planned_base
    return PostOut.model_validate({
        "id": p.id, "head": p.head.tolist(), "base": p.base.tolist(),
        "head_off": off[0].tolist(), "base_off": off[1].tolist(),
    })  # fmt: skip


def _recorded(made: ProveJob, kind: Probe) -> list[RecordedOut]:
    proofs = () if made.book is None else made.book.proofs
    return [RecordedOut(what=p.place, text=p.text, line=p.line) for p in proofs if p.kind is kind]
