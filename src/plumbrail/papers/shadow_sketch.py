"""A small plan of pin 1 with its square, north and one shadow, to show what the table means."""

from __future__ import annotations

from math import atan2, cos, sin

import numpy as np
from numpy.typing import NDArray

from plumbrail.papers.sheet import Circle, Item, Line, Point, Polyline, Text
from plumbrail.papers.words import say
from plumbrail.setout.direction import Direction

Array = NDArray[np.float64]

SIDE = 66.0
"""Width and height of the sketch [mm]."""
_SQUARE = 13.5
_RAY = 20.0
_LABEL = 24.0


def example(of: Direction) -> int:
    """The row of the table whose shadow lies clearest of north and of the string."""
    s, base = of.shadows, of.base
    useful = np.array([u != "poor" for u in s.use]) if "best" in s.use else np.ones(len(s.use))
    other = np.array([0.0, base.bearing, base.bearing + np.pi])
    apart = np.abs(np.angle(np.exp(1j * (s.bearing[:, None] - other))))
    return int(np.argmax(apart.min(axis=1) * useful))


def sketch(of: Direction, left: float, top: float, reach: str) -> list[Item]:
    """The sketch with its upper left corner at (left, top) [mm]; the row runs to the right."""
    at = (left + 0.5 * SIDE, top - 0.5 * SIDE)
    base, row = of.base, of.base.row_bearing
    string = atan2(base.along[1], base.along[0])
    items: list[Item] = [_box(left, top), *_corners(left, top), *_square(at, string, reach)]
    items += [
        Line(at, _on(at, string, _RAY), "base", "setting out"),
        Circle(_on(at, string, _RAY), 1.0, "medium", "paper"),
        _label(at, string, say("pin {n}", n=2)),
    ]
    items += _north(at, row)
    if of.shadows.clock:
        # the row's bearing lies along x; a bearing turns clockwise, an angle the other way
        items += _shadow(at, row - float(of.shadows.bearing[example(of)]))
    return [*items, Circle(at, 1.0, "medium", "dark"), *_pin_1(of, at, string)]


def _on(at: Point, angle: float, radius: float) -> Point:
    return at[0] + radius * cos(angle), at[1] + radius * sin(angle)


def _label(at: Point, angle: float, words: str) -> Text:
    x, y = _on(at, angle, _LABEL)
    align = "start" if cos(angle) > 0.5 else "end" if cos(angle) < -0.5 else "middle"
    back = 2.5 * cos(angle) if abs(cos(angle)) > 0.5 else 0.0
    return Text((x - back, y - 1.2), words, align=align, bold=True, clear=True)  # type: ignore[arg-type]


def _box(left: float, top: float) -> Polyline:
    right, low = left + SIDE, top - SIDE
    return Polyline(((left, low), (right, low), (right, top), (left, top)), closed=True)


def _corners(left: float, top: float) -> list[Item]:
    right, low = left + SIDE - 1.5, top - SIDE + 1.5
    return [
        Text((left + 1.5, top - 4.0), say("back left")),
        Text((right, top - 4.0), say("back right"), align="end"),
        Text((left + 1.5, low), say("front left")),
        Text((right, low), say("front right"), align="end"),
    ]  # fmt: skip


def _square(at: Point, string: float, reach: str) -> list[Item]:
    u = (_SQUARE * cos(string), _SQUARE * sin(string))
    v = (-u[1], u[0])
    corners = tuple(
        (at[0] + a * u[0] + b * v[0], at[1] + a * u[1] + b * v[1])
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    below = min(y for _, y in corners)
    return [
        Polyline(corners, "hidden", closed=True),
        Text(
            (at[0], below - 4.0),
            say("square, {reach} each way", reach=reach),
            align="middle",
            clear=True,
        ),
    ]


def _north(at: Point, row: float) -> list[Item]:
    tip = _on(at, row, _RAY)
    return [Line(at, tip, "thin"), *_head(at, row, "paper"), _label(at, row, "N")]


def _shadow(at: Point, angle: float) -> list[Item]:
    return [
        Line(at, _on(at, angle, _RAY), "heavy"), *_head(at, angle, "dark"),
        _label(at, angle, say("shadow")),
    ]  # fmt: skip


def _head(at: Point, angle: float, fill: str) -> list[Item]:
    tip, foot = _on(at, angle, _RAY + 1.5), _on(at, angle, _RAY - 2.5)
    side = (1.2 * sin(angle), -1.2 * cos(angle))
    points = (tip, (foot[0] + side[0], foot[1] + side[1]), (foot[0] - side[0], foot[1] - side[1]))
    return [Polyline(points, closed=True, fill=fill)]  # type: ignore[arg-type]


def _pin_1(of: Direction, at: Point, string: float) -> list[Item]:
    """The name of pin 1 where neither string nor north nor shadow runs."""
    taken = [string, of.base.row_bearing]
    if of.shadows.clock:
        taken.append(of.base.row_bearing - float(of.shadows.bearing[example(of)]))
    tries = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    apart = np.abs(np.angle(np.exp(1j * (tries[:, None] - np.array(taken))))).min(axis=1)
    x, y = _on(at, float(tries[int(np.argmax(apart))]), 8.0)
    return [Text((x, y - 1.2), say("pin {n}", n=1), align="middle", bold=True)]
