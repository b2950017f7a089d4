"""The trench of a plan, with its papers."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from math import isfinite

import numpy as np

from plumbrail.check import Check, Status
from plumbrail.errors import PlanError, PlumbrailError
from plumbrail.jobs.drawing import Drawn, job_info, on_paper, paper
from plumbrail.jobs.identity import Run
from plumbrail.jobs.located import located
from plumbrail.jobs.siting import site_to_draw
from plumbrail.jobs.wiring import WireExplanation, WireJob, wiring
from plumbrail.model.parts import Model
from plumbrail.papers.sheet import Page
from plumbrail.papers.trench_facts import TrenchFacts
from plumbrail.papers.trench_plan import trench_plan
from plumbrail.papers.trench_profile import trench_profile
from plumbrail.papers.trench_sheets import trench_lists
from plumbrail.papers.words import speaking
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan, locate_problems
from plumbrail.trench.parts import Bundle, Trenched, Wires
from plumbrail.trench.run import needed, trenched
from plumbrail.wiring.conduits import trades
from plumbrail.wiring.kinds import ground_insulation
from plumbrail.wiring.places import start_of_run
from plumbrail.wiring.sheet import section_of


@dataclass(frozen=True)
class TrenchJob:
    """The trench of one plan."""

    run: Run
    plan: Plan
    model: Model
    trench: Trenched
    wires: WireJob

    @property
    def checks(self) -> tuple[Check, ...]:
        """Every check of the trench."""
        return self.trench.checks

    @property
    def passed(self) -> bool:
        """True only when every check was made and passed."""
        return self.count(Status.PASS) == len(self.checks)

    def count(self, status: Status) -> int:
        """How many checks have that outcome."""
        return sum(c.status is status for c in self.checks)


def trenching(loaded: LoadedPlan, wires: WireJob | None = None) -> TrenchJob:
    """The trench of a plan; ``wires`` where the wiring is worked out already.

    Raises PlanError for a plan without what it needs, GeometryError where no route exists.
    """
    plan = loaded.plan
    try:
        with located(loaded):
            needed(plan)
            made = wires or wiring(loaded)
            found = trenched(plan, made.model, wires_of(made))
    except PlanError as error:
        if error.source == loaded.source:
            raise
        raise PlanError(locate_problems(error.problems, loaded.text), loaded.source) from None
    return TrenchJob(made.run, plan, made.model, found, made)


def wires_of(made: WireJob) -> Wires:
    """What the wiring says of the run."""
    wired, section = made.wired, section_of(made.plan)
    run = wired.circuits[1]
    pipe = next((c for c in wired.conduits if c.id == "run.conduit"), None)
    trade = pipe.trade if pipe is not None and pipe.trade in trades() else ""
    pairs = {(int(c), int(i)) for c, i in zip(wired.strings.combiner, wired.strings.input,
                                              strict=True)}  # fmt: skip
    start = start_of_run(section.combiners, list(wired.boxes))
    bundles = tuple(
        b for b in (
            Bundle(2 * len(pairs), run.size, run.insulation, run.metal),
            Bundle(1, run.grounding, ground_insulation(section), "copper", True),
        ) if b.size and "not checked" not in b.size
    )  # fmt: skip
    fill = pipe.fill if pipe is not None and isfinite(pipe.fill) else 0.0
    return Wires(wired.boxes[start], f"C{start + 1}", section.run.method, section.run.riser, trade,
                 fill, bundles, section.run.length, section.conductors.slack)  # fmt: skip


def explain_trench(made: TrenchJob, id: str) -> WireExplanation:
    """The steps of a check; raises PlumbrailError with near ids for one that does not exist."""
    wanted = id.strip().lower()
    check = next((c for c in made.checks if c.id.lower() == wanted), None)
    if check is None:
        near = get_close_matches(id, [c.id for c in made.checks], 4, 0.3)
        raise PlumbrailError(f"there is no check {id!r}. Near it are: {', '.join(near) or 'none'}")
    if check.replay is None:
        why = "was not made" if check.status is Status.NOT_CHECKED else (
            "follows without more arithmetic"
        )  # fmt: skip
        raise PlumbrailError(f"{check.id} {why}, so it has no steps: {check.note}")
    return WireExplanation(check, check.replay())


def facts_of(made: TrenchJob) -> TrenchFacts:
    """What its papers are made from."""
    return TrenchFacts(made.plan, made.model, made.trench, job_info(made.run, made.plan))


def trench_papers(made: TrenchJob, language: str = "en") -> list[Drawn]:
    """Plan of the route, profile, and the sheets of stakes, amounts and steps."""
    advice = "the place is too large: bring the equipment nearer"
    with speaking(language, made.plan.job.units), on_paper("a drawing of the trench", advice):
        return trench_drawings(made, paper(made.plan))


def trench_drawings(made: TrenchJob, page: Page) -> list[Drawn]:
    """The same on any paper, in the language spoken; ValueError where one does not fit."""
    facts = facts_of(made)
    site = site_to_draw(made.plan, made.model, np.zeros((0, 2)), made.wires.wired.boxes)
    return [
        Drawn("trench-plan", trench_plan(facts, site, page)),
        Drawn("trench-profile", trench_profile(facts, page)),
        Drawn("trench-sheet", trench_lists(facts, page)),
    ]
