"""Set out a plan: where every hole goes. Needs the model only, no loads."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.model.build import build
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan
from plumbrail.setout.stakes import Stakes, stake


@dataclass(frozen=True)
class Staking:
    """Setting out of one plan."""

    run: Run
    plan: Plan
    model: Model
    stakes: Stakes


def staking(loaded: LoadedPlan) -> Staking:
    """Setting out of a plan; raises GeometryError or RangeError in words."""
    with located(loaded):
        model = build(loaded.plan)
        stakes = stake(model, loaded.plan.setout)
    return Staking(run_of(loaded), loaded.plan, model, stakes)
