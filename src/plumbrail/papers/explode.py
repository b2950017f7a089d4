"""From recorded items to plain marks in page millimetres, for writers that draw pages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import atan2, cos, degrees, hypot, radians, sin

from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import (
    Arc,
    Circle,
    Dimension,
    Hatch,
    Item,
    Line,
    Point,
    Polyline,
    Sheet,
    Text,
    View,
)

_TICK = 1.2
_BEYOND = 1.2
_ABOVE = 0.9


def on_page(sheet: Sheet) -> tuple[Item, ...]:
    """Every item in page millimetres, dimensions taken apart; text last so that it stays clear."""
    marks = [m for view in sheet.views for item in view.items for m in plain(moved(item, view))]
    marks += [m for item in sheet.items for m in plain(item)]
    return tuple(sorted(marks, key=lambda m: isinstance(m, Text)))


def moved(item: Item, view: View) -> Item:
    """An item of a view, in page millimetres."""
    at, k = view.to_page, 1000.0 / view.scale
    match item:
        case Line(start, end):
            return replace(item, start=at(start), end=at(end))
        case Polyline(points) | Hatch(points):
            return replace(item, points=tuple(at(p) for p in points))
        case Circle(centre, radius) | Arc(centre, radius):
            return replace(item, centre=at(centre), radius=radius * k)
        case Text(place):
            return replace(item, at=at(place))
        case Dimension(start, end):
            return replace(item, start=at(start), end=at(end))


def plain(item: Item) -> Iterator[Item]:
    """The item itself, or the lines and the text of a dimension (in page millimetres)."""
    if not isinstance(item, Dimension):
        yield item
        return
    (x0, y0), (x1, y1) = item.start, item.end
    length = hypot(x1 - x0, y1 - y0)
    if length == 0:
        raise ValueError(f"dimension {item.text!r} has no length")
    u = ((x1 - x0) / length, (y1 - y0) / length)
    left = (-u[1], u[0])
    side = 1.0 if item.offset >= 0 else -1.0

    def shifted(p: Point, aside: float, along: float = 0.0) -> Point:
        return p[0] + aside * left[0] + along * u[0], p[1] + aside * left[1] + along * u[1]

    start, end = shifted(item.start, item.offset), shifted(item.end, item.offset)
    yield Line(start, end)
    for p, foot in ((start, item.start), (end, item.end)):
        if abs(item.offset) > item.gap:
            yield Line(shifted(foot, side * item.gap), shifted(p, side * _BEYOND))
        tick = (u[0] + left[0]) * _TICK * 0.7, (u[1] + left[1]) * _TICK * 0.7
        yield Line((p[0] - tick[0], p[1] - tick[1]), (p[0] + tick[0], p[1] + tick[1]), "medium")
    if item.text:
        yield _words(item, shifted(start, 0.0, 0.5 * length), degrees(atan2(u[1], u[0])), side)


def _words(item: Dimension, middle: Point, angle: float, side: float) -> Text:
    """Text above its line as read from the bottom or the right edge of the sheet."""
    if item.turned:
        return _turned(item, middle, angle, side)
    upright = _upright(angle)
    up = radians(upright + 90.0)
    at = middle[0] + _ABOVE * cos(up), middle[1] + _ABOVE * sin(up)
    return Text(at, item.text, item.height, "middle", upright, clear=True)


def _turned(item: Dimension, middle: Point, angle: float, side: float) -> Text:
    away = angle + 90.0 * side
    upright = _upright(away)
    flipped = abs((away - upright + 180.0) % 360.0 - 180.0) > 90.0
    out, down = radians(away), radians(upright - 90.0)
    reach = _BEYOND + 0.6
    at = (
        middle[0] + reach * cos(out) + 0.5 * item.height * cos(down),
        middle[1] + reach * sin(out) + 0.5 * item.height * sin(down),
    )
    return Text(at, item.text, item.height, "end" if flipped else "start", upright, clear=True)


def _upright(angle: float) -> float:
    """The same direction of a line, readable: from -90 (excluded) to 90 degrees."""
    angle = (angle + 180.0) % 360.0 - 180.0
    if angle > 90.0 + 1e-6:
        return angle - 180.0
    return angle + 180.0 if angle <= -90.0 + 1e-6 else angle


def dimension_fits(text: str, length: float, height: float) -> bool:
    """The text of a dimension finds room over its line of ``length`` mm on the page."""
    return width(text, height) + 2.0 <= length
