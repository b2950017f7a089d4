"""Marks of the site plan: array, things around it, buried services, distances, labels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

import numpy as np

from plumbrail.model.parts import Array
from plumbrail.papers.boxes import Box, text_box
from plumbrail.papers.explode import dimension_fits, moved, plain
from plumbrail.papers.layers import on
from plumbrail.papers.lettering import width
from plumbrail.papers.placing import Room
from plumbrail.papers.sheet import (
    Align,
    Circle,
    Dimension,
    Item,
    Line,
    Point,
    Polyline,
    Text,
    View,
)
from plumbrail.papers.site_plan_parts import Service, Site, Thing, offset_line, rough
from plumbrail.papers.wording import JobInfo, angle, bearing
from plumbrail.papers.words import say
from plumbrail.site.surroundings import Kind

_LETTER_EVERY = 22.0
_NAME_ROOM = 62.0
_MOST_SETBACKS = 4
_REACHES = ((0.0, 4.0, 10.0), (18.0, 28.0, 40.0), (54.0, 70.0, 88.0))
"""How far words go from what they name [mm]; they are shortened before they go further."""


@dataclass(frozen=True)
class Frame:
    """The part of the ground that is drawn [m]."""

    low: Point
    high: Point

    def clipped(self, points: tuple[Point, ...]) -> list[tuple[Point, Point]]:
        """The straight pieces of a joined line inside the frame."""
        found = [self._piece(a, b) for a, b in pairwise(points)]
        return [piece for piece in found if piece and piece[0] != piece[1]]

    def _piece(self, a: Point, b: Point) -> tuple[Point, Point] | None:
        first, last = 0.0, 1.0
        for k in (0, 1):
            step = b[k] - a[k]
            if step == 0:
                if not self.low[k] <= a[k] <= self.high[k]:
                    return None
                continue
            ends = sorted(((self.low[k] - a[k]) / step, (self.high[k] - a[k]) / step))
            first, last = max(first, ends[0]), min(last, ends[1])
        if first > last:
            return None
        dx, dy = b[0] - a[0], b[1] - a[1]
        return (a[0] + first * dx, a[1] + first * dy), (a[0] + last * dx, a[1] + last * dy)


def array_marks(site: Site, k: float) -> list[Item]:
    """Outline with its low edge heavy, module grid, holes, pins; ``k`` mm to the metre."""
    model, corners = site.model, [(float(x), float(y)) for x, y in site.outline]
    grid: list[Item] = [Polyline(tuple(corners), "medium", True, "paper")]
    for module in model.modules.corners:
        grid.append(Polyline(tuple((float(x), float(y)) for x, y in module[:, :2]), "thin", True))
    grid.append(Line(corners[0], corners[1], "heavy"))
    radius = max(0.5 * model.piers.diameter, 0.6 / k)
    holes = [Circle((float(x), float(y)), radius, "medium", "dark") for x, y in model.posts.xy]
    items = [*on("modules", grid), *on("piers", holes), *on("setting out", _pins(site, 2.0 / k, k))]
    return items + list(on("equipment", _spots(site, 1.3 / k)))


def _pins(site: Site, reach: float, k: float) -> list[Item]:
    items: list[Item] = []
    for x, y in site.pins:
        items += [Line((x - reach, y), (x + reach, y)), Line((x, y - reach), (x, y + reach)),
                  Circle((x, y), 0.9 / k, "medium", "dark")]  # fmt: skip
    return items


def _spots(site: Site, half: float) -> list[Item]:
    items: list[Item] = []
    for spot in site.spots:
        x, y = spot.at
        square = ((x - half, y - half), (x + half, y - half), (x + half, y + half),
                  (x - half, y + half))  # fmt: skip
        items += [Polyline(square, "medium", True, "paper"), Line(square[0], square[2]),
                  Line(square[1], square[3])]  # fmt: skip
    return items


def thing_marks(thing: Thing, k: float) -> list[Item]:
    """A building as a grey block, a tree as crown and stem, another array as a sloped sheet."""
    x, y = thing.centre
    if thing.kind is Kind.TREE:
        reach = min(1.6 / k, thing.radius)
        return [
            Circle((x, y), thing.radius, "medium"), Circle((x, y), 0.5 * reach, "thin", "dark"),
            Line((x - reach, y), (x + reach, y)), Line((x, y - reach), (x, y + reach)),
        ]  # fmt: skip
    corners = tuple((float(a), float(b)) for a, b in thing.corners)
    if thing.kind is Kind.BOX:
        return [Polyline(corners, "medium", True, "light")]
    return [Polyline(corners, "medium", True, "paper"), Line(corners[0], corners[1], "heavy"),
            Line(corners[0], corners[2]), Line(corners[1], corners[3])]  # fmt: skip


def service_marks(service: Service, frame: Frame) -> list[Item]:
    """The line of a service, and the edges of the zone that is dug by hand."""
    items: list[Item] = [Line(a, b, service.marked.pen) for a, b in frame.clipped(service.points)]
    for side in (1.0, -1.0) if service.tolerance else ():
        edge = offset_line(service.points, side * (service.tolerance or 0.0))
        items += [Line(a, b, "frost") for a, b in frame.clipped(edge)]
    return items


def setbacks(site: Site, job: JobInfo, view: View, room: Room) -> list[Dimension]:
    """Level distances from the array to what is nearest, where their words find room."""
    apart = [t for t in site.things if t.distance > 1e-6]
    nearest = sorted(apart, key=lambda t: t.distance)[:_MOST_SETBACKS]
    return [m for t in nearest for m in measured((t.from_array, t.near), job, view, room)]


def measured(ends: tuple[Point, Point], job: JobInfo, view: View, room: Room) -> list[Dimension]:
    """A level distance; without its words where they find no room, nothing where too short."""
    apart = hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])
    words, long = rough(job, apart), apart * 1000.0 / view.scale
    turned = not dimension_fits(words, long, 2.5)
    for start, end in (ends, ends[::-1]):
        line = Dimension(start, end, 0.0, words, turned=turned)
        said = [m for m in plain(moved(line, view)) if isinstance(m, Text)]
        if all(room.free(t) for t in said):
            room.boxes += [text_box(t) for t in said]
            return [line]
    return [Dimension(*ends, 0.0, "")] if long > 0.5 else []


class Labels:
    """Words of the site plan, each where the page is free."""

    def __init__(self, site: Site, job: JobInfo, view: View, room: Room) -> None:
        self.site, self.job, self.view, self.room = site, job, view, room
        self.k = 1000.0 / view.scale

    def array(self) -> list[Item]:
        """What the array is, in its middle or beside it."""
        plane, m = self.site.model.plane, len(self.site.model.modules.ids)
        azimuth = bearing(plane.azimuth)
        words = [say("Array: {n} modules, tilt {tilt}, faces {azimuth}", n=m,
                     tilt=angle(plane.tilt), azimuth=azimuth),
                 say("Array: {n} modules", n=m), say("Array")]  # fmt: skip
        low, high = self.site.outline.min(axis=0), self.site.outline.max(axis=0)
        half = (0.5 * float(high[0] - low[0]), 0.5 * float(high[1] - low[1]))
        at = (0.5 * float(high[0] + low[0]), 0.5 * float(high[1] + low[1]))
        return self.about([at], half, words, bold=True)

    def reserve_marks(self) -> None:
        """Keep words off holes, pins, boxes and stems."""
        for x, y in self.site.model.posts.xy:
            radius = max(0.5 * self.site.model.piers.diameter * self.k, 0.6)
            self.room.keep_clear(self.view.to_page((float(x), float(y))), radius)
        for at in (*self.site.pins, *(s.at for s in self.site.spots)):
            self.room.keep_clear(self.view.to_page(at), 2.0)
        for t in self.site.things:
            if t.kind is Kind.TREE:
                self.room.keep_clear(self.view.to_page(t.centre), 1.6)

    def reserve_things(self) -> None:
        """Keep words of other things off buildings, crowns and other arrays."""
        for t in self.site.things:
            if t.kind is Kind.TREE:
                self.room.keep_clear(self.view.to_page(t.centre), 0.8 * t.radius * self.k)
            elif len(t.corners) == 4:
                self._reserve(t.corners)

    def keep_off_line(self, start: Point, end: Point) -> None:
        """Keep words off a straight line."""
        a, b = np.array(self.view.to_page(start)), np.array(self.view.to_page(end))
        u = (b - a) / np.linalg.norm(b - a)
        v = 0.1 * np.array([-u[1], u[0]])
        p, q, r, s = ((float(c[0]), float(c[1])) for c in (a - v, b - v, b + v, a + v))
        axes = ((float(u[0]), float(u[1])), (float(-u[1]), float(u[0])))
        self.room.boxes.append(Box((p, q, r, s), axes))

    def reserve_array(self) -> Box:
        """Keep words off the array; what does so, to be taken away for the array's own words."""
        return self._reserve(self.site.outline)

    def _reserve(self, corners: Array) -> Box:
        a, b, c, d = (self.view.to_page((float(x), float(y))) for x, y in corners)
        u = np.subtract(b, a) / np.linalg.norm(np.subtract(b, a))
        v = np.subtract(d, a) / np.linalg.norm(np.subtract(d, a))
        axes = ((float(u[0]), float(u[1])), (float(v[0]), float(v[1])))
        found = Box((a, b, c, d), axes)
        self.room.boxes.append(found)
        return found

    def things(self) -> list[Item]:
        """Number, name and height of everything that stands around."""
        items: list[Item] = []
        for t in self.site.things:
            high = rough(self.job, t.height)
            name = f"{t.number} {t.name}"
            words = [say("{name}, {size} high", name=name, size=high), name, str(t.number)]
            items += self.about([t.centre], t.half, words)
        return items

    def spots(self) -> list[Item]:
        """Names of pins, boxes, equipment, and of the corner holes where they find room."""
        items: list[Item] = []
        spots = [(p, say("Pin {n}", n=i + 1)) for i, p in enumerate(self.site.pins)]
        spots += [(s.at, s.name) for s in self.site.spots]
        for at, name in spots:
            items += self.about([at], (1.5 / self.k, 1.5 / self.k), [name, name.split(" ")[0]])
        return items

    def letters(self, frame: Frame) -> list[Item]:
        """The letter of each service along its line."""
        return [
            m
            for service in self.site.services
            for a, b in frame.clipped(service.points)
            for m in self._letters(service, a, b)
        ]

    def services(self, frame: Frame) -> list[Item]:
        """The name of each service, once."""
        items: list[Item] = []
        for service in self.site.services:
            pieces = frame.clipped(service.points)
            if not pieces:
                continue
            a, b = max(pieces, key=lambda p: hypot(p[1][0] - p[0][0], p[1][1] - p[0][1]))
            along = [
                (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
                for share in (0.5, 0.2, 0.8, 0.35, 0.65, 0.05, 0.95)
            ]
            letter = service.marked.letter
            name = f"{letter}: {service.name}"
            words = [name, letter]
            if service.depth is not None:
                deep = rough(self.job, service.depth)
                words.insert(0, say("{name}, {size} deep", name=name, size=deep))
            items += self.about(along, (0.0, 0.0), words)
        return items

    def _letters(self, service: Service, a: Point, b: Point) -> list[Item]:
        (x0, y0), (x1, y1) = self.view.to_page(a), self.view.to_page(b)
        long = hypot(x1 - x0, y1 - y0)
        count = max(1, round(long / _LETTER_EVERY))
        items: list[Item] = []
        for i in range(count):
            share = (i + 0.5) / count
            at = (x0 + share * (x1 - x0), y0 + share * (y1 - y0) - 1.25)
            text = Text(at, service.marked.letter, align="middle", bold=True, clear=True)
            if self.room.free(text):
                self.room.boxes.append(text_box(text))
                items.append(text)
        return items

    def about(
        self, centres: Sequence[Point], half: Point, words: list[str], bold: bool = False
    ) -> list[Item]:
        """The first of the words that finds room in or about a thing; raises ValueError at last."""
        places = [self.view.to_page(c) for c in centres]
        size = (half[0] * self.k, half[1] * self.k)
        short = [w for w in words if width(w, 2.5, bold) <= _NAME_ROOM] or words[-1:]
        order = [(w, far) for reach in _REACHES for w in short for far in reach]
        for said, far in order:
            for text, tip in [t for p in places for t in _tries(p, size, said, far, bold)]:
                if self.room.free(text):
                    self.room.boxes.append(text_box(text))
                    led: list[Item] = [Line(*tip, layer="dimensions")] if far >= 4.0 else []
                    return [*led, text]
        raise ValueError(f"no room on the site plan for {words[-1]!r}; take a larger page")


def _tries(
    at: Point, half: Point, said: str, far: float, bold: bool
) -> list[tuple[Text, tuple[Point, Point]]]:
    """Places for words: inside if they fit, then on the four sides and at the corners."""
    (x, y), (wide, high) = at, half
    found: list[tuple[Text, tuple[Point, Point]]] = []
    if far == 0.0 and width(said, 2.5, bold) + 2.0 <= 2 * wide and high > 4.5:
        for lift in (2.2, -4.7, -1.25):  # off the stem in the middle
            text = Text((x, y + lift), said, align="middle", bold=bold, clear=True)
            found.append((text, (at, at)))
    gap = 1.4 + far
    sides: tuple[tuple[float, float, Align], ...] = (
        (0, -1, "middle"), (0, 1, "middle"), (1, 0, "start"), (-1, 0, "end"),
        (1, 1, "start"), (1, -1, "start"), (-1, 1, "end"), (-1, -1, "end"),
    )  # fmt: skip
    for sx, sy, align in sides:
        spot = (x + sx * (wide + gap), y + sy * (high + gap) - 1.25 + sy * 1.25)
        edge = (x + sx * wide, y + sy * high)
        tip = (x + sx * (wide + gap - 0.6), y + sy * (high + gap - 0.6))
        found.append((Text(spot, said, align=align, bold=bold, clear=True), (edge, tip)))
    return found
