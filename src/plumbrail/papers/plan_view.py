"""The plan of holes to scale: rows, pins, base line, diagonals and the dimensions of a row."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.model.parts import Model
from plumbrail.papers.chain import TOTAL, Chain, side_dimension
from plumbrail.papers.furniture import Area, north_arrow, scale_bar
from plumbrail.papers.lettering import width
from plumbrail.papers.placing import Room, lettered_row, row_height
from plumbrail.papers.sheet import (
    SCALES,
    Circle,
    Item,
    Line,
    Point,
    Polyline,
    Scale,
    Text,
    View,
)
from plumbrail.papers.wording import JobInfo, bearing
from plumbrail.setout.stakes import Stakes

_BAR = 9.0
_WORD = 6.0
_ARROW = 25.0


@dataclass(frozen=True)
class PlanView:
    """A plan drawn: its scale, its view, and the words set on the page."""

    scale: Scale
    view: View
    items: list[Item]


def plan_view(model: Model, stakes: Stakes, job: JobInfo, area: Area) -> PlanView:
    """The plan at the largest scale that fits; raises ValueError when none does."""
    for scale in SCALES[job.units]:
        layout = _Layout(model, stakes, job, scale)
        if layout.width <= area.width and layout.height <= area.height:
            return layout.drawn(area)
    raise ValueError("the plan does not fit at any standard scale; take a larger page")


class _Layout:
    """Sizes on paper for one scale, then the drawing itself."""

    def __init__(self, model: Model, stakes: Stakes, job: JobInfo, scale: Scale) -> None:
        self.model, self.stakes, self.job, self.scale = model, stakes, job, scale
        self.k = 1000.0 / scale.ratio
        n = model.stations
        self.front, self.back = stakes.xy[:n], stakes.xy[n:]
        plane = model.plane
        deep = plane.slope_length * float(plane.up_slope[1])
        self.outline: tuple[Point, ...] = tuple(
            (plane.x_left + a * plane.row_length, plane.low_y + b * deep)
            for a, b in ((0, 0), (1, 0), (1, 1), (0, 1))
        )
        spots = [*map(tuple, stakes.xy), *map(tuple, stakes.base.pins), *self.outline]
        self.low = tuple(float(min(s[i] for s in spots)) for i in (0, 1))
        self.high = tuple(float(max(s[i] for s in spots)) for i in (0, 1))
        self.radius = 0.5 * model.piers.diameter * self.k
        self.chain = Chain(tuple(float(x) for x in self.back[:, 0]), self.k, job)
        self.row_gap = float(self.back[-1, 1] - self.front[-1, 1])
        self._sides()
        self._above()
        self._below()

    def _sides(self) -> None:
        words = [self.job.length(self.row_gap), self.job.length(abs(self.base_gap))]
        self.side = max(width(w, 2.5) for w in words) + 14.0

    @property
    def base_gap(self) -> float:
        """From the base line to the front row along y [m], at pin 1."""
        return float(self.front[0, 1] - self.stakes.base.pins[0, 1])

    @property
    def parallel(self) -> bool:
        """The base line runs along the row."""
        return abs(float(self.stakes.base.along[1])) < 1e-9

    def _above(self) -> None:
        """Offsets [mm] over the back row: ids, chain, total, word."""
        xs = [float(x) * self.k for x in self.back[:, 0]]
        over = (self.high[1] - float(self.back[:, 1].max())) * self.k
        self.ids_up = self.radius + 1.5
        ids = row_height(xs, list(self.stakes.ids[self.model.stations :]), bold=True)
        self.chain_up = max(self.ids_up + ids + 2.0, over + 3.0)
        top = self.chain_up + self.chain.height + (TOTAL if len(self.chain.bays) > 1 else 0.0)
        self.top = max(top - over, 8.0) + _WORD + 3.0

    def _below(self) -> None:
        """Where the ids of the front row go: over the base line if there is room, else under it."""
        xs = [float(x) * self.k for x in self.front[:, 0]]
        ids = row_height(xs, list(self.stakes.ids[: self.model.stations]), bold=True)
        lowest_row = float(self.front[:, 1].min())
        pins = self.stakes.base.pins[:, 1]
        space = (lowest_row - float(pins.max())) * self.k
        beneath = (lowest_row - self.low[1]) * self.k
        cramped = float(pins.min()) < lowest_row and space < self.radius + ids + 4.0
        self.ids_down = beneath + 2.0 if cramped else self.radius + 1.5
        under = max(self.ids_down + ids - beneath, 0.0)
        self.words_down = beneath + under + 4.0
        self.bottom = under + 4.0 + 2 * _WORD + _BAR

    @property
    def width(self) -> float:
        """Whole width on paper [mm]."""
        return (self.high[0] - self.low[0]) * self.k + 2 * self.side

    @property
    def height(self) -> float:
        """Whole height on paper [mm]."""
        return (self.high[1] - self.low[1]) * self.k + self.top + self.bottom

    def drawn(self, area: Area) -> PlanView:
        """The plan in the middle of the area."""
        spare = 0.5 * (area.height - self.height)
        left = area.left + 0.5 * (area.width - self.width) + self.side
        origin = (
            left - self.low[0] * self.k,
            area.bottom + spare + self.bottom - self.low[1] * self.k,
        )
        view = View("plan", self.scale.ratio, origin, ())
        y_back = float(self.back[0, 1])
        real = self._lines() + self.chain.in_view(y_back, self.chain_up) + self._dimensions()
        view = replace(view, items=tuple(real))
        words = self._words(view, area)
        words += self.chain.on_page(view, y_back, self.chain_up)
        words += scale_bar((area.left + 6, area.bottom + 1.0), self.scale, self.job)
        arrow = (area.right - 12.0, area.bottom + 14.0)
        words += north_arrow(arrow, self.stakes.base.row_bearing)
        return PlanView(self.scale, view, words)

    def _lines(self) -> list[Item]:
        pins = [(float(x), float(y)) for x, y in self.stakes.base.pins]
        beams = self.model.beams
        items: list[Item] = [Polyline(self.outline, "hidden", closed=True)]
        items += [
            Line((float(a[0]), float(a[1])), (float(b[0]), float(b[1])), "centre")
            for a, b in zip(beams.start, beams.end, strict=True)
        ]
        n = self.model.stations
        hole = [(float(x), float(y)) for x, y in self.stakes.xy]
        items += [Line(hole[0], hole[2 * n - 1]), Line(hole[n - 1], hole[n])]
        items.append(Line(pins[0], pins[1], "base"))
        reach = 2.0 / self.k
        for x, y in pins:
            items += [
                Line((x - reach, y), (x + reach, y)), Line((x, y - reach), (x, y + reach)),
                Circle((x, y), 1.0 / self.k, "medium", "dark"),
            ]  # fmt: skip
        cross = (self.radius + 0.8) / self.k
        for x, y in hole:
            items.append(Circle((x, y), 0.5 * self.model.piers.diameter, "medium", "paper"))
            items += [Line((x - cross, y), (x + cross, y)), Line((x, y - cross), (x, y + cross))]
        return items

    def _dimensions(self) -> list[Item]:
        front, back = self.front[-1], self.back[-1]
        out = (self.high[0] - float(front[0])) * self.k + 6.0
        items: list[Item] = [side_dimension(
            (float(front[0]), float(front[1])), (float(front[0]), float(back[1])), -out,
            self.job.length(self.row_gap), self.k,
        )]  # fmt: skip
        if self.parallel and abs(self.base_gap) * self.k > 2.0:
            x, y = (float(v) for v in self.stakes.base.pins[0])
            aside = (x - self.low[0]) * self.k + 6.0
            up = self.base_gap > 0
            items.append(side_dimension(
                (x, y), (x, y + self.base_gap), aside if up else -aside,
                self.job.length(abs(self.base_gap)), self.k,
            ))  # fmt: skip
        return items

    def _words(self, view: View, area: Area) -> list[Item]:
        n = self.model.stations
        page_x = [view.to_page((float(x), 0.0))[0] for x in self.front[:, 0]]
        back_x = [view.to_page((float(x), 0.0))[0] for x in self.back[:, 0]]
        low = view.to_page((0.0, float(self.front[:, 1].min())))[1]
        high = view.to_page((0.0, float(self.back[:, 1].max())))[1]
        items = lettered_row(
            page_x, list(self.stakes.ids[:n]), low - self.ids_down, True, low - self.radius, True
        )
        items += lettered_row(
            back_x, list(self.stakes.ids[n:]), high + self.ids_up, False, high + self.radius, True
        )
        middle = 0.5 * (area.left + area.right)
        over = view.to_page((0.0, self.high[1]))[1] + self.top - 4.0
        base = self.stakes.base
        line = (
            f"Base line {self.job.length(base.length)} from pin 1 to pin 2, "
            f"bearing {bearing(base.bearing)} from true north"
        )
        down = low - self.words_down - _WORD
        items += [
            Text((middle, over), "BACK · high edge", 3.0, "middle", bold=True),
            Text((middle, down + 1.0), line, align="middle"),
            Text((middle, down - _WORD + 0.5), "FRONT · low edge", 3.0, "middle", bold=True),
        ]
        return items + self._labels(view, area, items)

    def _labels(self, view: View, area: Area, items: list[Item]) -> list[Item]:
        """Names of pins and lengths of diagonals, where the page is still free."""
        room = Room(area, [m for m in items if isinstance(m, Text)])
        room.avoid(view)
        found: list[Item] = []
        for i, (x, y) in enumerate(self.stakes.base.pins):
            at = view.to_page((float(x), float(y)))
            found.append(room.beside(at, f"Pin {i + 1}", "left" if i == 0 else "right", bold=True))
        lines = self.stakes.lines
        for i in lines.of("diagonal"):
            a, b = (view.to_page(tuple(self.stakes.xy[j])) for j in (lines.start[i], lines.end[i]))
            words = f"{lines.ids[i]}  {self.job.length(float(lines.level[i]))}"
            label = room.on_line(a, b, words)
            if label is not None:
                found.append(label)
        return found
