"""The place of a plan as its site plan shows it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from plumbrail.model.parts import Array, Model
from plumbrail.papers.sheet import Point
from plumbrail.papers.site_plan_parts import Service, Site, Spot, TrenchLine
from plumbrail.papers.words import say
from plumbrail.plan.models import Plan
from plumbrail.site.bearings import axes_bearing
from plumbrail.site.grounds import grounds
from plumbrail.site.surroundings import surroundings
from plumbrail.trench.along import place, reach
from plumbrail.trench.parts import Trenched


def site_to_draw(
    plan: Plan, model: Model, pins: Array, boxes: Iterable[Array], trench: Trenched | None = None
) -> Site:
    """What is drawn: ``pins`` (2, 2) and ``boxes``, each (2 or 3,), in local axes [m]."""
    around = surroundings(plan.site.shade, model.terrain,
                          axes_bearing(model.plane.azimuth, model.plane.row))  # fmt: skip
    found = grounds(plan.site)
    spots = [Spot(say("Box C{n}", n=i + 1), _pair(p)) for i, p in enumerate(boxes)]
    wiring = plan.wiring
    if wiring is not None and wiring.equipment.at is not None:
        spots.append(Spot(say("Equipment"), wiring.equipment.at))
    services = tuple(
        Service(s.name, s.kind, s.points, float(zone), s.depth, s.located_by, s.sure)
        for s, zone in zip(found.services.plan, found.services.zone, strict=True)
    )
    return Site(model, around, tuple(_pair(p) for p in pins), services, tuple(spots),
                None if wiring is None else wiring.run.length, found,
                None if trench is None else route_line(trench))  # fmt: skip


def route_line(trench: Trenched) -> TrenchLine:
    """The route as a site plan draws it: neighbouring stretches dug alike are one."""
    points = trench.option.points
    along = reach(points)
    runs: list[list[float | bool]] = []
    for piece in trench.pieces:
        if runs and runs[-1][2] == piece.hand:
            runs[-1][1] = piece.end
        else:
            runs.append([piece.start, piece.end, piece.hand])
    lines: dict[bool, list[tuple[Point, ...]]] = {False: [], True: []}
    for first, last, hand in runs:
        inner = along[(along > first + 1e-6) & (along < last - 1e-6)]
        at = place(points, np.concatenate([[first], inner, [last]]))
        lines[bool(hand)].append(tuple(_pair(p) for p in at))
    return TrenchLine(tuple(lines[False]), tuple(lines[True]),
                      tuple((c.number, c.point) for c in trench.crossings), trench.option.length,
                      trench.option.hand)  # fmt: skip


def _pair(point: Array) -> tuple[float, float]:
    return float(point[0]), float(point[1])
