"""Connections against their makers' letters; each one without a figure is not checked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.check import Case, Check, not_checked
from plumbrail.checks.framing import Kind
from plumbrail.checks.response import Combined, Response
from plumbrail.checks.stated import stated_force, stated_moment
from plumbrail.checks.sway import sway_amplifier
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Joint:
    """One kind of connection: field of ``frame.connections``, subject and title of its check."""

    field: str
    subject: str
    title: str
    sways: bool = True
    """Its force grows as the frame sways: B_2 goes on it."""


JOINTS = (
    Joint("rail_to_beam_uplift", "rail clamps", "rail lifted off the beam", sways=False),
    Joint("rail_to_beam_slip", "rail clamps", "rail sliding down the slope"),
    Joint("beam_to_post_uplift", "post tops", "beam lifted off the post", sways=False),
    Joint("beam_to_post_lateral", "post tops", "beam pushed off the post"),
    Joint("post_top_moment", "post tops", "bending of the rigid joint"),
    Joint("brace_end", "brace ends", "pull or push on the fitting"),
)


def joints_of(plan: Plan) -> list[Joint]:
    """The kinds of connection that the plan's frame has."""
    absent = set() if plan.frame.braces else {"brace_end"}
    if plan.frame.post_top != "rigid":
        absent.add("post_top_moment")
    return [j for j in JOINTS if j.field not in absent]


def _id(joint: Joint) -> str:
    return f"joint.{joint.field.replace('_', '-')}"


def joint_cases(plan: Plan, model: Model, response: Response) -> list[Case]:
    """The worst place of each connection that has a figure."""
    figures = plan.frame.connections
    return [
        _case(plan, joint, model, response)
        for joint in joints_of(plan)
        if getattr(figures, joint.field) is not None
    ]


def _case(plan: Plan, joint: Joint, model: Model, response: Response) -> Case:
    letter = str(plan.frame.connections.source)
    capacity: float = getattr(plan.frame.connections, joint.field)
    demand, combination, place = _worst(joint, model, response)
    origin = "frame analysis, times B_2" if joint.sways else "frame analysis"
    moment = joint.field.endswith("moment")
    compare = stated_moment if moment else stated_force
    return Case(
        _id(joint), f"{joint.subject}, {place}", joint.title, "joint", demand / capacity,
        combination,
        lambda: compare(demand, capacity, f"frame.connections.{joint.field}: {letter}", origin),
        "moment_ratio" if moment else "force_ratio", clause=letter,
    )  # fmt: skip


def joints_not_checked(plan: Plan) -> list[Check]:
    """Every connection without a maker's figure."""
    return [
        not_checked(_id(joint), joint.subject, joint.title, "joint",
                    f"give frame.connections.{joint.field} from the maker's letter")
        for joint in joints_of(plan)
        if getattr(plan.frame.connections, joint.field) is None
    ]  # fmt: skip


def _worst(joint: Joint, model: Model, response: Response) -> tuple[float, str, str]:
    if joint.field.startswith("rail"):
        return _rail_clamp(joint, model, response)
    if joint.field == "brace_end":
        return _brace_end(model, response)
    return _post_top(joint, model, response)


def _brace_end(model: Model, response: Response) -> tuple[float, str, str]:
    """Axial force at either end of a brace."""
    braces = response.framing.members(Kind.BRACE)
    end = response.end_forces(braces, response.strength)
    demand = np.abs(end[..., [0, 6]]).max(axis=-1) * sway_amplifier(response, response.strength)
    return _pick(demand, response.strength, [model.braces.ids[response.framing.parent[m]]
                                             for m in braces])  # fmt: skip


def _rail_clamp(joint: Joint, model: Model, response: Response) -> tuple[float, str, str]:
    """Stub ends: local x is the normal of the plane, local y points down the slope."""
    framing = response.framing
    stubs = np.flatnonzero(framing.kind == Kind.STUB)
    best = (-1.0, "", "")
    # Wind on parts lifts one rail at a time; sliding comes from the thrust of the whole frame, and
    # that grows as the frame sways.
    lifted = not joint.sways
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


def _post_top(joint: Joint, model: Model, response: Response) -> tuple[float, str, str]:
    framing = response.framing
    tops = np.array([framing.members(Kind.POST, p)[-1] for p in range(len(model.posts.ids))])
    end = response.end_forces(tops, response.strength)
    # End j: the beam pulls the post up (local +x) when it is lifted.
    first = 10 if joint.field.endswith("moment") else 7
    if joint.sways:
        sway = sway_amplifier(response, response.strength)
        demand = np.hypot(end[..., first], end[..., first + 1]) * sway
    else:
        demand = np.maximum(end[..., 6], 0.0)
    return _pick(demand, response.strength, list(model.posts.ids))


def _pick(demand: Array, combined: Combined, places: list[str]) -> tuple[float, str, str]:
    m, k = np.unravel_index(int(demand.argmax()), demand.shape)
    return float(demand[m, k]), combined.ids[k], places[m]
