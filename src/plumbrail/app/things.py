"""What stands, lies or runs on the site, for the 3D view and the site plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plumbrail.app.messages import Thing
from plumbrail.model.parts import Model
from plumbrail.papers.marking_colours import marking
from plumbrail.plan.models import Plan
from plumbrail.setout.base import pin_positions
from plumbrail.site.bearings import axes_bearing
from plumbrail.site.boxes import boxes
from plumbrail.site.flat import inset
from plumbrail.site.sheets import sheets

Array = NDArray[np.float64]
_SHADE = "site.shade"


@dataclass(frozen=True)
class Combiner:
    """A combiner box whose place the wiring knows."""

    name: str
    place: Sequence[float]


def things(plan: Plan, model: Model, combiners: Sequence[Combiner] = ()) -> list[Thing]:
    """All of it; what the plan does not place is not drawn."""
    return [*_holes(plan, model), *_pins(plan, model), *_boxes(plan, model), *_trees(plan, model),
            *_arrays(plan, model), *_services(plan, model), *_bounds(plan, model),
            *_electric(plan, model, combiners)]  # fmt: skip


def _ground(model: Model, place: Sequence[float]) -> float:
    return float(model.terrain.height(place[0], place[1]))


def _spots(places: Array | Sequence[Sequence[float]]) -> list[tuple[float, float]]:
    return [(float(p[0]), float(p[1])) for p in places]


def _holes(plan: Plan, model: Model) -> list[Thing]:
    posts = model.posts
    return [
        Thing(id=f"hole-{name}", kind="hole", name=f"Hole {name}", places=_spots([posts.xy[i]]),
              radius=0.5 * float(model.piers.diameter), ground=float(posts.ground[i]))
        for i, name in enumerate(posts.ids)
    ]  # fmt: skip


def _pins(plan: Plan, model: Model) -> list[Thing]:
    pins = pin_positions(model, plan.setout)  # also where no pin can be: the setting out says so
    return [
        Thing(id=f"pin-{k + 1}", kind="pin", name=f"Pin {k + 1}", places=_spots([pin]),
              handles=_spots([pin]), path=f"setout.pin_{k + 1}", ground=_ground(model, pin),
              height=float(plan.setout.pin_height))
        for k, pin in enumerate(pins)
    ]  # fmt: skip


def _boxes(plan: Plan, model: Model) -> list[Thing]:
    shade = plan.site.shade
    stated = () if shade is None else shade.boxes
    found = boxes(stated, model.terrain)
    return [
        Thing(id=f"box-{k + 1}", kind="box", name=b.name, places=_spots(found.footprint(k)),
              closed=True, height=b.height, handles=_spots([b.at]),
              path=f"{_SHADE}.boxes[{k + 1}].at", ground=_ground(model, b.at))
        for k, b in enumerate(stated)
    ]  # fmt: skip


def _trees(plan: Plan, model: Model) -> list[Thing]:
    shade = plan.site.shade
    return [
        Thing(id=f"tree-{k + 1}", kind="tree", name=t.name, places=_spots([t.at]),
              height=t.height, from_=t.crown_from, radius=t.radius, shape=t.crown,
              handles=_spots([t.at]), path=f"{_SHADE}.trees[{k + 1}].at",
              ground=_ground(model, t.at))
        for k, t in enumerate(() if shade is None else shade.trees)
    ]  # fmt: skip


def _arrays(plan: Plan, model: Model) -> list[Thing]:
    shade = plan.site.shade
    stated = () if shade is None else shade.arrays
    found = sheets(stated, model.terrain, axes_bearing(model.plane.azimuth, model.plane.row))
    things_ = []
    for k, a in enumerate(stated):
        ground = _ground(model, a.at)
        things_.append(
            Thing(id=f"array-{k + 1}", kind="array", name=a.name, places=_spots(found.footprint(k)),
                  closed=True, height=float(found.top[k]) - ground, from_=a.low_edge,
                  handles=_spots([a.at]), path=f"{_SHADE}.arrays[{k + 1}].at", ground=ground)
        )  # fmt: skip
    return things_


def _services(plan: Plan, model: Model) -> list[Thing]:
    return [
        Thing(id=f"service-{k + 1}", kind="service", name=s.name, places=_spots(s.points),
              height=0.0 if s.depth is None else -s.depth,
              radius=0.5 * (s.diameter or 0.0) + s.by_hand + s.within, shape=s.kind,
              letter=marking(s.kind).letter, handles=_spots(s.points),
              path=f"site.services[{k + 1}].points", ground=_ground(model, s.points[0]))
        for k, s in enumerate(plan.site.services)
    ]  # fmt: skip


def _bounds(plan: Plan, model: Model) -> list[Thing]:
    site, found = plan.site, []
    if site.boundary is not None:
        found.append(_outline(model, "boundary", "boundary", "Boundary", site.boundary.points,
                              "site.boundary.points"))  # fmt: skip
        if site.boundary.setback > 0.0:
            found += [
                Thing(id=f"setback-{k + 1}", kind="setback", name="Setback", places=_spots(piece),
                      ground=_ground(model, piece[0]))
                for k, piece in enumerate(inset(site.boundary.points, site.boundary.setback))
            ]  # fmt: skip
    found += [
        _outline(model, f"easement-{k + 1}", "easement", e.name, e.points,
                 f"site.easements[{k + 1}].points")
        for k, e in enumerate(site.easements)
    ]  # fmt: skip
    found += [
        _outline(model, f"region-{k + 1}", "region", r.name, r.points,
                 f"site.regions[{k + 1}].points", r.kind)
        for k, r in enumerate(site.regions)
    ]  # fmt: skip
    return found


def _outline(
    model: Model, id: str, kind: Literal["boundary", "easement", "region"], name: str,
    points: Sequence[Sequence[float]], path: str, shape: str = "",
) -> Thing:  # fmt: skip
    return Thing(id=id, kind=kind, name=name, places=_spots(points), closed=True,
                 shape=shape, handles=_spots(points), path=path,
                 ground=_ground(model, points[0]))  # fmt: skip


def _electric(plan: Plan, model: Model, combiners: Sequence[Combiner]) -> list[Thing]:
    found = [
        Thing(id=f"combiner-{c.name}", kind="combiner", name=f"Combiner {c.name}",
              places=_spots([c.place]), handles=_spots([c.place]),
              path="" if plan.wiring is None else "wiring.combiners.corner",
              ground=_ground(model, c.place), height=float(c.place[2]) - _ground(model, c.place))
        for c in combiners
    ]  # fmt: skip
    at = None if plan.wiring is None else plan.wiring.equipment.at
    if at is not None and plan.wiring is not None:
        found.append(
            Thing(id="equipment", kind="equipment", name=plan.wiring.equipment.name,
                  places=_spots([at]), handles=_spots([at]), path="wiring.equipment.at",
                  ground=_ground(model, at))
        )  # fmt: skip
    return found
