"""The yield by month: bars over the table that they stand for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.papers.furniture import Area, widest
from plumbrail.papers.lettering import fit
from plumbrail.papers.sheet import Hatch, Item, Line, Text
from plumbrail.papers.words import figures, say
from plumbrail.papers.yield_axes import Array, Axes, above, block, figure, nice_ticks
from plumbrail.papers.yield_facts import Facts
from plumbrail.papers.yield_words import KWH, short_months
from plumbrail.weather.year import DAYS

_ROW = 5.4
_BAR = 0.62
_LEGEND = 8.0
_MOST = 8


@dataclass(frozen=True)
class _Row:
    title: str
    cells: tuple[str, ...]
    """Twelve and the year."""


def month_bars(f: Facts, area: Area) -> list[Item]:
    """Bars with a legend over them and a table under them, month under month."""
    rows = _rows(f)
    titles = widest([r.title for r in rows], bold=True) + 3.0
    column = (area.width - titles) / 13
    foot = area.bottom + _ROW * (len(rows) + 1)
    axes = Axes(area.left + titles, foot + 2.6, 12 * column, area.top - _LEGEND - foot - 2.6,
                (0.0, 12.0), (0.0, _highest(f)))  # fmt: skip
    ticks = nice_ticks(0.0, axes.y[1], _MOST)
    items = axes.up(ticks, [figure(t) for t in ticks])
    items.append(Text((axes.left, axes.top + 2.2), say("Delivered energy, kWh a month"), bold=True))
    items += _legend(f, axes)
    items += [mark for k in range(12) for mark in _bar(f, axes, k)]
    items.append(axes.frame())
    return items + _table(rows, area, titles, column)


def _highest(f: Facts) -> float:
    return above(max(float((f.months + _lost(f)).max()) / KWH, 1e-3), _MOST)


def _lost(f: Facts) -> Array:
    return np.maximum(f.shade.cost, 0.0)


def _bar(f: Facts, axes: Axes, k: int) -> list[Item]:
    """Delivered, and over it what shade takes."""
    got, lost = float(f.months[k]) / KWH, float(_lost(f)[k]) / KWH
    left, base = axes.at(k + 0.5 - 0.5 * _BAR, 0.0)
    right, mid = axes.at(k + 0.5 + 0.5 * _BAR, got)
    items: list[Item] = [block(left, base, right, mid, "medium", "light")]
    top = axes.at(0.0, got + lost)[1]
    if top - mid > 0.15:
        corners = ((left, mid), (right, mid), (right, top), (left, top))
        items += [block(left, mid, right, top, "medium", "paper"), Hatch(corners, "ground")]
        items.append(block(left, mid, right, top, "medium"))
    return items


def _legend(f: Facts, axes: Axes) -> list[Item]:
    lost = say("lost to shade") if f.shading is not None else say("shade: not checked")
    words = [say("delivered"), lost]
    x, y = axes.right, axes.top + 2.2
    items: list[Item] = []
    for i, text in reversed(list(enumerate(words))):
        items.append(Text((x, y), text, align="end"))
        x -= widest([text]) + 1.5
        box = (x - 5.0, y - 0.3, x, y + 2.8)
        if i == 0:
            items.append(block(*box, "medium", "light"))
        elif f.shading is not None:
            corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
            items += [Hatch(corners, "ground"), block(*box, "medium")]
        x -= 5.0 + 5.0
    return items


def _rows(f: Facts) -> list[_Row]:
    def row(title: str, values: list[float], whole: float, digits: int = 0) -> _Row:
        cells = [figures(f"{v + 0.0:,.{digits}f}") for v in (*values, whole)]
        return _Row(title, tuple(cells))

    light, lost, got = (list(v / KWH) for v in (f.light_months, f.shade.cost, f.months))
    shade = row(say("Lost to shade, kWh"), lost, sum(lost))
    if f.shading is None:
        shade = _Row(say("Lost to shade"), ("?",) * 13)
    daily = [v / d for v, d in zip(got, DAYS.tolist(), strict=True)]
    digits = 1 if max(daily) < 1000 else 0
    return [
        row(say("Open plane, kWh/m²"), light, sum(light)), shade,
        row(say("Delivered, kWh"), got, sum(got)),
        row(say("a day, kWh"), daily, sum(got) / 365, digits),
    ]  # fmt: skip


def _table(rows: list[_Row], area: Area, titles: float, column: float) -> list[Item]:
    low, high = area.bottom, area.bottom + _ROW * (len(rows) + 1)
    items: list[Item] = [block(area.left, low, area.right, high, "medium")]
    first = area.left + titles
    for k, name in enumerate((*short_months(), say("Year"))):
        items.append(Text((first + (k + 0.5) * column, high - 3.9), name, align="middle",
                          bold=True))  # fmt: skip
        x = first + k * column
        items.append(Line((x, low), (x, high), "medium" if k == 12 else "thin"))
    for r, row in enumerate(rows):
        y = high - _ROW * (r + 2)
        items.append(Line((area.left, y + _ROW), (area.right, y + _ROW)))
        items.append(Text((area.left + 1.2, y + 1.4), row.title, bold=True))
        for k, cell in enumerate(row.cells):
            words = fit(cell, column - 1.0, 2.5)
            items.append(Text((first + (k + 1) * column - 1.2, y + 1.4), words, align="end"))
    return items
