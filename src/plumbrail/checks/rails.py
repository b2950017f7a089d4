"""Rails: by section and alloy (aluminium manual), or by the maker's moment or load by span."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.adm import rails as adm
from plumbrail.bases.us.adm import stated
from plumbrail.bases.us.entered import FRAME, MODEL, Origin
from plumbrail.check import Case, Check, not_checked
from plumbrail.checks.framing import Kind
from plumbrail.checks.response import Combined, Forces, Response
from plumbrail.checks.sway import sway_amplifier
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty

Array = NDArray[np.float64]
PLACES = ("low overhang", "between the beams", "high overhang")
"""The three members of a rail."""


def rail_cases(plan: Plan, model: Model, response: Response) -> list[Case]:
    """Governing case of every rail and limit state, wind on the frame and on parts both run."""
    rail = plan.frame.rail
    if rail.allowable_moment is not None:
        return _by_maker(plan, model, response)
    if rail.allowable_loads is not None:
        return _by_span(plan, model, response)
    return _by_section(plan, model, response) if not missing(plan) else []


def missing(plan: Plan) -> list[str]:
    """Fields of the rail that its check by section needs and the plan does not give."""
    needed = ("alloy", "section_modulus", "section_modulus_side", "web_area")
    return [f"frame.rail.{name}" for name in needed if getattr(plan.frame.rail, name) is None]


def rails_not_checked(plan: Plan) -> list[Check]:
    """The rail check that cannot be made, or nothing."""
    rail = plan.frame.rail
    if rail.allowable_moment is not None:
        why = (
            "frame.rail.allowable_moment covers bending off the plane; ask the maker about shear, "
            "and bending sideways when wind blows along the row"
        )
        return [not_checked("rails.shear", "rails", "shear", "rail", why)]
    if rail.allowable_loads is not None:
        why = (
            "frame.rail.allowable_loads covers the span between the beams; ask the maker about "
            "overhangs, and bending sideways when wind blows along the row"
        )
        return [not_checked("rails.overhang", "rails", "overhangs", "rail", why)]
    if missing(plan):
        why = f"give {', '.join(missing(plan))}, or the maker's allowable figures"
        return [not_checked("rails.bending", "rails", "bending and shear", "rail", why)]
    return []


def _families(response: Response) -> tuple[Combined, Combined]:
    return response.strength, response.parts


def _members(response: Response) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    members = np.flatnonzero(response.framing.kind == Kind.RAIL)
    return members, response.framing.parent[members]


def slenderness(plan: Plan, model: Model) -> float:
    """Larger slenderness of a rail between its beams, and sideways between its side supports."""
    rail = plan.frame.rail
    span = float(model.rails.span.max())
    sideways = min(rail.side_support or span, span)
    r, r_side = (float(np.sqrt(i / rail.area)) for i in (rail.inertia, rail.inertia_side))
    return max(span / r, sideways / r_side)


def _by_section(plan: Plan, model: Model, response: Response) -> list[Case]:
    rail = plan.frame.rail
    alloy = adm.alloy(str(rail.alloy))
    origins = {
        "frame": FRAME, "model": MODEL, "section": Origin("frame.rail", Certainty.PLAN),
        "alloy": Origin(alloy.source, alloy.certainty),
    }  # fmt: skip
    fixed = {
        "S_y": rail.section_modulus, "S_z": rail.section_modulus_side, "A_w": rail.web_area,
        "F_ty": alloy.F_ty, "F_tu": alloy.F_tu, "A": rail.area, "E": alloy.E,
        "lam": slenderness(plan, model),
    }  # fmt: skip
    shaped = {k: np.full((1, 1, 1), v) for k, v in fixed.items()}
    members, owner = _members(response)
    cases: dict[str, Case] = {}
    for combined in _families(response):
        f: Forces = response.forces(members, combined)
        thrust = f.N * sway_amplifier(response, combined)[None, :, None]
        batch = adm.Rails(M_y=f.M_y, M_z=f.M_z, V=f.V_z, N=thrust, **shaped)
        found = adm.ratios(batch, combined.method, origins)
        bending = np.maximum(found.yielding, found.rupture)
        for word, ratio, step, clause in (
            ("bending", bending, "biaxial", "ADM F.2, H.1"),
            ("shear", found.shear, "force_ratio", "ADM G.1"),
            ("all together", found.together, "higher_ratio", "ADM E.3, H.1"),
        ):

            def run(
                where: dict[str, int], batch: adm.Rails = batch, c: Combined = combined
            ) -> Callable[[], object]:
                return lambda: adm.ratios(batch.at(**where), c.method, origins)

            _keep_worst(cases, model, word, ratio, owner, combined, run, step, clause)
    return list(cases.values())


def _by_maker(plan: Plan, model: Model, response: Response) -> list[Case]:
    rail = plan.frame.rail
    origins = {"frame": FRAME, "model": MODEL,
               "maker": Origin(f"frame.rail: {rail.source}", Certainty.MAKER)}  # fmt: skip
    members, owner = _members(response)
    allowed = np.full((1, 1, 1), rail.allowable_moment)
    cases: dict[str, Case] = {}
    for combined in _families(response):
        f = response.forces(members, combined)
        batch = stated.StatedMoments(np.hypot(f.M_y, f.M_z), allowed)
        ratio = stated.moment_ratios(batch, origins)

        def run(where: dict[str, int], batch: stated.StatedMoments = batch) -> Callable[[], object]:
            return lambda: stated.moment_ratios(batch.at(**where), origins)

        _keep_worst(cases, model, "bending", ratio, owner, combined, run, "moment_ratio",
                    str(rail.source))  # fmt: skip
    return list(cases.values())


def _by_span(plan: Plan, model: Model, response: Response) -> list[Case]:
    """The larger line load of both halves against the maker's figure for the span."""
    rail = plan.frame.rail
    source = f"frame.rail: {rail.source}"
    pairs = np.array(rail.allowable_loads)
    allowed = stated.SpanTable(pairs[:, 0], pairs[:, 1], source, Certainty.MAKER)
    origins = {"frame": FRAME, "model": MODEL, "maker": Origin(source, Certainty.MAKER)}
    span = model.rails.span[:, None]
    first = np.array(
        [response.framing.members(Kind.RAIL, r)[0] for r in range(len(model.rails.ids))]
    )
    own = response.actions.bars[:, None, first]
    normal = (response.actions.rails + own) @ model.plane.normal
    owner = np.arange(len(model.rails.ids))
    cases: dict[str, Case] = {}
    for combined in _families(response):
        w = np.einsum("kc,chr->hrk", combined.matrix[:, : len(normal)], normal)
        batch = stated.LineLoads(np.abs(w).max(axis=0), span)
        ratio = stated.load_ratios(batch, allowed, origins)[..., None]

        def run(where: Mapping[str, int], batch: stated.LineLoads = batch) -> Callable[[], object]:
            return lambda: stated.load_ratios(batch.at(**where), allowed, origins)

        _keep_worst(cases, model, "load by span", ratio, owner, combined, run, "line_load_ratio",
                    str(rail.source), ("between the beams",))  # fmt: skip
    return list(cases.values())


def _keep_worst(
    cases: dict[str, Case], model: Model, word: str, ratio: Array, owner: NDArray[np.int64],
    combined: Combined, run: Callable[[dict[str, int]], Callable[[], object]], step: str,
    clause: str, places: Sequence[str] = PLACES,
) -> None:  # fmt: skip
    """Keep the larger of what is there and this family of combinations, rail by rail."""
    for r, name in enumerate(model.rails.ids):
        rows = np.flatnonzero(owner == r)
        here = ratio[rows]
        m, k, s = np.unravel_index(int(here.argmax()), here.shape)
        value, key = float(here[m, k, s]), f"{name}.{word.replace(' ', '-')}"
        if key in cases and cases[key].ratio >= value:
            continue
        where = {"member": int(rows[m]), "rail": int(rows[m]), "combination": int(k),
                 "station": int(s)}  # fmt: skip
        cases[key] = Case(key, f"rail {name}", word, "rail", value, combined.ids[k], run(where),
                          step, clause, places[int(m)])  # fmt: skip
