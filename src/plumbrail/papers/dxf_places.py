"""Where the views of a set of sheets lie in the model space of a CAD file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Literal

from plumbrail.papers.boxes import text_box
from plumbrail.papers.dxf_setup import UNITS
from plumbrail.papers.explode import moved, plain
from plumbrail.papers.sheet import Arc, Circle, Hatch, Line, Point, Polyline, Sheet, Text, View

_EDGE = 1.5
"""Paper left round what a viewport shows [mm]."""
_APART = 15.0
"""Paper between two views in the model space, at the smaller scale of the two [mm]."""
_STEP = {"us": 120.0, "metric": 1000.0}
"""Views are moved by whole steps: 10 feet, or one metre [drawing units]."""


@dataclass(frozen=True, slots=True)
class Window:
    """A rectangle on a page [mm]."""

    low: Point
    high: Point

    @property
    def size(self) -> Point:
        """Width and height [mm]."""
        return self.high[0] - self.low[0], self.high[1] - self.low[1]

    @property
    def middle(self) -> Point:
        """Its centre [mm]."""
        return 0.5 * (self.low[0] + self.high[0]), 0.5 * (self.low[1] + self.high[1])


@dataclass(frozen=True)
class Place:
    """A view, what it shows of the page, and where its zero lies in the model space."""

    sheet: int
    view: View
    window: Window
    shift: Point
    """[drawing units]; a coordinate of the view in metres, times units, plus this."""


def places(sheets: Sequence[Sheet], units: Literal["us", "metric"]) -> tuple[Place, ...]:
    """All views side by side, heights kept, each moved to the right by whole steps.

    The first view stays where it is, so that its coordinates are those of the model.
    """
    found: list[Place] = []
    free: float | None = None
    last = 0.0
    for i, sheet in enumerate(sheets):
        for view in sheet.views:
            mm = view.scale * UNITS[units].per_millimetre
            window = shown(view)
            left = (window.low[0] - view.origin[0]) * mm
            right = (window.high[0] - view.origin[0]) * mm
            shift = 0.0
            if free is not None:
                wanted = free + _APART * max(mm, last) - left
                shift = _STEP[units] * ceil(wanted / _STEP[units])
            free, last = shift + right, mm
            found.append(Place(i, view, window, (shift, 0.0)))
    return tuple(found)


def shown(view: View) -> Window:
    """What the items of a view cover on the page, and a little more."""
    points = [p for item in view.items for m in plain(moved(item, view)) for p in _corners(m)]
    points = points or [view.origin]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Window((min(xs) - _EDGE, min(ys) - _EDGE), (max(xs) + _EDGE, max(ys) + _EDGE))


def _corners(mark: object) -> Iterator[Point]:
    match mark:
        case Line(start, end):
            yield from (start, end)
        case Polyline(points) | Hatch(points):
            yield from points
        case Circle((x, y), radius) | Arc((x, y), radius):
            yield from ((x - radius, y - radius), (x + radius, y + radius))
        case Text():
            yield from text_box(mark).corners
