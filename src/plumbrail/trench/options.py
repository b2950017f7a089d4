"""The route proposed and others beside it, with what differs; why there is none."""

from __future__ import annotations

import numpy as np

from plumbrail.errors import GeometryError, Problem
from plumbrail.plan.models import Trench
from plumbrail.trench import planar
from plumbrail.trench.field import Field
from plumbrail.trench.graph import Rates
from plumbrail.trench.ground import Scene
from plumbrail.trench.parts import Option
from plumbrail.trench.planar import Array
from plumbrail.trench.routing import Way, routes
from plumbrail.trench.search import turned
from plumbrail.units import show

NAMES = ("proposed", "shortest", "least hand digging", "fewest crossings")
DEAR = 1000.0
"""Hours per metre dug by hand, or per crossing, of a route that shuns them at any price."""
ALIKE = 0.02
"""Routes nowhere further apart than this [m] are one."""


def rates_of(field: Field, trench: Trench) -> Rates:
    """Hours of work: digging by the ground, laying, bends, and what each service costs."""
    d, c = trench.digging, trench.crossings
    ground = [f / (d.hand if hand else d.machine) + 1.0 / d.lay for f, hand in field.grounds]
    square = [float(getattr(c, s.kind)) for s in field.crossed]
    return Rates(np.array(ground), np.array(square), d.quarter_bend / (0.5 * np.pi))


def wanted(field: Field, trench: Trench) -> list[Rates]:
    """Rates for each of :data:`NAMES`."""
    own = rates_of(field, trench)
    by_hand = np.array([hand for _, hand in field.grounds])
    none = np.zeros(len(field.crossed))
    return [
        own, Rates(np.ones(len(field.grounds)), none, 0.0),
        Rates(own.ground + DEAR * by_hand, own.square, own.turn),
        Rates(own.ground, own.square, own.turn, DEAR),
    ]  # fmt: skip


def options(scene: Scene, trench: Trench, units: str) -> tuple[Option, tuple[Option, ...], Way]:
    """The route proposed, the others that differ from it, and how exact the first is.

    Raises GeometryError that says what is in the way when there is none.
    """
    field = scene.field
    found = routes(field, scene.start, scene.end, wanted(field, trench))
    own = found[0]
    if own is None:
        raise GeometryError([Problem("trench", _why_not(scene))])
    made = [_option(name, w, scene, trench)
            for name, w in zip(NAMES, found, strict=True) if w is not None]  # fmt: skip
    first, others = made[0], list[Option]()
    for one in made[1:]:
        if not any(_same(one, seen) for seen in (first, *others)):
            others.append(_told(one, first, units))
    return first, tuple(others), own


def whole(way: Way, scene: Scene) -> Array:
    """(n, 2) the route with what lies before its first and after its last bend."""
    riser = scene.risers[way.door[0]]
    points = (riser, *way.points, scene.wall)
    kept = [points[0]]
    for p in points[1:]:
        if np.hypot(*(p - kept[-1])) > 1e-5:
            kept.append(p)
    return np.array(kept)


def _option(name: str, way: Way, scene: Scene, trench: Trench) -> Option:
    field, points = scene.field, whole(way, scene)
    steps = field.features(points[:-1], points[1:])
    by_hand = np.array([hand for _, hand in field.grounds])
    ways = np.diff(points, axis=0)
    bends = float(turned(ways[:-1], ways[1:]).sum())
    rates = rates_of(field, trench)
    hours = float(rates.cost(steps).sum() + rates.turn * bends)
    return Option(name, points, float(steps.lengths.sum()), float(steps.lengths[:, by_hand].sum()),
                  int(steps.crossings.sum()), bends, hours, "")  # fmt: skip


def _same(one: Option, other: Option) -> bool:
    a, b = planar.edge_line(one.points), planar.edge_line(other.points)
    return planar.furthest(a, b) < ALIKE


def _told(one: Option, first: Option, units: str) -> Option:
    """With what differs from the route proposed."""
    longer, hand = one.length - first.length, one.hand - first.hand
    hours = one.hours - first.hours
    said = [
        _more(longer, show(abs(longer), "length", units, 1), "longer", "shorter"),
        _more(hand, show(abs(hand), "length", units, 1), "more by hand", "less by hand"),
        _count(one.crossings - first.crossings),
        _more(hours, f"{abs(hours):.1f} h", "more work", "less work"),
    ]  # fmt: skip
    return Option(one.name, one.points, one.length, one.hand, one.crossings, one.bends, one.hours,
                  "; ".join(s for s in said if s) or "the same in all figures")  # fmt: skip


def _more(by: float, size: str, more: str, less: str) -> str:
    return "" if abs(by) < 0.05 else f"{size} {more if by > 0 else less}"


def _count(by: int) -> str:
    if by == 0:
        return ""
    return f"{abs(by)} {'more' if by > 0 else 'fewer'} crossing{'s' if abs(by) > 1 else ''}"


def _why_not(scene: Scene) -> str:
    """What stands between the two ends."""
    field = scene.field
    start, end = scene.start.at[0], scene.end.at[0]
    alone = [o.name for k, o in enumerate(field.obstacles)
             if planar.together(start, end, [p.grown for i, p in enumerate(field.obstacles)
                                             if i != k])]  # fmt: skip
    bare = planar.together(start, end, [o.shape for o in field.obstacles])
    if alone:
        words = f"{', '.join(alone)} {'bar' if len(alone) > 1 else 'bars'} the way"
        if len(alone) > 1:
            words += "; without any one of them there would be a route"
    else:
        around = planar.about(start, [o.grown for o in field.obstacles])
        words = "the way is barred by " + ", ".join(field.obstacles[k].name for k in around)
    advice = ("with no clearance at all there would be a way: see whether trench.clearance and "
              "trench.pier_clearance can be less there" if bare
              else "even with no clearance there is no way: move the box or the equipment, or "
              "dig by hand between roots (trench.roots)")  # fmt: skip
    return f"no route from the array to the equipment: {words}. {advice}"
