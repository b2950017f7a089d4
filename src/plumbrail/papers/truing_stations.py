"""The two rows compared, station by station: the tilt as a small section, and its figures."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, isfinite, pi, radians, sin

from plumbrail.papers.lettering import fit, width
from plumbrail.papers.sheet import Item, Line, Point, Text
from plumbrail.papers.truing_band import LEFT, ROW, Span, figures_row
from plumbrail.papers.truing_facts import Cell, Figures, StationFigures
from plumbrail.papers.truing_marks import figure, mark, turn
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say
from plumbrail.truing.parts import Verdict

_TITLE = 6.0
_LONG = 15.0
_TIMES = (10, 5, 3, 2, 1)
_SPREAD = radians(14.0)


@dataclass(frozen=True)
class Stations:
    """A strip of small sections over the rows of figures that compare front and back."""

    job: JobInfo
    facts: StationFigures
    span: Span
    planned: float
    """Tilt [rad]."""
    close: bool = False
    """Stations close together: no rows of further values."""

    @property
    def rows(self) -> tuple[Figures, ...]:
        """The values besides the tilt of which one is not inside."""
        if self.close:
            return ()
        return tuple(r for r in self.facts.rows if r.telling(self.span.first, self.span.last))

    @property
    def times(self) -> int:
        """How many times too large a difference of tilt is drawn."""
        cells = [c for c in self.facts.tilt if c is not None and c.known]
        reach = [abs(c.value - self.planned) for c in cells]
        reach += [abs(x - self.planned) for c in cells for x in (c.low, c.high) if isfinite(x)]
        largest = max(reach, default=0.0)
        return next((t for t in _TIMES if t * largest <= _SPREAD), 1)

    @property
    def _angles(self) -> list[float]:
        cells = [c for c in self.facts.tilt if c is not None]
        found = [x for c in cells for x in (c.low, c.high, c.value * c.known) if isfinite(x)]
        return [*[x for x in found if x], self.planned]

    @property
    def _rise(self) -> float:
        return _LONG * max(sin(max(self._angle(a) for a in self._angles)), 0.1) + 1.5

    @property
    def height(self) -> float:
        """On paper [mm]."""
        return _TITLE + self._rise + ROW * (2 + len(self.rows)) + 1.5

    def drawn(self, top: float) -> list[Item]:
        """All marks, downward from ``top`` [mm]."""
        title = say("TILT, front to back at each station")
        note = say("differences of tilt drawn {times} times too large", times=self.times)
        if self.times == 1:
            note = say("tilt drawn true")
        left, planned = self.span.left, turn(self.planned, False)
        line = say("thin line: planned {tilt}; {note}", tilt=planned, note=note)
        items: list[Item] = [
            Text((left, top - 4.0), title, 3.0, bold=True),
            Text((left + width(title, 3.0, True) + 5.0, top - 4.0), line),
        ]
        foot = top - _TITLE - self._rise
        for s, x in zip(self.span.stations, self.span.xs, strict=True):
            items += self._section(self.facts.tilt[s], (x - 0.5 * _LONG, foot))
        y = foot - ROW
        items += [
            Text((x, y), f"{s + 1}", 2.8, "middle", bold=True)
            for s, x in zip(self.span.stations, self.span.xs, strict=True)
        ]
        items.append(Text((left, y), say("station")))
        return items + self._figures(y)

    def _figures(self, y: float) -> list[Item]:
        y -= ROW
        items: list[Item] = [Text((self.span.left, y), say("tilt"))]
        for s, x in zip(self.span.stations, self.span.xs, strict=True):
            cell = self.facts.tilt[s]
            words = "–" if cell is None or not cell.known else turn(cell.value, False)
            verdict = None if cell is None else cell.verdict
            items += figure(verdict, words, (x, y), verdict is Verdict.OUTSIDE)
        for rows in self.rows:
            y -= ROW
            items.append(Text((self.span.left, y), fit(say(rows.name), LEFT - 1.0, 2.5)))
            items += figures_row(self.job, rows, self.span, y)
        return items

    def _angle(self, real: float) -> float:
        drawn = self.planned + self.times * (real - self.planned)
        return min(max(drawn, 0.0), 0.5 * pi)

    def _section(self, cell: Cell | None, foot: Point) -> list[Item]:
        def tip(angle: float, long: float = _LONG) -> Point:
            a = self._angle(angle)
            return foot[0] + long * cos(a), foot[1] + long * sin(a)

        items: list[Item] = [
            Line(foot, (foot[0] + _LONG, foot[1])),
            Line(foot, tip(self.planned)),
        ]
        if cell is None:
            return items
        items += [Line(foot, tip(x), "hidden") for x in (cell.low, cell.high) if isfinite(x)]
        if cell.known:
            items += [Line(foot, tip(cell.value), "heavy"), *mark(cell.verdict, tip(cell.value))]
        else:
            items += mark(Verdict.UNMEASURED, (foot[0] + 0.5 * _LONG, foot[1] + 4.0))
        return items
