"""All checks of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.bases.us.adm.rails import NOT_CHECKED as RAILS_NOT_COVERED
from plumbrail.bases.us.aisc360.splices import NOT_CHECKED as SPLICES_NOT_COVERED
from plumbrail.bases.us.asce7 import wind as wind_figure
from plumbrail.bases.us.ibc.piers import NOT_CHECKED as PIERS_NOT_COVERED
from plumbrail.check import Case, Check, Status, explained, not_checked, stated
from plumbrail.checks.assumptions import assumptions
from plumbrail.checks.deflections import clearance_case, deflection_cases, deflections_not_checked
from plumbrail.checks.foundations import pier_cases
from plumbrail.checks.ground import ground_checks
from plumbrail.checks.joints import joint_cases, joints_not_checked
from plumbrail.checks.members import steel_cases
from plumbrail.checks.modules import clamps_not_checked, module_cases
from plumbrail.checks.rails import rail_cases, rails_not_checked
from plumbrail.checks.response import Response
from plumbrail.checks.splices import splice_cases
from plumbrail.checks.sureness import with_load_certainty
from plumbrail.checks.sway import sway_cases
from plumbrail.checks.wind import mean_height
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan

NOT_COVERED = (
    "snow that drifts or slides onto the array from walls, hedges, roofs or other rows",
    "snow or wind on one part of the row only (ASCE 7 7.5: partial loading of continuous beams)",
    "ice, rain on snow, flood and tornado",
    "bolt holes through posts, beams and braces, and pipe walls dented by saddles and clamps",
    "modules sliding down the slope in their clamps, and rail clamps sliding along the beams",
    "settlement and movement of the ground as a whole, and the give of piers in it (posts count as "
    "fixed at frame.fixity_depth; a pier that tilts lets the frame sway more)",
    "swaying in gusts of a frame that is not stiff (the gust factor used is for a stiff frame)",
    "loosening, corrosion and fatigue of fittings, and galvanic corrosion of mixed metals",
    "weight of fittings, clamps and cables",
    "the array while it is half built",
)
"""What plumbrail does not judge at all; printed with every set of checks."""


AS_BUILT_NOT_COVERED = (
    "posts that stand off the middle of their piers: the eccentricity of a post in its hole, and "
    "the concrete cover on its thin side (measure that on site)",
    "stress locked into pipe that was pulled, pushed or bent into place",
    "modules and clamps forced onto rails that do not lie in one plane",
)
"""The same for a frame that is judged as built."""


@dataclass(frozen=True)
class CheckSet:
    """All checks of one plan."""

    checks: tuple[Check, ...]
    residual: float
    """Largest unbalanced share of the load in the frame analysis."""
    cases: int
    combinations: int
    notes: tuple[str, ...]
    not_covered: tuple[str, ...]

    def count(self, status: Status) -> int:
        """How many checks have a status."""
        return sum(c.status is status for c in self.checks)

    @property
    def passed(self) -> bool:
        """True only when every check was made and passed."""
        return self.count(Status.PASS) == len(self.checks)

    def find(self, id: str) -> Check | None:
        """The check of an id, or None."""
        return next((c for c in self.checks if c.id == id), None)


def run_checks(
    plan: Plan, model: Model, response: Response, splices: Sequence[Sequence[float]],
    *, replayed: bool = True,
) -> CheckSet:  # fmt: skip
    """Every check; ``splices`` holds the positions in the front and back beam [m].

    ``replayed`` False leaves the replay of each check to the moment that somebody opens it.
    """
    at_splices, splice_notes = splice_cases(plan, model, response, splices)
    clearance = clearance_case(plan, model)
    cases = [
        *sway_cases(response),
        *steel_cases(plan, model, response),
        *at_splices,
        *rail_cases(plan, model, response),
        *pier_cases(plan, model, response),
        *joint_cases(plan, model, response),
        *module_cases(plan, model),
        *deflection_cases(plan, model, response),
        *([clearance] if clearance else []),
    ]
    checks = [
        *_told(plan, model, response, cases, replayed),
        *splice_notes, *rails_not_checked(plan),
        *joints_not_checked(plan), *clamps_not_checked(plan), *deflections_not_checked(plan),
        *_wind_figure_not_checked(model), *ground_checks(plan, model, replayed=replayed),
    ]  # fmt: skip
    return CheckSet(
        tuple(checks), response.residual, len(response.actions.cases), len(response.strength.ids),
        assumptions(plan, model), _not_covered(plan, spliced=any(splices)),
    )  # fmt: skip


def _told(
    plan: Plan, model: Model, response: Response, cases: Sequence[Case], replayed: bool
) -> list[Check]:
    if not replayed:
        return [stated(c) for c in cases]
    return with_load_certainty(plan, model, response, [explained(c) for c in cases])


def _not_covered(plan: Plan, *, spliced: bool) -> tuple[str, ...]:
    splices = SPLICES_NOT_COVERED if spliced else ()
    standing = () if plan.as_built is None else AS_BUILT_NOT_COVERED
    return (*PIERS_NOT_COVERED, *RAILS_NOT_COVERED, *splices, *NOT_COVERED, *standing)


def _wind_figure_not_checked(model: Model) -> list[Check]:
    """A frame lower or higher than the wind figure is drawn for."""
    import numpy as np

    L = model.plane.slope_length * np.cos(model.plane.tilt)
    ratio = wind_figure.roof_height_ratio(mean_height(model), L)
    if not ratio.note:
        return []
    return [
        not_checked("site.wind-figure", "wind figure", "height of the plane", "site", ratio.note)
    ]
