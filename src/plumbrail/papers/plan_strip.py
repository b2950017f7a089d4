"""One strip of the plan of holes: stations in a row, with everything drawn between them."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from plumbrail.model.parts import Array, Model
from plumbrail.papers.chain import TOTAL, Chain, side_dimension
from plumbrail.papers.furniture import Area
from plumbrail.papers.layers import on, resting
from plumbrail.papers.lettering import width
from plumbrail.papers.names import ASLANT, named
from plumbrail.papers.placing import Room, lettered_row, row_height
from plumbrail.papers.sheet import Circle, Item, Line, Point, Polyline, Scale, Text, View
from plumbrail.papers.wording import JobInfo, bearing, stations
from plumbrail.papers.words import say
from plumbrail.setout.stakes import Stakes

_WORD = 6.0
_BREAK = 5.0
"""How far a broken strip goes on beyond its last hole [mm]."""


@dataclass(frozen=True)
class StripJob:
    """What is drawn, the same for every strip."""

    model: Model
    stakes: Stakes
    job: JobInfo


class Strip:
    """Sizes on paper of stations ``first`` to ``last`` (from 0) at one scale, then the drawing."""

    def __init__(self, task: StripJob, scale: Scale, first: int, last: int) -> None:
        self.model, self.stakes, self.job, self.scale = task.model, task.stakes, task.job, scale
        self.k = 1000.0 / scale.ratio
        n = self.model.stations
        self.first, self.last, self.whole = first, last, last - first == n - 1
        self.front = [_pair(p) for p in self.stakes.xy[first : last + 1]]
        self.back = [_pair(p) for p in self.stakes.xy[n + first : n + last + 1]]
        self.front_ids = list(self.stakes.ids[first : last + 1])
        self.back_ids = list(self.stakes.ids[n + first : n + last + 1])
        self.radius = 0.5 * self.model.piers.diameter * self.k
        self.pins = [_pair(p) for p in self.stakes.base.pins]
        self._extent()
        self._above()
        self._below()
        words = [
            self.job.length(self.row_gap),
            self.job.length(abs(self.base_gap)),
            say("Pin {n}", n=2),
        ]
        self.side = max(width(w, 2.5, True) for w in words) + 12.0

    @property
    def pitch(self) -> float:
        """Least distance of neighbouring holes on paper [mm]."""
        xs = [p[0] for p in self.front]
        return self.k * min(b - a for a, b in itertools.pairwise(xs))

    @property
    def row_gap(self) -> float:
        """From the front to the back row [m]."""
        return self.back[-1][1] - self.front[-1][1]

    @property
    def base_gap(self) -> float:
        """From the base line to the front row along y [m], at pin 1."""
        return self.front[0][1] - self.pins[0][1]

    @property
    def level_base(self) -> bool:
        """The base line runs along the row."""
        return abs(float(self.stakes.base.along[1])) < 1e-9

    @property
    def width(self) -> float:
        """Whole width on paper [mm]."""
        return (self.high[0] - self.low[0]) * self.k + 2 * self.side

    @property
    def height(self) -> float:
        """Whole height on paper [mm]."""
        return (self.high[1] - self.low[1]) * self.k + self.top + self.bottom

    def _extent(self) -> None:
        """Real rectangle that is drawn; a broken end stops a little beyond its hole."""
        plane = self.model.plane
        deep = plane.slope_length * float(plane.up_slope[1])
        right = plane.x_left + plane.row_length
        xs = [plane.x_left, right, *(p[0] for p in self.pins)]
        ys = [plane.low_y, plane.low_y + deep, *(p[1] for p in self.pins + self.front + self.back)]
        ends = [self.front[0][0], self.front[-1][0]]
        broken = _BREAK / self.k
        left_end = min(xs + ends) if self.first == 0 else ends[0] - broken
        at_end = self.last == self.model.stations - 1
        right_end = max(xs + ends) if at_end else ends[1] + broken
        self.low, self.high = (left_end, min(ys)), (right_end, max(ys))
        self.outline = (plane.x_left, plane.low_y, right, plane.low_y + deep)

    def _above(self) -> None:
        """Heights [mm] over the back row: ids, chain, total, heading."""
        xs = [p[0] * self.k for p in self.back]
        self.chain = Chain(tuple(p[0] for p in self.back), self.k, self.job)
        over = (self.high[1] - max(p[1] for p in self.back)) * self.k
        self.ids_up = self.radius + 1.5
        self.ids_top = self.ids_up + row_height(xs, self.back_ids, bold=True) + 0.5
        self.chain_up = max(self.ids_top + 2.0, over + 3.0)
        top = self.chain_up + self.chain.height + (TOTAL if len(self.chain.bays) > 1 else 0.0)
        self.top = max(top - over, 8.0) + _WORD + 1.0

    def _below(self) -> None:
        """Where the ids of the front row go: over the base line if there is room, else under it."""
        xs = [p[0] * self.k for p in self.front]
        ids = row_height(xs, self.front_ids, bold=True)
        row = min(p[1] for p in self.front)
        pins = [p[1] for p in self.pins]
        beneath = (row - self.low[1]) * self.k
        space = (row - max(pins)) * self.k
        # A base line that crosses the row aslant is left to run behind the ids.
        cramped = self.level_base and 0.0 < space < self.radius + ids + 4.0
        self.ids_down = beneath + 2.0 if cramped else self.radius + 1.5
        self.under = max(self.ids_down + ids - beneath, 3.5) + 1.5
        self.bottom = self.under + (2 if self.first == 0 else 1) * _WORD

    def drawn(self, area: Area) -> tuple[View, list[Item]]:
        """The strip in the middle of an area as high as itself."""
        left = area.left + 0.5 * (area.width - self.width) + self.side
        origin = (left - self.low[0] * self.k, area.bottom + self.bottom - self.low[1] * self.k)
        name = f"{say('plan')}, {stations(self.first, self.last)}"
        y = max(p[1] for p in self.back)
        real = self._lines() + self._holes() + self._dimensions()
        real += self.chain.in_view(y, self.chain_up, self.ids_top)
        view = View(name, self.scale.ratio, origin, resting("beams", real), self._names())
        words = self._words(view, area) + self.chain.on_page(view, y, self.chain_up)
        return view, words + self._labels(view, area, words)

    def _clipped(self, a: Point, b: Point) -> tuple[Point, Point] | None:
        """The part of a line between the two ends of the strip; None when nothing is left."""
        low, high = self.low[0], self.high[0]
        if a[0] > b[0]:
            a, b = b, a
        if a[0] > high or b[0] < low:
            return None

        def at(x: float) -> Point:
            x = min(max(x, low), high)
            share = (x - a[0]) / (b[0] - a[0]) if b[0] > a[0] else 0.0
            return x, a[1] + share * (b[1] - a[1])

        return (a, b) if a[0] >= low and b[0] <= high else (at(a[0]), at(b[0]))

    def _lines(self) -> list[Item]:
        x0, y0, x1, y1 = self.outline
        beams = self.model.beams
        wanted = [((x0, y0), (x1, y0), "hidden", "modules"),
                  ((x0, y1), (x1, y1), "hidden", "modules"),
                  ((x0, y0), (x0, y1), "hidden", "modules"),
                  ((x1, y0), (x1, y1), "hidden", "modules"),
                  (self.pins[0], self.pins[1], "base", "setting out")]  # fmt: skip
        wanted += [(_pair(a), _pair(b), "centre", "beams")
                   for a, b in zip(beams.start, beams.end, strict=True)]  # fmt: skip
        if self.whole:
            wanted += [(self.front[0], self.back[-1], "thin", "setting out"),
                       (self.front[-1], self.back[0], "thin", "setting out")]  # fmt: skip
        clipped = [(self._clipped(a, b), pen, layer) for a, b, pen, layer in wanted]
        lines = [Line(*ends, pen, layer) for ends, pen, layer in clipped if ends]
        return lines + self._breaks()

    def _breaks(self) -> list[Item]:
        """Zigzag lines where the row goes on in another strip."""
        y0, y1 = self.low[1], self.high[1]
        ends = []
        if self.first > 0:
            ends.append(self.low[0])
        if self.last < self.model.stations - 1:
            ends.append(self.high[0])
        w, middle = 1.2 / self.k, 0.5 * (y0 + y1)
        return [
            Polyline(((x, y0), (x, middle - 2 * w), (x + w, middle - w), (x - w, middle + w),
                      (x, middle + 2 * w), (x, y1)))
            for x in ends
        ]  # fmt: skip

    def _holes(self) -> list[Item]:
        items: list[Item] = []
        reach = 2.0 / self.k
        for x, y in self._pins_here():
            items += on("setting out", [
                Line((x - reach, y), (x + reach, y)), Line((x, y - reach), (x, y + reach)),
                Circle((x, y), 1.0 / self.k, "medium", "dark"),
            ])  # fmt: skip
        cross = (self.radius + 0.8) / self.k
        for x, y in self.front + self.back:
            hole = Circle((x, y), 0.5 * self.model.piers.diameter, "medium", "paper")
            marks = [Line((x - cross, y), (x + cross, y)), Line((x, y - cross), (x, y + cross))]
            items += [*on("piers", [hole]), *on("setting out", marks)]
        return items

    def _pins_here(self) -> list[Point]:
        return [p for p in self.pins if self.low[0] - 1e-9 <= p[0] <= self.high[0] + 1e-9]

    def _dimensions(self) -> list[Item]:
        """Row to row at the right end, base line to front row at the left end."""
        items: list[Item] = []
        (x, y), (_, high) = self.front[-1], self.back[-1]
        out = (self.high[0] - x) * self.k + 6.0
        if self.last == self.model.stations - 1:
            words = self.job.length(self.row_gap)
            items.append(side_dimension((x, y), (x, high), -out, words, self.k))
        if self.first == 0 and self.level_base and abs(self.base_gap) * self.k > 2.0:
            x, y = min(self.pins)
            aside = (x - self.low[0]) * self.k + 6.0
            words = self.job.length(abs(self.base_gap))
            offset = aside if self.base_gap > 0 else -aside
            items.append(side_dimension((x, y), (x, y + self.base_gap), offset, words, self.k))
        return items

    def _names(self) -> tuple[Text, ...]:
        """Holes at their centres, and pins."""
        pins = self._pins_here()
        names = [say("Pin {n}", n=self.pins.index(p) + 1) for p in pins]
        return (
            *named(self.front_ids, self.front, ASLANT),
            *named(self.back_ids, self.back, ASLANT), *named(names, pins, ASLANT),
        )  # fmt: skip

    def _words(self, view: View, area: Area) -> list[Item]:
        """Ids of the holes, front and back, the base line."""
        low = view.to_page((0.0, min(p[1] for p in self.front)))[1]
        high = view.to_page((0.0, max(p[1] for p in self.back)))[1]
        front_x = [view.to_page(p)[0] for p in self.front]
        back_x = [view.to_page(p)[0] for p in self.back]
        items = lettered_row(
            front_x, self.front_ids, low - self.ids_down, True, low - self.radius, True
        )
        items += lettered_row(
            back_x, self.back_ids, high + self.ids_up, False, high + self.radius, True
        )
        base, middle = self.stakes.base, 0.5 * (area.left + area.right)
        line = say(
            "Base line {length} from pin 1 to pin 2, bearing {bearing} from true north",
            length=self.job.said(base.length), bearing=bearing(base.bearing),
        )  # fmt: skip
        part = "" if self.whole else f" · {stations(self.first, self.last)}"
        under = view.to_page(self.low)[1] - self.under - 3.5
        heads = [
            Text((middle, area.top - 3.5), f"{say('BACK · high edge')}{part}", 3.0, "middle",
                 bold=True)
        ]  # fmt: skip
        if self.first == 0:
            heads.append(Text((middle, under), line, align="middle"))
            under -= _WORD
        low_edge = say("FRONT · low edge")
        heads.append(Text((middle, under), low_edge, 3.0, "middle", bold=True))
        return [*items, *heads]

    def _labels(self, view: View, area: Area, items: list[Item]) -> list[Item]:
        """Names of pins and lengths of diagonals, where the page is still free."""
        room = Room(area, [m for m in items if isinstance(m, Text)])
        room.avoid(view)
        for hole in self.front + self.back:
            room.keep_clear(view.to_page(hole), self.radius + 0.8)
        found: list[Item] = []
        for pin in self._pins_here():
            i = self.pins.index(pin)
            outward = "left" if pin == min(self.pins) else "right"
            sides = ("below", outward, "above")
            name = say("Pin {n}", n=i + 1)
            found += room.beside(view.to_page(pin), name, sides, bold=True)
        lines = self.stakes.lines
        for i in lines.of("diagonal") if self.whole else ():
            ends = (self.stakes.xy[lines.start[i]], self.stakes.xy[lines.end[i]])
            a, b = (view.to_page(_pair(p)) for p in ends)
            words = f"{lines.ids[i]}: {self.job.length(float(lines.level[i]))}"
            label = room.on_line(a, b, words)
            found += [label] if label is not None else []
        return found


def _pair(point: Array) -> Point:
    return float(point[0]), float(point[1])
