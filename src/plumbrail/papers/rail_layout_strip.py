"""Some columns of the array seen square to the modules: rails, modules, clamps, clamp zones."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from plumbrail.model.parts import Array, Model
from plumbrail.papers.chain import side_dimension
from plumbrail.papers.furniture import Area
from plumbrail.papers.layers import on, resting
from plumbrail.papers.lettering import width
from plumbrail.papers.names import named
from plumbrail.papers.placing import lettered_row, row_height
from plumbrail.papers.sheet import (
    Circle,
    Dimension,
    Hatch,
    Item,
    Line,
    Point,
    Polyline,
    Scale,
    Text,
    View,
)
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say, tell

_RIGHT, _FOOT = 6.0, 5.0
_ZONE = 1.7
"""Depth of a hatched clamp zone on paper [mm]."""
_RAIL = 1.1
"""Width of a rail on paper [mm]."""


@dataclass(frozen=True)
class RailJob:
    """What is drawn, the same for every strip."""

    model: Model
    job: JobInfo
    clamp_zone: tuple[float, float]
    """Shares of the module side, from each of its ends."""

    @property
    def corners(self) -> Array:
        """(modules, 4, 2) along the row from the front beam's left end, up the slope."""
        plane, beams = self.model.plane, self.model.beams
        off = self.model.modules.corners - plane.point(0.0, 0.0)
        start = (beams.start[0] - plane.point(0.0, 0.0)) @ plane.row
        return np.stack([off @ plane.row - start, off @ plane.up_slope], axis=-1)

    @property
    def rails(self) -> Array:
        """(rails,) place of each rail along the front beam."""
        return self.model.rails.on_beam[0]

    @property
    def clamps(self) -> Array:
        """(rails,) mid clamps on each; there are two end clamps besides."""
        return np.full(len(self.rails), int(self.model.modules.row.max()) - 1)

    @property
    def outside(self) -> tuple[str, ...]:
        """Rails whose clamps lie outside the zone of the modules."""
        low, high = self.clamp_zone
        share = np.minimum(self.model.rails.clamp_share, 1.0 - self.model.rails.clamp_share)
        bad = (share < low - 1e-9) | (share > high + 1e-9)
        return tuple(id for id, wrong in zip(self.model.rails.ids, bad, strict=True) if wrong)


class RailStrip:
    """Sizes on paper of columns ``first`` to ``last`` (from 1) at one scale, then the drawing."""

    def __init__(self, task: RailJob, scale: Scale, first: int, last: int) -> None:
        self.task, self.scale, self.first, self.last = task, scale, first, last
        self.model, self.job, self.k = task.model, task.job, 1000.0 / scale.ratio
        modules, rails = task.model.modules, task.model.rails
        self.at_left = first == 1
        self.at_right = last == int(modules.column.max())
        keep = (modules.column >= first) & (modules.column <= last)
        self.corners = task.corners[keep]
        self.module_ids = [id for id, k in zip(modules.ids, keep, strict=True) if k]
        kept = (rails.column >= first) & (rails.column <= last)
        self.index = np.flatnonzero(kept)
        self.rails = [float(x) for x in task.rails[self.index]]
        self.ids = [rails.ids[i] for i in self.index]
        u = self.corners[..., 0]
        self.module_ends = (float(u.min()), float(u.max()))
        self.low = min(self.module_ends[0], *([0.0] if self.at_left else []), self.rails[0])
        long = task.model.beams.length
        self.high = max(self.module_ends[1], *([long] if self.at_right else []), self.rails[-1])
        self.top_v = float(self.corners[..., 1].max())
        xs = [x * self.k for x in self.rails]
        self.words = [self.job.length(x) for x in self.rails]
        self.ids_high = row_height(xs, self.ids, bold=True)
        self.words_high = row_height(xs, self.words)
        self.under = 3.0 + self.ids_high + 2.0 + self.words_high

    @property
    def pitch(self) -> float:
        """Least distance of neighbouring rails on paper [mm]."""
        return min((b - a for a, b in pairwise(self.rails)), default=1e3) * self.k

    @property
    def width(self) -> float:
        """Whole width on paper [mm]; words pushed apart count."""
        crowd = 3.9 * len(self.rails)
        return max((self.high - self.low) * self.k, crowd) + self.aside + _RIGHT

    @property
    def height(self) -> float:
        """Whole height on paper [mm]."""
        return self.top_v * self.k + self.head + self.under + _FOOT

    @property
    def aside(self) -> float:
        """At the left of the modules, for the lengths of the rails [mm]."""
        whole = self._lengths()[-1]
        return 3.0 + whole.offset + (width(whole.text, 2.5) + 3.0 if whole.turned else 4.5)

    @property
    def head(self) -> float:
        """Over the modules: overhangs, turned or not, and the heading [mm]."""
        turned = [width(m.text, 2.5) for m in self._overhangs() if m.turned]
        return 15.0 + max(turned, default=0.0)

    def drawn(self, area: Area) -> tuple[View, list[Item]]:
        """The strip in an area as high as itself."""
        spare = 0.5 * (area.width - self.aside - _RIGHT - (self.high - self.low) * self.k)
        left = area.left + self.aside + spare
        origin = (left - self.low * self.k, area.bottom + self.under + _FOOT)
        items = [*self._modules(), *self._rails(), *self._clamps(), *self._beams(),
                 *self._lengths(), *self._overhangs()]  # fmt: skip
        view = View(self._columns(), self.scale.ratio, origin, resting("rails", items),
                    self._names(items))  # fmt: skip
        return view, self._words(view, area)

    def _columns(self) -> str:
        return say("columns {first} to {last}", first=self.first, last=self.last)

    def _names(self, items: list[Item]) -> tuple[Text, ...]:
        """Rails along themselves, beams at their left, modules too small for their names."""
        said = {i.text for i in items if isinstance(i, Text)}
        small = [(id, c.min(axis=0)) for id, c in zip(self.module_ids, self.corners, strict=True)
                 if id not in said]  # fmt: skip
        crossing = [float(c[self.index[0]]) for c in self.model.rails.crossing]
        beams = [(self.low, v) for v in crossing]
        return (
            *named(self.ids, [(x, 0.0) for x in self.rails], 90.0),
            *named([id for id, _ in small], [corner for _, corner in small]),
            *named([tell(b) for b in self.model.beams.ids], beams),
        )

    def _words(self, view: View, area: Area) -> list[Item]:
        y = view.origin[1]
        xs = [view.to_page((x, 0.0))[0] for x in self.rails]
        items = lettered_row(xs, self.ids, y - 3.0, True, y - 1.8, True)
        low = y - 3.0 - self.ids_high - 2.0
        items += lettered_row(xs, self.words, low, True, low + 1.5)
        part = "" if self.at_left and self.at_right else f", {self._columns()}"
        middle = 0.5 * (area.left + area.right)
        high = say("HIGH EDGE · BACK")
        low_edge = say("LOW EDGE · FRONT · rails from the left end of the front beam")
        items.append(Text((middle, area.top - 4.0), f"{high}{part}", 3.0, "middle", bold=True))
        items.append(Text((middle, area.bottom), low_edge, align="middle", bold=True))
        return items

    def _rails(self) -> list[Item]:
        rails, half = self.model.rails, 0.5 * _RAIL / self.k
        long = rails.length
        found = [
            Polyline(((x - half, 0.0), (x + half, 0.0), (x + half, long), (x - half, long)),
                     "thin", True, "light")
            for x in self.rails
        ]  # fmt: skip
        return list(on("rails", found))

    def _modules(self) -> list[Item]:
        items: list[Item] = []
        for id, corners in zip(self.module_ids, self.corners, strict=True):
            (a, low), (b, high) = corners.min(axis=0), corners.max(axis=0)
            box = _box(float(a), float(b), float(low), float(high))
            items += on("modules", [Polyline(box, "thin", True), *self._zones(corners)])
            wide, tall = float(b - a) * self.k, float(high - low) * self.k
            at = (0.5 * float(a + b), 0.5 * float(low + high) - 1.25 / self.k)
            if width(id, 2.5) + 3.0 <= wide and tall > 3.2 + 2 * _ZONE:
                items.append(Text(at, id, align="middle", clear=True))
            elif width(id, 2.5) + 2 * _ZONE + 3.0 <= tall and wide > 4.5:
                turned = (0.5 * float(a + b) + 1.25 / self.k, 0.5 * float(low + high))
                items.append(Text(turned, id, align="middle", angle=90.0, clear=True))
        return items

    def _zones(self, corners: Array) -> list[Item]:
        """The ranges of a module's low and high side where clamps may sit."""
        (a, low), (b, high) = (tuple(map(float, c)) for c in (corners.min(axis=0),
                                                            corners.max(axis=0)))  # fmt: skip
        deep = min(_ZONE / self.k, 0.3 * (high - low))
        items: list[Item] = []
        for first, last in (self.task.clamp_zone,
                            tuple(1.0 - s for s in self.task.clamp_zone[::-1])):  # fmt: skip
            u = (a + first * (b - a), a + last * (b - a))
            for v in ((low, low + deep), (high - deep, high)):
                zone = _box(*u, *v)
                items += [Polyline(zone, "thin", True, "light"), Hatch(zone, "ground")]
        return items

    def _clamps(self) -> list[Item]:
        """End clamps as open squares, mid clamps as dots."""
        rows = sorted({(round(float(c[:, 1].min()), 6), round(float(c[:, 1].max()), 6))
                       for c in self.corners})  # fmt: skip
        middles = [0.5 * (a[1] + b[0]) for a, b in pairwise(rows)]
        s = 0.75 / self.k
        items: list[Item] = []
        for x in self.rails:
            for v in (rows[0][0] - s, rows[-1][1] + s):
                items.append(Polyline(_box(x - s, x + s, v - s, v + s), "medium", True, "paper"))
            items += [Circle((x, v), s, "medium", "dark") for v in middles]
        return list(on("modules", items))

    def _beams(self) -> list[Item]:
        """Centre lines of both beams, to their ends or broken off."""
        low = 0.0 if self.at_left else self.low - 4.0 / self.k
        high = self.model.beams.length if self.at_right else self.high + 4.0 / self.k
        crossing = [float(c[self.index[0]]) for c in self.model.rails.crossing]
        return list(on("beams", [Line((low, v), (high, v), "centre") for v in crossing]))

    def _lengths(self) -> list[Dimension]:
        """Overhangs and span of the rails, and their length, at the left."""
        i, rails = self.index[0], self.model.rails
        marks = [0.0, float(rails.crossing[0, i]), float(rails.crossing[1, i]), rails.length]
        x, job = self.low - 2.0 / self.k, self.job
        items = [
            side_dimension((x, a), (x, b), 4.0, job.length(b - a), self.k)
            for a, b in pairwise(marks)
            if b - a > 1e-9
        ]
        turned = [width(d.text, 2.5) + 4.0 for d in items if d.turned]
        outer = 4.0 + max([9.0, *turned])
        whole = side_dimension((x, 0.0), (x, rails.length), outer, job.length(rails.length), self.k)
        return [*items, whole]

    def _overhangs(self) -> list[Dimension]:
        """From the ends of the front beam to the edges of the modules."""
        pairs = [(0.0, self.module_ends[0])] * self.at_left
        pairs += [(self.model.beams.length, self.module_ends[1])] * self.at_right
        items: list[Dimension] = []
        for a, b in pairs:
            if abs(a - b) * self.k > 0.3:
                ends = (min(a, b), self.top_v), (max(a, b), self.top_v)
                words = self.job.length(abs(a - b))
                items.append(side_dimension(*ends, 4.5, words, self.k))
        return items


def _box(left: float, right: float, low: float, high: float) -> tuple[Point, ...]:
    return ((left, low), (right, low), (right, high), (left, high))
