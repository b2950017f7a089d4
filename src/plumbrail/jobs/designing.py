"""Check a plan: model, frame, cut list, checks."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.checks.response import Response, response_of
from plumbrail.checks.result import not_checked
from plumbrail.checks.run import CheckSet, run_checks
from plumbrail.checks.splices import splice_zones
from plumbrail.jobs.agreeing import refuse_disagreement
from plumbrail.jobs.cutting import Cutting, Zones, cutting
from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.model.build import build
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan


@dataclass(frozen=True)
class Analysis:
    """A plan as far as the forces in its frame."""

    run: Run
    plan: Plan
    model: Model
    response: Response
    zones: Zones


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
        model = build(plan)
        refuse_disagreement(plan, model)
        response = response_of(plan, model)
        zones = splice_zones(plan, model, response)
    return Analysis(run_of(loaded), plan, model, response, zones)


def saw(analysis: Analysis) -> Cutting:
    """Cut lists of an analysed plan."""
    return cutting(analysis.plan, analysis.model, analysis.zones)


def design(loaded: LoadedPlan) -> Design:
    """Everything ``plumbrail check`` shows."""
    analysis = analyse(loaded)
    cuts = saw(analysis)
    with located(loaded):
        checks = run_checks(analysis.plan, analysis.model, analysis.response, cuts.splices)
    return Design(analysis, cuts, _with_cutting(checks, cuts))


def _with_cutting(checks: CheckSet, cuts: Cutting) -> CheckSet:
    """Beams whose splices are unknown, because no cut list exists, are not checked."""
    missing = tuple(
        not_checked(f"cutting.{s.section}", s.what, "splices and cut list", "splice", s.problem)
        for s in cuts.sections
        if s.plan is None
    )
    return replace(checks, checks=checks.checks + missing) if missing else checks
