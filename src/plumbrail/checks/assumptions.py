"""What the checks of a plan take for granted, in words to print beside them."""

from __future__ import annotations

from math import degrees

from plumbrail.bases.us.asce7 import snow, wind
from plumbrail.checks.ground import ground_note
from plumbrail.checks.sureness import NOTE as UNSURE_LOADS
from plumbrail.checks.wind import reduction_note
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.units import show

USUAL_K = 2.0
"""Effective length factor below which an unbraced post free to sway is judged too kindly."""
SHALLOW = 0.3048
"""A post fixed less deep than this [m] counts on firm ground right up to grade."""
HAIR = 1e-9


def assumptions(plan: Plan, model: Model) -> tuple[str, ...]:
    """Notes on geometry, loads, makers' figures and choices of the plan."""
    notes = [*_as_built(plan, model), *model.warnings, reduction_note(plan, model), wind.NOTES[0],
             *_snow(plan), _makers(plan), _post_length(plan), _fixity(plan),
             ground_note(plan), UNSURE_LOADS]  # fmt: skip
    return tuple(n for n in notes if n)


def _as_built(plan: Plan, model: Model) -> tuple[str, ...]:
    """What was measured, and what is still taken from the plan."""
    stands = plan.as_built
    if stands is None:
        return ()
    tilt, planned = (f"{degrees(a):.2f}°" for a in (model.plane.tilt, plan.array.tilt))
    low, high = plan.array.tilt_band
    inside = low - HAIR <= model.plane.tilt <= high + HAIR
    band = "" if inside else "; that is OUTSIDE array.tilt_band"
    measured = f"measured {stands.measured}, " if stands.measured else ""
    azimuth = "" if stands.pins_tie else " the azimuth,"
    chosen = plan.stock.splices
    splices = "splices where stock.splices puts them"
    if chosen.front is None or chosen.back is None:
        splices = (
            "splices where the cut list of the plan puts them (were they cut elsewhere, write "
            "stock.splices.front and back)"
        )
    return (
        f"Posts, beams and tilt as built: {measured}readings {stands.readings_short}. The tilt "
        f"is {tilt}, planned {planned}{band}.",
        f"Still as planned:{azimuth} places of beams, rails and modules along the row and of "
        "modules up the slope, lengths of what is cut, heights of braces on their posts, bottoms "
        f"of the holes, ground away from the posts, and {splices}.",
    )


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
