"""Set out a plan: where every hole goes. Needs the model only, no loads."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from plumbrail.check import Check
from plumbrail.checks.ground import ground_cautions, ground_checks
from plumbrail.jobs.finding import direction_of
from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.model.build import build_planned
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan
from plumbrail.setout.direction import Direction
from plumbrail.setout.stakes import Stakes, stake


@dataclass(frozen=True)
class Staking:
    """Setting out of one plan."""

    run: Run
    plan: Plan
    model: Model
    stakes: Stakes
    direction: Direction | None
    """Shadows and compass; None when no day is stated."""

    @property
    def cautions(self) -> tuple[tuple[str, ...], ...]:
        """(holes) services whose zone a hole meets and areas it lies in; empty: none known."""
        return ground_cautions(self.plan, self.model)

    @property
    def ground(self) -> tuple[Check, ...]:
        """Checks of what is buried and of the property's lines."""
        return ground_checks(self.plan, self.model, replayed=False)


def staking(loaded: LoadedPlan, day: date | None = None) -> Staking:
    """Setting out of a plan, on another day than its own if one is given.

    Raises GeometryError or RangeError in words.
    """
    with located(loaded):
        model = build_planned(loaded.plan)
        stakes = stake(model, loaded.plan.setout)
        found = direction_of(loaded.plan, model, stakes.base, day)
    return Staking(run_of(loaded), loaded.plan, model, stakes, found)
