"""What a site plan shows beside the model, and the distances on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.model.outline import array_outline
from plumbrail.model.parts import Array, Model
from plumbrail.papers.marking_colours import Marking, marking
from plumbrail.papers.sheet import Point
from plumbrail.papers.wording import JobInfo
from plumbrail.site.grounds import Area, Grounds
from plumbrail.site.surroundings import Kind, Surroundings
from plumbrail.units import show


@dataclass(frozen=True)
class Service:
    """Something buried, as its marks run over the ground, in local axes [m]."""

    name: str
    kind: str
    """One of the kinds of :mod:`plumbrail.papers.marking_colours`."""
    points: tuple[Point, ...]
    tolerance: float | None = None
    """Half the width of the zone about its line that is dug by hand, its own width and the doubt
    about its place included; None: not said."""
    depth: float | None = None
    """Of its top below the ground; None: not known."""
    located_by: str = ""
    """How its place is known; empty: not said."""
    sure: bool = True
    """Its place was found on the ground."""

    def __post_init__(self) -> None:
        if len(self.points) < 2 or all(a == b for a, b in pairwise(self.points)):
            raise RangeError(f"buried service {self.name!r} needs two points or more, apart")
        if self.tolerance is not None and self.tolerance < 0:
            raise RangeError(f"buried service {self.name!r}: tolerance must be 0 or more")
        marking(self.kind)

    @property
    def marked(self) -> Marking:
        """How it is marked."""
        return marking(self.kind)


@dataclass(frozen=True)
class Spot:
    """A thing with a place: a combiner box, the equipment wall."""

    name: str
    at: Point


@dataclass(frozen=True)
class TrenchLine:
    """The route of the trench in plan, in local axes [m]."""

    machine: tuple[tuple[Point, ...], ...]
    """Joined lines that a machine digs."""
    by_hand: tuple[tuple[Point, ...], ...]
    """Joined lines that are dug by hand, from the array on."""
    crossings: tuple[tuple[str, Point], ...]
    """Number and place."""
    length: float
    hand_length: float


@dataclass(frozen=True)
class Site:
    """What is drawn. Lengths [m], places in local axes."""

    model: Model
    around: Surroundings
    pins: tuple[Point, ...] = ()
    services: tuple[Service, ...] = ()
    spots: tuple[Spot, ...] = ()
    """Combiner boxes and equipment, as far as their places are known."""
    run_length: float | None = None
    """Of the conduit to equipment whose place is not known."""
    grounds: Grounds | None = None
    """Boundary and areas; None: nobody stated them."""
    trench: TrenchLine | None = None
    """None: no route was laid."""

    @property
    def outline(self) -> Array:
        """(4, 2) the array in plan: low left, low right, high right, high left."""
        return array_outline(self.model.plane)

    @property
    def areas(self) -> tuple[Area, ...]:
        """Easements, paving, rock and others."""
        return () if self.grounds is None else self.grounds.areas

    @property
    def things(self) -> tuple[Thing, ...]:
        """All that stands around, but not the horizon."""
        kinds = self.around.kinds
        return tuple(
            _thing(self, k) for k in range(len(kinds)) if kinds[k] is not Kind.HORIZON
        )  # fmt: skip


@dataclass(frozen=True)
class Thing:
    """Something that stands around the array."""

    number: int
    name: str
    kind: Kind
    corners: Array
    """(n, 2) convex; of a tree, not used for its distance."""
    centre: Point
    radius: float
    """Of a crown; 0 of anything else."""
    height: float
    """Of its top over the ground under it."""
    from_array: Point
    """Where on the array's outline it is nearest."""
    near: Point
    """Its own nearest point."""
    distance: float
    """Level, from the outline of the array; 0 where they overlap in plan."""

    @property
    def half(self) -> Point:
        """Half its width and height in plan."""
        if self.radius:
            return self.radius, self.radius
        low, high = self.corners.min(axis=0), self.corners.max(axis=0)
        return 0.5 * float(high[0] - low[0]), 0.5 * float(high[1] - low[1])


def _thing(site: Site, k: int) -> Thing:
    around, (kind, i) = site.around, site.around.place(k)
    corners, radius = around.footprint(k), 0.0
    stands = corners.mean(axis=0)
    centre = stands
    if kind is Kind.TREE:
        stands = centre = around.crowns.stem[i]
        radius = float(around.crowns.radius[i])
    elif kind is Kind.SHEET:
        stands = around.sheets.corner[i, :2] + 0.5 * around.sheets.along[i, :2]
    top = around.top(k) - float(site.model.terrain.height(stands[0], stands[1]))
    a, b = _nearest(site.outline, centre[None] if radius else corners)
    away = hypot(b[0] - a[0], b[1] - a[1])
    if radius and away > 0:
        b = (b[0] - radius * (b[0] - a[0]) / away, b[1] - radius * (b[1] - a[1]) / away)
    return Thing(k + 1, around.names[k], kind, corners, _pair(centre), radius, top, a, b,
                 max(away - radius, 0.0))  # fmt: skip


def _nearest(one: Array, other: Array) -> tuple[Point, Point]:
    """Nearest points of two convex outlines (corners anticlockwise); equal where they overlap."""
    if len(other) > 1 and _overlap(one, other):
        return _pair(other.mean(axis=0)), _pair(other.mean(axis=0))
    if len(other) == 1 and _inside(other[0], one):
        return _pair(other[0]), _pair(other[0])
    found = [(foot(_pair(p), edge), _pair(p)) for p in other for edge in _edges(one)]
    if len(other) > 1:
        found += [(_pair(p), foot(_pair(p), edge)) for p in one for edge in _edges(other)]
    return min(found, key=lambda pair: hypot(pair[0][0] - pair[1][0], pair[0][1] - pair[1][1]))


def _edges(corners: Array) -> list[tuple[Point, Point]]:
    return [(_pair(a), _pair(b)) for a, b in pairwise([*corners, corners[0]])]


def _overlap(one: Array, other: Array) -> bool:
    """Two convex polygons share area: no edge of either parts them."""
    for polygon in (one, other):
        for a, b in _edges(polygon):
            normal = np.array([b[1] - a[1], a[0] - b[0]])
            first, second = one @ normal, other @ normal
            if first.max() <= second.min() or second.max() <= first.min():
                return False
    return True


def _inside(point: Array, corners: Array) -> bool:
    sides = [
        (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
        for a, b in _edges(corners)
    ]
    return min(sides) >= 0 or max(sides) <= 0


def foot(point: Point, edge: tuple[Point, Point]) -> Point:
    """The point of a straight edge nearest to a point."""
    (x0, y0), (x1, y1) = edge
    dx, dy = x1 - x0, y1 - y0
    long = dx * dx + dy * dy
    share = 0.0 if long == 0 else ((point[0] - x0) * dx + (point[1] - y0) * dy) / long
    share = min(max(share, 0.0), 1.0)
    return x0 + share * dx, y0 + share * dy


def nearest_hole(model: Model, service: Service) -> tuple[str, float]:
    """The hole nearest to a service, and the level distance of its edge from the marks [m].

    Below 0 the marks run over the hole.
    """
    found = []
    for name, place in zip(model.posts.ids, model.posts.xy, strict=True):
        away = min(_apart(_pair(place), edge) for edge in pairwise(service.points))
        found.append((away - 0.5 * model.piers.diameter, name))
    distance, name = min(found)
    return name, distance


def _apart(point: Point, edge: tuple[Point, Point]) -> float:
    at = foot(point, edge)
    return hypot(at[0] - point[0], at[1] - point[1])


def offset_line(points: Sequence[Point], by: float) -> tuple[Point, ...]:
    """A joined line ``by`` to the left of another one; sharp corners are cut at three times it."""
    corners = [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
    normals = []
    for a, b in pairwise(corners):
        long = hypot(b[0] - a[0], b[1] - a[1])
        normals.append(((a[1] - b[1]) / long, (b[0] - a[0]) / long))
    found = []
    for p, before, after in zip(
        corners, [normals[0], *normals], [*normals, normals[-1]], strict=True
    ):
        mx, my = before[0] + after[0], before[1] + after[1]
        scale = 2.0 / max(mx * mx + my * my, 4.0 / 9.0)
        found.append((p[0] + by * scale * mx, p[1] + by * scale * my))
    return tuple(found)


def rough(job: JobInfo, length: float) -> str:
    """A length no finer than a site plan deserves: to 1 in, or to 10 mm with its unit."""
    if job.units == "us":
        return show(length, "length", "us", 1).replace(" ", "\u00a0")
    return f"{10 * round(100.0 * length):d}\u00a0mm"


def _pair(point: Array) -> Point:
    return float(point[0]), float(point[1])
