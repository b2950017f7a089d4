"""What is buried and where the property ends, against holes and array: docs/method/grounds.md.

Needs the plan and the places of posts and modules only, no loads, so that setting out shows it too.
"""

from __future__ import annotations

from plumbrail.check import Check, explained, stated
from plumbrail.checks.ground_holes import hole_cautions, hole_checks
from plumbrail.checks.ground_place import GROUND, located_note, not_located, property_checks
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.site.grounds import grounds

__all__ = ["GROUND", "ground_cautions", "ground_checks", "ground_note"]


def ground_checks(plan: Plan, model: Model, *, replayed: bool = True) -> tuple[Check, ...]:
    """Locate request, holes against buried services, array and holes against property lines.

    ``replayed`` False leaves the replay of each check to the moment that somebody opens it.
    """
    found = grounds(plan.site)
    parts = [*not_located(found), *hole_checks(found, model, plan.job.units),
             *property_checks(found, model, plan.job.units)]  # fmt: skip
    made = explained if replayed else stated
    return tuple(p if isinstance(p, Check) else made(p) for p in parts)


def ground_cautions(plan: Plan, model: Model) -> tuple[tuple[str, ...], ...]:
    """(posts) what to mind at each hole, in words; empty where nothing is known to be in the way.

    Nothing known is not nothing there.
    """
    return hole_cautions(grounds(plan.site), model, plan.job.units)


def ground_note(plan: Plan) -> str:
    """What the plan says of the locate request; empty without one."""
    return located_note(grounds(plan.site))
