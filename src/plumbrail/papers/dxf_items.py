"""Recorded items as CAD entities, in a view at real size or on a page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, pi, radians, sin
from typing import TYPE_CHECKING, Any

import numpy as np

from plumbrail.papers.dxf_setup import BLACK, BOLD, PLAIN, Units, dimension_style, weight
from plumbrail.papers.dxf_text import formatted_words, plain_words
from plumbrail.papers.explode import moved, plain
from plumbrail.papers.layers import layer_of, pen_weight
from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import (
    DASHES,
    Arc,
    Circle,
    Dimension,
    Fill,
    Hatch,
    Item,
    Line,
    Point,
    Polyline,
    Text,
    View,
)

if TYPE_CHECKING:
    from ezdxf.layouts.base import BaseLayout

_LIGHT = 254
_DOT = 0.0
_PATTERNS = {
    # angle, first point, step to the next line, dashes and gaps [mm on paper]
    "ground": [[45.0, (0.0, 0.0), (-2.1213, 2.1213), []]],
    "concrete": [
        [0.0, (0.6, 0.7), (0.0, 3.0), [_DOT, -3.0]],
        [0.0, (2.1, 1.6), (0.0, 3.0), [_DOT, -3.0]],
        [0.0, (1.0, 2.3), (0.0, 3.0), [0.6, -2.4]],
        [60.0, (1.0, 2.3), (0.0, 3.0), [0.5, -5.5]],
    ],
}
_ROUND = 48
_SIDES = {"start": ("LEFT", 7), "middle": ("CENTER", 8), "end": ("RIGHT", 9)}
"""Alignment on the base line of single-line and of multi-line text."""
_SHIFT = {"start": 0.5, "middle": 0.0, "end": -0.5}


@dataclass(frozen=True)
class Brush:
    """Draws items of one view, or of one page, into a layout."""

    layout: BaseLayout
    units: Units
    view: View | None
    """None for items in millimetres on the page."""
    shift: Point = (0.0, 0.0)
    """Where the zero of the view lies in the layout [drawing units]."""

    @property
    def k(self) -> float:
        """Drawing units to the unit of a coordinate."""
        return self.units.per_metre if self.view else 1.0

    @property
    def mm(self) -> float:
        """Drawing units to a millimetre on paper."""
        return self.view.scale * self.units.per_millimetre if self.view else 1.0

    def at(self, p: Point) -> Point:
        """A coordinate, in drawing units."""
        return self.shift[0] + self.k * p[0], self.shift[1] + self.k * p[1]

    def from_page(self, p: Point) -> Point:
        """A place in page millimetres, in drawing units."""
        x, y = self.view.origin if self.view else (0.0, 0.0)
        return self.shift[0] + self.mm * (p[0] - x), self.shift[1] + self.mm * (p[1] - y)

    def draw(self, item: Item) -> None:
        """Add the entities of an item; raises ValueError for an unknown layer."""
        match item:
            case Line():
                self.layout.add_line(self.at(item.start), self.at(item.end), _look(item))
            case Polyline():
                points = [self.at(p) for p in item.points]
                self._fill(item, points, item.fill)
                self.layout.add_lwpolyline(points, close=item.closed, dxfattribs=_look(item))
            case Circle():
                centre, r = self.at(item.centre), self.k * item.radius
                self._fill(item, list(_around(centre, r)), item.fill)
                self.layout.add_circle(centre, r, _look(item))
            case Arc():
                self.layout.add_arc(
                    self.at(item.centre), self.k * item.radius, item.first, item.last,
                    dxfattribs=_look(item),
                )  # fmt: skip
            case Hatch():
                self._hatch(item)
            case Text():
                self._text(item)
            case Dimension():
                self._dimension(item)

    def _fill(self, item: Item, points: list[Point], fill: Fill | None) -> None:
        if fill is None:
            return
        look = {"layer": layer_of(item).name}
        if fill == "paper":  # hides what lies behind, on paper and on a screen of any colour
            if all(np.ptp(points, axis=0)):
                self.layout.add_wipeout(points).dxf.layer = look["layer"]
            return
        hatch = self.layout.add_hatch(BLACK if fill == "dark" else _LIGHT, look)
        hatch.paths.add_polyline_path(points, is_closed=True)

    def _hatch(self, item: Hatch) -> None:
        hatch = self.layout.add_hatch(BLACK, {"layer": layer_of(item).name, "lineweight": 18})
        hatch.set_pattern_fill(
            item.pattern.upper(), BLACK, scale=self.mm, pattern_type=2,
            definition=_PATTERNS[item.pattern],
        )  # fmt: skip
        hatch.paths.add_polyline_path([self.at(p) for p in item.points], is_closed=True)

    def _text(self, item: Text) -> None:
        if not item.text.strip():
            return
        at, height = self.at(item.at), item.height * self.mm
        look: dict[str, Any] = {"layer": layer_of(item).name, "style": BOLD if item.bold else PLAIN}
        side, corner = _SIDES[item.align]
        if item.clear:
            look |= {"insert": at, "char_height": height, "attachment_point": corner,
                     "rotation": item.angle}  # fmt: skip
            words = self.layout.add_mtext(formatted_words(item.text), dxfattribs=look)
            words.set_bg_color("canvas", 1.1)
            return
        from ezdxf.enums import TextEntityAlignment

        one = self.layout.add_text(
            plain_words(item.text), height=height, rotation=item.angle, dxfattribs=look
        )
        one.set_placement(at, align=TextEntityAlignment[side])

    def _dimension(self, item: Dimension) -> None:
        """A linear dimension that says our words and measures the real length.

        The words stand where they stand on paper; a CAD program moves them when it is edited.
        """
        start, end = self.at(item.start), self.at(item.end)
        angle = degrees(atan2(end[1] - start[1], end[0] - start[0]))
        left, off = radians(angle + 90.0), item.offset * self.mm
        base = start[0] + off * cos(left), start[1] + off * sin(left)
        doc = self.layout.doc
        assert doc is not None
        ratio = self.view.scale if self.view else 1.0
        special: dict[str, Any] = {"dimexo": item.gap, "dimtxt": item.height}
        if item.turned:  # words beside their line, not on it
            special["dimtfill"] = 0
        if abs(item.offset) <= item.gap:
            special |= {"dimse1": 1, "dimse2": 1}
        words = self._words(item)
        drawn = self.layout.add_linear_dim(
            base, start, end,
            location=words and self.from_page(_middle(words)),
            text=formatted_words(item.text) if words else " ",
            angle=angle,
            text_rotation=words.angle if words and item.turned else None,
            dimstyle=dimension_style(doc, ratio, self.mm, self.units),
            override=special,
            dxfattribs={"layer": layer_of(item).name},
        )  # fmt: skip
        drawn.render()
        for part in drawn.dimension.get_geometry_block() or ():
            if part.dxf.layer == "0":
                part.dxf.layer = layer_of(item).name

    def _words(self, item: Dimension) -> Text | None:
        """The words of a dimension, in page millimetres."""
        placed = moved(item, self.view) if self.view else item
        return next((m for m in plain(placed) if isinstance(m, Text)), None)


def _look(item: Line | Polyline | Circle | Arc) -> dict[str, Any]:
    """Layer of an item, and what its pen does otherwise than the layer."""
    layer = layer_of(item)
    own: dict[str, Any] = {"layer": layer.name}
    if pen_weight(item.pen) != layer.weight:
        own["lineweight"] = weight(pen_weight(item.pen))
    linetype = item.pen if item.pen in DASHES else ""
    if linetype != layer.linetype:
        own["linetype"] = linetype or "Continuous"
    return own


def _middle(text: Text) -> Point:
    """Middle of the capitals of a text [mm]."""
    along = _SHIFT[text.align] * width(text.text, text.height, text.bold)
    a, up = radians(text.angle), 0.5 * text.height
    return (
        text.at[0] + along * cos(a) - up * sin(a), text.at[1] + along * sin(a) + up * cos(a)
    )  # fmt: skip


def _around(centre: Point, r: float) -> Iterator[Point]:
    for i in range(_ROUND):
        a = 2 * pi * i / _ROUND
        yield centre[0] + r * cos(a), centre[1] + r * sin(a)
