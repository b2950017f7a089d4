"""The locate request; array and holes against the boundary, easements and keep-out areas."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.check import Case, Check, Status, not_checked
from plumbrail.checks.stated import clearance_ratio
from plumbrail.model.outline import array_outline
from plumbrail.model.parts import Model
from plumbrail.plan.models import Boundary
from plumbrail.site.flat import outline_room, outlines_apart, room_inside
from plumbrail.site.grounds import Area, Grounds
from plumbrail.trace import Certainty, given
from plumbrail.units import show

Array = NDArray[np.float64]
GROUND = "ground"
"""Family of these checks."""
HAIR = 0.001
"""Distances below this [m] count as this."""
SETBACK = "setback from the boundary"
CALL = (
    "have everything buried located and marked before the first hole (in the US call 811 two to "
    "three working days ahead; local law decides), search for your own lines too, then write "
    "site.locate and site.services"
)


def not_located(grounds: Grounds) -> list[Check]:
    """Nothing when somebody looked for all that is buried; the plan's word is taken for it."""
    id, subject, title = "ground.located", "the site", "services located"
    if grounds.locate is None:
        none = "" if grounds.services.names else "the plan says nothing of what is buried: "
        return [not_checked(id, subject, title, GROUND, none + CALL)]
    if not grounds.locate.own_lines:
        why = (
            "your own lines are not found yet (from the meter on, well, septic, propane, "
            "irrigation, feeders), and no locate centre marks those: find them, then write "
            "site.locate.own_lines = true"
        )
        return [not_checked(id, subject, title, GROUND, why)]
    return []


def located_note(grounds: Grounds) -> str:
    """What the plan says of the locate request; empty without one."""
    found = grounds.locate
    if found is None:
        return ""
    ticket = f", ticket {found.ticket}" if found.ticket else ""
    return (
        f"Locate request answered {found.answered.isoformat()}{ticket}; buried services in the "
        f"plan: {len(grounds.services.names)}. Marks and tickets expire: ask again when the law "
        "of the state says so."
    )


def property_checks(grounds: Grounds, model: Model, units: str) -> list[Case | Check]:
    """Setback of array and holes; easements; keep-out areas."""
    closed = [a for a in grounds.areas if not a.built_on]
    areas = [_area(a, i + 1, model, units) for i, a in enumerate(closed)]
    if grounds.boundary is None:
        return [not_checked(
            "ground.boundary", "the site", SETBACK, GROUND,
            "ask the building department what setback it wants, find the corner markers of the "
            "property, read its title for easements, then write site.boundary",
        ), *areas]  # fmt: skip
    found = [_array(grounds, grounds.boundary, model, units),
             _piers(grounds, grounds.boundary, model, units)]  # fmt: skip
    return [*found, *_unread(grounds.boundary), *areas]


def _array(grounds: Grounds, boundary: Boundary, model: Model, units: str) -> Case | Check:
    line = grounds.property_line
    assert line is not None
    room = outline_room(array_outline(model.plane), line).distance
    return _setback("array", "array in plan", room, boundary, units)


def _piers(grounds: Grounds, boundary: Boundary, model: Model, units: str) -> Case | Check:
    """The hole that is nearest to the boundary, by its edge."""
    line = grounds.property_line
    assert line is not None
    room = room_inside(model.posts.xy, line) - 0.5 * model.piers.diameter
    p = int(room.argmin())
    return _setback("piers", f"pier {model.posts.ids[p]}", float(room[p]), boundary, units)


def _setback(what: str, subject: str, room: float, boundary: Boundary, units: str) -> Case | Check:
    id, said = f"{what}.setback", show(abs(room), "length", units, 1)
    if boundary.known_by in {"fence", "map"} and boundary.setback <= room:
        return not_checked(
            id, subject, SETBACK, GROUND,
            f"{said} by a {boundary.known_by}, which is not the boundary: find the corner markers "
            "or have it surveyed",
        )  # fmt: skip
    words = Wanted(id, subject, SETBACK, "setback of the building department",
                   "site.boundary.setback", "nearest place of site.boundary")  # fmt: skip
    if room <= 0.0:
        return _free(words, False, f"{said} over the boundary")
    note = f"{said} from it; boundary known by: {boundary.known_by}"
    if boundary.setback < HAIR:
        return _free(words, room >= HAIR, note)
    return _kept(words, boundary.setback, max(room, HAIR), note)


@dataclass(frozen=True)
class Wanted:
    """A distance that is asked for, in words."""

    id: str
    subject: str
    title: str
    clause: str
    asked: str
    """Where the distance asked for comes from."""
    measured: str
    """Where the distance there is comes from."""


def _kept(words: Wanted, wanted: float, room: float, note: str) -> Case:
    """A distance that is kept or not, both above nothing."""

    def run() -> Array:
        return clearance_ratio(
            given(words.asked, "h_min [m]", wanted, Certainty.PLAN),
            given(words.measured, "h [m]", room, Certainty.PLAN),
        )

    return Case(words.id, words.subject, words.title, GROUND, wanted / room, "", run,
                "clearance_ratio", words.clause, note, rule=True)  # fmt: skip


def _free(words: Wanted, kept: bool, note: str) -> Check:
    """A place where nothing may stand: kept or not, and no ratio of distances behind it."""
    return Check(words.id, words.subject, words.title, Status.PASS if kept else Status.FAIL,
                 clause=words.clause, certainty=Certainty.PLAN, note=note, family=GROUND,
                 rule=True)  # fmt: skip


def _unread(boundary: Boundary) -> list[Check]:
    if boundary.easements_read:
        return []
    return [not_checked(
        "ground.easements", "the site", "easements", GROUND,
        "read the title report or the county's records, write every easement in site.easements, "
        "then site.boundary.easements_read = true",
    )]  # fmt: skip


def _area(area: Area, number: int, model: Model, units: str) -> Check:
    """Nothing of the array stands in or over an easement; no hole in a keep-out area."""
    over = outlines_apart(array_outline(model.plane), area.outline).distance
    radius = 0.5 * model.piers.diameter
    inside = [model.posts.ids[p] for p in area.meets(model.posts.xy, radius)]
    away = float(-room_inside(model.posts.xy, area.outline).max()) - radius
    easement = area.kind == "easement"
    bad = [f"holes in it: {', '.join(inside)}"] if inside else []
    if easement:
        away = min(over, away)
        bad += [] if over > 0.0 else ["the array stands over it"]
    title = "easement kept free" if easement else "keep-out area kept free"
    subject = f"easement {area.name}" if easement else f"area {area.name}"
    section = "site.easements" if easement else "site.regions"
    words = Wanted(
        f"{area.kind.replace(' ', '-')}-{number}", subject, title, f"{section} of the plan",
        f"{section}: nothing stands there", f"nearest place of {section}",
    )  # fmt: skip
    note = "; ".join(bad) or f"{show(away, 'length', units, 1)} from it"
    return _free(words, not bad and away >= HAIR, note)
