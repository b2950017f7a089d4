"""Section through one station, seen from the right end: tilt, heights, clearance, holes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import degrees, tan

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.model.parts import Model
from plumbrail.papers.chain import side_dimension
from plumbrail.papers.furniture import drawing_area, finished, notes, numbered, scale_bar
from plumbrail.papers.layers import on, resting
from plumbrail.papers.lettering import width
from plumbrail.papers.names import ASLANT, named
from plumbrail.papers.placing import Room, spread
from plumbrail.papers.shapes import box, braces
from plumbrail.papers.sheet import (
    Arc,
    Circle,
    Hatch,
    Item,
    Line,
    Page,
    Point,
    Polyline,
    Scale,
    Sheet,
    Text,
    View,
    best_scale,
)
from plumbrail.papers.wording import JobInfo, angle
from plumbrail.papers.words import say, tell

_LEFT, _RIGHT, _TOP, _BOTTOM = 30.0, 42.0, 22.0, 24.0
"""Room for dimensions round the section [mm]."""
_EDGE = 9.0
"""From an edge of the modules to the line of its height [mm]."""
_BEYOND = 0.3
"""Ground drawn beyond the edges of the modules [m]."""


def section(
    model: Model, job: JobInfo, page: Page, station: int = 1, frost_depth: float | None = None
) -> tuple[Sheet, ...]:
    """One sheet; raises RangeError for a station that is not there, ValueError for a small page."""
    if not 1 <= station <= model.stations:
        raise RangeError(f"station {station} is not one of 1 to {model.stations}")
    said, area = notes(drawing_area(page), _notes(model, job, frost_depth))
    area = replace(area, bottom=area.bottom + 9.0)
    cut = _Cut(model, job, station, frost_depth)
    room = (area.width - _LEFT - _RIGHT, area.height - _TOP - _BOTTOM)
    wide, high = cut.high[0] - cut.low[0], cut.high[1] - cut.low[1]
    scale = best_scale(wide, high, room, job.units)
    k = 1000.0 / scale.ratio
    origin = (
        area.left + _LEFT + 0.5 * (room[0] - wide * k) - cut.low[0] * k,
        area.bottom + _BOTTOM + 0.5 * (room[1] - high * k) - cut.low[1] * k,
    )
    title = say("Section at station {n}", n=station)
    view = View(title, scale.ratio, origin, resting("posts", cut.drawn(scale)), cut.names())
    free = Room(area, [m for m in said if isinstance(m, Text)])
    free.avoid(view)
    items = (
        said
        + cut.tilt_words(view, free)
        + scale_bar((area.left + 6, area.bottom - 7.0), scale, job)
    )
    return numbered([finished(title, page, job, scale, (view,), items)])


def _notes(model: Model, job: JobInfo, frost_depth: float | None) -> tuple[str, ...]:
    frost = (
        say("Frost depth was not given: no frost line is drawn.") if frost_depth is None
        else say("Frost line {depth} below grade.", depth=job.said(frost_depth))
    )  # fmt: skip
    return (
        say("Seen from the right end of the row. Lengths in {unit}; slope length on the underside "
            "of the modules. Tilt {tilt}. {frost}", unit=job.unit, tilt=angle(model.plane.tilt),
            frost=frost),
        say("Least clearance of the modules over the ground, anywhere: {clear}.",
            clear=job.said(model.clearance)),
    )  # fmt: skip


@dataclass(frozen=True)
class _Cut:
    """The section in metres: y to the right (to the back), z up."""

    model: Model
    job: JobInfo
    station: int
    frost_depth: float | None

    @property
    def pair(self) -> tuple[int, int]:
        """Indices of the front and the back post."""
        return self.station - 1, self.model.stations + self.station - 1

    @property
    def edge(self) -> tuple[Point, Point]:
        """Low and high edge of the modules."""
        ends = self.model.plane.point(0.0, np.array([0.0, self.model.plane.slope_length]))
        return (float(ends[0, 1]), float(ends[0, 2])), (float(ends[1, 1]), float(ends[1, 2]))

    @property
    def low(self) -> Point:
        """Lower left corner of what is drawn."""
        bottom = float(self.model.piers.bottom[list(self.pair)].min())
        left = self.edge[0][0] - _BEYOND
        if self.frost_depth is None:
            return left, bottom
        frost = min(self.ground(y) for y in (left, self.high[0])) - self.frost_depth
        return left, min(bottom, frost)

    @property
    def high(self) -> Point:
        """Upper right corner of what is drawn."""
        return self.edge[1][0] + _BEYOND, self.edge[1][1]

    def ground(self, y: float) -> float:
        """Ground height at the station."""
        x = self.model.posts.xy[self.pair[0], 0]
        return float(self.model.terrain.height(x, y))

    def drawn(self, scale: Scale) -> list[Item]:
        """Everything, dimensions for the given scale."""
        k = 1000.0 / scale.ratio
        return (
            self._soil(k)
            + self._steel()
            + self._heights(k)
            + self._names(k)
            + self._lengths(k)
            + self._tilt(k)
        )

    def _soil(self, k: float) -> list[Item]:
        ys = np.linspace(self.low[0], self.high[0], 61)
        line = tuple((float(y), self.ground(float(y))) for y in ys)
        under = tuple((y, z - 3.0 / k) for y, z in reversed(line))
        items: list[Item] = [
            Hatch(line + under, "ground"), *on("ground", [Polyline(line, "medium")])
        ]  # fmt: skip
        if self.frost_depth is not None:
            frost = tuple((y, z - self.frost_depth) for y, z in line)
            items.append(Polyline(frost, "frost"))
            at = (frost[0][0] - 2.0 / k, frost[0][1] - 1.2 / k)
            items.append(Text(at, say("frost line"), align="end"))
        return items

    def _steel(self) -> list[Item]:
        posts, piers, beams = self.model.posts, self.model.piers, self.model.beams
        items: list[Item] = []
        for row, i in enumerate(self.pair):
            y = float(posts.xy[i, 1])
            top = float(posts.ground[i]) + piers.above_grade
            pier = box(y, piers.diameter, float(piers.bottom[i]), top)
            post = box(y, posts.section.OD, float(posts.foot[i]), float(posts.top[i]))
            items += [*on("piers", [Polyline(pier, "medium", True, "paper")]),
                      Hatch(pier, "concrete"),
                      *on("posts", [Polyline(post, "medium", True, "paper")])]  # fmt: skip
            centre = (float(beams.start[row, 1]), float(beams.start[row, 2]))
            items += on("beams", [Circle(centre, 0.5 * beams.section.OD, "medium", "paper")])
        rail = self.model.rails
        ends = [(float(p[0, 1]), float(p[0, 2])) for p in (rail.start, rail.end)]
        held = _braced(braces(self.model, self.pair, 1))
        return [*held, *items, *on("rails", [Line(ends[0], ends[1], "medium")]),
                *on("modules", [Line(*self.edge, "heavy")])]  # fmt: skip

    def _heights(self, k: float) -> list[Item]:
        """Post over ground, hole depth, clearance and height of the high edge."""
        posts, piers = self.model.posts, self.model.piers
        items: list[Item] = []
        for i, off in zip(self.pair, self._offsets(k), strict=True):
            y, ground = float(posts.xy[i, 1]), float(posts.ground[i])
            for low, high in ((ground, float(posts.top[i])), (float(piers.bottom[i]), ground)):
                words = self.job.length(high - low)
                items.append(side_dimension((y, low), (y, high), off, words, k))
        for (y, z), off in zip(self.edge, (_EDGE, -_EDGE), strict=True):
            words = self.job.length(z - self.ground(y))
            items.append(side_dimension((y, self.ground(y)), (y, z), off, words, k))
        return items

    def _offsets(self, k: float) -> Point:
        """Offsets [mm] of the heights of the front and of the back post, clear of all others."""
        posts = self.model.posts
        front, back = (float(posts.xy[i, 1]) for i in self.pair)
        edge = 0.5 * self.model.piers.diameter * k
        aside = edge + 7.0
        beyond = (self.edge[1][0] - back) * k + _EDGE
        back_off = aside if beyond - aside > 6.0 else beyond + 8.0
        before, between = (front - self.edge[0][0]) * k + _EDGE, (back - front) * k
        short = float(posts.out_of_ground[self.pair[0]]) * k < 26.0  # its words would turn
        left = between - aside < edge + 6.0 and before - aside > 6.0 and not short
        return (aside if left else -aside), -back_off

    def _names(self, k: float) -> list[Item]:
        """Under each hole: its post, the post's cut length, the width of the hole."""
        posts, piers = self.model.posts, self.model.piers
        hole = say("hole {width} wide", width=self.job.length(piers.diameter))
        names = [
            say("{post}: {length} long", post=posts.ids[i],
                length=self.job.length(float(posts.length[i])))
            for i in self.pair
        ]  # fmt: skip
        wanted = [float(posts.xy[i, 1]) * k for i in self.pair]
        places = spread(wanted, [width(name, 2.5, True) for name in names], 3.0)
        items: list[Item] = []
        for i, y, name in zip(self.pair, places, names, strict=True):
            low = float(piers.bottom[i])
            if self.frost_depth is not None:
                low = min(low, self.low[1])
            items.append(Text((y / k, low - 5.0 / k), name, align="middle", bold=True))
            items.append(Text((y / k, low - 9.5 / k), hole, align="middle"))
        return items

    def names(self) -> tuple[Text, ...]:
        """Posts at the ground, beams at their centres."""
        posts, beams = self.model.posts, self.model.beams
        feet = [(posts.xy[i, 1], posts.ground[i]) for i in self.pair]
        ids = [posts.ids[i] for i in self.pair]
        return named(ids, feet, ASLANT) + named([tell(b) for b in beams.ids], beams.start[:, 1:])

    def _lengths(self, k: float) -> list[Item]:
        posts, plane = self.model.posts, self.model.plane
        front, back = (float(posts.xy[i, 1]) for i in self.pair)
        z = self.low[1] - 12.0 / k
        ends = self.edge
        return [
            side_dimension((front, z), (back, z), -5.0, self.job.length(back - front), k),
            side_dimension(ends[0], ends[1], 7.0, self.job.length(plane.slope_length), k),
            Text((ends[0][0] - 20.0 / k, ends[1][1] + 8.0 / k), say("FRONT"), 3.0, bold=True),
            Text((ends[1][0] + 12.0 / k, ends[1][1] + 8.0 / k), say("BACK"), 3.0, bold=True),
        ]

    def _reach(self) -> float:
        """Distance from the low edge to midway between the posts."""
        middle = 0.5 * sum(float(self.model.posts.xy[i, 1]) for i in self.pair)
        return middle - self.edge[0][0]

    def _tilt(self, k: float) -> list[Item]:
        """A level line and an arc at the low edge."""
        (y, z), radius = self.edge[0], self._reach() + 8.0 / k
        return list(on("dimensions", [
            Line((y, z), (y + radius + 3.0 / k, z)),
            Arc((y, z), radius, 0.0, degrees(self.model.plane.tilt)),
        ]))  # fmt: skip

    def tilt_words(self, view: View, room: Room) -> list[Item]:
        """The tilt, written inside its angle where the page is free; the notes say it anyway."""
        tilt, (y, z) = self.model.plane.tilt, self.edge[0]
        for share in (1.0, 0.85, 0.7, 1.15, 1.3, 0.55, 1.45):
            run = share * self._reach()
            at = view.to_page((y + run, z + 0.5 * run * tan(tilt)))
            text = Text((at[0], at[1] - 1.25), angle(tilt), align="middle", clear=True)
            if room.free(text):
                return [text]
        return []


def _braced(items: list[Item]) -> list[Item]:
    """Braces on their layer, their names among the words."""
    return [i if isinstance(i, Text) else on("braces", [i])[0] for i in items]
