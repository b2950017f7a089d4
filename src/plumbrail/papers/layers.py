"""The layers of a drawing: a fixed list in plain words, with the line each is drawn with."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from plumbrail.papers.sheet import DASHES, PENS, Dimension, Hatch, Item, Text


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer and the pen of what is on it; an item's own pen goes before it."""

    name: str
    holds: str
    pen: str
    printed: bool = True

    @property
    def weight(self) -> float:
        """Width of its lines [mm]."""
        return pen_weight(self.pen)

    @property
    def linetype(self) -> str:
        """Name of its dash pattern, empty for solid lines."""
        return self.pen if self.pen in DASHES else ""


_LIST = (
    Layer("posts", "posts of the frame", "medium"),
    Layer("beams", "beams, sleeves and splices", "medium"),
    Layer("rails", "rails and their fixings", "medium"),
    Layer("braces", "braces", "medium"),
    Layer("modules", "modules, clamps and clamp zones", "medium"),
    Layer("piers", "holes and concrete piers", "medium"),
    Layer("ground", "surface of the ground", "medium"),
    Layer("frost line", "depth of frost", "frost"),
    Layer("setting out", "pins, base line, strings and diagonals", "base"),
    Layer("site", "boundaries, buildings, fences, contours", "thin"),
    Layer("setbacks", "distances to be kept from boundaries", "hidden"),
    Layer("obstacles", "trees and other things in the way or giving shade", "medium"),
    Layer("services", "buried services, as located", "heavy"),
    Layer("trenches", "trenches and conduits", "medium"),
    Layer("wires", "conductors and strings of modules", "medium"),
    Layer("equipment", "inverters, switches, boxes", "medium"),
    Layer("cuts", "sticks and their pieces", "medium"),
    Layer("readings", "what was measured, and moves", "medium"),
    Layer("dimensions", "dimensions, and lines that lead to words", "thin"),
    Layer("text", "words", "thin"),
    Layer("names", "names at their true place; off in the sheets, which have their own", "thin"),
    Layer("title", "frame of the sheet and title", "medium"),
    Layer("table", "lines of tables, forms and charts", "thin"),
    Layer("hatch", "concrete and soil patterns", "thin"),
    Layer("north", "north arrow", "thin"),
    Layer("scale bar", "scale bar", "thin"),
    Layer("hidden", "edges behind or above", "hidden"),
    Layer("centre", "centre lines", "centre"),
    Layer("thin", "thin lines of no layer of their own", "thin"),
    Layer("medium", "outlines of no layer of their own", "medium"),
    Layer("heavy", "heavy lines of no layer of their own", "heavy"),
    Layer("viewports", "frames of the views, not printed", "thin", printed=False),
    Layer("origins", "zero points of the views, not printed", "thin", printed=False),
)
LAYERS = {layer.name: layer for layer in _LIST}
"""Every layer by its name; there are no others."""

_BY_PEN = {"base": "setting out", "frost": "frost line"}


def pen_weight(pen: str) -> float:
    """Width [mm] of the line of a pen."""
    return PENS[pen] if pen in PENS else DASHES[pen][0]


def on(layer: str, items: Iterable[Item]) -> tuple[Item, ...]:
    """The items, on a layer; raises ValueError for a name that is not in the list."""
    known(layer)
    return tuple(replace(item, layer=layer) for item in items)


def resting(layer: str, items: Iterable[Item], every: bool = False) -> tuple[Item, ...]:
    """The items, lines without a layer on this one; words stay among the words.

    Base and frost lines stay what their pens say, but where ``every`` pen is only a pattern.
    """
    known(layer)

    def left(item: Item) -> bool:
        if item.layer or isinstance(item, Text | Dimension | Hatch):
            return False
        return every or item.pen not in _BY_PEN

    return tuple(replace(item, layer=layer) if left(item) else item for item in items)


def layer_of(item: Item) -> Layer:
    """The layer an item says, else that of its kind or pen.

    Raises ValueError for a layer that is not in the list.
    """
    if item.layer:
        return known(item.layer)
    match item:
        case Text():
            return LAYERS["text"]
        case Dimension():
            return LAYERS["dimensions"]
        case Hatch():
            return LAYERS["hatch"]
    return LAYERS[_BY_PEN.get(item.pen, item.pen)]


def known(name: str) -> Layer:
    """The layer of a name; raises ValueError when there is none."""
    if name not in LAYERS:
        raise ValueError(f"there is no layer {name!r}; layers are: {', '.join(LAYERS)}")
    return LAYERS[name]
