"""What is buried and where the property ends, in local axes: docs/method/grounds.md."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.plan.grounds import Easement, Region
from plumbrail.plan.models import Boundary, Locate, Service, Site
from plumbrail.site.flat import inside, room_inside, to_line

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Buried:
    """Buried services. Axis: service."""

    names: tuple[str, ...]
    kinds: tuple[str, ...]
    lines: tuple[Array, ...]
    """(points, 2) each."""
    width: Array
    """(n,) outer; 0 where it is not known [m]."""
    tolerance: Array
    """(n,) zone dug by hand, beyond the outer edge to each side [m]."""
    uncertainty: Array
    """(n,) half width of where the line may really lie [m]."""
    depth: Array
    """(n,) of the top; NaN where it is not known [m]."""
    sure: Mask
    """(n,) found on the ground, not only on paper or in memory."""
    plan: tuple[Service, ...]
    """As the plan says them."""

    @property
    def zone(self) -> Array:
        """(n,) half width of the zone that is dug by hand, from the line [m]."""
        return 0.5 * self.width + self.tolerance + self.uncertainty

    def away(self, points: ArrayLike) -> Array:
        """(p, n) level distance of each point from each line [m]."""
        p = np.asarray(points, dtype=float).reshape(-1, 2)
        found = [to_line(p, line) for line in self.lines]
        return np.stack(found, axis=-1) if found else np.zeros((len(p), 0))


@dataclass(frozen=True)
class Area:
    """An easement or a region of the ground."""

    name: str
    kind: str
    """easement, paving, rock, roots or keep out."""
    outline: Array
    """(corners, 2)"""
    dig_factor: float
    """Cost of a trench there over one in open ground; infinite where nobody digs."""

    def meets(self, points: ArrayLike, radius: float) -> list[int]:
        """Which circles about points reach into it."""
        return [int(k) for k in np.flatnonzero(room_inside(points, self.outline) > -radius)]

    @property
    def built_on(self) -> bool:
        """Whether anything may be built there."""
        return self.kind not in {"easement", "keep out"}


@dataclass(frozen=True)
class Grounds:
    """All of it."""

    services: Buried
    locate: Locate | None
    boundary: Boundary | None
    areas: tuple[Area, ...]
    """Easements, then regions."""

    @property
    def property_line(self) -> Array | None:
        """(corners, 2) of the boundary; None: not stated."""
        return None if self.boundary is None else np.array(self.boundary.points, dtype=float)

    def areas_at(self, point: ArrayLike) -> tuple[Area, ...]:
        """The areas that a place lies in."""
        return tuple(a for a in self.areas if bool(inside(point, a.outline)[0]))


def grounds(site: Site) -> Grounds:
    """What a plan says of the ground."""
    stated: tuple[Easement | Region, ...] = (*site.easements, *site.regions)
    areas = tuple(_area(a) for a in stated)
    return Grounds(_buried(site.services), site.locate, site.boundary, areas)


def _buried(plan: tuple[Service, ...]) -> Buried:
    def each(values: list[float]) -> Array:
        return np.array(values, dtype=float)

    return Buried(
        tuple(s.name for s in plan), tuple(s.kind for s in plan),
        tuple(np.array(s.points, dtype=float) for s in plan),
        each([s.diameter or 0.0 for s in plan]), each([s.by_hand for s in plan]),
        each([s.within for s in plan]),
        each([np.nan if s.depth is None else s.depth for s in plan]),
        np.array([s.sure for s in plan], dtype=bool), plan,
    )  # fmt: skip


def _area(plan: Easement | Region) -> Area:
    outline = np.array(plan.points, dtype=float)
    if isinstance(plan, Easement):
        return Area(plan.name, "easement", outline, np.inf)
    return Area(plan.name, plan.kind, outline,
                np.inf if plan.dig_factor is None else plan.dig_factor)  # fmt: skip
