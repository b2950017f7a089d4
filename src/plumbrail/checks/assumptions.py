"""What the checks of a plan take for granted, in words to print beside them."""

from __future__ import annotations

from plumbrail.bases.us.asce7 import snow, wind
from plumbrail.checks.sureness import NOTE as UNSURE_LOADS
from plumbrail.checks.wind import reduction_note
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.units import show

USUAL_K = 2.0
"""Effective length factor below which an unbraced post free to sway is judged too kindly."""
SHALLOW = 0.3048
"""A post fixed less deep than this [m] counts on firm ground right up to grade."""


def assumptions(plan: Plan, model: Model) -> tuple[str, ...]:
    """Notes on geometry, loads, makers' figures and choices of the plan."""
    notes = [*model.warnings, reduction_note(plan), wind.NOTES[0], *_snow(plan), _makers(plan),
             _post_length(plan), _fixity(plan), UNSURE_LOADS]  # fmt: skip
    return tuple(n for n in notes if n)


def _snow(plan: Plan) -> tuple[str, ...]:
    edition = snow.NOTES[2] if plan.site.ground_snow > 0.0 else ""
    return (edition, snow.NOTES[0] if plan.site.snow_surface == "slippery" else "")


def _makers(plan: Plan) -> str:
    kind = "allowable (ASD)" if plan.basis.us.method == "ASD" else "design (LRFD)"
    return (
        f"Makers' figures for joints, splices and rails are taken as {kind} values; check that "
        "their letters mean the same."
    )


def _post_length(plan: Plan) -> str:
    K = plan.frame.post_effective_length_factor
    if K >= USUAL_K or plan.frame.braces or plan.frame.post_top == "rigid":
        return ""
    return (
        f"frame.post_effective_length_factor is {K:g}, but nothing braces the posts and their tops "
        "are pinned: 2.1 is usual for a post free to sway."
    )


def _fixity(plan: Plan) -> str:
    depth = plan.frame.fixity_depth
    if depth >= SHALLOW - 1e-9:
        return ""
    said = show(depth, "length", plan.job.units)
    return (
        f"frame.fixity_depth is {said}: posts count as fixed almost at grade, which makes their "
        "bending and sway look small. Soil at the surface seldom holds that well."
    )
