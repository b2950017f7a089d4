"""From light to delivered energy: what each step takes, as a stair."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.papers.furniture import Area, widest
from plumbrail.papers.sheet import Hatch, Item, Line, Text
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.papers.yield_axes import Axes, block, figure, nice_step, nice_ticks
from plumbrail.papers.yield_facts import Facts, status
from plumbrail.papers.yield_words import KWH, percent

_HEAD = 6.0
_FOOT = 12.0
_MOST_ROW = 9.0
_MOST = 8
_SAID = {"not stated": later("not stated"), "not checked": later("not checked")}


@dataclass(frozen=True)
class _Stair:
    name: str
    before: float
    after: float
    """[kWh]"""
    share: str
    status: str


def chain(f: Facts, area: Area) -> list[Item]:
    """One row for each loss; each begins where the one above ended."""
    stairs = _stairs(f)
    columns = _columns(stairs)
    left, right = area.left + columns[0], area.right - sum(columns[1:])
    row = min(_MOST_ROW, (area.height - _HEAD - _FOOT) / len(stairs))
    low, high = _span(stairs)
    axes = Axes(left, area.top - _HEAD - row * len(stairs), right - left, row * len(stairs),
                (low, high), (0.0, float(len(stairs))))  # fmt: skip
    ticks = nice_ticks(low, high, _MOST)
    ticks = [t for t in ticks if t > low + 0.04 * (high - low)]
    items = axes.along(ticks, [figure(t) for t in ticks])
    foot = say("kWh a year; the left edge is not 0") if low > 0 else say("kWh a year")
    items.append(Text((0.5 * (left + right), axes.bottom - 9.5), foot, align="middle"))
    items += _headings(axes, columns, area)
    for i, stair in enumerate(stairs):
        items += _row(axes, columns, stair, axes.top - row * (i + 1), row)
    items.append(block(area.left, axes.bottom, area.right, axes.top, "medium"))
    return items


def _stairs(f: Facts) -> list[_Stair]:
    left = f.start / KWH
    found = [_Stair(say("Light at rated efficiency"), 0.0, left, "", "")]
    for loss in f.found.losses:
        after = left - loss.energy / KWH
        said = _SAID.get(status(loss), "")
        name = tell(loss.name)
        found.append(_Stair(name[:1].upper() + name[1:], left, after, tell(percent(loss.share, 1)),
                            say(said)))  # fmt: skip
        left = after
    return [*found, _Stair(say("Delivered"), 0.0, f.energy / KWH, "", "")]


def _span(stairs: list[_Stair]) -> tuple[float, float]:
    """From a round value under the smallest to one over the largest."""
    ends = [s.after for s in stairs]
    low, high = min(ends), max(ends)
    step = nice_step(max(high - low, 1e-3 * high, 1e-6), 6)
    start = step * int(max(low - 0.6 * step, 0.0) / step)
    return start, high + 0.2 * step


def _columns(stairs: list[_Stair]) -> tuple[float, float, float, float]:
    """Widths [mm] of names, of share, of kWh lost and of kWh left with what is to be said."""
    names = widest([s.name for s in stairs], bold=True) + 3.0
    share = widest([s.share for s in stairs] + [say("Share")]) + 3.0
    lost = widest([_lost(s) for s in stairs] + [say("Lost, kWh")]) + 3.0
    return names, share, lost, _widest_said() + 3.0


def _widest_said() -> float:
    """Room for what is said of a loss [mm]."""
    return widest([say(words) for words in (*_SAID.values(), later("worked out"))])


def _lost(s: _Stair) -> str:
    if not s.share:
        return figures(f"{s.after:,.0f}")
    return figures(f"{s.after - s.before + 0.0:,.0f}").replace("-", "−")


def _headings(axes: Axes, columns: tuple[float, ...], area: Area) -> list[Item]:
    y, x = axes.top + 1.8, axes.right
    items: list[Item] = [Text((area.left, y), say("What takes it"), bold=True)]
    for wide, words in zip(columns[1:], (say("Share"), "kWh", ""), strict=True):
        x += wide
        if words:
            items.append(Text((x - 1.2, y), words, align="end", bold=True))
    return items


def _row(axes: Axes, columns: tuple[float, ...], s: _Stair, low: float, high: float) -> list[Item]:
    base = low + 0.5 * high - 1.25
    left = axes.left - columns[0]
    ends = not s.share
    items: list[Item] = [
        Line((left, low), (axes.right + sum(columns[1:]), low)),
        Text((left + 1.2, base), s.name, bold=ends),
    ]
    x = axes.right + columns[1]
    items.append(Text((x - 1.2, base), s.share, align="end"))
    items.append(Text((x + columns[2] - 1.2, base), _lost(s), align="end", bold=ends))
    if s.status:
        items.append(Text((x + columns[2] + 1.2, base), s.status))
    return items + _step(axes, s, low + 0.18 * high, low + 0.82 * high)


def _step(axes: Axes, s: _Stair, low: float, high: float) -> list[Item]:
    """What is left as a plain bar, what was taken hatched at its end."""
    start = max(axes.x[0], min(s.before, s.after)) if s.share else axes.x[0]
    a, b = axes.at(start, 0.0)[0], axes.at(s.after, 0.0)[0]
    if not s.share:
        return [block(a, low, b, high, "medium", "light")]
    c = axes.at(s.before, 0.0)[0]
    items: list[Item] = [block(axes.left, low, min(b, c), high, "thin", "light")]
    if abs(c - b) > 0.1:
        lo, hi = min(b, c), max(b, c)
        items.append(block(lo, low, hi, high, "medium", "paper"))
        items.append(Hatch(((lo, low), (hi, low), (hi, high), (lo, high)), "ground"))
    return [*items, Line((c, low), (c, high + 0.5 * (high - low)), "thin")]
