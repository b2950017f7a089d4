"""The battery over the year, and which arrays and batteries would do."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.losses import monthly
from plumbrail.papers.furniture import Area, widest
from plumbrail.papers.sheet import Fill, Hatch, Item, Line, Polyline, Text
from plumbrail.papers.words import figures, say
from plumbrail.papers.yield_axes import Axes, above, block, figure, nice_ticks
from plumbrail.papers.yield_facts import Island
from plumbrail.papers.yield_words import KWH, short_months
from plumbrail.weather.year import DAYS

Array = NDArray[np.float64]

_LEFT, _HEAD, _FOOT = 15.0, 7.0, 6.0
_ROW = 5.2
_BAR = 0.34


def charge_chart(i: Island, area: Area) -> list[Item]:
    """Highest and lowest charge of each day."""
    axes = _axes(area, (0.0, 365.0), (0.0, i.asked.usable / KWH))
    days = i.run.charge.reshape(365, 24) / KWH
    high, low = np.asarray(days.max(axis=1), float), np.asarray(days.min(axis=1), float)
    x = np.linspace(0.5, 364.5, 365)
    band = [*zip(x, high, strict=True), *zip(x[::-1], low[::-1], strict=True)]
    items = _up(axes, 5)
    items.append(axes.area([(float(a), float(b)) for a, b in band], "thin", "light"))
    items.append(axes.line(x, low, "medium"))
    items += _months(axes, DAYS)
    title = say("Charge of the battery, kWh: between the day's highest and (heavy line) lowest")
    return [*items, axes.frame(), _title(axes, title), *_marks(i, axes)]


def _marks(i: Island, axes: Axes) -> list[Item]:
    """Charge at which the generator starts and stops."""
    engine = i.asked.generator
    if engine is None:
        return []
    items: list[Item] = []
    for share in (engine.start, engine.stop):
        y = axes.at(0.0, share * axes.y[1])[1]
        items.append(Line((axes.left, y), (axes.right, y), "hidden"))
    x, y = axes.right, axes.top + 2.2
    words = say("broken lines: generator starts, stops")
    return [*items, Text((x, y), words, align="end")]


def lack_bars(i: Island, area: Area) -> list[Item]:
    """By month: what sun and battery alone leave unmet, and what the generator gives."""
    unmet, made = monthly(i.alone.unmet / 3600) / KWH, monthly(i.run.generator / 3600) / KWH
    axes = _axes(area, (0.0, 12.0), (0.0, above(max(float(unmet.max()), float(made.max())), 5)))
    items = _up(axes, 5)
    for k in range(12):
        for value, shift, hatched in ((unmet[k], -_BAR, False), (made[k], 0.0, True)):
            if value <= 0:
                continue
            a = axes.at(k + 0.5 + shift, 0.0)
            b = axes.at(k + 0.5 + shift + _BAR, float(value))
            if hatched:
                items.append(block(*a, *b, "medium", "paper"))
                items.append(Hatch((a, (b[0], a[1]), b, (a[0], b[1])), "ground"))
            else:
                items.append(block(*a, *b, "medium", "dark"))
    items += _months(axes, np.ones(12))
    title = say("By month, kWh: unmet by sun and battery alone (black)")
    if i.asked.generator is not None:
        title = say("By month, kWh: unmet by sun and battery alone (black), given by the "
                    "generator (hatched)")  # fmt: skip
    if max(unmet.max(), made.max()) <= 0:
        middle = 0.5 * (axes.left + axes.right), 0.5 * (axes.bottom + axes.top)
        items.append(Text(middle, say("nothing in any month"), align="middle", clear=True))
    return [*items, axes.frame(), _title(axes, title)]


def _axes(area: Area, x: tuple[float, float], y: tuple[float, float]) -> Axes:
    return Axes(area.left + _LEFT, area.bottom + _FOOT, area.width - _LEFT,
                area.height - _FOOT - _HEAD, x, y)  # fmt: skip


def _title(axes: Axes, words: str) -> Text:
    return Text((axes.left, axes.top + 2.2), words, bold=True)


def _up(axes: Axes, most: int) -> list[Item]:
    ticks = nice_ticks(0.0, axes.y[1], most)
    return axes.up(ticks, [figure(t) for t in ticks])


def _months(axes: Axes, long: Array | NDArray[np.int64]) -> list[Item]:
    """Names under the months, thin lines between."""
    ends = np.concatenate([[0], np.cumsum(long)]).astype(float)
    items: list[Item] = []
    for k, name in enumerate(short_months()):
        x = axes.at(float(ends[k]), 0.0)[0]
        middle = axes.at(float(0.5 * (ends[k] + ends[k + 1])), 0.0)[0]
        items.append(Text((middle, axes.bottom - 4.4), name, align="middle"))
        if k:
            items.append(Line((x, axes.bottom), (x, axes.top)))
    return items


def size_grid(i: Island, area: Area) -> list[Item]:
    """Share of load unmet for arrays by batteries; pairs that will do grey, the plan's framed."""
    s = i.sizing
    cells = [[_share(float(v)) for v in row] for row in s.short_share]
    names = [say("{n} modules, {power}", n=m, power=figures(f"{w / 1000:.1f} kW"))
             for m, w in zip(i.modules.tolist(), s.arrays.tolist(), strict=True)]  # fmt: skip
    heads = [figures(f"{b / KWH:g}") for b in s.batteries]
    first = widest(names, bold=True) + 3.0
    column = min((area.width - first) / len(heads), 17.0)
    top = area.top - _HEAD - _ROW
    right, low = area.left + first + column * len(heads), top - _ROW * len(names)
    title = _grid_title(i)
    items: list[Item] = [Text((area.left, area.top - 3.5), title, bold=True)]
    for b, head in enumerate(heads):
        x = area.left + first + column * (b + 1)
        items.append(Text((x - 1.5, top + 1.5), head, align="end", bold=True))
    for a, name in enumerate(names):
        y = top - _ROW * (a + 1)
        items.append(Text((area.left + 1.2, y + 1.4), name, bold=True))
        for b, cell in enumerate(cells[a]):
            x = area.left + first + column * b
            fill: Fill = "light" if s.enough[a, b] else "paper"
            items.append(block(x, y, x + column, y + _ROW, "thin", fill))
            items.append(Text((x + column - 1.5, y + 1.4), cell, align="end"))
    return [*items, block(area.left, low, right, top + _ROW, "medium"),
            Line((area.left, top), (right, top), "medium"),
            *_own(i, area.left + first, top, column)]  # fmt: skip


def _grid_title(i: Island) -> str:
    count, asked = len(i.met_each), figures(f"{100 * i.sizing.reliability:g} %")
    if count == 1:
        return say("Share of the load unmet without a generator, %: array by usable battery, kWh; "
                   "grey: meets {asked}, heavy frame: the plan's", asked=asked)  # fmt: skip
    return say("Unmet, %, mean of {n} years: array by usable battery, kWh; grey: {asked} met in "
               "{share} of them, heavy frame: the plan's", n=count, asked=asked,
               share=figures(f"{100 * i.asked.years_share:g} %"))  # fmt: skip


def grid_height(i: Island) -> float:
    """Height that the grid takes [mm]."""
    return _HEAD + _ROW * (len(i.modules) + 1)


def _own(i: Island, left: float, top: float, column: float) -> list[Item]:
    """A heavy frame about the plan's own pair."""
    a, b = i.own
    x, y = left + column * b, top - _ROW * (a + 1)
    corners = ((x, y), (x + column, y), (x + column, y + _ROW), (x, y + _ROW))
    return [Polyline(corners, "heavy", closed=True)]


def _share(short: float) -> str:
    if 0 < short < 0.00005:
        return figures("<0.01")
    if short == 0:
        return "0"
    return figures(f"{100 * short:.2f}" if short < 0.0995 else f"{100 * short:.1f}")
