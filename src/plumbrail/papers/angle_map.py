"""Tilt by azimuth with lines of equal light: how much, or how little, the angle matters."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from plumbrail.papers.angle_map_lines import level_lines
from plumbrail.papers.boxes import text_box
from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import fit
from plumbrail.papers.placing import Room
from plumbrail.papers.sheet import Circle, Item, Line, Text
from plumbrail.papers.words import figures, say, tell
from plumbrail.papers.yield_axes import Axes
from plumbrail.papers.yield_facts import Facts
from plumbrail.papers.yield_words import angle, bearing_words, compass, month_of_band

Array = NDArray[np.float64]

LOSSES = (0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
"""Lines drawn, as shares lost against the best of the map."""
_FINE = 1.0
_LEFT, _RIGHT, _FOOT, _HEAD = 12.0, 6.0, 14.0, 8.0


@dataclass(frozen=True)
class _Map:
    """Light by angles, fine enough to draw. Angles in degrees."""

    tilts: Array
    azimuths: Array
    light: Array
    """(tilts, azimuths) over the best."""

    @property
    def best(self) -> tuple[float, float]:
        """Azimuth and tilt of the best place."""
        t, a = np.unravel_index(int(self.light.argmax()), self.light.shape)
        return float(self.azimuths[a]), float(self.tilts[t])


def maps(f: Facts, area: Area) -> list[Item]:
    """The year on the left, the worst month on the right."""
    gap = 4.0
    half = 0.5 * (area.width - gap)
    month = f.band.worst_month - 1
    year = f.map.energy.sum(axis=2)
    left = Area(area.left, area.bottom, area.left + half, area.top)
    right = Area(area.right - half, area.bottom, area.right, area.top)
    return [
        *_drawn(f, _fine(f, year), say("Light of the year"), left),
        *_drawn(f, _fine(f, f.map.energy[:, :, month]),
                say("Light of {month}", month=tell(month_of_band(f))), right),
    ]  # fmt: skip


def _fine(f: Facts, light: Array) -> _Map:
    tilts, azimuths = np.degrees(f.map.tilts), np.degrees(f.map.azimuths)
    t = np.arange(tilts[0], tilts[-1] + 1e-9, _FINE)
    a = np.arange(azimuths[0], azimuths[-1] + 1e-9, _FINE)
    found = CubicSpline(tilts, CubicSpline(azimuths, light, axis=1)(a), axis=0)(t)
    best = max(float(found.max()), 1e-9)
    return _Map(t, a, np.asarray(found / best))


def _drawn(f: Facts, m: _Map, title: str, area: Area) -> list[Item]:
    axes = Axes(area.left + _LEFT, area.bottom + _FOOT, area.width - _LEFT - _RIGHT,
                area.height - _FOOT - _HEAD, (float(m.azimuths[0]), float(m.azimuths[-1])),
                (0.0, float(m.tilts[-1])))  # fmt: skip
    room = Room(Area(axes.left + 1, axes.bottom + 1, axes.right - 1, axes.top - 1))
    items: list[Item] = [Text((area.left, axes.top + 3.0), fit(title, area.width, 3.0, True), 3.0,
                              bold=True)]  # fmt: skip
    items += _band(f, axes)
    marks = _points(f, m, axes, room)
    items += _levels(m, axes, room)
    items += [*_scales(m, axes), axes.frame(), *marks]
    return items


def _scales(m: _Map, axes: Axes) -> list[Item]:
    tilts = list(range(0, 91, 15))
    wide = m.azimuths[-1] - m.azimuths[0] > 200
    first = int(np.ceil(m.azimuths[0] / 45)) * 45
    turns = list(range(first, int(m.azimuths[-1]) + 1, 90 if wide else 45))
    items = axes.up([float(t) for t in tilts], [f"{t}°" for t in tilts], grid=False)
    items += axes.along([float(a) for a in turns], [bearing_words(a) for a in turns], grid=False)
    middle = 0.5 * (axes.left + axes.right)
    items.append(Text((middle, axes.bottom - 10.0), say("Azimuth: direction the modules face"),
                      align="middle"))  # fmt: skip
    items.append(Text((axes.left - 9.5, 0.5 * (axes.bottom + axes.top)), say("Tilt"),
                      align="middle", angle=90.0))  # fmt: skip
    return items


def _band(f: Facts, axes: Axes) -> list[Item]:
    """The plan's band of tilts as a grey strip, its azimuth as a broken line."""
    items: list[Item] = []
    azimuth = _turned(degrees(f.model.plane.azimuth), axes)
    band = f.band.planned
    if band is not None and band.high > band.low:
        low, high = degrees(band.low), degrees(band.high)
        left, right = axes.x
        items.append(axes.area(((left, low), (right, low), (right, high), (left, high)), "thin",
                               "light"))  # fmt: skip
    items.append(Line(axes.at(azimuth, axes.y[0]), axes.at(azimuth, axes.y[1]), "hidden"))
    return items


def _points(f: Facts, m: _Map, axes: Axes, room: Room) -> list[Item]:
    """The plan's angles in a ring, the best in a cross, both named."""
    plane = f.model.plane
    plan = axes.at(_turned(degrees(plane.azimuth), axes), degrees(plane.tilt))
    best = axes.at(*m.best)
    for place in (plan, best):
        room.keep_clear(place, 1.6)
    items: list[Item] = [Circle(plan, 1.3, "heavy", "paper")]
    arm = 1.6
    items += [
        Line((best[0] - arm, best[1] - arm), (best[0] + arm, best[1] + arm), "heavy"),
        Line((best[0] - arm, best[1] + arm), (best[0] + arm, best[1] - arm), "heavy"),
    ]
    words = say("plan {tilt}, {azimuth}", tilt=figures(angle(plane.tilt)),
                azimuth=compass(plane.azimuth))  # fmt: skip
    said = say("best {tilt}, {azimuth}", tilt=f"{m.best[1]:.0f}°",
               azimuth=f"{m.best[0] % 360:.0f}°")  # fmt: skip
    lower, upper = (
        ((words, plan), (said, best)) if plan[1] <= best[1] else ((said, best), (words, plan))
    )
    items += room.beside(lower[1], lower[0], ("below", "right", "left", "above"))
    items += room.beside(upper[1], upper[0], ("above", "right", "left", "below"))
    return items


def _turned(azimuth: float, axes: Axes) -> float:
    return axes.x[0] + (azimuth - axes.x[0]) % 360.0


def _levels(m: _Map, axes: Axes, room: Room) -> list[Item]:
    """Lines and their labels; the first line heavier, it holds the angles that hardly matter."""
    items: list[Item] = []
    for k, loss in enumerate(LOSSES):
        for line in level_lines(m.azimuths, m.tilts, m.light, 1.0 - loss):
            pen = "medium" if k == 0 else "thin"
            points = np.array([axes.at(*p) for p in line])
            items.append(axes.line(line[:, 0], line[:, 1], pen))
            items += _label(points, f"−{100 * loss:.0f} %", room)
    return items


def _label(points: Array, words: str, room: Room) -> list[Item]:
    """Words on a line where nothing else stands, nearest to a third of its length."""
    if float(np.hypot(*np.ptp(points, axis=0))) < 9.0:
        return []
    wanted = len(points) / 3.0
    for i in sorted(range(len(points)), key=lambda i: abs(i - wanted)):
        x, y = (float(v) for v in points[i])
        text = Text((x, y - 1.25), words, align="middle", clear=True)
        if room.free(text):
            room.boxes.append(text_box(text))
            return [text]
    return []
