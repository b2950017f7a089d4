"""Deflections under allowable-stress combinations against the plan's limits; clearance."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.adm.stated import deflection_limit, deflection_ratio
from plumbrail.check import Case, Check, not_checked
from plumbrail.checks.framing import Kind
from plumbrail.checks.members import beam_parts
from plumbrail.checks.response import Response
from plumbrail.checks.stated import clearance_ratio
from plumbrail.checks.sway import sway_amplifier
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def _case(
    id: str, subject: str, family: str, delta: Array, L: float, n: float, field: str,
    response: Response, title: str = "deflection", origin: str = "frame analysis",
) -> Case:  # fmt: skip
    """``delta`` (combinations, places): the largest against L / n."""
    k, _ = np.unravel_index(int(np.abs(delta).argmax()), delta.shape)
    worst = float(np.abs(delta).max())

    def run() -> Array:
        limit = deflection_limit(
            given("model", "L [m]", L, Certainty.DERIVED),
            given(f"frame.deflection.{field}", "n [-]", n, Certainty.PLAN),
        )
        return deflection_ratio(given(origin, "delta_r [m]", worst, Certainty.DERIVED), limit)

    return Case(id, subject, title, family, worst * n / L, response.service.ids[int(k)], run,
                "deflection_ratio", clause=f"limit in the plan, span / {n:g}")  # fmt: skip


def deflection_cases(plan: Plan, model: Model, response: Response) -> list[Case]:
    """Beams by bay, rails, and sway of post tops, where the plan states a limit."""
    limits = plan.frame.deflection
    cases: list[Case] = []
    if limits.beam is not None:
        cases += _beams(model, response, limits.beam)
    if limits.rail is not None:
        cases += _rails(model, response, limits.rail)
    if limits.post is not None:
        cases += _posts(model, response, limits.post)
    return cases


def deflections_not_checked(plan: Plan) -> list[Check]:
    """Deflections without a limit in the plan."""
    return [
        not_checked(
            f"{name}s.deflection", f"{name}s", "deflection", name, f"give frame.deflection.{name}"
        )
        for name in ("beam", "rail", "post")
        if getattr(plan.frame.deflection, name) is None
    ]


def _beams(model: Model, response: Response, n: float) -> list[Case]:
    cases = []
    for part in beam_parts(model, response):
        d = _along(response, part.members)
        x = response.places(part.members).ravel()
        start, end = float(x.min()), float(x.max())
        overhang = part.id.endswith("-end")
        inner = end if part.id.endswith("left-end") else start
        # An overhang is compared with twice its length, from the line of its support.
        relative = d - d[:, [int(np.abs(x - inner).argmin())]] if overhang else _off_chord(d, x)
        span = 2.0 * (end - start) if overhang else end - start
        size = np.linalg.norm(relative, axis=-1)
        cases.append(_case(f"{part.id}.deflection", part.subject, "beam", size, span, n, "beam",
                           response))  # fmt: skip
    return cases


def _rails(model: Model, response: Response, n: float) -> list[Case]:
    framing, normal = response.framing, model.plane.normal
    cases = []
    for r, name in enumerate(model.rails.ids):
        members, s = framing.members(Kind.RAIL, r), model.rails.crossing[:, r]
        d = _along(response, members) @ normal
        x = response.places(members).ravel()
        inside = (x >= s[0] - 1e-9) & (x <= s[1] + 1e-9)
        chord = _off_chord(d[..., None], x, at=(float(s[0]), float(s[1])))[..., 0]
        cases.append(_case(f"{name}.deflection", f"rail {name} between the beams", "rail",
                           chord[:, inside], float(s[1] - s[0]), n, "rail", response))  # fmt: skip
        over = max(float(s[0]), model.plane.slope_length - float(s[1]))
        if over > 1e-6:
            cases.append(_case(
                f"{name}.overhang-deflection", f"rail {name} overhangs", "rail", chord[:, ~inside],
                2.0 * over, n, "rail", response, "deflection of the overhang",
            ))  # fmt: skip
    return cases


def _posts(model: Model, response: Response, n: float) -> list[Case]:
    """Sway with the amplifier B_2 of the loads as they are, which is cautious for ASD loads."""
    framing = response.framing
    u = response.displacements(framing.top, response.service)
    sway = np.hypot(u[..., 0], u[..., 1]) * sway_amplifier(response, response.service)
    cases = []
    for p, name in enumerate(model.posts.ids):
        height = float(model.posts.beam_centre[p] - model.posts.ground[p])
        cases.append(_case(f"{name}.sway", f"post {name}", "post", sway[p][:, None], height, n,
                           "post", response, "sway of the top",
                           "frame analysis, times B_2"))  # fmt: skip
    return cases


def _along(response: Response, members: IntArray) -> Array:
    """Deflections (combinations, places, 3) of members in order along their part."""
    d = response.deflections(members, response.service)
    return np.moveaxis(d, 0, 1).reshape(d.shape[1], -1, 3)


def _off_chord(d: Array, x: Array, at: tuple[float, float] | None = None) -> Array:
    """Deflection (combinations, places, n) from the line through two places."""
    a, b = at or (float(x.min()), float(x.max()))
    i, j = int(np.abs(x - a).argmin()), int(np.abs(x - b).argmin())
    share = ((x - a) / (b - a))[:, None]
    return np.asarray(d - ((1 - share) * d[:, [i]] + share * d[:, [j]]))


def clearance_case(plan: Plan, model: Model) -> Case | None:
    """Least clearance over the ground against what the plan asks for."""
    asked = plan.array.low_edge_clearance
    if asked <= 0.0:
        return None

    def run() -> Array:
        return clearance_ratio(
            given("array.low_edge_clearance", "h_min [m]", asked, Certainty.PLAN),
            given("model", "h [m]", model.clearance, Certainty.DERIVED),
        )

    return Case("array.clearance", "modules over the ground", "clearance", "site",
                asked / model.clearance if model.clearance > 0 else np.inf, "", run,
                "clearance_ratio", clause="asked for in the plan", rule=True)  # fmt: skip
