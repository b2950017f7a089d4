"""How deep the conduit lies: cover by method and surface, and over or under what is buried."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plumbrail.bases.us.nec import burial
from plumbrail.check import ALMOST_ONE
from plumbrail.errors import RangeError, TableError
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan, Trench
from plumbrail.site.grounds import Buried
from plumbrail.tables.sections import pipe
from plumbrail.trench.along import met, place, reach, zone_about
from plumbrail.trench.parts import Bend, Crossing, Piece, Profile, Wires
from plumbrail.trench.planar import Array

STEP = 0.25
RAMP = 1.0 / 3.0
"""Slope at which the conduit goes down to pass under something, and up again: practice."""
BESIDE = 0.3
"""Metres beyond the width of a service that the conduit lies level under it: practice."""
PAVED = "road"
"""What paving counts as when the plan does not say."""


@dataclass(frozen=True)
class Depths:
    """What decides how deep the conduit lies."""

    plan: Plan
    trench: Trench
    wires: Wires
    outer: float
    pieces: tuple[Piece, ...]

    def surface(self, piece: Piece) -> str:
        """Row of the code's table for a stretch."""
        assert self.plan.wiring is not None
        if "paving" in piece.kinds:
            return self.trench.paved_as or PAVED
        return self.plan.wiring.run.surface

    def cover(self, piece: Piece) -> float:
        """Least cover over a stretch [m]; RangeError where the table has none."""
        try:
            return float(burial.least_cover(self.wires.method, self.surface(piece)))
        except TableError:
            raise RangeError(
                f"wiring.run.surface: the code's table has no cover for {self.wires.method} under: "
                f"{self.surface(piece)}"
            ) from None


def outer_width(wires: Wires) -> float:
    """Outer diameter of the conduit [m], that of steel pipe of its trade size; 0: not known."""
    return pipe(f"NPS {wires.trade} STD").OD if wires.trade else 0.0


def crossings(points: Array, services: Buried, depths: Depths) -> tuple[Crossing, ...]:
    """Every service that the route passes, in order, with the conduit's depth decided."""
    found = []
    for k, line in enumerate(services.lines):
        found += [(at, angle, k) for at, angle in met(points, line)]
    return tuple(
        _crossing(f"X{i + 1}", at, angle, k, points, services, depths)
        for i, (at, angle, k) in enumerate(sorted(found))
    )


def _crossing(
    number: str, at: float, angle: float, k: int, points: Array, services: Buried, depths: Depths
) -> Crossing:
    name, width = services.names[k], float(services.width[k])
    own = next(p for p in depths.pieces if p.start - 1e-6 <= at <= p.end + 1e-6)
    top = float(services.depth[k])
    conduit, over, gap = depths.cover(own), None, None
    asked = depths.trench.service_gap
    if np.isfinite(top):
        over = conduit + depths.outer + asked <= top + 1e-9
        conduit = conduit if over else max(conduit, top + width + asked)
        gap = top - conduit - depths.outer if over else conduit - top - width
    x, y = place(points, np.array([at]))[0]
    return Crossing(
        number, name, services.kinds[k], at, (float(x), float(y)), angle, bool(services.sure[k]),
        zone_about(depths.pieces, at, name), top if np.isfinite(top) else None, width, conduit,
        over, gap, asked,
    )  # fmt: skip


def profile(points: Array, model: Model, passed: tuple[Crossing, ...], depths: Depths) -> Profile:
    """Ground, cover, conduit and bottom of the trench along the route."""
    end = float(reach(points)[-1])
    wanted = [(p.start, p.end, depths.cover(p)) for p in depths.pieces]
    covers = list(wanted)
    for c in passed:
        if c.over is False:
            half = _half(c, BESIDE)
            wanted.append((max(c.at - half, 0.0), min(c.at + half, end), c.conduit))
    spots = [np.linspace(0.0, end, max(2, int(np.ceil(end / STEP)) + 1)), reach(points)]
    for a, b, deep in wanted:
        ramp = (deep - min(w[2] for w in wanted)) / RAMP
        spots.append(np.array([a, b, a - ramp, b + ramp]))
    at = np.unique(np.round(np.clip(np.concatenate(spots), 0.0, end), 9)).astype(float)
    cover, top = _deepest(at, covers), _deepest(at, wanted)
    for order in (range(1, len(at)), range(len(at) - 2, -1, -1)):
        for i in order:
            j = i - 1 if order.step > 0 else i + 1
            top[i] = max(top[i], top[j] - RAMP * abs(at[i] - at[j]))
    xy = place(points, at)
    ground = np.asarray(model.terrain.height(xy[:, 0], xy[:, 1]), dtype=float)
    guessed = bool(np.asarray(model.terrain.outside(xy[:, 0], xy[:, 1])).any())
    return Profile(at, ground, cover, top, top + depths.outer + depths.trench.bedding, guessed)


def _half(c: Crossing, beside: float = 0.0) -> float:
    """Half of the route over a service and ``beside`` of it; long where the angle is flat."""
    return float((0.5 * c.width + beside) / max(np.sin(c.angle), 1e-6))


def settled(
    points: Array, model: Model, passed: tuple[Crossing, ...], depths: Depths
) -> tuple[tuple[Crossing, ...], Profile]:
    """Crossings and profile that agree with each other.

    A ramp down to a road or under a neighbour deepens the conduit beside it too: a service that it
    would come too near to on its way over is passed under.
    """
    while True:
        line = profile(points, model, passed, depths)
        drawn = tuple(_as_drawn(c, line, depths.outer) for c in passed)
        near = [bool(d.over) and d.gap is not None and d.gap * ALMOST_ONE < d.asked for d in drawn]
        if not any(near):
            return drawn, line
        passed = tuple(_under(c) if n else c for c, n in zip(passed, near, strict=True))


def _as_drawn(c: Crossing, line: Profile, outer: float) -> Crossing:
    """With the depth and the gap that the profile leaves over the width of the service."""
    conduit = float(np.interp(c.at, line.at, line.top))
    if c.top is None:
        return replace(c, conduit=conduit)
    half = _half(c)
    ends = np.clip([c.at - half, c.at, c.at + half], line.at[0], line.at[-1])
    tops = np.concatenate([np.interp(ends, line.at, line.top),
                           line.top[np.abs(line.at - c.at) <= half]])  # fmt: skip
    gap = c.top - float(tops.max()) - outer if c.over else float(tops.min()) - c.top - c.width
    return replace(c, conduit=conduit, gap=gap)


def _under(c: Crossing) -> Crossing:
    assert c.top is not None
    return replace(c, over=False, conduit=max(c.conduit, c.top + c.width + c.asked))


def _deepest(at: Array, wanted: list[tuple[float, float, float]]) -> Array:
    found = np.zeros(len(at))
    for a, b, deep in wanted:
        found = np.where((at >= a - 1e-6) & (at <= b + 1e-6), np.maximum(found, deep), found)
    return found


def kicks(p: Profile) -> list[Bend]:
    """Bends up and down where the conduit changes its depth; the ground's own lie is followed."""
    slope = np.arctan(np.diff(-p.top) / np.maximum(np.diff(p.at), 1e-9))
    change = np.diff(slope)
    real = np.flatnonzero(np.abs(change) > 1e-3)
    return [
        Bend(float(p.at[i + 1]), float(abs(change[i])), "up" if change[i] > 0 else "down")
        for i in real
    ]
