"""Check a plan: model, frame, cut list, checks."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.check import not_checked
from plumbrail.checks.response import Response, response_of
from plumbrail.checks.run import CheckSet, run_checks
from plumbrail.checks.splices import splice_zones
from plumbrail.jobs.agreeing import refuse_disagreement
from plumbrail.jobs.cutting import SECONDS, Cutting, Zones, cutting, first_cutting
from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.model.build import build, build_planned
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan


@dataclass(frozen=True)
class Analysis:
    """A plan as far as the forces in its frame."""

    run: Run
    plan: Plan
    model: Model
    """As built where the plan says how that is, else as planned."""
    planned: Model
    """As planned: what is cut, bought, set out and drawn."""
    response: Response
    zones: Zones
    """Where the planned beams may be spliced."""


@dataclass(frozen=True)
class Design:
    """A plan with its cut list and checks."""

    analysis: Analysis
    cutting: Cutting
    checks: CheckSet

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.analysis.plan

    @property
    def model(self) -> Model:
        """The model."""
        return self.analysis.model

    @property
    def run(self) -> Run:
        """Identity of the run."""
        return self.analysis.run


def analyse(loaded: LoadedPlan) -> Analysis:
    """Model and forces; raises GeometryError, MechanismError or RangeError in words."""
    plan = loaded.plan
    with located(loaded):
        planned = build_planned(plan)
        refuse_disagreement(plan, planned)
        model = planned if plan.as_built is None else build(plan)
        response = response_of(plan, model)
        # what was sawn followed the plan, wherever the posts came to stand
        at_saw = response if model is planned else response_of(plan, planned)
        zones = splice_zones(plan, planned, at_saw)
    return Analysis(run_of(loaded), plan, model, planned, response, zones)


def saw(analysis: Analysis, seconds: float = SECONDS) -> Cutting:
    """Cut lists of an analysed plan, each sought for so long."""
    return cutting(analysis.plan, analysis.planned, analysis.zones, seconds)


def first_saw(analysis: Analysis, seconds: float) -> Cutting:
    """Cut lists at once, not the best; each sought for so long where there is none at once."""
    return first_cutting(analysis.plan, analysis.planned, analysis.zones, seconds)


def design(loaded: LoadedPlan) -> Design:
    """Everything ``plumbrail check`` shows."""
    analysis = analyse(loaded)
    return judged(loaded, analysis, saw(analysis))


def judged(
    loaded: LoadedPlan, analysis: Analysis, cuts: Cutting, *, replayed: bool = True
) -> Design:
    """The checks of an analysed plan whose sticks are cut; for ``replayed`` see ``run_checks``."""
    with located(loaded):
        checks = run_checks(analysis.plan, analysis.model, analysis.response, cuts.splices,
                            replayed=replayed)  # fmt: skip
    return Design(analysis, cuts, _with_cutting(checks, cuts))


def _with_cutting(checks: CheckSet, cuts: Cutting) -> CheckSet:
    """Beams whose splices are unknown, because no cut list exists, are not checked."""
    missing = tuple(
        not_checked(f"cutting.{s.section}", s.what, "splices and cut list", "splice", s.problem)
        for s in cuts.sections
        if s.plan is None
    )
    return replace(checks, checks=checks.checks + missing) if missing else checks
