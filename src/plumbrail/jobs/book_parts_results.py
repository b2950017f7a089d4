"""Everything a book is made from: one plan, worked out once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from plumbrail.check import Check, Status
from plumbrail.errors import PlanError
from plumbrail.jobs.buying import Shopping, shopping
from plumbrail.jobs.designing import Design, design
from plumbrail.jobs.drawing import job_info
from plumbrail.jobs.finding import direction_of
from plumbrail.jobs.identity import Run
from plumbrail.jobs.located import located
from plumbrail.jobs.proving import ProveJob, proving
from plumbrail.jobs.staking import Staking
from plumbrail.jobs.trenching import TrenchJob, trenching
from plumbrail.jobs.truing import Truing, truing
from plumbrail.jobs.wiring import WireJob, wiring
from plumbrail.jobs.working import WorksJob, trench_work, works
from plumbrail.jobs.yielding import YieldJob, yielding
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan
from plumbrail.setout.stakes import stake
from plumbrail.truing.parts import Ready

STAGES = (
    later("Frame and checks"), later("Setting out"), later("Readings"), later("Yield"),
    later("Wiring"), later("Drawings"), later("Pages"), later("PDF"), later("DXF"),
)  # fmt: skip
"""What is worked on, in order."""
Tick = Callable[[str], None]
"""Told the name of each stage as it begins."""


@dataclass(frozen=True)
class Results:
    """What the pages are made from."""

    design: Design
    shop: Shopping
    staking: Staking
    truing: Truing | None
    energy: YieldJob | None
    wires: WireJob | None
    trench: TrenchJob | None = None
    no_trench: str = ""
    """Why a trench that the plan asks for could not be laid out."""
    proving: ProveJob | None = None
    """None where there are no wires; without tests it holds the blank sheet."""
    works: WorksJob | None = None
    """None where the plan says nothing of the works."""
    no_works: str = ""
    """Why works that the plan asks for could not be planned."""

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.design.plan

    @property
    def run(self) -> Run:
        """Identity of the run."""
        return self.design.run

    @property
    def job(self) -> JobInfo:
        """What the title blocks say."""
        return job_info(self.run, self.plan)

    @property
    def checks(self) -> tuple[Check, ...]:
        """Of the frame and, where there are, of the wiring and the trench."""
        return (*self.design.checks.checks, *(self.wires.checks if self.wires else ()),
                *(self.trench.checks if self.trench else ()))  # fmt: skip

    @property
    def uncut(self) -> tuple[str, ...]:
        """Sections without a cut list, with the reason."""
        sections = self.design.cutting.sections
        return tuple(f"{s.section}, {s.what}: {s.problem}" for s in sections if s.plan is None)

    @property
    def failing(self) -> bool:
        """Some check fails."""
        return any(c.status is Status.FAIL for c in self.checks)

    @property
    def passed(self) -> bool:
        """Every check made and passed, the yield complete, and readings, if any, ready."""
        return (
            all(c.status is Status.PASS for c in self.checks)
            and (self.energy is None or self.energy.complete)
            and (self.truing is None or self.truing.trued.gate.ready is Ready.READY)
            and not self.uncut
            and not (self.no_trench or self.no_works)
            and (self.proving is None or self.proving.book is None or self.proving.passed)
        )


def results(
    loaded: LoadedPlan, readings: str | Path | None, tick: Tick, tests: str | Path | None = None
) -> Results:
    """All computations; raises PlanError, GeometryError and RangeError in words."""
    tick(STAGES[0])
    made = design(loaded)
    planned = made.analysis.planned
    tick(STAGES[1])
    with located(loaded):
        stakes = stake(planned, made.plan.setout)
        found = direction_of(made.plan, planned, stakes.base, None)
    set_out = Staking(made.run, made.plan, planned, stakes, found)
    tick(STAGES[2])
    read = None if readings is None else truing(loaded, readings)
    tick(STAGES[3])
    energy = None if loaded.plan.energy is None else yielding(loaded)
    tick(STAGES[4])
    shade = None if energy is None else energy.facts.shade.module
    wires = None if loaded.plan.wiring is None else wiring(loaded, shade)
    trench, why = _trench(loaded, wires)
    return Results(made, shopping(made.plan, planned, made.cutting), set_out, read, energy, wires,
                   trench, why, _proving(loaded, tests, wires, read),
                   *_works(loaded, energy, wires, trench))  # fmt: skip


def _works(
    loaded: LoadedPlan, energy: YieldJob | None, wires: WireJob | None, trench: TrenchJob | None
) -> tuple[WorksJob | None, str]:
    """The works, or why there are none though the plan asks for them."""
    if loaded.plan.works is None:
        return None, ""
    try:
        return works(loaded, energy, wires, trench_work(trench)), ""
    except PlanError as error:
        return None, "; ".join(p.message for p in error.problems)


def _proving(
    loaded: LoadedPlan, tests: str | Path | None, wires: WireJob | None, read: Truing | None
) -> ProveJob | None:
    return None if wires is None else proving(loaded, tests, wires, read)


def _trench(loaded: LoadedPlan, wires: WireJob | None) -> tuple[TrenchJob | None, str]:
    """The trench, or why there is none though the plan asks for one."""
    if loaded.plan.trench is None or wires is None:
        return None, ""
    try:
        return trenching(loaded, wires), ""
    except PlanError as error:
        return None, "; ".join(p.message for p in error.problems)
