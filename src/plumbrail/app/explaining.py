"""GET /api/jobs/{job}/checks/{id}: every step behind one check, as data and ready to print."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from plumbrail.app import reported
from plumbrail.app.office import At, Office
from plumbrail.app.steps import printed
from plumbrail.app.worked import PartDone, Worked

if TYPE_CHECKING:
    from plumbrail.check import Check
    from plumbrail.jobs.proving import ProveJob
    from plumbrail.jobs.trenching import TrenchJob


def explained(office: Office, at: At, id: str) -> dict[str, Any]:
    """ExplainReport (of other parts than the frame: their own, with empty loads), ``sides`` and
    ``printed``.

    Raises PlumbrailError with near ids for a check that is not there or was not made.
    """
    worked = office.worked(at)
    if worked.design.checks.find(id) is not None:
        return _frame(worked, id)
    done = {name: office.bench.part(at.sha256, name) for name in reported.PARTS}
    plan = worked.loaded.plan
    found = {c.id.lower(): c for c in reported.checks(plan, done)}.get(id.strip().lower())
    if found is None:
        return _frame(worked, id, [c.id for c in reported.checks(plan, done)])
    if found.id.startswith("part."):
        return _bare(found, "", [])
    if _has(done["trench"], found.id):
        return _trench(done["trench"], found)
    if _has(done["works"], found.id):
        return _works(done["works"], found, worked)
    return _wiring(office, at, worked, found.id)


def _has(part: PartDone | None, id: str) -> bool:
    return part is not None and any(c["id"] == id for c in part.report.get("checks", []))


def _frame(worked: Worked, id: str, others: list[str] | None = None) -> dict[str, Any]:
    from plumbrail.jobs.explaining import explain
    from plumbrail.jobs.output import explain_report

    if others and worked.design.checks.find(id) is None:
        _refuse_unknown(worked, id, others)
    units = worked.design.plan.job.units
    found = explain(worked.design, id)
    report = explain_report(worked.design.run, found).model_dump(mode="json", by_alias=True)
    loads = [
        {"words": load.words, "case": load.case, "factor": load.factor,
         "steps": printed(load.record, units)}
        for load in found.loads if load.record is not None
    ]  # fmt: skip
    report["sides"] = _sides(found.check, units)
    report["printed"] = {"loads": loads, "steps": printed(found.record, units)}
    return report


def _refuse_unknown(worked: Worked, id: str, others: list[str]) -> None:
    """Say which checks are near an id that neither the frame nor another part has."""
    from difflib import get_close_matches

    from plumbrail.errors import PlumbrailError

    every = [*(c.id for c in worked.design.checks.checks), *others]
    if id.strip().lower() in {e.lower() for e in every}:
        return
    near = get_close_matches(id, every, 4, 0.3)
    raise PlumbrailError(f"there is no check {id[:80]!r}. Near it are: {', '.join(near) or 'none'}")


def _wiring(office: Office, at: At, worked: Worked, id: str) -> dict[str, Any]:
    from plumbrail.jobs.wire_output import wire_explain_report
    from plumbrail.jobs.wiring import explain_wire, wiring

    done = office.bench.part(at.sha256, "wire")
    made = wiring(worked.loaded, None if done is None else done.kept)
    found = explain_wire(made, id)
    report = wire_explain_report(made, found).model_dump(mode="json", by_alias=True)
    units = worked.design.plan.job.units
    return _whole(report, _sides(found.check, units), printed(found.record, units))


def _trench(done: PartDone | None, check: Check) -> dict[str, Any]:
    """As the worker that laid out the trench wrote it down: doing that again takes seconds."""
    kept: Mapping[str, Any] = {} if done is None or done.kept is None else done.kept
    return dict(kept[check.id]) if check.id in kept else _bare(check, "", [])


def trench_stories(made: TrenchJob) -> dict[str, dict[str, Any]]:
    """The explanation of every check of a trench that was made, by its id."""
    from plumbrail.check import Status
    from plumbrail.jobs.trench_output import trench_explain_report
    from plumbrail.jobs.trenching import explain_trench

    units, found = made.plan.job.units, {}
    for check in made.checks:
        if check.status is Status.NOT_CHECKED or check.replay is None:
            found[check.id] = _bare(check, _sides(check, units), [])
            continue
        story = explain_trench(made, check.id)
        report = trench_explain_report(made, story).model_dump(mode="json", by_alias=True)
        found[check.id] = _whole(report, _sides(check, units), printed(story.record, units))
    return found


def test_stories(made: ProveJob) -> dict[str, dict[str, Any]]:
    """The explanation of every test that has numbers behind it, by its id."""
    from plumbrail.errors import PlumbrailError
    from plumbrail.jobs.output import CAUTION, steps_out
    from plumbrail.jobs.proving import explain_proof, facts_of
    from plumbrail.papers.proving_facts import judged_words
    from plumbrail.proving.records import has_steps

    facts, units, found = facts_of(made), made.plan.job.units, {}
    for j in (*made.proved.beside, *made.proved.judged):
        if not has_steps(j):
            continue
        check = {"id": j.id, "subject": j.subject, "title": j.title, "status": j.outcome.value,
                 "note": judged_words(facts, j), "clause": j.source, "ratio": None,
                 "demand": None, "capacity": None, "unit": j.unit, "remedy": "",
                 "certainty": None}  # fmt: skip
        told: dict[str, Any] = {"check": check, "steps": [], "caution": CAUTION}
        try:
            record = explain_proof(made, j.id).record
        except PlumbrailError as error:
            check["note"] = f"{check['note']}. No steps: {error}"
            found[j.id] = _whole(told, "", [])
            continue
        check["certainty"] = record.certainty.words
        told["steps"] = [s.model_dump(mode="json", by_alias=True) for s in steps_out(record)]
        found[j.id] = _whole(told, "", printed(record, units))
    return found


def _works(done: PartDone | None, check: Check, worked: Worked) -> dict[str, Any]:
    from plumbrail.app.works_checks import lines

    assert done is not None
    steps = lines(done.report, check)
    return _bare(check, _sides(check, worked.design.plan.job.units), steps)


def _whole(report: Mapping[str, Any], sides: str, steps: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "combination": "", "combination_source": "", "loads": [], "residual": 0.0, **report,
        "sides": sides, "printed": {"loads": [], "steps": steps},
    }  # fmt: skip


def _bare(check: Check, sides: str, steps: list[dict[str, Any]]) -> dict[str, Any]:
    """A check without provisions behind it: read off a plan of days, or not made."""
    from plumbrail.jobs.output import CAUTION, check_out

    out = check_out(check).model_dump(mode="json", by_alias=True)
    return _whole({"check": out, "steps": [], "caution": CAUTION}, sides, steps)


def _sides(check: Check, units: str) -> str:
    """``Demand 310 lbf, capacity 1,200 lbf.``"""
    from plumbrail.papers.book_values import quantity

    demand, capacity = (quantity(v, check.unit, units) for v in (check.demand, check.capacity))
    return f"Demand {demand}, capacity {capacity}. " if demand and capacity else ""
