"""Piers: embedment, uplift, bearing, frost depth and cover, at allowable-stress level."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.asce7.seismic import vertical_effect
from plumbrail.bases.us.common import TINY
from plumbrail.bases.us.entered import FRAME, MODEL, Origin
from plumbrail.bases.us.ibc import piers as ibc
from plumbrail.bases.us.ibc.soil import friction_from_ultimate, soil
from plumbrail.check import Case, Limit
from plumbrail.checks.framing import Kind
from plumbrail.checks.response import Combined, Response
from plumbrail.checks.sway import sway_amplifier
from plumbrail.frame.element import local_axes
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.tables.loader import load
from plumbrail.tables.sections import GRAVITY
from plumbrail.trace import Certainty

Array = NDArray[np.float64]

LIMITS = (
    Limit("embedment", "sideways hold in the soil", "depth_ratio", "IBC 1807.3.2.1, Eq. 18-1"),
    Limit("uplift", "uplift", "force_ratio", "IBC 1810.3.3.1.5"),
    Limit("bearing", "bearing", "pressure_ratio", "IBC 1806.2"),
    Limit("depth", "frost depth", "depth_ratio", "IBC 1809.4, 1809.5", rule=True),
    Limit("cover", "concrete cover", "cover_ratio", "ACI 318-19 20.5.1.3", rule=True),
)


def grade_forces(response: Response, combined: Combined) -> tuple[Array, Array]:
    """Force on each pier at grade, and moment, (posts, combinations, 3) each, global axes.

    Everything that meets the post at grade counts, a brace that starts there too: what is passed to
    the piece of the post below grade, or to the support where the post is fixed at grade.
    """
    framing = response.framing
    if (framing.grade == framing.base).all():
        solved = response.solution.reactions[0][:, framing.grade]
        down = -np.einsum("kc,cpd->pkd", combined.matrix, solved)
        return down[..., :3], down[..., 3:]
    below = np.array([framing.members(Kind.POST, p)[0] for p in range(len(framing.grade))])
    end = response.end_forces(below, combined)[..., 6:]
    axes = local_axes(framing.frame)[0][0, below]
    force, moment = (np.einsum("pkl,plc->pkc", end[..., i : i + 3], axes) for i in (0, 3))
    return force, moment


def pier_weight_factor(plan: Plan, combined: Combined) -> Array:
    """Factor of a pier's own weight in each combination, (combinations,).

    That of dead load, with the share of it that a vertical earthquake adds or takes away.
    """
    f = combined.factors
    shaken = float(vertical_effect(np.asarray(plan.site.seismic_sds), np.asarray(1.0)))
    return f.array[:, f.cases.index("D")] + shaken * f.array[:, f.cases.index("E-down")]


def pier_cases(plan: Plan, model: Model, response: Response) -> list[Case]:
    """Governing case of every check of every pier."""
    combined = response.service
    batch, origins = _batch(plan, model, response)
    found = ibc.ratios(batch, origins)
    return [
        _case(p, post, limit, found, batch, origins, combined)
        for p, post in enumerate(model.posts.ids)
        for limit in LIMITS
    ]


def _case(
    p: int, post: str, limit: Limit, found: ibc.PierRatios, batch: ibc.Piers,
    origins: Mapping[str, Origin], combined: Combined,
) -> Case:  # fmt: skip
    ratio = getattr(found, limit.name)[p]
    k = int(ratio.argmax())
    return Case(
        f"{post}.{limit.word.replace(' ', '-')}", f"pier {post}", limit.word, "pier",
        float(ratio[k]), "" if limit.rule else combined.ids[k],
        lambda: ibc.ratios(batch.at(pier=p, combination=k), origins), limit.step, limit.clause,
        rule=limit.rule,
    )  # fmt: skip


def _batch(plan: Plan, model: Model, response: Response) -> tuple[ibc.Piers, dict[str, Origin]]:
    combined, piers = response.service, plan.piers
    force, moment = grade_forces(response, combined)
    own, concrete = plan.site.soil, load("practice", "concrete_mass")
    ground = soil(plan.site.soil_class) if plan.site.soil_class else None
    lateral = own.lateral if own else ground.lateral if ground else np.nan
    vertical = own.bearing if own else ground.vertical if ground else np.nan
    origin = Origin(f"site.soil: {own.source}", Certainty.PLAN) if own else Origin(
        ground.source, ground.certainty) if ground else Origin("", Certainty.MEMORY)  # fmt: skip
    weight = pier_weight_factor(plan, combined)[None, :]
    friction = 0.0
    if piers.uplift_friction is not None and piers.uplift_factor is not None:
        friction = float(friction_from_ultimate(
            np.asarray(piers.uplift_friction), np.asarray(piers.uplift_factor)))  # fmt: skip
    origins = {
        "frame": FRAME, "model": MODEL, "soil": origin,
        "friction": Origin(f"piers.uplift_friction: {piers.friction_source or 'none counted'}",
                           Certainty.PLAN),
        "concrete": Origin(concrete.source, concrete.certainty),
    }  # fmt: skip

    def one(value: float) -> Array:
        return np.full((1, 1), value)

    return ibc.Piers(
        P_x=force[..., 0], P_y=force[..., 1], M_x=moment[..., 0], M_y=moment[..., 1],
        N_u=np.maximum(force[..., 2], 0.0), N_c=np.maximum(-force[..., 2], 0.0),
        b=one(model.piers.diameter), d=model.piers.depth[:, None], e=one(piers.above_grade),
        d_f=one(plan.site.frost_depth), D=one(model.posts.section.OD),
        gamma_c=one(float(concrete.numbers["density"][0]) * GRAVITY),
        B_2=sway_amplifier(response, combined)[None, :],
        psi=weight.clip(TINY, 1.0), psi_b=weight.clip(min=1.0),
        k=one(float(piers.isolated_pole_factor)), s=one(lateral),
        q=one(vertical), f_s=one(friction),
    ), origins  # fmt: skip
