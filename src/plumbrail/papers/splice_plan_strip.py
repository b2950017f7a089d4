"""One strip of the splice plan: a beam from its left end, with posts, rails, zones, splices."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from plumbrail.model.parts import Array, Model
from plumbrail.papers.chain import TOTAL, Chain
from plumbrail.papers.furniture import Area
from plumbrail.papers.layers import on, resting
from plumbrail.papers.names import ASLANT, named
from plumbrail.papers.placing import lettered_row, row_height
from plumbrail.papers.sheet import Dimension, Hatch, Item, Line, Point, Polyline, Scale, Text, View
from plumbrail.papers.wording import JobInfo, stations
from plumbrail.papers.words import say, tell

_BREAK = 6.0
_HEAD = 7.0
_LEAST = 3.9
"""Rail names nearer than this [mm] are left out, all but every second, fifth …"""


@dataclass(frozen=True)
class Joints:
    """Where the beams are joined, and how. Lengths [m] from the left end of each beam."""

    splices: tuple[tuple[float, ...], tuple[float, ...]]
    zones: tuple[tuple[tuple[float, float], ...], ...] | None = None
    """Where each beam may be spliced; None: not known."""
    sleeve: str = ""
    insertion: float | None = None
    """Length of sleeve in each beam end; None: not given."""


@dataclass(frozen=True)
class SpliceJob:
    """What is drawn, the same for every strip."""

    model: Model
    joints: Joints
    job: JobInfo

    def edges(self, row: int) -> tuple[float, ...]:
        """Ends of all pieces of a beam."""
        return (0.0, *self.joints.splices[row], self.model.beams.length)

    def nearest_post(self, row: int, place: float) -> tuple[str, float]:
        """The post nearest to a place on a beam, and where it stands."""
        supports = self.model.beams.supports[row]
        i = int(np.abs(supports - place).argmin())
        return self.model.posts.ids[row * self.model.stations + i], float(supports[i])


class SpliceStrip:
    """Sizes on paper of a beam between two stations (from 0), then the drawing."""

    def __init__(self, task: SpliceJob, row: int, scale: Scale, first: int, last: int) -> None:
        self.task, self.row, self.scale, self.first, self.last = task, row, scale, first, last
        self.model, self.job = task.model, task.job
        self.k = 1000.0 / scale.ratio
        supports, n = self.model.beams.supports[row], self.model.stations
        self.whole = last - first == n - 1
        broken = _BREAK / self.k
        self.low = 0.0 if first == 0 else float(supports[first]) - broken
        long = self.model.beams.length
        self.high = long if last == n - 1 else float(supports[last]) + broken
        self.posts = [float(s) for s in supports[first : last + 1]]
        self.ids = list(self.model.posts.ids[row * n + first : row * n + last + 1])
        ends = ([0.0] if first == 0 else []) + self.posts + ([long] if last == n - 1 else [])
        marks = sorted(set(ends))
        self.chain = Chain(tuple(marks), self.k, self.job)
        self.splices = self._here(task.joints.splices[row])
        edges = [e for e in task.edges(row) if self.low - 1e-9 <= e <= self.high + 1e-9]
        self.parts = Chain(tuple(edges), self.k, self.job) if len(edges) > 1 else None
        self._rails()
        self._heights()

    def _here(self, places: tuple[float, ...]) -> list[float]:
        return [s for s in places if self.low <= s <= self.high]

    def _rails(self) -> None:
        at = self.model.rails.on_beam[self.row]
        here = [(float(s), id) for s, id in zip(at, self.model.rails.ids, strict=True)
                 if self.low <= s <= self.high]  # fmt: skip
        self.rails = [s for s, _ in here]
        room = (self.high - self.low) * self.k
        step = next(n for n in (1, 2, 5, 10, 20, 50, 100)
                    if n == 100 or len(here[::n]) * _LEAST <= room)  # fmt: skip
        self.rail_names, self.named_rails = here[::step], here

    def _heights(self) -> None:
        """Heights on paper [mm] of what stands over and under the beam."""
        self.half = 0.5 * self.model.beams.section.OD * self.k
        self.ids_high = row_height(self._mm(self.posts), self.ids, bold=True)
        self.chain_up = self.half + 3.0 + self.ids_high + 2.5
        over = self.chain_up + self.chain.height
        self.top = over + (TOTAL if len(self.chain.bays) > 1 else 0.0) + _HEAD
        at, names = [s for s, _ in self.rail_names], [n for _, n in self.rail_names]
        self.rails_high = row_height(self._mm(at), names) if names else 0.0
        self.joints_down = self.half + 3.0 + self.rails_high + 2.0
        words = self._joint_words()
        self.joints_high = row_height(self._mm(self.splices), words) + 2.0 if words else 0.0
        self.near_down = self.joints_down + self.joints_high
        middles, said = self._near_words()
        self.near_high = row_height(self._mm(middles), said) + 7.0 if words else 0.0
        total = TOTAL if self.parts and len(self.parts.bays) > 1 else 0.0
        self.parts_down = self.near_down + self.near_high + (
            self.parts.height + total + 3.0 if self.parts else 0.0)  # fmt: skip
        middles, said = self._part_words()
        self.bottom = self.parts_down + 1.5 + row_height(self._mm(middles), said) + 1.0

    def _mm(self, places: list[float]) -> list[float]:
        return [s * self.k for s in places]

    def _joint_words(self) -> list[str]:
        every = self.task.joints.splices[self.row]
        return [
            say("splice {n} at {place}", n=every.index(s) + 1, place=self.job.length(s))
            for s in self.splices
        ]

    def _near(self, splice: float) -> tuple[float, str]:
        name, at = self.task.nearest_post(self.row, splice)
        return at, f"{name}: {self.job.length(abs(splice - at))}"

    def _near_words(self) -> tuple[list[float], list[str]]:
        """Middles between each splice and its nearest post, and the distance."""
        middles = [0.5 * (s + self._near(s)[0]) for s in self.splices]
        order = sorted(range(len(middles)), key=middles.__getitem__)
        return [middles[i] for i in order], [self._near(self.splices[i])[1] for i in order]

    def _part_words(self) -> tuple[list[float], list[str]]:
        """Middles of the visible parts of the pieces, and their names."""
        edges = self.task.edges(self.row)
        middles, words = [], []
        for i, (a, b) in enumerate(pairwise(edges)):
            low, high = max(a, self.low), min(b, self.high)
            if high - low > 1e-6:
                middles.append(0.5 * (low + high))
                many = len(edges) - 1
                words.append(say("in one piece") if many == 1
                             else say("part {n} of {parts}", n=i + 1, parts=many))  # fmt: skip
        return middles, words

    @property
    def pitch(self) -> float:
        """Least distance of neighbouring posts on paper [mm]."""
        return float(np.diff(self.posts).min()) * self.k

    @property
    def width(self) -> float:
        """Whole width on paper [mm]."""
        return (self.high - self.low) * self.k + 16.0

    @property
    def height(self) -> float:
        """Whole height on paper [mm]."""
        return self.top + self.bottom

    def drawn(self, area: Area) -> tuple[View, list[Item]]:
        """The strip in an area as high as itself."""
        left = area.left + 0.5 * (area.width - (self.high - self.low) * self.k)
        origin = (left - self.low * self.k, area.top - self.top)
        real = [*self._beam(), *self._zones(), *self._joints(), *self._marks()]
        real += self.chain.in_view(0.0, self.chain_up, self.half + 3.0 + self.ids_high + 0.5)
        if self.parts:
            real += self.parts.in_view(-self.parts_down / self.k, 0.2, 0.0)
        name = f"{tell(self.model.beams.ids[self.row])}, {stations(self.first, self.last)}"
        view = View(name, self.scale.ratio, origin, resting("beams", real), self._names())
        return view, self._words(view, area)

    def _names(self) -> tuple[Text, ...]:
        """Posts, rails, splices and pieces on the centre line of the beam."""
        middles, parts = self._part_words()
        rails = [(s, 0.0) for s, _ in self.named_rails]
        return (
            *named(self.ids, [(s, 0.0) for s in self.posts], ASLANT),
            *named([n for _, n in self.named_rails], rails, -90.0),
            *named(self._joint_words(), [(s, 0.0) for s in self.splices], 90.0),
            *named(parts, [(s, -self.parts_down / self.k) for s in middles], -ASLANT),
        )

    def _words(self, view: View, area: Area) -> list[Item]:
        y = view.origin[1]
        part = "" if self.whole else f", {stations(self.first, self.last)}"
        head = say("BACK BEAM seen from the front" if self.row
                   else "FRONT BEAM seen from the front") + part  # fmt: skip
        middle = 0.5 * (area.left + area.right)
        items: list[Item] = [Text((middle, area.top - 4.0), head, 3.0, "middle", bold=True)]

        def row(places: list[float], names: list[str], off: float, down: bool, edge: float,
                bold: bool = False) -> list[Item]:  # fmt: skip
            xs = [view.to_page((s, 0.0))[0] for s in places]
            return lettered_row(xs, names, y + off, down, y + edge, bold) if names else []

        over = self.half + 1.5
        items += row(self.posts, self.ids, over + 1.5, False, over, True)
        rails = [s for s, _ in self.rail_names]
        items += row(rails, [n for _, n in self.rail_names], -self.half - 3.0, True, -over)
        items += row(self.splices, self._joint_words(), -self.joints_down, True,
                     -self.joints_down + 1.0)  # fmt: skip
        middles, said = self._near_words()
        items += row(middles, said, -self.near_down - 5.0, True, -self.near_down - 3.0)
        middles, said = self._part_words()
        items += row(middles, said, -self.parts_down - 1.5, True, -self.parts_down)
        items += self.chain.on_page(view, 0.0, self.chain_up)
        if self.parts:
            items += self.parts.on_page(view, -self.parts_down / self.k, 0.2)
        return items

    def _box(self, low: float, high: float, half: float) -> tuple[Point, ...]:
        low, high = max(low, self.low), min(high, self.high)
        return ((low, -half), (high, -half), (high, half), (low, half))

    def _beam(self) -> list[Item]:
        half, w = self.half / self.k, 1.3 / self.k
        items = [*on("beams", [Polyline(self._box(self.low, self.high, half), "medium", True,
                                        "paper")])]  # fmt: skip
        broken = [self.low] * (self.first > 0)
        broken += [self.high] * (self.last < self.model.stations - 1)
        for x in broken:
            zigzag = ((x, -half - w), (x, -w), (x + w, -w / 2), (x - w, w / 2), (x, w),
                      (x, half + w))  # fmt: skip
            items.append(Polyline(zigzag))
        return items

    def _zones(self) -> list[Item]:
        items: list[Item] = []
        zones = self.task.joints.zones
        for a, b in zones[self.row] if zones else ():
            if min(b, self.high) - max(a, self.low) > 1e-6:
                corners = self._box(a, b, self.half / self.k)
                items += [Polyline(corners, "thin", True, "light"), Hatch(corners, "ground")]
        return items

    def _joints(self) -> list[Item]:
        items: list[Item] = []
        for s in self.splices:
            deep, up = -(self.near_down + 4.0) / self.k, (self.half + 1.2) / self.k
            items.append(Line((s, deep), (s, -up)))
            items += on("beams", [Line((s, -up), (s, up), "heavy")])
            if self.task.joints.insertion:
                reach = self.task.joints.insertion
                inside = self._box(s - reach, s + reach, 0.6 * self.half / self.k)
                items += on("beams", [Polyline(inside, "hidden", True)])
            at, _ = self._near(s)
            y = -(self.near_down + 3.0) / self.k
            start, end = sorted([(at, y), (s, y)])
            if abs(at - s) > 1e-9:
                items.append(Dimension(start, end, 0.0, ""))
        return items

    def _marks(self) -> list[Item]:
        """Posts over the beam, rails under it."""
        high, low = self.half / self.k, (self.half + 1.5) / self.k
        posts = [Line((s, high), (s, low), "heavy") for s in self.posts]
        rails = [Line((s, -high), (s, -low), "medium") for s in self.rails]
        return [*on("posts", posts), *on("rails", rails)]


def inside(zones: tuple[tuple[float, float], ...], place: float) -> tuple[float, float] | None:
    """The zone that holds a place, if any."""
    return next(((a, b) for a, b in zones if a - 1e-6 <= place <= b + 1e-6), None)


def nearest_rail(model: Model, row: int, place: float) -> tuple[str, float]:
    """The rail nearest to a place on a beam, and how far it is."""
    away: Array = np.abs(model.rails.on_beam[row] - place)
    i = int(away.argmin())
    return model.rails.ids[i], float(away[i])
