"""What a drawing is made of: a few primitives, views at a scale, pages.

Inside a view coordinates are real metres; directly on a sheet they are millimetres from the lower
left corner of the page. In both, x runs to the right and y up. Heights of text, offsets of
dimensions and widths of lines are always millimetres on paper. The ``layer`` of an item is one of
:mod:`plumbrail.papers.layers`; without it, the kind or the pen of the item decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Point: TypeAlias = tuple[float, float]
Align = Literal["start", "middle", "end"]
Fill = Literal["paper", "light", "dark"]

SMALLEST_TEXT = 2.5
"""Height of capitals [mm] that is still read on a clipboard in the sun; nothing is smaller."""

PENS = {"thin": 0.18, "medium": 0.35, "heavy": 0.7}
"""Width of a solid line [mm]."""
DASHES: dict[str, tuple[float, tuple[float, ...]]] = {
    "hidden": (0.25, (2.0, 1.0)),
    "centre": (0.18, (6.0, 1.2, 1.0, 1.2)),
    "base": (0.35, (9.0, 1.5, 1.5, 1.5, 1.5, 1.5)),
    "frost": (0.25, (0.8, 0.8)),
}
"""Width and dash pattern of a broken line [mm]."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    start: Point
    end: Point
    pen: str = "thin"
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Polyline:
    """Joined straight lines, perhaps closed and filled."""

    points: tuple[Point, ...]
    pen: str = "thin"
    closed: bool = False
    fill: Fill | None = None
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; its radius is in the units of its coordinates."""

    centre: Point
    radius: float
    pen: str = "thin"
    fill: Fill | None = None
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle, counter-clockwise from ``first`` to ``last`` degrees from the x axis."""

    centre: Point
    radius: float
    first: float
    last: float
    pen: str = "thin"
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Hatch:
    """An area filled with a pattern: ``concrete`` or ``ground``."""

    points: tuple[Point, ...]
    pattern: Literal["concrete", "ground"]
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words; ``at`` is on the base line of the letters."""

    at: Point
    text: str
    height: float = SMALLEST_TEXT
    """Of the capitals [mm]."""
    align: Align = "start"
    angle: float = 0.0
    """Degrees counter-clockwise."""
    bold: bool = False
    clear: bool = False
    """Paint the paper behind it, so that lines do not run through."""
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A measured length between two points, its line moved ``offset`` to the left of start-end."""

    start: Point
    end: Point
    offset: float
    """[mm], negative to the right."""
    text: str
    height: float = SMALLEST_TEXT
    turned: bool = False
    """Text square to the dimension line, beyond it, for lengths too short on paper."""
    gap: float = 1.0
    """[mm] between the point and its extension line."""
    layer: str = ""


Item: TypeAlias = Line | Polyline | Circle | Arc | Hatch | Text | Dimension


@dataclass(frozen=True)
class View:
    """Items in metres, drawn at 1:``scale`` with (0, 0) at ``origin`` millimetres on the page."""

    name: str
    scale: float
    origin: Point
    items: tuple[Item, ...]
    names: tuple[Text, ...] = ()
    """What is called how, at its true place: for whoever opens the model space of a CAD file,
    where the words of the page are missing. Not on the page."""

    def to_page(self, point: Point) -> Point:
        """Millimetres on the page of a real point."""
        k = 1000.0 / self.scale
        return self.origin[0] + k * point[0], self.origin[1] + k * point[1]


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet of paper [mm]."""

    name: str
    width: float
    height: float


@dataclass(frozen=True)
class Sheet:
    """One page: views to scale, and items in page millimetres (table, notes, title)."""

    title: str
    page: Page
    views: tuple[View, ...]
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """A drawing scale and how it is written."""

    ratio: float
    words: str


_SIZES = {
    "Letter": (215.9, 279.4), "Tabloid": (279.4, 431.8), "A4": (210.0, 297.0), "A3": (297.0, 420.0),
}  # fmt: skip
_ARCHITECT = {
    12: "1", 16: "3/4", 24: "1/2", 32: "3/8", 48: "1/4", 64: "3/16", 96: "1/8", 128: "3/32",
}  # fmt: skip
_ENGINEER = (10, 20, 30, 40, 50, 60, 100, 200)
_METRIC = (10, 20, 25, 50, 75, 100, 125, 200, 250, 300, 400, 500, 750, 1000, 2000)
_US = [Scale(r, f"{words}\" = 1' (1:{r})") for r, words in _ARCHITECT.items()]
_US += [Scale(12 * feet, f"1\" = {feet}' (1:{12 * feet})") for feet in _ENGINEER]
SCALES = {
    "us": tuple(sorted(_US, key=lambda scale: scale.ratio)),
    "metric": tuple(Scale(r, f"1:{r}") for r in _METRIC),
}
"""Scales found on scale rules, the largest drawing first (common practice)."""


def page(name: str, orientation: Literal["landscape", "portrait"] = "landscape") -> Page:
    """A page by its size: Letter, Tabloid, A4 or A3; raises ValueError for another name."""
    if name not in _SIZES or orientation not in {"landscape", "portrait"}:
        raise ValueError(f"no page {name!r} {orientation}; sizes are {', '.join(_SIZES)}")
    short, long = _SIZES[name]
    return Page(name, short, long) if orientation == "portrait" else Page(name, long, short)


def best_scale(width: float, height: float, room: Point, system: str) -> Scale:
    """The largest standard scale at which ``width`` by ``height`` metres fit ``room`` [mm].

    Raises ValueError when even the smallest one does not fit.
    """
    for scale in SCALES[system]:
        k = 1000.0 / scale.ratio
        if width * k <= room[0] + 1e-9 and height * k <= room[1] + 1e-9:
            return scale
    raise ValueError(
        f"{width:.0f} m by {height:.0f} m do not fit {room[0]:.0f} mm by {room[1]:.0f} mm at any "
        "standard scale; take a larger page"
    )
