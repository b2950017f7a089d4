"""Connections against their makers' letters; each one without a figure is not checked."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.checks.framing import Kind
from plumbrail.checks.response import Combined, Response
from plumbrail.checks.result import Case, Check, not_checked
from plumbrail.checks.stated import stated_force
from plumbrail.checks.sway import sway_amplifier
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan

Array = NDArray[np.float64]

JOINTS = {
    "rail_to_beam_uplift": ("rail clamps", "rail lifted off the beam"),
    "rail_to_beam_slip": ("rail clamps", "rail sliding down the slope"),
    "beam_to_post_uplift": ("post tops", "beam lifted off the post"),
    "beam_to_post_lateral": ("post tops", "beam pushed off the post"),
}
"""Field of ``frame.connections``: subject and title."""


def joint_cases(plan: Plan, model: Model, response: Response) -> list[Case]:
    """The worst place of each connection that has a figure."""
    given = [f for f in JOINTS if getattr(plan.frame.connections, f) is not None]
    return [_case(plan, field, model, response) for field in given]


def _case(plan: Plan, field: str, model: Model, response: Response) -> Case:
    subject, title = JOINTS[field]
    letter = str(plan.frame.connections.source)
    capacity: float = getattr(plan.frame.connections, field)
    demand, combination, place = _worst(field, model, response)
    origin = "frame analysis" if field.endswith("uplift") else "frame analysis, times B_2"
    return Case(
        f"joint.{field.replace('_', '-')}", f"{subject}, {place}", title, "joint",
        demand / capacity, combination,
        lambda: stated_force(demand, capacity, f"frame.connections.{field}: {letter}", origin),
        "force_ratio", clause=letter,
    )  # fmt: skip


def joints_not_checked(plan: Plan) -> list[Check]:
    """Every connection without a maker's figure, and those no field of the plan covers."""
    missing = [
        not_checked(
            f"joint.{field.replace('_', '-')}", subject, title, "joint",
            f"give frame.connections.{field} from the maker's letter",
        )
        for field, (subject, title) in JOINTS.items()
        if getattr(plan.frame.connections, field) is None
    ]  # fmt: skip
    return missing + _not_covered(plan)


def _not_covered(plan: Plan) -> list[Check]:
    """A rigid post top bends its joint, and braces pull on theirs: an engineer's business."""
    found = []
    if plan.frame.post_top == "rigid":
        found.append(not_checked(
            "joint.beam-to-post-moment", "post tops", "bending of a rigid joint", "joint",
            "the weld or fitting of a rigid post top must carry the post's moment: ask an engineer",
        ))  # fmt: skip
    if plan.frame.braces:
        found.append(not_checked(
            "joint.brace-ends", "braces", "end fittings", "joint",
            "plumbrail knows no figure for brace fittings: ask their maker",
        ))  # fmt: skip
    return found


def _worst(field: str, model: Model, response: Response) -> tuple[float, str, str]:
    if field.startswith("rail"):
        return _rail_clamp(field, model, response)
    return _post_top(field, model, response)


def _rail_clamp(field: str, model: Model, response: Response) -> tuple[float, str, str]:
    """Stub ends: local x is the normal of the plane, local y points down the slope."""
    framing = response.framing
    stubs = np.flatnonzero(framing.kind == Kind.STUB)
    best = (-1.0, "", "")
    # Wind on parts lifts one rail at a time; sliding comes from the thrust of the whole frame, and
    # that grows as the frame sways.
    lifted = field.endswith("uplift")
    families = (response.strength, response.parts) if lifted else (response.strength,)
    for combined in families:
        end = response.end_forces(stubs, combined)
        # The beam pulls the stub down (local -x at end i) when the rail is lifted.
        demand = (
            np.maximum(-end[..., 0], 0.0)
            if lifted
            else np.abs(end[..., 1]) * sway_amplifier(response, combined)
        )
        best = max(best, _pick(demand, combined, [
            f"{model.rails.ids[framing.parent[m]]} on the {model.beams.ids[framing.stub_row[m]]}"
            for m in stubs
        ]))  # fmt: skip
    return best


def _post_top(field: str, model: Model, response: Response) -> tuple[float, str, str]:
    framing = response.framing
    tops = np.array([framing.members(Kind.POST, p)[-1] for p in range(len(model.posts.ids))])
    end = response.end_forces(tops, response.strength)
    # End j: the beam pulls the post up (local +x) when it is lifted.
    if field.endswith("uplift"):
        demand = np.maximum(end[..., 6], 0.0)
    else:
        demand = np.hypot(end[..., 7], end[..., 8]) * sway_amplifier(response, response.strength)
    return _pick(demand, response.strength, list(model.posts.ids))


def _pick(demand: Array, combined: Combined, places: list[str]) -> tuple[float, str, str]:
    m, k = np.unravel_index(int(demand.argmax()), demand.shape)
    return float(demand[m, k]), combined.ids[k], places[m]
