"""Where text lies on a page: what overlaps, what runs off, what is too small."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

from plumbrail.papers.explode import on_page
from plumbrail.papers.lettering import DESCENT, width
from plumbrail.papers.sheet import Point, Sheet, Text

_SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the page, perhaps turned."""

    corners: tuple[Point, Point, Point, Point]
    axes: tuple[Point, Point]

    def meets(self, other: Box, slack: float = 0.05) -> bool:
        """True when the two share more than ``slack`` mm in every direction."""
        for axis in self.axes + other.axes:
            a, b = _span(self.corners, axis), _span(other.corners, axis)
            if a[1] - slack <= b[0] or b[1] - slack <= a[0]:
                return False
        return True


def _span(corners: tuple[Point, ...], axis: Point) -> Point:
    along = [x * axis[0] + y * axis[1] for x, y in corners]
    return min(along), max(along)


def text_box(text: Text) -> Box:
    """The box of a text in page millimetres, from descender to capital."""
    wide = width(text.text, text.height, text.bold)
    left = -_SHIFT[text.align] * wide
    u = (cos(radians(text.angle)), sin(radians(text.angle)))
    v = (-u[1], u[0])
    low, high = -DESCENT * text.height, text.height
    spots = ((left, low), (left + wide, low), (left + wide, high), (left, high))
    x, y = text.at
    a, b, c, d = ((x + p * u[0] + q * v[0], y + p * u[1] + q * v[1]) for p, q in spots)
    return Box((a, b, c, d), (u, v))


def texts(sheet: Sheet) -> tuple[Text, ...]:
    """Every text of a sheet, those of dimensions too, in page millimetres."""
    return tuple(m for m in on_page(sheet) if isinstance(m, Text))


def overlaps(sheet: Sheet) -> list[tuple[str, str]]:
    """Pairs of texts that overlap."""
    found = [(t.text, text_box(t)) for t in texts(sheet)]
    return [
        (a, b)
        for i, (a, box) in enumerate(found)
        for b, other in found[i + 1 :]
        if box.meets(other)
    ]


def off_page(sheet: Sheet, margin: float = 10.0) -> list[str]:
    """Texts that come nearer than ``margin`` mm to the edge of the paper."""
    right, top = sheet.page.width - margin, sheet.page.height - margin
    return [
        t.text
        for t in texts(sheet)
        if any(not (margin <= x <= right and margin <= y <= top) for x, y in text_box(t).corners)
    ]
