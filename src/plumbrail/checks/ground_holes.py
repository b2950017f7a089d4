"""Each hole against the zones of buried services, and what else lies under it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.check import Case, Check, Status, not_checked
from plumbrail.checks.ground_place import GROUND, HAIR
from plumbrail.checks.stated import clearance_ratio
from plumbrail.model.parts import Model
from plumbrail.plan.grounds import USUAL_TOLERANCE, Service
from plumbrail.site.grounds import Buried, Grounds
from plumbrail.trace import Certainty, given, provision
from plumbrail.units import show

Array = NDArray[np.float64]
P, S = Certainty.PRACTICE, Certainty.PLAN
TITLE = "clear of buried services"
LOCATE = (
    "have it located and marked before digging (in the US call 811 two to three working days "
    "ahead; local law decides)"
)


@provision(
    "zone of state dig laws, doubt about the place added", "z [m]", "D_o/2 + t + u",
    Certainty.DERIVED, D_o="m", t="m", u="m",
)  # fmt: skip
def hand_dig_zone(D_o: Array, t: Array, u: Array) -> Array:
    """Half width of the zone about the line of a service that is dug by hand."""
    return D_o / 2 + t + u


@provision("geometry", "d_min [m]", "D/2 + z", Certainty.DERIVED, D="m", z="m")
def middle_clearance(D: Array, z: Array) -> Array:
    """Distance from the middle of a hole at which its edge just clears a zone."""
    return D / 2 + z


def hole_checks(grounds: Grounds, model: Model, units: str) -> list[Case | Check]:
    """For each hole the service that it is nearest to by its zone; services nobody located.

    A service known only from paper or memory fails a hole inside its zone, and passes none.
    """
    buried = grounds.services
    away = np.maximum(buried.away(model.posts.xy), HAIR)
    ratio = (0.5 * model.piers.diameter + buried.zone) / away
    found: list[Case | Check] = []
    for p in range(len(model.posts.ids)):
        counted = np.flatnonzero(buried.sure | (ratio[p] > 1.0))
        if counted.size:
            k = int(counted[ratio[p, counted].argmax()])
            found.append(_case(buried, model, p, k, float(away[p, k]), units))
    return found + _not_located(buried, model, away, ratio, units)


def _case(buried: Buried, model: Model, p: int, k: int, away: float, units: str) -> Case | Check:
    plan, post, D = buried.plan[k], model.posts.ids[p], float(model.piers.diameter)
    path = f"site.services: {plan.name}"
    if away <= 0.5 * D:
        return _over(plan, model, p, away, units)

    def run() -> Array:
        zone = hand_dig_zone(
            given(path + " (outer width)", "D_o [m]", plan.diameter or 0.0, S),
            given(path + " (zone to each side)", "t [m]", plan.by_hand,
                  P if plan.tolerance is None else S),
            given(path + f" ({plan.located_by})", "u [m]", plan.within,
                  P if plan.uncertainty is None else S),
        )  # fmt: skip
        wanted = middle_clearance(given("piers.diameter", "D [m]", D, S), zone)
        return clearance_ratio(wanted, given("middle of the hole to the line", "h [m]", away, S))

    ratio = float((0.5 * D + buried.zone[k]) / away)
    return Case(
        f"{post}.services", f"pier {post}, {plan.name}", TITLE, GROUND, ratio, "", run,
        "clearance_ratio", "zone dug by hand about a buried service",
        _note(plan, model, p, away, ratio > 1.0, units), rule=True,
    )  # fmt: skip


def _over(plan: Service, model: Model, p: int, away: float, units: str) -> Check:
    """A hole that the line itself runs over: there is no clearance to compare."""
    usual = plan.tolerance is None or plan.uncertainty is None
    return Check(
        f"{model.posts.ids[p]}.services", f"pier {model.posts.ids[p]}, {plan.name}", TITLE,
        Status.FAIL, clause="zone dug by hand about a buried service",
        certainty=P if usual else Certainty.DERIVED, family=GROUND, rule=True,
        note=_note(plan, model, p, away, True, units),
    )  # fmt: skip


def _note(plan: Service, model: Model, p: int, away: float, inside: bool, units: str) -> str:
    edge = away - 0.5 * float(model.piers.diameter)
    where = f"{_said(edge, units)} from the edge of the hole to its line" if edge > 0 else (
        "its line runs over the hole: do not dig here")  # fmt: skip
    parts = [where, f"its place known within {_said(plan.within, units)}"]
    if inside:
        parts.append(_depth(plan, float(model.piers.depth[p]), units))
    if plan.tolerance is None:
        parts.append(
            f"{_said(USUAL_TOLERANCE, units)} counted to each side as usual, the state's law "
            "decides"
        )
    if plan.diameter is None:
        parts.append("its width is not stated and counted as nothing")
    return "; ".join(parts)


def _depth(plan: Service, hole: float, units: str) -> str:
    if plan.depth is None:
        return "its depth is not known"
    if hole >= plan.depth:
        return f"the hole, {_said(hole, units)} deep, reaches its top at {_said(plan.depth, units)}"
    return f"the hole ends {_said(plan.depth - hole, units)} above its top if that depth is right"


def _not_located(
    buried: Buried, model: Model, away: Array, ratio: Array, units: str
) -> list[Case | Check]:
    """Services that keep clear of every hole on paper or in memory only."""
    found: list[Case | Check] = []
    for k, plan in enumerate(buried.plan):
        if plan.sure:
            continue
        p = int(away[:, k].argmin())
        edge = float(away[p, k]) - 0.5 * float(model.piers.diameter)
        said = "" if (ratio[:, k] > 1.0).any() else (
            f", {_said(edge, units)} from the nearest hole {model.posts.ids[p]}")  # fmt: skip
        found.append(not_checked(
            f"service-{k + 1}.place", f"service {plan.name}", TITLE, GROUND,
            f"its place is known by {plan.located_by} only{said}: {LOCATE}",
        ))  # fmt: skip
    return found


def hole_cautions(grounds: Grounds, model: Model, units: str) -> tuple[tuple[str, ...], ...]:
    """(posts) services whose zone a hole meets, and areas that it lies in."""
    buried, radius = grounds.services, 0.5 * float(model.piers.diameter)
    away = buried.away(model.posts.xy)
    within = [a.meets(model.posts.xy, radius) for a in grounds.areas]
    found = []
    for p in range(len(model.posts.ids)):
        said = [
            _caution(buried.plan[k], float(away[p, k]) - radius, units)
            for k in np.flatnonzero(away[p] < radius + buried.zone)
        ]
        for area, holds in zip(grounds.areas, within, strict=True):
            if p in holds:
                said.append(f"in {area.kind}: {area.name}" if area.built_on
                            else f"DO NOT DIG: in {area.name}, {area.kind}")  # fmt: skip
        found.append(tuple(said))
    return tuple(found)


def _caution(plan: Service, edge: float, units: str) -> str:
    if edge <= 0.5 * (plan.diameter or 0.0):
        return f"DO NOT DIG: {plan.name} ({plan.kind}) runs over the hole"
    return (
        f"dig by hand: {plan.name} ({plan.kind}), its line {_said(edge, units)} from the edge of "
        "the hole"
    )


def _said(length: float, units: str) -> str:
    return show(length, "length", units, 1)
