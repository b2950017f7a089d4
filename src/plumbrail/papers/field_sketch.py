"""The sketch of the field sheet: the frame seen from above, and where each reading is taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from plumbrail.notebook.entries import Kind
from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import Align, Circle, Item, Line, Point, Polyline, Text
from plumbrail.papers.words import say
from plumbrail.truing.parts import Array, Wanted
from plumbrail.truing.points import Place, Points

PITCH = 17.0
"""Least distance of stations on paper [mm]."""
HEIGHT = 66.0
"""Least height of a strip [mm]."""
MOST = 105.0
_BASE = (4.2, -5.2)
_OVER = 11.0
_SIDE = 30.0
_TAPED = (Kind.TAPE, Kind.LEVEL_TAPE, Kind.DIAGONAL)
_STRINGS = (Kind.STRING_SIDE, Kind.STRING_HEIGHT)


@dataclass(frozen=True)
class Sketch:
    """Stations ``first`` to ``last`` (from 0), not to scale."""

    points: Points
    wanted: Sequence[Wanted]
    first: int
    last: int
    height: float = HEIGHT

    def drawn(self, area: Area, top: float) -> list[Item]:
        """All marks, downward from ``top`` [mm]."""
        place = self._places(area, top)
        items = self._beams(place, self._strip(place, area))
        for w in self.wanted:
            items += self._reading(w, place, self._strip(place, area))
        return items + self._points(place, area)

    def _strip(self, place: Array, area: Area) -> Area:
        """Lines to other strips are cut half way to the next station."""
        heads, half = self.points.of(Place.HEAD, 0), 0.45 * self._pitch(place)
        left = float(place[heads[self.first], 0]) - half if self.first else area.left
        whole = self.last == self.points.stations - 1
        right = area.right if whole else float(place[heads[self.last], 0]) + half
        return replace(area, left=left, right=right)

    def _places(self, area: Area, top: float) -> Array:
        """(points, 2) on the page; stations of other strips lie beyond the edges."""
        p = self.points
        left, right = area.left + _SIDE, area.right - _SIDE
        pitch = min((right - left) / max(self.last - self.first, 1), 60.0)
        spare = 0.5 * (right - left - pitch * (self.last - self.first))
        back, front = top - 13.0, top - self.height + 24.0
        found = np.zeros((len(p.ids), 2))
        for i in range(len(p.ids)):
            row, y = int(p.row[i]), (front, back)[max(int(p.row[i]), 0)]
            x = left + spare + pitch * (int(p.station[i]) - 1 - self.first)
            match Place(int(p.place[i])):
                case Place.HEAD:
                    found[i] = x, y
                case Place.BASE:
                    found[i] = x + _BASE[0], y + _BASE[1]
                case Place.END:
                    side = p.ids[i].endswith("right")
                    edge = (p.stations - 1 if side else 0) - self.first
                    found[i] = left + spare + pitch * edge + (_OVER if side else -_OVER), y
                case _:
                    right_pin = p.planned[i, 0] > p.planned[p.of(Place.HEAD), 0].mean()
                    edge = (p.stations - 1 if right_pin else 0) - self.first
                    behind = p.planned[i, 1] > p.planned[p.of(Place.HEAD), 1].mean() and row < 0
                    y = top - 4.0 if behind else top - self.height + 7.0
                    found[i] = (
                        left + spare + pitch * edge + (_OVER + 1.0) * (1 if right_pin else -1),
                        y,
                    )
        return found

    def _cut(self, a: Point, b: Point, area: Area) -> tuple[Point, Point] | None:
        """What of a line lies inside the strip."""
        low, high = area.left + 2.0, area.right - 2.0
        (x0, y0), (x1, y1) = sorted((a, b))
        if x1 < low or x0 > high:
            return None

        def at(x: float) -> Point:
            return x, y0 + (y1 - y0) * (x - x0) / (x1 - x0)

        start = at(low) if x0 < low else (x0, y0)
        return start, at(high) if x1 > high else (x1, y1)

    def _line(self, a: Point, b: Point, area: Area, pen: str) -> list[Item]:
        cut = self._cut(a, b, area)
        return [Line(*cut, pen)] if cut else []

    def _beams(self, place: Array, area: Area) -> list[Item]:
        ends = self.points.of(Place.END)
        pairs = ((ends[0], ends[1]), (ends[2], ends[3]))
        return [
            m for a, b in pairs for m in self._line(_at(place, a), _at(place, b), area, "heavy")
        ]

    def _here(self, i: int) -> bool:
        """A point belongs to this strip."""
        p, station = self.points, int(self.points.station[i]) - 1
        match Place(int(p.place[i])):
            case Place.HEAD | Place.BASE:
                return self.first <= station <= self.last
            case Place.MARK:
                return False
        right = p.planned[i, 0] > p.planned[p.of(Place.HEAD), 0].mean()
        return self.last == p.stations - 1 if right else self.first == 0

    def _known(self, *names: str) -> list[int]:
        return [self.points.ids.index(n) for n in names if n in self.points.ids]

    def _reading(self, w: Wanted, place: Array, area: Area) -> list[Item]:
        ends = [_at(place, i) for i in self._known(w.start, w.end)]
        if w.kind in (Kind.ROD, Kind.PLUMB):
            here = [_at(place, i) for i in self._known(w.start) if self._here(i)]
            return [m for p in here for m in (_rod(p) if w.kind is Kind.ROD else _plumb(p))]
        if len(ends) < 2:
            return []
        a, b = ends
        if w.kind is Kind.TILT:
            return self._line((a[0] - 1.6, a[1]), (b[0] - 1.6, b[1]), area, "centre")
        if w.kind in _STRINGS:
            up = (0.0, 2.2)
            return self._line(_moved(a, up), _moved(b, up), area, "hidden")
        if w.kind in _TAPED and abs(a[1] - b[1]) < 1e-6 and abs(a[0] - b[0]) > 1e-6:
            whole = abs(a[0] - b[0]) > 1.5 * self._pitch(place)
            down = (0.0, -2.6 if not whole else -3.9)
            return self._line(_moved(a, down), _moved(b, down), area, "thin")
        return self._line(a, b, area, "thin")

    def _pitch(self, place: Array) -> float:
        heads = self.points.of(Place.HEAD, 0)
        return float(place[heads[1], 0] - place[heads[0], 0])

    def _points(self, place: Array, area: Area) -> list[Item]:
        items: list[Item] = []
        p = self.points
        for i, name in enumerate(p.ids):
            x, y = _at(place, i)
            if not self._here(i):
                continue
            back = int(p.row[i]) == 1
            match Place(int(p.place[i])):
                case Place.HEAD:
                    items.append(Circle((x, y), 1.3, "medium", "paper"))
                    at = (x, y + 6.6) if back else (x - 3.0, y - 6.6)
                    items.append(Text(at, name, 3.0, "middle" if back else "end", bold=True,
                                      clear=True))  # fmt: skip
                case Place.BASE:
                    items.append(_square((x, y), 1.1))
                case Place.PIN:
                    items.append(Polyline(((x - 1.6, y + 1.6), (x + 1.6, y + 1.6), (x, y - 1.6)),
                                          "medium", True, "dark"))  # fmt: skip
                    left = x < 0.5 * (area.left + area.right)
                    align: Align = "end" if left else "start"
                    at = (x + (-3 if left else 3), y - 3.2)
                    items.append(Text(at, name, 2.5, align, bold=True, clear=True))
        return items


def key(left: float, low: float) -> list[Item]:
    """What the marks of the sketch mean, in one line."""
    y, items, x = low + 1.25, [], left
    for words, room, marks in (
        (say("head: beam over the post"), 4.6, [Circle((2.0, 0.0), 1.3, "medium", "paper")]),
        (say("base: post at grade"), 4.6, [_square((2.0, 0.0), 1.1)]),
        (say("rod"), 4.6, _rod((2.0, -2.0))),
        (say("plumb"), 4.6, _plumb((0.4, 0.6))),
        (say("tape"), 7.0, [Line((0.0, 0.0), (6.0, 0.0), "thin")]),
        (say("string"), 9.0, [Line((0.0, 0.0), (8.0, 0.0), "hidden")]),
        (say("tilt"), 11.0, [Line((0.0, 0.0), (10.0, 0.0), "centre")]),
    ):
        items += [_shift(m, (x, y)) for m in marks]
        items.append(Text((x + room, low), words))
        x += room + width(words, 2.5) + 5.0
    return items


def _at(place: Array, i: int) -> Point:
    return float(place[i, 0]), float(place[i, 1])


def _moved(p: Point, by: Point) -> Point:
    return p[0] + by[0], p[1] + by[1]


def _square(p: Point, half: float) -> Polyline:
    x, y = p
    corners = ((x - half, y - half), (x + half, y - half), (x + half, y + half),
               (x - half, y + half))  # fmt: skip
    return Polyline(corners, "medium", True, "paper")


def _rod(p: Point) -> list[Item]:
    """A staff standing on the point."""
    x, y = p
    return [Line((x, y), (x, y + 4.4), "medium"), Line((x - 0.9, y + 4.4), (x + 0.9, y + 4.4),
            "medium"), Line((x - 0.6, y + 3.2), (x + 0.6, y + 3.2), "thin")]  # fmt: skip


def _plumb(p: Point) -> list[Item]:
    """A small cross right of the point."""
    x, y = p[0] + 2.4, p[1]
    return [
        Line((x - 0.8, y - 1.4), (x + 0.8, y + 0.2)),
        Line((x - 0.8, y + 0.2), (x + 0.8, y - 1.4)),
    ]


def _shift(item: Item, by: Point) -> Item:
    match item:
        case Line(a, b):
            return replace(item, start=_moved(a, by), end=_moved(b, by))
        case Circle(c):
            return replace(item, centre=_moved(c, by))
        case Polyline(points):
            return replace(item, points=tuple(_moved(p, by) for p in points))
    return item
