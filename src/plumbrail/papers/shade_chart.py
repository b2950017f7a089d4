"""The sun's paths over what stands around, as seen from one module."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.papers.boxes import text_box
from plumbrail.papers.furniture import Area
from plumbrail.papers.placing import Room
from plumbrail.papers.shade_chart_outlines import Outline, outlines
from plumbrail.papers.sheet import Hatch, Item, Polyline, Text
from plumbrail.papers.words import say
from plumbrail.papers.yield_axes import Axes
from plumbrail.papers.yield_facts import Facts
from plumbrail.papers.yield_words import bearing_words, short_months
from plumbrail.site.sun import Place, sun_at
from plumbrail.weather.year import DAYS, NEW_YEAR

Array = NDArray[np.float64]

_DAY = 21
_LEFT, _RIGHT, _FOOT, _HEAD = 12.0, 7.0, 13.0, 3.0
_STEPS = 12
"""Places of the sun in an hour."""


@dataclass(frozen=True)
class _Paths:
    """The sun on the 21st of each month. Angles in degrees."""

    bearing: Array
    """(12, steps), running through north without a jump."""
    height: Array
    hour: Array
    """(steps,) standard time [h]."""

    @property
    def up(self) -> NDArray[np.bool_]:
        """(12, steps) over the horizon."""
        return self.height > 0


def module_point(f: Facts, module: int) -> Array:
    """(3,) middle of a module's points."""
    own = f.patches.module[f.patches.patch] == module
    return np.asarray(f.patches.xyz[own].mean(axis=0))


def shade_chart(f: Facts, module: int, area: Area) -> list[Item]:
    """Skyline, things, the sun's paths with hours of clock time, and where the array's back is."""
    paths = _paths(f)
    first = 15.0 * np.floor((paths.bearing[paths.up].min() - 5) / 15)
    last = 15.0 * np.ceil((paths.bearing[paths.up].max() + 5) / 15)
    top = 10.0 * np.ceil((paths.height.max() + 4) / 10)
    axes = Axes(area.left + _LEFT, area.bottom + _FOOT, area.width - _LEFT - _RIGHT,
                area.height - _FOOT - _HEAD, (first, last), (0.0, top))  # fmt: skip
    room = Room(Area(axes.left + 0.6, axes.bottom + 0.6, axes.right - 0.6, axes.top - 0.6))
    things = outlines(f, module_point(f, module), first, last, top)
    items = _scales(axes)
    items += [_thing(axes, t) for t in things]
    items += _skyline(f, axes)
    items += _behind(f, axes)
    items += _lines(f, paths, axes, room)
    items += _names(things, axes, room)
    return [*items, axes.frame()]


def _paths(f: Facts) -> _Paths:
    y = f.year
    hour = np.arange(24 * _STEPS + 1) / _STEPS
    days = np.concatenate([[0], np.cumsum(DAYS)[:-1]]) + _DAY - 1
    begin = NEW_YEAR - y.utc_offset + 86400.0 * days
    moments = begin[:, None] + 3600.0 * hour
    sun = sun_at(Place(y.latitude, y.longitude, y.elevation), moments.ravel())
    bearing = _through_north(f, np.degrees(sun.bearing)).reshape(moments.shape)
    return _Paths(bearing, np.degrees(sun.height).reshape(moments.shape), hour)


def _scales(axes: Axes) -> list[Item]:
    ups = np.arange(0.0, axes.y[1] + 1, 10.0)
    turns = np.arange(np.ceil(axes.x[0] / 15) * 15, axes.x[1] + 1, 15.0)
    items = axes.up(list(ups), [f"{u:.0f}°" for u in ups])
    items += axes.along(list(turns), [bearing_words(int(t)) for t in turns], grid=False)
    middle = 0.5 * (axes.left + axes.right)
    items.append(Text((middle, axes.bottom - 9.6), say("Bearing from true north"),
                      align="middle"))  # fmt: skip
    items.append(Text((axes.left - 9.5, 0.5 * (axes.bottom + axes.top)),
                      say("Height above level"), align="middle", angle=90.0))  # fmt: skip
    return items


def _thing(axes: Axes, thing: Outline) -> Item:
    corners = [(float(b), float(h)) for b, h in thing.corners]
    if thing.clear:
        return axes.area(corners, "hidden")
    return axes.area(corners, "medium", "light")


def _skyline(f: Facts, axes: Axes) -> list[Item]:
    """The land, hatched."""
    if f.around.horizon is None:
        return []
    bearings = np.arange(axes.x[0], axes.x[1] + 0.5, 1.0)
    heights = np.clip(np.degrees(f.around.horizon.at(np.radians(bearings))), 0.0, axes.y[1])
    points = [axes.at(float(b), float(h)) for b, h in zip(bearings, heights, strict=True)]
    corners = (axes.at(axes.x[0], 0.0), *points, axes.at(axes.x[1], 0.0))
    return [Hatch(corners, "ground"), Polyline(tuple(points), "medium")]


def _behind(f: Facts, axes: Axes) -> list[Item]:
    """Below this line the sun is behind the modules."""
    plane = f.model.plane
    bearings = np.arange(axes.x[0], axes.x[1] + 0.5, 1.0)
    fall = -np.tan(plane.tilt) * np.cos(np.radians(bearings) - plane.azimuth)
    height = np.degrees(np.arctan(fall))
    items: list[Item] = []
    shown = (height >= 0) & (height <= axes.y[1])
    cuts = np.flatnonzero(np.diff(np.concatenate([[False], shown, [False]]).astype(int)))
    for begin, end in zip(cuts[::2], cuts[1::2], strict=True):
        if end - begin > 1:
            items.append(axes.line(bearings[begin:end], height[begin:end], "centre"))
    return items


def _lines(f: Facts, paths: _Paths, axes: Axes, room: Room) -> list[Item]:
    """A path for each month from December to June, the other six within a degree of them; hours
    run across."""
    months = (0, 1, 2, 3, 4, 5, 11)
    items: list[Item] = []
    for m in months:
        up = paths.up[m]
        if up.any():
            pen = "medium" if m in (5, 11) else "thin"
            items += _runs(axes, paths.bearing[m], paths.height[m], up, pen)
    items += _hours(f, axes, room)
    for m in months:
        items += _month_name(paths, axes, room, m)
    return items


def _runs(axes: Axes, x: Array, y: Array, shown: NDArray[np.bool_], pen: str) -> list[Item]:
    cuts = np.flatnonzero(np.diff(np.concatenate([[False], shown, [False]]).astype(int)))
    return [
        axes.line(x[a:b], y[a:b], pen)
        for a, b in zip(cuts[::2], cuts[1::2], strict=True)
        if b - a > 1
    ]


def _hours(f: Facts, axes: Axes, room: Room) -> list[Item]:
    """Each hour of standard time from December to June; clock time at both ends."""
    y = f.year
    days = np.arange(-11.0, 172.0, 7.0)  # 21 December to 21 June, of days from 1 January
    hours = np.arange(24.0)
    moments = NEW_YEAR - y.utc_offset + 86400.0 * days + 3600.0 * hours[:, None]
    sun = sun_at(Place(y.latitude, y.longitude, y.elevation), moments.ravel())
    x, up = _through_north(f, np.degrees(sun.bearing)), np.degrees(sun.height)
    x, up = x.reshape(moments.shape), up.reshape(moments.shape)
    ends = (0, -1) if y.latitude >= 0 else (-1, 0)
    items: list[Item] = []
    for h in range(24):
        if (up[h] > 0).sum() < 2:
            continue
        items += _runs(axes, x[h], up[h], up[h] > 0, "frost")
        for at, side in zip(ends, (-3.6, 1.0), strict=True):
            if up[h, at] > 0:
                px, py = axes.at(float(x[h, at]), float(up[h, at]))
                clock = _clock(f, int(days[at]), h)
                items += _put(Text((px, py + side), clock, align="middle", clear=True), room)
    return items


def _clock(f: Facts, day: int, hour: int) -> str:
    ahead = float(f.ahead[24 * (day % 365) + hour])
    return str((hour + round(ahead / 3600)) % 24)


def _put(text: Text, room: Room) -> list[Item]:
    """The text where it is free, else nothing."""
    if not room.free(text):
        return []
    room.boxes.append(text_box(text))
    return [text]


def _through_north(f: Facts, bearing: Array) -> Array:
    """South of the equator the paths run through north, without a jump."""
    if f.year.latitude >= 0:
        return bearing
    return np.where(bearing > 180, bearing - 360, bearing)


def _month_name(paths: _Paths, axes: Axes, room: Room, m: int) -> list[Item]:
    """The name of a path on it, away from noon."""
    up = np.flatnonzero(paths.up[m])
    twin = {0: 10, 1: 9, 2: 8, 3: 7, 4: 6}.get(m)
    names = short_months()
    words = names[m] if twin is None else f"{names[m]} {names[twin]}"
    for share in (0.72, 0.28, 0.65, 0.35, 0.8, 0.2, 0.6, 0.4, 0.86, 0.14):
        if not len(up):
            return []
        i = int(up[int(share * (len(up) - 1))])
        x, y = axes.at(float(paths.bearing[m, i]), float(paths.height[m, i]))
        text = Text((x, y - 1.25), words, align="middle", bold=True, clear=True)
        if found := _put(text, room):
            return found
    return []


def _names(things: list[Outline], axes: Axes, room: Room) -> list[Item]:
    items: list[Item] = []
    named: set[str] = set()
    for t in sorted(things, key=lambda t: -t.top[1]):
        if t.name in named:
            continue
        named.add(t.name)
        x, y = axes.at(*t.top)
        x = min(max(x, axes.left + 2), axes.right - 2)
        items += room.beside((x, min(y, axes.top - 4)), t.name, ("above", "right", "left", "below"),
                             bold=True)  # fmt: skip
    return items
