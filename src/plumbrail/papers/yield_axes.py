"""A box with axes on a page, and where values lie in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

import numpy as np
from numpy.typing import NDArray

from plumbrail.papers.sheet import Fill, Item, Line, Point, Polyline, Text
from plumbrail.papers.words import figures

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Axes:
    """A box [mm] whose sides run over values."""

    left: float
    bottom: float
    width: float
    height: float
    x: Point
    """First and last value along."""
    y: Point
    """Lowest and highest value up."""

    @property
    def right(self) -> float:
        """Right side [mm]."""
        return self.left + self.width

    @property
    def top(self) -> float:
        """Upper side [mm]."""
        return self.bottom + self.height

    def at(self, x: float, y: float) -> Point:
        """Millimetres on the page of a pair of values."""
        return (
            self.left + self.width * (x - self.x[0]) / (self.x[1] - self.x[0]),
            self.bottom + self.height * (y - self.y[0]) / (self.y[1] - self.y[0]),
        )

    def line(self, xs: Array, ys: Array, pen: str = "thin") -> Polyline:
        """A line through values."""
        points = tuple(self.at(float(x), float(y)) for x, y in zip(xs, ys, strict=True))
        return Polyline(points, pen)

    def area(self, corners: Sequence[Point], pen: str = "thin", fill: Fill | None = None) -> Item:
        """A closed outline through values."""
        return Polyline(tuple(self.at(*c) for c in corners), pen, True, fill)

    def frame(self) -> Item:
        """The box itself."""
        return block(self.left, self.bottom, self.right, self.top, "medium")

    def up(self, ticks: Sequence[float], words: Sequence[str], grid: bool = True) -> list[Item]:
        """Ticks and figures along the left side, with thin lines across."""
        items: list[Item] = []
        for value, text in zip(ticks, words, strict=True):
            y = self.at(self.x[0], value)[1]
            end = self.right if grid else self.left + 1.5
            items.append(Line((self.left - 1.2, y), (end, y)))
            items.append(Text((self.left - 2.0, y - 1.25), text, align="end"))
        return items

    def along(self, ticks: Sequence[float], words: Sequence[str], grid: bool = True) -> list[Item]:
        """Ticks and figures along the foot, with thin lines up."""
        items: list[Item] = []
        for value, text in zip(ticks, words, strict=True):
            x = self.at(value, self.y[0])[0]
            end = self.top if grid else self.bottom + 1.5
            items.append(Line((x, self.bottom - 1.2), (x, end)))
            items.append(Text((x, self.bottom - 4.8), text, align="middle"))
        return items


def block(
    left: float, bottom: float, right: float, top: float, pen: str = "thin",
    fill: Fill | None = None,
) -> Polyline:  # fmt: skip
    """A rectangle on the page [mm]."""
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Polyline(corners, pen, True, fill)


def nice_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 5, 10 ... that divides a span into no more than ``most`` parts."""
    least = max(span, 1e-12) / most
    power = 10.0 ** floor(log10(least) + 1e-9)
    return power * next(n for n in (1.0, 2.0, 5.0, 10.0) if n * power >= least * (1 - 1e-9))


def nice_ticks(low: float, high: float, most: int) -> list[float]:
    """Round values from ``low`` to ``high``, both inside."""
    step = nice_step(high - low, most)
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [k * step for k in range(first, last + 1)]


def above(value: float, most: int) -> float:
    """The round value next above, for the top of an axis."""
    if value <= 0:
        return 1.0
    step = nice_step(value, most)
    return step * ceil(value / step - 1e-9)


def figure(value: float) -> str:
    """A figure on an axis."""
    text = f"{value:,.2f}".rstrip("0").rstrip(".") if value % 1 else f"{value:,.0f}"
    return figures(text).replace("-", "−")
