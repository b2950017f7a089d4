"""The trench from the side: ground, conduit, what it passes over and under. Heights are drawn
larger than lengths, and the sheet says how much."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

import numpy as np

from plumbrail.papers.bands import Band, bands_height, drawn, names_width
from plumbrail.papers.furniture import (
    NOTE_PITCH,
    Area,
    drawing_area,
    finished,
    notes,
    numbered,
)
from plumbrail.papers.layers import on
from plumbrail.papers.lettering import width, wrap
from plumbrail.papers.placing import spread
from plumbrail.papers.sheet import (
    Circle,
    Hatch,
    Item,
    Line,
    Page,
    Point,
    Polyline,
    Sheet,
    Text,
    best_scale,
)
from plumbrail.papers.trench_facts import TrenchFacts, gap_words, verdict_words
from plumbrail.papers.words import say
from plumbrail.trench.parts import Array, Crossing, Profile
from plumbrail.trench.profile import RAMP

_HEAD, _TOP, _LOW = 7.0, 22.0, 6.0
_NUMBERS = 15.5
"""Numbers of the crossings stand this far over the highest ground [mm]."""
_UPRIGHT = (1, 2, 4, 5, 10, 20)
_RIBBON = 0.3048


@dataclass(frozen=True)
class _Axes:
    """From distance and height [m] to the page [mm]."""

    left: float
    foot: float
    across: float
    """mm per metre along."""
    up: float
    low: float
    """Height at the foot [m]."""

    def at(self, s: float, z: float) -> Point:
        return self.left + self.across * s, self.foot + self.up * (z - self.low)


def trench_profile(facts: TrenchFacts, page: Page) -> tuple[Sheet, ...]:
    """One sheet; raises ValueError when the route is too long for it at any usual scale."""
    p = facts.trench.profile
    said, area = notes(drawing_area(page), _notes(facts, 1))
    bands, at = _bands(facts), [s.at for s in facts.trench.stations]
    names = names_width(bands)
    listed, high = _listed(facts, replace(area, top=area.top - _HEAD))
    room = replace(area, left=area.left + names, right=area.right - 8.0,
                   top=area.top - _HEAD - high)  # fmt: skip
    end = float(p.at[-1])
    scale = best_scale(end, 0.1, (room.width, room.height), facts.job.units)
    k = 1000.0 / scale.ratio
    left = room.left + 0.5 * (room.width - k * end)
    xs = [left + k * s for s in at]
    foot = area.bottom + bands_height(bands, xs) + _LOW
    times, low = _upright(p, room.top - _TOP - foot, k)
    axes = _Axes(left, foot, k, k * times, low)
    said, _ = notes(drawing_area(page), _notes(facts, times))
    head = Text((area.left, area.top - 3.6), verdict_words(facts), 3.0, bold=True)
    items = [*said, head, *listed, *_drawn(facts, axes), *drawn(bands, xs, area.left,
                                                              area.right, foot - _LOW)]  # fmt: skip
    sheet = finished(say("Trench: profile"), page, facts.job, scale, (), items, "trenches")
    return numbered([sheet])


def _upright(p: Profile, room: float, k: float) -> tuple[int, float]:
    """How many times larger heights are drawn, and the lowest that is."""
    low, high = float((p.ground - p.bottom).min()), float(p.ground.max())
    fits = [n for n in _UPRIGHT if (high - low) * k * n <= room]
    if not fits:
        raise ValueError("the ground rises too much for the sheet")
    return fits[-1], low


def _listed(facts: TrenchFacts, area: Area) -> tuple[list[Item], float]:
    """What is crossed, in columns from the top of the area, and the height of that [mm]."""
    words = [f"{c.number} {c.service}: {gap_words(c, facts)}" for c in facts.trench.crossings]
    rows = [row for text in words for row in wrap(text, area.width, 2.5)]
    if not rows:
        return [], 0.0
    wide = max(width(row, 2.5) for row in rows) + 6.0
    high = ceil(len(rows) / max(1, int((area.width + 6.0) // wide)))
    items: list[Item] = [
        Text((area.left + (i // high) * wide, area.top - 3.0 - (i % high) * NOTE_PITCH), row)
        for i, row in enumerate(rows)
    ]
    return items, 2.0 + high * NOTE_PITCH


def _drawn(facts: TrenchFacts, axes: _Axes) -> list[Item]:
    t, p = facts.trench, facts.trench.profile
    ground = [axes.at(s, z) for s, z in zip(p.at, p.ground, strict=True)]
    under = [(x, y - 1.6) for x, y in reversed(ground)]
    bottom = [axes.at(s, z - b) for s, z, b in zip(p.at, p.ground, p.bottom, strict=True)]
    top = [axes.at(s, z - d) for s, z, d in zip(p.at, p.ground, p.top, strict=True)]
    low = [axes.at(s, z - d - t.outer) for s, z, d in zip(p.at, p.ground, p.top, strict=True)]
    items: list[Item] = [Hatch(tuple(ground + under), "ground"),
                         *on("ground", [Polyline(tuple(ground), "medium")]),
                         Polyline(tuple(bottom), "thin"),
                         Polyline(tuple(top + low[::-1]), "medium", True, "dark"),
                         *_tape(p, axes), *_ends(facts, axes)]  # fmt: skip
    items += _by_hand(facts, axes)
    return items + _crossings(facts, axes)


def _tape(p: Profile, axes: _Axes) -> list[Item]:
    deep = _usual(p) - _RIBBON
    if float(deep.min()) <= 0.05:
        return []
    line = [axes.at(s, z - d) for s, z, d in zip(p.at, p.ground, deep, strict=True)]
    return [Polyline(tuple(_bends(line)), "hidden")]


def _usual(p: Profile) -> Array:
    """Depth of the conduit if it passed under nothing: the tape does not go down with it."""
    top = p.cover.copy()
    order = list(range(len(top)))
    for way in (order, order[::-1]):
        for j, i in pairwise(way):
            top[i] = max(top[i], top[j] - RAMP * abs(p.at[i] - p.at[j]))
    return np.minimum(top, p.top)


def _bends(line: list[Point]) -> list[Point]:
    """Without the places at which a joined line goes straight on: dashes start anew at each."""
    kept = line[:1]
    for before, here, after in zip(line, line[1:], line[2:], strict=False):
        one, two = np.subtract(here, before), np.subtract(after, here)
        if abs(one[0] * two[1] - one[1] * two[0]) > 1e-4:
            kept.append(here)
    return [*kept, line[-1]]


def _ends(facts: TrenchFacts, axes: _Axes) -> list[Item]:
    """The risers, cut off above the ground."""
    t, p = facts.trench, facts.trench.profile
    items: list[Item] = []
    for k, words, align in ((0, t.legs[0].start, "start"), (-1, say("Equipment"), "end")):
        s, z = float(p.at[k]), float(p.ground[k])
        low, high = axes.at(s, z - float(p.top[k])), axes.at(s, z)
        tip = (high[0], axes.at(0.0, float(p.ground.max()))[1] + 8.0)
        items += [
            Line(low, tip, "heavy"),
            Line((tip[0] - 1.5, tip[1] - 0.7), (tip[0] + 1.5, tip[1] + 0.7)),
        ]
        items.append(Text((tip[0], tip[1] + 2.0), words, align=align))  # type: ignore[arg-type]
    return items


def _by_hand(facts: TrenchFacts, axes: _Axes) -> list[Item]:
    """A barred strip over the ground where it is dug by hand."""
    p = facts.trench.profile
    items: list[Item] = []
    for piece in facts.trench.pieces:
        if not piece.hand:
            continue
        x0, x1 = axes.at(piece.start, 0.0)[0], axes.at(piece.end, 0.0)[0]
        y = axes.at(0.0, float(p.ground.max()))[1] + 2.0
        items.append(Polyline(((x0, y), (x1, y), (x1, y + 2.4), (x0, y + 2.4)), "thin", True))
        items += [Line((x, y), (x, y + 2.4)) for x in np.arange(x0, x1, 1.4).tolist()]
    return items


def _crossings(facts: TrenchFacts, axes: _Axes) -> list[Item]:
    """What is crossed, each with its number over it and a line down to it."""
    crossed = facts.trench.crossings
    xs = [axes.at(c.at, 0.0)[0] for c in crossed]
    places = spread(xs, [width(c.number, 2.5, True) for c in crossed], 1.6)
    y = axes.at(0.0, float(facts.trench.profile.ground.max()))[1] + _NUMBERS
    items: list[Item] = []
    for c, x, place in zip(crossed, xs, places, strict=True):
        marks, spot = _crossing(facts, c, axes)
        line = Polyline(((place, y - 0.9), (x, y - 5.0), (x, spot)), layer="dimensions")
        name = Text((place, y), c.number, align="middle", bold=True, clear=True)
        items += [line, *marks, name]
    return items


def _crossing(facts: TrenchFacts, c: Crossing, axes: _Axes) -> tuple[list[Item], float]:
    """A ring where its depth is known, else a line of question all the way down; and its top."""
    p = facts.trench.profile
    z = float(np.interp(c.at, p.at, p.ground))
    if c.top is None:
        a, b = axes.at(c.at, z), axes.at(c.at, axes.low)
        asked = Text((b[0] + 1.2, b[1] + 0.6), "?", bold=True, clear=True)
        return [Line(a, b, "frost"), asked], a[1]
    spot = axes.at(c.at, z - c.top - 0.5 * c.width)
    radius = max(0.5 * c.width * axes.up, 0.9)
    return [Circle(spot, radius, "medium", "paper")], spot[1] + radius


def _bands(facts: TrenchFacts) -> tuple[Band, ...]:
    t, p = facts.trench, facts.trench.profile
    at = [s.at for s in t.stations]

    def row(name: str, values: list[float]) -> Band:
        return Band(name, tuple(facts.length(v) for v in values))

    return (
        Band(say("Stake"), tuple(s.name for s in t.stations)),
        row(say("Along"), at),
        row(say("Conduit, top"), [float(np.interp(s, p.at, p.top)) for s in at]),
        row(say("Dig to"), [s.depth for s in t.stations]),
    )


def _notes(facts: TrenchFacts, times: int) -> tuple[str, ...]:
    t = facts.trench
    scale = (
        say("Heights are drawn {times} times as large as lengths.", times=times) if times > 1
        else say("Heights are drawn as large as lengths.")
    )  # fmt: skip
    return (
        f"{scale} " +
        say("Black: the conduit; under it the "
            "bottom of the trench, bedding below; barred strip: by hand; dashed: warning tape, "
            "recommended; dotted with a question mark: a service whose depth is not known."),
        say("Depths are down from the ground at the stake. Least cover by NFPA 70 Table 300.5(A), "
            "deepest {deep} to the bottom. Measure before the trench is closed.",
            deep=facts.length(float(t.profile.bottom.max()))),
        say("Nobody enters a trench that could bury them; see the cautions."),
    )  # fmt: skip
