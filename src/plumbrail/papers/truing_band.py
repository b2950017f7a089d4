"""One beam on the picture of truing: planned line thin, as built heavy, moves as arrows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, isfinite, isnan

from plumbrail.papers.lettering import fit, width
from plumbrail.papers.sheet import Item, Line, Point, Polyline, Text
from plumbrail.papers.truing_facts import Cell, Figures, Trace
from plumbrail.papers.truing_marks import MARK, arrow, figure, mark, said, small, turn
from plumbrail.papers.truing_moves import TAG, Tag
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later, say
from plumbrail.truing.parts import Verdict

LEFT = 35.0
RIGHT = 15.0
"""Room beside the stations for the names of rows and for the tolerance [mm]."""
ROW = 4.6
_TITLE = 6.0
_BAR = 2.9
_LEAN = 4.0
_MOST_LEAN = 6.0
_OVER = 7.0
_LEAST_PITCH = 15.5
_TITLES = {
    (0, True): later("FRONT BEAM seen from the front"),
    (1, True): later("BACK BEAM seen from the front"),
    (0, False): later("FRONT BEAM seen from above, back is up"),
    (1, False): later("BACK BEAM seen from above, back is up"),
}
"""By row and whether heights are seen."""


@dataclass(frozen=True)
class Span:
    """The stations of one strip and where they lie on the page."""

    first: int
    last: int
    xs: tuple[float, ...]
    """Page place of each of its stations [mm]."""
    left: float
    right: float
    count: int
    """Stations of the whole row."""

    @property
    def stations(self) -> range:
        """From 0."""
        return range(self.first, self.last + 1)


@dataclass(frozen=True)
class Look:
    """What all bands share."""

    job: JobInfo
    amplitude: float
    """Room over and under the planned line [mm]."""
    per_metre: float
    """Millimetres on paper for a metre of deviation."""
    factor: float
    """Standard deviations that the bar of uncertainty shows, each way."""
    confidence: float
    plumb: float
    """Lean [m over the post's height] drawn ``_LEAN`` mm long."""


def words_of(job: JobInfo, cell: Cell | None) -> str:
    """A value as the rows of figures show it."""
    if cell is None:
        return ""
    if not cell.known:
        return "–"
    return turn(cell.value) if cell.angle else small(job, cell.value)


@dataclass(frozen=True)
class Band:
    """A strip of one beam, seen from the front or from above."""

    look: Look
    trace: Trace
    span: Span
    tags: tuple[Tag, ...]
    close: bool = False
    """Stations close together: no rows of further values, and the moves of every other station
    below those of its neighbours."""

    @property
    def rows(self) -> tuple[Figures, ...]:
        """The values besides those drawn of which one is not inside."""
        if self.close:
            return ()
        return tuple(r for r in self.trace.rows if r.telling(self.span.first, self.span.last))

    @property
    def height(self) -> float:
        """On paper [mm]."""
        fixed = _TITLE + 2 * self.look.amplitude + 1.5
        return fixed + ROW * (2 + len(self.rows)) + TAG * self._tag_rows + 1.0

    @property
    def shown(self) -> list[Cell]:
        """Values that are drawn."""
        ends = [e for e, s in zip(self.trace.ends, (0, self.span.count - 1), strict=True)
                if e is not None and s in self.span.stations]  # fmt: skip
        return [*ends, *(self.trace.drawn[s] for s in self.span.stations)]

    @property
    def _tag_rows(self) -> int:
        first, second = self.span.stations[::2], self.span.stations[1::2]
        if self.close:
            return self._most_tags(first) + self._most_tags(second)
        return self._most_tags(self.span.stations)

    def _most_tags(self, stations: Sequence[int]) -> int:
        return max((sum(t.station == s for t in self.tags) for s in stations), default=0)

    def _first_tag_row(self, station: int) -> int:
        """Row of the first move of a station; every other one begins below its neighbours."""
        lower = self.close and (station - self.span.first) % 2 == 1
        return self._most_tags(self.span.stations[::2]) if lower else 0

    def drawn(self, top: float) -> list[Item]:
        """All marks, downward from ``top`` [mm]."""
        middle = top - _TITLE - self.look.amplitude
        items = self._title(top) + self._planned(middle) + self._lean_lines(middle)
        items += self._built(middle) + self._arrows(middle)
        return items + self._below(middle - self.look.amplitude - 1.5)

    def _title(self, top: float) -> list[Item]:
        t = self.trace
        title = say(_TITLES[t.row, t.up])
        room = self.span.right - self.span.left - width(title, 3.0, True) - 6.0
        items: list[Item] = [Text((self.span.left, top - 4.0), title, 3.0, bold=True)]
        x = self.span.left + width(title, 3.0, True) + 5.0
        items.append(Text((x, top - 4.0), fit(self._datum(), room, 2.5)))
        return items

    def _datum(self) -> str:
        t, first, last = self.trace, self.trace.names[0], self.trace.names[-1]
        if not t.up:
            return say("thin line: a string from {first} to {last}", first=first, last=last)
        line = say("thin line: level through its own mean height")
        if isnan(t.middle):
            return f"{line}, {say('height over pin 1 not measured')}"
        size = said(self.look.job, abs(t.middle))
        if size.startswith("0"):
            return f"{line}, {say('as planned')}"
        if t.middle > 0:
            return f"{line}, {say('{size} higher than planned', size=size)}"
        return f"{line}, {say('{size} lower than planned', size=size)}"

    def _ends(self) -> Point:
        xs = self.span.xs
        return xs[0] - _OVER, xs[-1] + _OVER

    def _planned(self, y: float) -> list[Item]:
        a, b = self._ends()
        items: list[Item] = [Line((a, y), (b, y))]
        tolerance = self.trace.tolerance
        if isfinite(tolerance):
            reach = tolerance * self.look.per_metre
            if reach <= self.look.amplitude:
                items += [Line((a, y + s * reach), (b, y + s * reach), "hidden") for s in (1, -1)]
            words = f"± {small(self.look.job, tolerance, signed=False)}"
        else:
            words = say("no limit")
        items.append(Text((b + 3.2, y - 1.25), words))
        if self.span.first > 0:
            items.append(_broken(a, y))
        if self.span.last < self.span.count - 1:
            items.append(_broken(b, y))
        return items

    def _at(self, station: int, y: float) -> Point:
        value = self._clamped(self.trace.drawn[station].value)
        return self.span.xs[station - self.span.first], y + value

    def _built(self, y: float) -> list[Item]:
        known = [s for s in self.span.stations if self.trace.drawn[s].known]
        items: list[Item] = []
        for a, b in pairwise(known):
            pen = "heavy" if b == a + 1 else "hidden"
            items.append(Line(self._at(a, y), self._at(b, y), pen))
        items += self._beam_ends(y)
        for s in self.span.stations:
            if s in known:
                items += self._bar(s, y) + mark(self.trace.verdicts[s], self._at(s, y))
            else:
                items += mark(Verdict.UNMEASURED, (self.span.xs[s - self.span.first], y))
        return items

    def _beam_ends(self, y: float) -> list[Item]:
        """The overhangs, not to scale along the beam."""
        items: list[Item] = []
        posts = (0, self.span.count - 1)
        for cell, post, x in zip(self.trace.ends, posts, self._ends(), strict=True):
            if cell is not None and post in self.span.stations:
                end = (x, y + self._clamped(cell.value))
                items += [Line(self._at(post, y), end, "heavy"), *mark(cell.verdict, end)]
        return items

    def _clamped(self, value: float) -> float:
        reach = self.look.amplitude
        return max(-reach, min(reach, value * self.look.per_metre))

    def _bar(self, station: int, y: float) -> list[Item]:
        """How far the true place may be, as an I left of the head."""
        x, middle = self._at(station, y)
        cell = self.trace.drawn[station]
        if cell.verdict is None and cell.sd < 1e-9:  # where a string is fixed
            return []
        sd = cell.sd * self.look.factor * self.look.per_metre
        x, reach = x - _BAR, self.look.amplitude
        low, high = max(middle - sd, y - reach), min(middle + sd, y + reach)
        items: list[Item] = [Line((x, low), (x, high), "medium")]
        for end, clipped in ((low, low > middle - sd + 1e-9), (high, high < middle + sd - 1e-9)):
            if not clipped:
                items.append(Line((x - 0.8, end), (x + 0.8, end), "medium"))
        return items

    def _lean_lines(self, y: float) -> list[Item]:
        """From the foot of each post, a small square, to its head; seen from above only."""
        if self.trace.up:
            return []
        items: list[Item] = []
        for s in self.span.stations:
            dx, dy = (float(v) for v in self.trace.lean[s])
            size = hypot(dx, dy) if not isnan(dx) and not isnan(dy) else 0.0
            if size < 1e-9 or not self.trace.drawn[s].known:
                continue
            x, at = self._at(s, y)
            fx, fy = self._foot(s, y)
            items.append(Line((x, at), (fx, fy), "medium"))
            square = ((fx - 0.7, fy - 0.7), (fx + 0.7, fy - 0.7), (fx + 0.7, fy + 0.7),
                      (fx - 0.7, fy + 0.7))  # fmt: skip
            items.append(Polyline(square, "medium", True, "paper"))
        return items

    def _foot(self, station: int, y: float) -> Point:
        """Where the foot of a post is drawn."""
        x, at = self._at(station, y)
        dx, dy = (float(v) for v in self.trace.lean[station])
        size = hypot(dx, dy)
        if not size > 1e-9:  # not measured, or plumb
            return x, at
        long = min(size / self.look.plumb * _LEAN, _MOST_LEAN)
        return x - dx / size * long, at - dy / size * long

    def _arrows(self, y: float) -> list[Item]:
        """Moves at the scale of the deviations where they fit, from where the beam is now."""
        items: list[Item] = []
        reach = self.look.amplitude
        for s in self.span.stations:
            x, start = self._at(s, y)
            at = start
            aside = 2.9
            for tag in (t for t in self.tags if t.station == s):
                dx, dy = tag.way
                if tag.part == "foot" and dy:
                    foot = self._foot(s, y)
                    items += arrow(foot, (foot[0], foot[1] + 5.0 * dy), "heavy", 2.4)
                    continue
                if dx:
                    foot = (x + (_BAR + 0.6) * dx, y - reach - 0.2)
                    items += arrow(foot, (foot[0] + 6.0 * dx, foot[1]), "heavy", 2.4)
                    continue
                end = at + tag.move.amount * self.look.per_metre
                end = max(y - reach, min(y + reach, end))
                if (end - at) * dy < 2.4:
                    end = at + 2.4 * dy
                items += arrow((x + aside, at), (x + aside, end), "heavy", min(2.4, abs(end - at)))
                at = end if not tag.part else at
                aside += 2.6
        return items

    def _below(self, top: float) -> list[Item]:
        y = top - ROW + 1.2
        names = [self.trace.names[s] for s in self.span.stations]
        items: list[Item] = [
            Text((x, y), n, 2.8, "middle", bold=True)
            for x, n in zip(self.span.xs, names, strict=True)
        ]
        own = later("off level, + high") if self.trace.up else later("off string, + back")
        for rows in (Figures(own, self.trace.drawn), *self.rows):
            y -= ROW
            items.append(Text((self.span.left, y), fit(say(rows.name), LEFT - 1.0, 2.5)))
            items += self._figures(rows, y)
        y += -1.2
        if self._tag_rows:
            items.append(Text((self.span.left, y - 0.5 * TAG - 1.25), say("moves"), bold=True))
        for s, x in zip(self.span.stations, self.span.xs, strict=True):
            for k, tag in enumerate(
                (t for t in self.tags if t.station == s), self._first_tag_row(s)
            ):
                items += tag.drawn(x, y - TAG * (k + 1))
        return items

    def _figures(self, rows: Figures, y: float) -> list[Item]:
        return figures_row(self.look.job, rows, self.span, y)


def figures_row(job: JobInfo, rows: Figures, span: Span, y: float) -> list[Item]:
    """One row of figures under the stations of a strip."""
    items: list[Item] = []
    for s, x in zip(span.stations, span.xs, strict=True):
        cell = rows.cells[s]
        if cell is not None:
            bold = cell.verdict is Verdict.OUTSIDE
            items += figure(cell.verdict, words_of(job, cell), (x, y), bold)
    return items


def _broken(x: float, y: float) -> Item:
    w = 1.2
    return Polyline(((x, y - 3 * w), (x, y - w), (x + w, y - w / 2), (x - w, y + w / 2),
                     (x, y + w), (x, y + 3 * w)))  # fmt: skip


def pitch_needed(
    job: JobInfo, traces: Sequence[Trace], compared: Sequence[Figures], tags: Sequence[Tag],
    close: bool = False,
) -> float:  # fmt: skip
    """Distance of neighbouring stations at which no figures and no moves touch [mm]."""
    rows = [] if close else [f.cells for f in compared]
    rows += [c for t in traces
             for c in (t.drawn, *(() if close else (f.cells for f in t.rows)))]  # fmt: skip
    wide = [
        [MARK + width(words_of(job, c), 2.5, True) if c is not None else 0.0 for c in row]
        for row in rows
    ]
    for t in traces:
        mine = [g for g in tags if g.row == t.row and (g.move.axis == "up") is t.up]
        widths = [(g.station, g.width) for g in mine]
        each = [max((w for s, w in widths if s == k), default=0.0) for k in range(len(t.names))]
        # two stations apart there is twice the room; beside a move stands only its own station
        wide += [[0.5 * w for w in part] for part in (each[::2], each[1::2])] if close else [each]
    halves = [0.5 * (a + b) for row in wide for a, b in pairwise(row)]
    return max([_LEAST_PITCH, *halves]) + 1.5
