"""Wire a plan: strings, boxes, wires, what protects them, and their papers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from difflib import get_close_matches

from plumbrail.check import Check, Status
from plumbrail.errors import PlanError, PlumbrailError, Problem
from plumbrail.jobs.drawing import Drawn, job_info, on_paper, paper
from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.jobs.yielding import module_shade
from plumbrail.model.build import build
from plumbrail.model.parts import Model
from plumbrail.papers.one_line import one_line
from plumbrail.papers.wire_facts import Task
from plumbrail.papers.wire_sheet import wiring_sheet
from plumbrail.papers.wiring_map import wiring_map
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan, locate_problems
from plumbrail.trace import Record
from plumbrail.wiring.parts import Array, Wired
from plumbrail.wiring.run import wired

_MISSING = (
    "the plan has no [wiring] section; write one with [wiring.basis], [wiring.equipment], "
    "[wiring.combiners] and [wiring.run], field by field as in docs/plan-file.md"
)


@dataclass(frozen=True)
class WireJob:
    """The wiring of one plan."""

    run: Run
    plan: Plan
    model: Model
    """As built where the plan says how that is, else as planned: wires follow what stands."""
    wired: Wired
    shade: Array | None
    """(modules,) share of a year's light each one loses; None: the plan names nothing around."""

    @property
    def checks(self) -> tuple[Check, ...]:
        """Every check of the wiring."""
        return self.wired.checks

    @property
    def passed(self) -> bool:
        """True only when every check was made and passed."""
        return self.count(Status.PASS) == len(self.checks)

    def count(self, status: Status) -> int:
        """How many checks have that outcome."""
        return sum(c.status is status for c in self.checks)


def wiring(loaded: LoadedPlan, shade: Array | None = None) -> WireJob:
    """The wiring of a plan, its strings chosen by shade where the plan says what stands around.

    ``shade`` (modules,): the share of a year's light each one loses, where it is worked out
    already; it has to be that of ``module_shade``, so that every part sees the same strings.

    Raises PlanError for a plan without a [wiring] section or without figures that it needs,
    GeometryError or RangeError in words.
    """
    plan = loaded.plan
    with _placed(loaded):
        if plan.wiring is None:
            raise PlanError([Problem("wiring", _MISSING)])
    if plan.site.shade is None:
        shade = None  # nothing shades as far as the plan says; the wiring says so too
    elif shade is None:
        shade = module_shade(loaded)
    with _placed(loaded), located(loaded):
        model = build(plan)
        found = wired(plan, model, shade)
    return WireJob(run_of(loaded), plan, model, found, shade)


@contextmanager
def _placed(loaded: LoadedPlan) -> Iterator[None]:
    """Inside, what the wiring misses in the plan gets its line and the name of the file."""
    try:
        yield
    except PlanError as error:
        if error.source == loaded.source:
            raise
        raise PlanError(locate_problems(error.problems, loaded.text), loaded.source) from None


def wire_papers(made: WireJob) -> list[Drawn]:
    """One-line diagram, map of the wires, and the sheet of lists and steps."""
    job, sheet = job_info(made.run, made.plan), paper(made.plan)
    task = Task(made.plan, made.model, made.wired, job)
    with on_paper("a drawing of the wiring", "fewer module rows, or fewer strings, would fit"):
        return [
            Drawn("one-line", one_line(task, sheet)),
            Drawn("wiring-map", wiring_map(task, sheet)),
            Drawn("wiring-sheet", wiring_sheet(task, sheet)),
        ]


@dataclass(frozen=True)
class WireExplanation:
    """The steps behind one check of the wiring."""

    check: Check
    record: Record


def explain_wire(made: WireJob, id: str) -> WireExplanation:
    """The steps of a check; raises PlumbrailError with near ids for one that does not exist."""
    wanted = id.strip().lower()
    check = next((c for c in made.checks if c.id.lower() == wanted), None)
    if check is None:
        near = get_close_matches(id, [c.id for c in made.checks], 4, 0.3)
        raise PlumbrailError(f"there is no check {id!r}. Near it are: {', '.join(near) or 'none'}")
    if check.replay is None:
        what = (
            "was not made" if check.status is Status.NOT_CHECKED else "follows without arithmetic"
        )
        raise PlumbrailError(f"{check.id} {what}, so it has no steps: {check.note}")
    return WireExplanation(check, check.replay())
