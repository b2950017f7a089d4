"""Symbols of the one-line diagram, in millimetres of the page, all on a level line.

Their forms are those that ANSI/IEEE 315 and IEC 60617 share (from memory): cells as long and short
strokes with arrows of light, a fuse as a box on its line, an open blade, three strokes for ground.
"""

from __future__ import annotations

from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import Circle, Item, Line, Point, Polyline, Text
from plumbrail.papers.words import say

CELLS, FUSE, SWITCH = 5.0, 4.0, 5.0
"""Half the length that a symbol takes of its line."""


def cells(at: Point) -> list[Item]:
    """Modules in series: cells with the light that falls on them."""
    x, y = at
    strokes: list[Item] = [
        Line((x + dx, y - h), (x + dx, y + h), pen)
        for dx, h, pen in ((-1.5, 2.4, "thin"), (-0.5, 1.2, "heavy"), (0.5, 2.4, "thin"),
                           (1.5, 1.2, "heavy"))
    ]  # fmt: skip
    for dx in (-3.4, -1.4):
        tip, tail = (x + dx + 1.2, y + 3.0), (x + dx - 0.8, y + 5.0)
        strokes += [Line(tail, tip), Line(tip, (tip[0] - 0.2, tip[1] + 1.1)),
                    Line(tip, (tip[0] - 1.1, tip[1] + 0.2))]  # fmt: skip
    return [Line((x - CELLS, y), (x - 1.5, y)), Line((x + 1.5, y), (x + CELLS, y)), *strokes]


def fuse(at: Point) -> list[Item]:
    """A fuse, or another device that opens by itself."""
    x, y = at
    corners = ((x - 2.5, y - 1.0), (x + 2.5, y - 1.0), (x + 2.5, y + 1.0), (x - 2.5, y + 1.0))
    return [Polyline(corners, "medium", True, "paper"), Line((x - FUSE, y), (x + FUSE, y))]


def switch(at: Point) -> list[Item]:
    """A switch, drawn open."""
    x, y = at
    return [
        Line((x - SWITCH, y), (x - 2.6, y)), Line((x + 2.6, y), (x + SWITCH, y)),
        Line((x - 2.6, y), (x + 2.0, y + 2.6), "medium"),
        Circle((x - 2.6, y), 0.5, "thin", "dark"), Circle((x + 2.6, y), 0.5, "thin", "dark"),
    ]  # fmt: skip


def ground(at: Point) -> list[Item]:
    """Ground, under a point."""
    x, y = at
    return [
        Line((x, y), (x, y - 1.5)),
        *(Line((x - w, y - 1.5 - d), (x + w, y - 1.5 - d), "medium")
          for w, d in ((2.6, 0.0), (1.7, 1.0), (0.8, 2.0))),
    ]  # fmt: skip


def tube(x: float, low: float, high: float) -> list[Item]:
    """A conduit round the lines between two heights."""
    corners = ((x - 1.8, low - 2.0), (x + 1.8, low - 2.0), (x + 1.8, high + 2.0),
               (x - 1.8, high + 2.0))  # fmt: skip
    return [Polyline(corners, "hidden", True)]


def bond(start: Point, end: Point) -> Item:
    """A grounding conductor."""
    return Line(start, end, "centre")


LEGEND_HEIGHT = 9.0


def legend(left: float, right: float, low: float) -> list[Item]:
    """The symbols with their words, on one line."""
    y = low + 2.6
    made: list[tuple[list[Item], float, str]] = []
    for draw, half, words in (
        (cells, CELLS, say("modules in series")), (fuse, FUSE, say("fuse or device")),
        (switch, SWITCH, say("switch")),
    ):  # fmt: skip
        made.append((draw((half, y)), 2 * half, words))
    made.append((ground((3.0, y + 2.0)), 6.0, say("ground")))
    made.append((tube(2.0, y, y), 4.0, say("conduit")))
    made.append(([bond((0.0, y), (10.0, y))], 10.0, say("grounding conductor")))
    used = sum(w + 1.6 + width(words, 2.5) for _, w, words in made)
    gap = (right - left - used) / (len(made) - 1)
    items: list[Item] = [Line((left, low + LEGEND_HEIGHT), (right, low + LEGEND_HEIGHT))]
    x = left
    for symbol, wide, words in made:
        items += [_shifted(i, x) for i in symbol]
        items.append(Text((x + wide + 1.6, y - 1.2), words))
        x += wide + 1.6 + width(words, 2.5) + gap
    return items


def _shifted(item: Item, by: float) -> Item:
    match item:
        case Line(start, end, pen):
            return Line((start[0] + by, start[1]), (end[0] + by, end[1]), pen, item.layer)
        case Polyline(points, pen, closed, fill):
            moved = tuple((x + by, y) for x, y in points)
            return Polyline(moved, pen, closed, fill, item.layer)
        case Circle(centre, radius, pen, fill):
            return Circle((centre[0] + by, centre[1]), radius, pen, fill, item.layer)
    return item
