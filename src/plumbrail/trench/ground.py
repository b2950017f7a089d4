"""From the plan to the ground as a route sees it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.errors import GeometryError, Problem
from plumbrail.model.outline import array_outline
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan, Trench
from plumbrail.site.bearings import axes_bearing
from plumbrail.site.grounds import Grounds, grounds
from plumbrail.site.surroundings import Kind, Surroundings, surroundings
from plumbrail.trench import planar
from plumbrail.trench.field import Crossed, Field, Obstacle, Patch
from plumbrail.trench.graph import Door, door
from plumbrail.trench.parts import Wires
from plumbrail.trench.planar import HAIR, Array, Shape
from plumbrail.trench.roots import root_zone

ON_WALL = 0.15
"""Equipment this far inside the outline of a building [m] still hangs on its wall."""
AROUND = 60.0
"""Ground looked at beyond everything in the plan [m]."""


@dataclass(frozen=True)
class Scene:
    """The field, and the two ends."""

    field: Field
    start: Door
    end: Door
    risers: Array
    """(n, 2) where the conduit comes down, for each place of the start."""
    wall: Array
    """(2,) where it ends."""
    grounds: Grounds
    guessed: tuple[str, ...]
    """Trees whose stem is not in the plan."""
    row_bearing: float


def scene(plan: Plan, trench: Trench, model: Model, wires: Wires, wall: Array) -> Scene:
    """Everything the route has to do with; GeometryError in words for an end in barred ground."""
    bearing = axes_bearing(model.plane.azimuth, model.plane.row)
    around = surroundings(plan.site.shade, model.terrain, bearing)
    found = grounds(plan.site)
    trees, roots, guessed = _trees(plan, trench, around)
    fixed = [*_standing(around, trench), *_piers(model, trench), *trees,
             *_areas(found, trench), *_edge(found, trench, model, wall)]  # fmt: skip
    patches = [*_regions(found, trench), *_zones(found), *roots,
               Patch("the array", "under the array", planar.area(array_outline(model.plane)),
                     1.0, True)]  # fmt: skip
    ends = _Ends(fixed, Field(tuple(fixed)).barred)
    start, risers, own = ends.at_array(wires.box[:2], model, trench)
    end, beside = ends.at_wall(wall)
    patches += [Patch(f"beside {o.name}", "beside", o.grown, 1.0, True) for o in (own, beside) if o]
    field = Field(tuple(fixed), tuple(patches), _services(found))
    cost = np.zeros(len(start.at))
    return Scene(field, Door(start.at, cost, start.way), end, risers, wall, found, guessed, bearing)


def _standing(around: Surroundings, trench: Trench) -> list[Obstacle]:
    kinds = {Kind.BOX: "building", Kind.SHEET: "array"}
    return [
        Obstacle(around.names[k], kinds[kind], planar.area(around.footprint(k)), trench.clearance)
        for k, kind in enumerate(around.kinds) if kind in kinds
    ]  # fmt: skip


def _piers(model: Model, trench: Trench) -> list[Obstacle]:
    radius = 0.5 * float(model.piers.diameter)
    return [
        Obstacle(f"pier {id}", "pier", planar.disc(at, radius), trench.pier_clearance)
        for id, at in zip(model.posts.ids, model.posts.xy, strict=True)
    ]


def _trees(
    plan: Plan, trench: Trench, around: Surroundings
) -> tuple[list[Obstacle], list[Patch], tuple[str, ...]]:
    """Stems and root zones; a root zone is gone round, or dug by hand."""
    stems, zones, guessed = list[Obstacle](), list[Patch](), list[str]()
    for tree in plan.site.shade.trees if plan.site.shade else ():
        at = np.array(tree.at)
        if tree.trunk is None:
            guessed.append(tree.name)
        zone = planar.disc(at, root_zone(trench.root_rule, tree.trunk, tree.radius))
        stem = planar.disc(at, 0.5 * (tree.trunk or 0.3))
        stems.append(Obstacle(tree.name, "stem", stem, trench.clearance))
        if trench.roots == "go round":
            stems.append(Obstacle(f"roots of {tree.name}", "roots", zone, 0.0))
        else:
            zones.append(Patch(f"roots of {tree.name}", "roots", zone, 1.0, True))
    return stems, zones, tuple(guessed)


def _areas(found: Grounds, trench: Trench) -> list[Obstacle]:
    return [
        Obstacle(a.name, a.kind, planar.area(a.outline), trench.clearance)
        for a in found.areas if not a.built_on
    ]  # fmt: skip


def _edge(found: Grounds, trench: Trench, model: Model, wall: Array) -> list[Obstacle]:
    """All that is beyond the boundary; nothing where it is not stated."""
    line = found.property_line
    if line is None:
        return []
    spots = np.concatenate([line, model.posts.xy, wall[None]])
    beyond = planar.without(planar.frame(spots, AROUND), planar.area(line))
    return [Obstacle("the boundary", "boundary", beyond, trench.clearance)]


def _regions(found: Grounds, trench: Trench) -> list[Patch]:
    ratio = trench.digging.machine / trench.digging.hand
    patches = []
    for a in found.areas:
        if a.built_on:
            by_hand = a.kind == "roots"
            factor = max(1.0, a.dig_factor / ratio) if by_hand else a.dig_factor
            patches.append(Patch(a.name, a.kind, planar.area(a.outline), factor, by_hand))
    return patches


def _zones(found: Grounds) -> list[Patch]:
    s = found.services
    return [
        Patch(name, "service zone", planar.about_line(line, float(half)), 1.0, True)
        for name, line, half in zip(s.names, s.lines, s.zone, strict=True)
    ]


def _services(found: Grounds) -> tuple[Crossed, ...]:
    s = found.services
    return tuple(
        Crossed(name, kind, line, float(half))
        for name, kind, line, half in zip(s.names, s.kinds, s.lines, s.zone, strict=True)
    )


class _Ends:
    """Where the route may begin and end."""

    def __init__(self, fixed: list[Obstacle], barred: Shape) -> None:
        self.fixed, self.barred = fixed, barred

    def at_array(
        self, box: Array, model: Model, trench: Trench
    ) -> tuple[Door, Array, Obstacle | None]:
        """Beside the pier that the box hangs over, on any side of it; else right at the box."""
        inside = self._inside(box)
        own = next((o for o in inside if o.kind == "pier"), None)
        if own is None:
            self._refuse(inside, box, "wiring.combiners", "the box where the run begins")
            return door(box), box[None], None
        k = model.posts.ids.index(own.name.removeprefix("pier "))
        centre, radius = model.posts.xy[k], 0.5 * float(model.piers.diameter)
        ring = planar.aside(planar.rings(own.grown)[0], 2 * HAIR)
        way = ring - centre
        way = way / np.hypot(*way.T)[:, None]
        others = planar.joined([o.grown for o in self.fixed if o is not own])
        risers = centre + radius * way
        free = ~planar.blocked(risers, ring, others)
        if not free.any():
            self._refuse([o for o in self._inside(box) if o is not own], box, "wiring.combiners",
                         "the box where the run begins")  # fmt: skip
            raise _problem("wiring.combiners", f"no trench can leave {own.name}, under the box: "
                           "other obstacles and their clearances stand all about it; reduce "
                           "trench.pier_clearance, or put the box at another corner")  # fmt: skip
        return Door(ring[free], np.zeros(int(free.sum())), way[free]), risers[free], own

    def at_wall(self, wall: Array) -> tuple[Door, Obstacle | None]:
        """Square out of the wall that the equipment hangs on; else right at the equipment."""
        inside = self._inside(wall)
        own = next((o for o in inside if o.kind == "building"), None)
        if own is not None:
            deep = planar.distance(own.shape, wall) == 0.0
            foot = planar.nearest_edge(own.shape, wall)
            if deep and np.hypot(*(foot - wall)) > ON_WALL:
                raise _problem("wiring.equipment.at", f"lies inside {own.name}, "
                               f"{np.hypot(*(foot - wall)):.2f} m from its wall; the trench ends "
                               "at the outside: give the place on the outer wall")  # fmt: skip
            return self._square(own, wall, foot, deep), own
        self._refuse(inside, wall, "wiring.equipment.at", "the equipment")
        return door(wall), None

    def _square(self, own: Obstacle, wall: Array, foot: Array, deep: bool) -> Door:
        ring = planar.rings(own.shape)[0]
        step = np.roll(ring, -1, axis=0) - ring
        share = np.clip(((foot - ring) * step).sum(axis=1) / (step * step).sum(axis=1), 0.0, 1.0)
        side = int(np.hypot(*(ring + share[:, None] * step - foot).T).argmin())
        out = np.array([step[side, 1], -step[side, 0]]) / np.hypot(*step[side])
        off = wall - foot
        if not deep and np.hypot(*off) > 1e-6:
            out = off / np.hypot(*off)
        reach = own.clear / np.cos(np.pi / (4 * planar.STEPS)) + 3 * HAIR
        exit_at = foot + reach * out
        others = planar.joined([o.grown for o in self.fixed if o is not own])
        if planar.blocked(foot[None] + HAIR * out, exit_at[None], others)[0]:
            names = [o.name for o in self.fixed if o is not own
                     and planar.blocked(foot[None], exit_at[None], o.grown)[0]]  # fmt: skip
            raise _problem(
                "wiring.equipment.at",
                f"the trench leaves {own.name} square to its "
                f"wall, and {', '.join(names)} with its clearance stands there",
            )
        return door(exit_at, out)

    def _inside(self, place: Array) -> list[Obstacle]:
        return [o for o in self.fixed if planar.distance(o.grown, place) == 0.0]

    def _refuse(self, inside: list[Obstacle], place: Array, field: str, what: str) -> None:
        if not inside:
            return
        words = [
            f"beyond {o.name}" if o.kind == "boundary" and planar.distance(o.shape, place) == 0.0
            else f"in {o.name}" if planar.distance(o.shape, place) == 0.0
            else f"within the clearance of {o.name}" for o in inside
        ]  # fmt: skip
        raise _problem(field, f"{what} lies {' and '.join(words)}; move it, or reduce "
                       "trench.clearance where that may be done")  # fmt: skip


def _problem(field: str, words: str) -> GeometryError:
    return GeometryError([Problem(field, words)])
