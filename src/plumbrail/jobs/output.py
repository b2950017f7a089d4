"""What ``--json`` prints: documented, versioned data in SI units. docs/json.md is made from here.

A change that removes or renames a field, or changes its meaning, raises the schema's number.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from plumbrail.check import Check, Status, worst
from plumbrail.checks.remedies import remedy
from plumbrail.errors import PlanError, Problem
from plumbrail.jobs.designing import Design
from plumbrail.jobs.explaining import Explanation
from plumbrail.jobs.identity import Run
from plumbrail.trace import Record

CAUTION = (
    "An aid to a competent person, never an approval. The codes in force where you build and "
    "licensed practice decide."
)


class Out(BaseModel):
    """A piece of output."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class RunOut(Out):
    """What the result was made from."""

    plan_sha256: str = Field(description="Checksum of the plan file.")
    program: str = Field(description="Version of plumbrail.")
    tables_sha256: str = Field(description="Checksum over all coefficient tables.")
    source: str = Field(description="The plan file as named on the command line.")


class CheckOut(Out):
    """One check. Numbers are SI in the unit named by ``unit``."""

    id: str = Field(description="Stable id; ask for the steps with --explain ID.")
    subject: str = Field(description="The part that is checked.")
    title: str = Field(description="What is checked.")
    family: str = Field(
        description="Kind of part: frame, post, beam, brace, rail, pier, splice, joint, module, "
        "site or ground; of the wiring: string, input, array, run, conduit, riser, disconnect, "
        "grounding or rules."
    )
    status: Literal["pass", "fail", "not checked"] = Field(description="Outcome.")
    ratio: float | None = Field(description="Demand over capacity; over 1 fails.")
    demand: float | None = Field(description="Demand.")
    capacity: float | None = Field(description="Capacity.")
    unit: str = Field(description="Unit of demand and capacity; - when only the ratio counts.")
    combination: str = Field(description="Governing load combination and load cases.")
    clause: str = Field(description="Clause, letter or plan field the capacity comes from.")
    certainty: str | None = Field(description="How sure the least sure value behind it is.")
    note: str = Field(description="Place on the part, or what is missing.")
    remedy: str = Field(description="What usually mends it; empty unless it fails.")


class FrameOut(Out):
    """The frame analysis behind the checks."""

    load_cases: int = Field(description="Basic load cases.")
    combinations: int = Field(description="Combinations of the plan's method.")
    residual: float = Field(description="Largest unbalanced force over the load, in any case.")


class CheckReport(Out):
    """Output of ``plumbrail check --json``."""

    schema_name: Literal["plumbrail.check"] = Field("plumbrail.check", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str = Field(description="Name of the job.")
    passed: int = Field(description="Checks passed.")
    failed: int = Field(description="Checks failed.")
    not_checked: int = Field(description="Checks that could not be made.")
    governing: str | None = Field(description="Id of the check with the largest ratio.")
    as_built: bool = Field(description="Posts, beams and tilt are as measured, not as planned.")
    as_built_readings: str | None = Field(
        description="Checksum of the readings, or words, that the places come from."
    )
    frame: FrameOut
    splices: dict[str, list[float]] = Field(
        description="Splices of the front and back beam from the left end [m]."
    )
    checks: list[CheckOut]
    not_covered: list[str] = Field(description="What plumbrail does not judge at all.")
    notes: list[str] = Field(description="Warnings about the plan.")
    caution: str = CAUTION


class StepOut(Out):
    """One step of an explanation."""

    number: int = Field(description="Number within this explanation.")
    kind: Literal["given", "analysis", "provision"]
    symbol: str
    value: list[float] = Field(description="Value, one number or one per place.")
    unit: str
    title: str
    source: str = Field(description="Clause, table, plan field or analysis.")
    formula: str = Field(description="Printed formula; empty for a given number.")
    inputs: dict[str, list[float]] = Field(description="Symbol to value, units as in the formula.")
    origins: dict[str, int | None] = Field(description="Symbol to the step it comes from.")
    certainty: str
    residual: float | None = Field(description="For an analysis, its own proof.")


class LoadOut(Out):
    """One load of the governing combination."""

    case: str = Field(description="Load case.")
    words: str = Field(description="Load case in words.")
    factor: float = Field(description="Its factor in the combination.")
    steps: list[StepOut] = Field(description="Steps behind its pressure; empty for own weight.")


class ExplainReport(Out):
    """Output of ``plumbrail check --explain ID --json``."""

    schema_name: Literal["plumbrail.explain"] = Field("plumbrail.explain", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    check: CheckOut
    combination: str = Field(description="Governing combination as printed; may be empty.")
    combination_source: str = Field(description="Clause of the combination.")
    loads: list[LoadOut]
    residual: float = Field(description="Largest unbalanced share of load in the frame analysis.")
    steps: list[StepOut] = Field(description="Steps of the check itself.")
    caution: str = CAUTION


class NewReport(Out):
    """Output of ``plumbrail new --json``."""

    schema_name: Literal["plumbrail.new"] = Field("plumbrail.new", alias="schema")
    schema_version: Literal[1] = 1
    written: str = Field(description="The file written.")


class ProblemOut(Out):
    """One thing wrong with a plan."""

    path: str = Field(description="Dotted place of the field.")
    line: int | None = Field(description="Line in the plan file, from 1.")
    message: str


class ProblemReport(Out):
    """What any command prints with ``--json`` when the plan is invalid (exit code 2)."""

    schema_name: Literal["plumbrail.problems"] = Field("plumbrail.problems", alias="schema")
    schema_version: Literal[1] = 1
    source: str
    problems: list[ProblemOut]


def run_out(run: Run) -> RunOut:
    """Identity of a run as output."""
    return RunOut(plan_sha256=run.plan, program=run.program, tables_sha256=run.tables,
                  source=run.source)  # fmt: skip


def problem_out(problem: Problem) -> ProblemOut:
    """One problem as output."""
    return ProblemOut(path=problem.path, line=problem.line, message=problem.message)


def check_out(check: Check) -> CheckOut:
    """A check as output."""
    return CheckOut(
        id=check.id, subject=check.subject, title=check.title, family=check.family,
        status=check.status.value, ratio=check.ratio, demand=check.demand,
        capacity=check.capacity, unit=check.unit, combination=check.combination,
        clause=check.clause, note=check.note, remedy=remedy(check),
        certainty=None if check.certainty is None else check.certainty.words,
    )  # fmt: skip


def check_report(design: Design) -> CheckReport:
    """All checks as output."""
    found = design.checks
    governing = worst(found.checks)
    front, back = design.cutting.splices
    return CheckReport(
        run=run_out(design.run), job=design.plan.job.name,
        passed=found.count(Status.PASS), failed=found.count(Status.FAIL),
        not_checked=found.count(Status.NOT_CHECKED),
        governing=governing.id if governing else None,
        as_built=design.plan.as_built is not None,
        as_built_readings=design.plan.as_built.readings if design.plan.as_built else None,
        frame=FrameOut(load_cases=found.cases, combinations=found.combinations,
                       residual=found.residual),
        splices={"front": list(front), "back": list(back)},
        checks=[check_out(c) for c in found.checks],
        not_covered=list(found.not_covered), notes=list(found.notes),
    )  # fmt: skip


def explain_report(run: Run, found: Explanation) -> ExplainReport:
    """The steps of one check as output."""
    return ExplainReport(
        run=run_out(run), check=check_out(found.check), combination=found.combination,
        combination_source=found.combination_source, residual=found.residual,
        loads=[
            LoadOut(case=load.case, words=load.words, factor=load.factor,
                    steps=steps_out(load.record) if load.record else [])
            for load in found.loads
        ],
        steps=steps_out(found.record),
    )  # fmt: skip


def steps_out(record: Record) -> list[StepOut]:
    """The steps of a record, numbered from 1."""
    place = {step.number: i + 1 for i, step in enumerate(record.steps)}
    return [
        StepOut(
            number=place[s.number], kind=s.kind, symbol=s.provision.symbol,
            value=_list(s.value), unit=s.provision.unit, title=s.provision.title,
            source=s.provision.source, formula=s.provision.formula,
            inputs={k: _list(v) for k, v in s.inputs.items()},
            origins={k: None if o is None else place.get(o) for k, o in s.origins.items()},
            certainty=s.provision.certainty.words, residual=s.residual,
        )
        for s in record.steps
    ]  # fmt: skip


def _list(array: Sequence[float] | object) -> list[float]:
    import numpy as np

    return [float(v) for v in np.atleast_1d(np.asarray(array, dtype=float)).ravel()]


def problem_report(error: PlanError) -> ProblemReport:
    """Every problem of a plan as output."""
    return ProblemReport(
        source=error.source,
        problems=[problem_out(p) for p in error.problems],
    )
