"""One strip of an elevation: posts of one row between two stations, ground, holes and figures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.model.parts import Array, IntArray, Model
from plumbrail.papers import bands
from plumbrail.papers.bands import Band
from plumbrail.papers.chain import TOTAL, Chain
from plumbrail.papers.furniture import Area
from plumbrail.papers.layers import on, resting
from plumbrail.papers.lettering import width
from plumbrail.papers.names import ASLANT, named
from plumbrail.papers.placing import lettered_row, row_height
from plumbrail.papers.shapes import box, braces
from plumbrail.papers.sheet import Hatch, Item, Line, Point, Polyline, Scale, Text, View
from plumbrail.papers.wording import JobInfo, stations
from plumbrail.papers.words import later, say, tell

_BREAK = 5.0
_HEAD = 7.0
_FROST = later("frost line")
_SOIL = 2.5


@dataclass(frozen=True)
class ElevationJob:
    """What is drawn, the same for every strip."""

    model: Model
    job: JobInfo
    frost_depth: float | None
    splices: tuple[Array, Array]
    """Distances of splices from the left end of the front and of the back beam [m]."""
    tabled: bool = False
    """The figures of the posts stand in a table of their own, not under the posts."""


def figures(model: Model, job: JobInfo, index: IntArray) -> tuple[Band, ...]:
    """What is said of each post, ids first."""
    posts, piers = model.posts, model.piers

    def row(name: str, values: Array) -> Band:
        return Band(name, tuple(job.length(float(v)) for v in values[index]))

    return (
        Band(say("Post"), tuple(posts.ids[k] for k in index)),
        row(say("Ground over F1"), posts.ground - posts.ground[0]),
        row(say("Post over ground"), posts.out_of_ground),
        row(say("Hole depth"), piers.depth),
        row(say("Post cut length"), posts.length),
    )


class ElevationStrip:
    """Sizes on paper of one row (0 front, 1 back) from ``first`` to ``last``, then the drawing."""

    def __init__(self, task: ElevationJob, row: int, scale: Scale, first: int, last: int) -> None:
        self.task, self.row, self.scale, self.first, self.last = task, row, scale, first, last
        self.model, self.job = task.model, task.job
        self.k = 1000.0 / scale.ratio
        n = self.model.stations
        self.whole = last - first == n - 1
        self.index = np.arange(row * n + first, row * n + last + 1)
        self.x = self.model.posts.xy[self.index, 0]
        self.y = float(self.model.posts.xy[self.index[0], 1])
        self._extent()
        self.bands = self._bands()
        xs = [float(x) * self.k for x in self.x]
        self.bands_height = bands.bands_height(self.bands, xs)
        wide = 0.5 * max(width(w, 2.5) for band in self.bands for w in band.words) + 1.5
        room = max(wide - (self.x[0] - self.low_x) * self.k, 0.0)
        frost = width(say(_FROST), 2.5) + 4.0
        self.names = max(bands.names_width(self.bands) + room, frost)
        self.beyond = max(wide - (self.high_x - self.x[-1]) * self.k, 4.0)
        self.chain = Chain(tuple(float(x) for x in self.x), self.k, self.job)
        at = [(self.left_of_beam + float(s)) * self.k for s in self.splices]
        self.splice_height = row_height(at, self._splice_words()) + 5.0 if at else 0.0

    def _extent(self) -> None:
        beams, n = self.model.beams, self.model.stations
        self.left_of_beam = float(beams.start[self.row, 0])
        half, broken = 0.5 * self.model.piers.diameter, _BREAK / self.k
        right_of_beam = float(beams.end[self.row, 0])
        self.low_x = min(self.left_of_beam, self.x[0] - half) if self.first == 0 else (
            self.x[0] - broken)  # fmt: skip
        self.high_x = max(right_of_beam, self.x[-1] + half) if self.last == n - 1 else (
            self.x[-1] + broken)  # fmt: skip
        self.low_z = float(self.model.piers.bottom[self.index].min())
        if self.task.frost_depth is not None:
            self.low_z = min(self.low_z, self._frost(self.low_x) - 3.0 / self.k)
        self.high_z = float(self.model.posts.beam_centre[self.index].max())
        self.high_z += 0.5 * beams.section.OD
        spots = self.left_of_beam + self.task.splices[self.row]
        here = (spots >= self.low_x) & (spots <= self.high_x)
        self.splices = self.task.splices[self.row][here]

    def _frost(self, x: float) -> float:
        """Height of the frost line."""
        return float(self.model.terrain.height(x, self.y)) - (self.task.frost_depth or 0.0)

    def _bands(self) -> tuple[Band, ...]:
        found = figures(self.model, self.job, self.index)
        return found[:1] if self.task.tabled else found

    def _splice_words(self) -> list[str]:
        return [say("splice {place}", place=self.job.length(float(s))) for s in self.splices]

    @property
    def pitch(self) -> float:
        """Least distance of neighbouring posts on paper [mm]."""
        return float(np.diff(self.x).min()) * self.k

    @property
    def width(self) -> float:
        """Whole width on paper [mm]."""
        return float(self.high_x - self.low_x) * self.k + self.names + self.beyond + 2.0

    @property
    def height(self) -> float:
        """Whole height on paper [mm]."""
        return (self.high_z - self.low_z) * self.k + self._top + self.bands_height + 4.0

    @property
    def _top(self) -> float:
        total = TOTAL if len(self.chain.bays) > 1 else 0.0
        return _HEAD + self.splice_height + self.chain.height + total + 5.0

    def drawn(self, area: Area) -> tuple[View, list[Item]]:
        """The strip in an area as high as itself."""
        spare = 0.5 * (area.width - self.width)
        left = area.left + spare + self.names
        bottom = area.top - self._top - (self.high_z - self.low_z) * self.k
        origin = (left - float(self.low_x) * self.k + 2.0, bottom - self.low_z * self.k)
        chain_up = self.splice_height + 3.0
        real = self._ground() + self._holes() + self._beam()
        real += self.chain.in_view(self.high_z, chain_up, max(self.splice_height, 1.0))
        view = View(self._name(), self.scale.ratio, origin, resting("beams", real), self._names())
        words = self.chain.on_page(view, self.high_z, chain_up) + self._splices(view)
        xs = [view.to_page((float(x), 0.0))[0] for x in self.x]
        right = view.to_page((float(self.high_x), 0.0))[0] + self.beyond
        words += bands.drawn(self.bands, xs, area.left + spare, right, bottom - 3.0)
        return view, [*words, *self._heading(area, view)]

    def _name(self) -> str:
        row = say("back row" if self.row else "front row")
        return f"{row}, {stations(self.first, self.last)}"

    def _names(self) -> tuple[Text, ...]:
        """Posts at the ground, splices on the beam, and the beam at its left end."""
        posts, beams = self.model.posts, self.model.beams
        ids = [posts.ids[i] for i in self.index]
        feet = [(self.x[k], posts.ground[i]) for k, i in enumerate(self.index)]
        z = float(beams.start[self.row, 2])
        joints = [(self.left_of_beam + float(s), z) for s in self.splices]
        beam = named([tell(beams.ids[self.row])], [(self.low_x, z)])
        return named(ids, feet, ASLANT) + named(self._splice_words(), joints, 90.0) + beam

    def _heading(self, area: Area, view: View) -> list[Item]:
        part = "" if self.whole else f", {stations(self.first, self.last)}"
        words = say(
            "BACK row seen from the front{part}" if self.row
            else "FRONT row seen from the front{part}", part=part,
        )  # fmt: skip
        items: list[Item] = [
            Text((0.5 * (area.left + area.right), area.top - 4.0), words, 3.0, "middle", bold=True)
        ]
        if self.task.frost_depth is not None:
            x, y = view.to_page((float(self.low_x), self._frost(self.low_x)))
            items.append(Text((x - 2.0, y - 1.2), say(_FROST), align="end"))
        return items

    def _surface(self) -> Array:
        """(points, 2) x and ground height along the row."""
        x = np.union1d(np.linspace(self.low_x, self.high_x, 61), self.x)
        return np.column_stack([x, self.model.terrain.height(x, self.y)])

    def _ground(self) -> list[Item]:
        surface = self._surface()
        soil = _SOIL / self.k
        line = _points(surface)
        under = tuple((x, z - soil) for x, z in reversed(line))
        items: list[Item] = [
            Hatch(line + under, "ground"), *on("ground", [Polyline(line, "medium")])
        ]  # fmt: skip
        if self.task.frost_depth is not None:
            items.append(Polyline(tuple((x, z - self.task.frost_depth) for x, z in line), "frost"))
        return items

    def _holes(self) -> list[Item]:
        posts, piers = self.model.posts, self.model.piers
        items = _braced(braces(self.model, self.index.tolist(), 0))
        for i, x in zip(self.index, self.x, strict=True):
            ground = float(posts.ground[i])
            pier = box(float(x), piers.diameter, float(piers.bottom[i]), ground + piers.above_grade)
            post = box(float(x), posts.section.OD, float(posts.foot[i]), float(posts.top[i]))
            items += [*on("piers", [Polyline(pier, "medium", True, "paper")]),
                      Hatch(pier, "concrete"),
                      *on("posts", [Polyline(post, "medium", True, "paper")])]  # fmt: skip
        return items

    def _beam(self) -> list[Item]:
        beams = self.model.beams
        z, half = float(beams.start[self.row, 2]), 0.5 * beams.section.OD
        low = max(self.left_of_beam, float(self.low_x))
        high = min(float(beams.end[self.row, 0]), float(self.high_x))
        box = ((low, z - half), (high, z - half), (high, z + half), (low, z + half))
        items: list[Item] = [Polyline(box, "medium", True, "paper")]
        reach = half + 1.0 / self.k
        for s in self.splices:
            x = self.left_of_beam + float(s)
            items.append(Line((x, z - reach), (x, z + reach), "heavy"))
        broken = [low] * (self.first > 0) + [high] * (self.last < self.model.stations - 1)
        w = 1.3 / self.k
        for x in broken:
            zigzag = ((x, z - 3 * w), (x, z - w), (x + w, z - w / 2), (x - w, z + w / 2),
                      (x, z + w), (x, z + 3 * w))  # fmt: skip
            items.append(Polyline(zigzag))
        return list(on("beams", items))

    def _splices(self, view: View) -> list[Item]:
        if not len(self.splices):
            return []
        top = view.to_page((0.0, self.high_z))[1] + 1.2
        xs = [view.to_page((self.left_of_beam + float(s), 0.0))[0] for s in self.splices]
        return lettered_row(xs, self._splice_words(), top + 1.6, down=False, from_y=top)


def _points(array: Array) -> tuple[Point, ...]:
    return tuple((float(x), float(z)) for x, z in array)


def _braced(items: list[Item]) -> list[Item]:
    """Braces on their layer, their names among the words."""
    return [i if isinstance(i, Text) else on("braces", [i])[0] for i in items]
