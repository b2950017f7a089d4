"""Slow parts about the work on site: the trench, the order of the works, the tests of the array."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from plumbrail.app.worked import PartDone

if TYPE_CHECKING:
    from plumbrail.jobs.trenching import TrenchJob
    from plumbrail.jobs.wiring import WireJob
    from plumbrail.jobs.working import Inputs
    from plumbrail.jobs.yielding import YieldJob
    from plumbrail.plan.reader import LoadedPlan

TESTS = "tests.csv"


@dataclass
class Made:
    """What the same worker made of the same plan before: nothing is worked out twice."""

    energy: YieldJob | None = None
    wires: WireJob | None = None
    trench: TrenchJob | None = None


def _trench(loaded: LoadedPlan, made: Made) -> PartDone:
    """The trench, with the explanation of each of its checks."""
    from plumbrail.app.explaining import trench_stories
    from plumbrail.jobs.trench_output import trench_report
    from plumbrail.jobs.trenching import trenching

    made.trench = dug = trenching(loaded, made.wires)
    rules = frozenset(c.id for c in dug.checks if c.rule)
    report = trench_report(dug).model_dump(mode="json", by_alias=True)
    return PartDone(report, trench_stories(dug), rules)


def _works(loaded: LoadedPlan, made: Made) -> PartDone:
    """The works with their checks, and their calendar as a file."""
    from plumbrail.app.works_checks import works_checks
    from plumbrail.jobs.output import check_out
    from plumbrail.jobs.working import works
    from plumbrail.jobs.works_calendar import works_ics
    from plumbrail.jobs.works_output import works_report

    got = _inputs(loaded, made)
    job = works(loaded, got.energy, got.wires, got.trench)
    report = works_report(job).model_dump(mode="json", by_alias=True)
    checks = works_checks(report, loaded.plan)
    told = [check_out(c).model_dump(mode="json") for c in checks]
    rules = frozenset(c.id for c in checks if c.rule)
    return PartDone({**report, "checks": told}, works_ics(job), rules)


def _inputs(loaded: LoadedPlan, made: Made) -> Inputs:
    """What the works take from the other parts; worked out here only what is not there yet."""
    from plumbrail.jobs.working import Inputs, trench_work, works_inputs

    plan = loaded.plan
    if any(
        asked is not None and there is None
        for asked, there in (
            (plan.energy, made.energy), (plan.wiring, made.wires), (plan.trench, made.trench),
        )
    ):  # fmt: skip
        return works_inputs(loaded)
    return Inputs(made.energy, made.wires, trench_work(made.trench))


def _proving(loaded: LoadedPlan, made: Made) -> PartDone:
    """What is to be tested, with the blank sheet as ``blank``."""
    from plumbrail.app.explaining import test_stories
    from plumbrail.jobs.prove_output import prove_report
    from plumbrail.jobs.proving import proving
    from plumbrail.notebook.proof_blank import BlankProof, blank_proofs

    job = proving(loaded, None, made.wires)
    stories = test_stories(job)
    rows = [BlankProof(w.kind, w.place, w.words) for w in job.proved.wanted]
    report = prove_report(job).model_dump(mode="json", by_alias=True)
    return PartDone({**report, "blank": blank_proofs(rows)}, stories)


def judged(
    loaded: LoadedPlan, tests: str, notebook: str | None, wires: WireJob | None = None
) -> PartDone:
    """What a file of tests says, with the explanation of each; how the frame stands comes from
    the notebook, and readings that cannot be used stand in the way of a hand-over."""
    from plumbrail.app.explaining import test_stories
    from plumbrail.app.proofs import in_the_app
    from plumbrail.errors import PlumbrailError
    from plumbrail.jobs.prove_output import prove_report
    from plumbrail.jobs.proving import proving
    from plumbrail.jobs.truing import truing

    read, refused = None, ""
    if notebook is not None:
        try:
            read = truing(loaded, notebook)
        except PlumbrailError as error:
            refused = str(error)
    made = proving(loaded, tests, wires, read)
    report = prove_report(made).model_dump(mode="json", by_alias=True)
    return PartDone(in_the_app(report, refused), test_stories(made))


LATER: Mapping[str, Callable[[LoadedPlan, Made], PartDone]] = {
    "trench": _trench, "works": _works, "proving": _proving,
}  # fmt: skip
"""What a worker makes of each, by the name of the part."""
