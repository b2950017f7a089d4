"""A frame that really stands somewhere, and a crew that measures and moves it with errors.

The readings are computed here by formulas of their own, not by those of the program, so that a
slip in one of them shows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plumbrail.notebook.entries import Axis, Held, Hold, Kind, Moved, Notebook, Reading, Slides
from plumbrail.truing.parts import Move, Wanted
from plumbrail.truing.points import Place, Points

Array = NDArray[np.float64]
INCH = 0.0254
SETTING = INCH / 32
"""Standard deviation of setting one move: a move is set with the rod or the tape held to it."""
DISTURBED = INCH / 64
"""What one move shifts the neighbouring heads, standard deviation."""
SD = {Kind.ROD: INCH / 16, Kind.TAPE: INCH / 16, Kind.DIAGONAL: INCH / 16,
      Kind.LEVEL_TAPE: INCH / 16, Kind.STRING_SIDE: INCH / 16, Kind.STRING_HEIGHT: INCH / 8,
      Kind.PLUMB: np.radians(0.1), Kind.TILT: np.radians(0.15)}  # fmt: skip
INSTRUMENT = {Kind.ROD: "laser", Kind.PLUMB: "level", Kind.TILT: "angle gauge",
              Kind.STRING_SIDE: "string", Kind.STRING_HEIGHT: "string"}  # fmt: skip
DISAGREES = 4.0
"""Standard deviations from which a second reading contradicts the first."""
WEARY = 3
"""A point whose readings are named this often in a row is read anew altogether."""
AXES = {"along": 0, "across": 1, "up": 2}


def frame_off_plan(points: Points, rng: np.random.Generator) -> Array:
    """True places of all points: the back row set with care, the front row roughed in."""
    xyz = points.planned.copy()
    heads, bases = points.of(Place.HEAD), points.of(Place.BASE)
    back = points.row[heads] == 1
    sd = np.where(back[:, None], [0.15, 0.12, 0.12], [0.3, 0.5, 0.4]) * INCH
    xyz[heads] += rng.normal(size=(len(heads), 3)) * sd
    lean = rng.normal(size=(len(bases), 2)) * np.radians(np.where(back, 0.15, 0.4))[:, None]
    rise = (xyz[heads, 2] - xyz[bases, 2])[:, None]
    xyz[bases, :2] = xyz[heads, :2] - rise * np.tan(lean)
    _ends(points, xyz)
    return xyz


def _ends(points: Points, xyz: Array) -> None:
    """Beam ends lie on the line through the last two heads."""
    for row in (0, 1):
        heads, ends = points.of(Place.HEAD, row), points.of(Place.END, row)
        for end, (near, next_) in zip(ends, ((heads[0], heads[1]), (heads[-1], heads[-2])),
                                      strict=True):  # fmt: skip
            step = xyz[near] - xyz[next_]
            reach = (points.planned[end, 0] - xyz[near, 0]) / step[0]
            xyz[end] = xyz[near] + reach * step


@dataclass
class Blunder:
    """A misreading, and what became of it."""

    line: int
    size: float
    detectable: bool | None = None
    found: bool = False


@dataclass
class Crew:
    """Writes the notebook and does the moves."""

    points: Points
    xyz: Array
    rng: np.random.Generator
    blunder_rate: float
    readings: list[Reading] = field(default_factory=list)
    moved: list[Moved] = field(default_factory=list)
    held: list[Held] = field(default_factory=list)
    slides: list[Slides] = field(default_factory=list)
    blunders: dict[int, Blunder] = field(default_factory=dict)
    line: int = 1
    round: int = 0
    heights: dict[str, float] = field(default_factory=dict)
    again: dict[int, int] = field(default_factory=dict)
    """Lines of readings that were taken once more, and of these."""
    trouble: Counter[str] = field(default_factory=Counter)
    """How many times in a row readings at a point were named."""

    def begin(self, back: Hold) -> None:
        """The back row is held; its collars slide an inch."""
        for i in self.points.of(Place.HEAD, 1):
            name = self.points.ids[i]
            self.held.append(Held(self._next(), "", name, back))
            self.slides.append(Slides(self._next(), name, -INCH, INCH))

    def measure(self, wanted: Sequence[Wanted]) -> None:
        """Take readings, some of them wrong."""
        for w in wanted:
            self._take(w)
        self.round += 1

    def _take(self, w: Wanted, setup: str | None = None) -> None:
        setup = f"{w.setup or 'A'}{self.round}" if setup is None else setup
        line, true = self._next(), self._true(w, setup)
        value = true + self.rng.normal() * SD[w.kind]
        if self.rng.random() < self.blunder_rate:
            wrong = self._wrong(w, value, setup)
            self.blunders[line] = Blunder(line, wrong - value)
            value = wrong
        if w.kind not in (Kind.PLUMB, Kind.TILT):
            value = round(value / (INCH / 16)) * INCH / 16
        tool = INSTRUMENT.get(w.kind, "tape")
        self.readings.append(Reading(
            line, "", w.kind, w.start, w.end, w.at, float(value), w.axis, tool,
            setup if w.kind is Kind.ROD else "", "",
            f"{value:.4f}",
        ))  # fmt: skip

    def _true(self, w: Wanted, setup: str, at: str | None = None) -> float:
        p = {name: self._place(name) for name in (at or w.start, w.end, w.at) if name}
        a = p[at or w.start]
        if w.kind is Kind.ROD:
            height = self.heights.setdefault(setup, 1.6 + self.rng.normal() * 0.1)
            return float(height - a[2] - self.points.to_top[self.points.index(at or w.start)])
        if w.kind is Kind.PLUMB:
            head, base = self._place(w.start), self._place(f"{w.start} base")
            k = AXES[str(w.axis)]
            return float(np.arctan((head - base)[k] / (head - base)[2]))
        b = p[w.end]
        if w.kind in (Kind.TAPE, Kind.DIAGONAL):
            return float(np.sqrt(((b - a) ** 2).sum()))
        if w.kind is Kind.LEVEL_TAPE:
            return float(np.hypot(b[0] - a[0], b[1] - a[1]))
        if w.kind is Kind.TILT:
            return float(np.arctan2(b[2] - a[2], np.hypot(b[0] - a[0], b[1] - a[1])))
        c = p[w.at]
        t = ((c - a)[:2] @ (b - a)[:2]) / ((b - a)[:2] @ (b - a)[:2])
        foot = a + t * (b - a)
        if w.kind is Kind.STRING_SIDE:
            return float(np.hypot(*(c - foot)[:2]) * np.sign((c - foot)[1]))
        return float(c[2] - foot[2])

    def _place(self, name: str) -> Array:
        return self.xyz[self.points.index(name)]

    def _wrong(self, w: Wanted, value: float, setup: str) -> float:
        """A misreading of a usual kind."""
        sign = self.rng.choice([-1.0, 1.0])
        if w.kind in (Kind.PLUMB, Kind.TILT):
            return value + sign * np.radians(self.rng.uniform(0.5, 3.0))
        if w.kind in (Kind.STRING_SIDE, Kind.STRING_HEIGHT):
            return -value if abs(value) > 0.3 * INCH else value + sign * INCH
        kind = self.rng.integers(3)
        if kind == 0:
            return value + sign * 12 * INCH
        if kind == 1:
            return value + sign * INCH
        same = np.flatnonzero(self.points.place == self.points.place[self.points.index(w.start)])
        other = self.points.ids[int(self.rng.choice(same))]
        if other in (w.start, w.end):
            return value + sign * INCH
        return self._true(w, setup, other)

    def look_again(self, lines: set[int]) -> None:
        """Take doubtful readings once more; strike the old one out where the new one disagrees, or
        where it stays doubtful beside a new one that is not.

        Rods are read from the set-up they belong to, as long as it stands. Where a point is named
        for the third time in a row, all that was read at it is struck out and read anew.
        """
        named = [r for r in self.readings if r.line in lines]
        here = {p for r in named for p in (r.start, r.end, r.at) if p}
        self.trouble = Counter({p: self.trouble[p] + 1 for p in here})
        if worn := {p for p, times in self.trouble.items() if times >= WEARY}:
            self._anew(worn)
        for old in [r for r in self.readings if r.line in lines]:
            if self.again.get(old.line, old.line) not in lines:
                self.readings.remove(old)
                continue
            w = Wanted(old.kind, old.start, old.end, old.at, old.axis, old.setup)
            self._take(w, old.setup)
            self.again[old.line] = self.readings[-1].line
            if abs(self.readings[-1].value - old.value) > DISAGREES * SD[old.kind]:
                self.readings.remove(old)

    def _anew(self, points: set[str]) -> None:
        """Strike out what was read at some points since the last move there, and read it again."""
        for old in [r for r in self.readings if {r.start, r.end, r.at} & points]:
            post = {p.split()[0] for p in points}
            if any(m.line > old.line and m.point.split()[0] in post for m in self.moved):
                continue
            self.readings.remove(old)
            w = Wanted(old.kind, old.start, old.end, old.at, old.axis, old.setup)
            self._take(w, old.setup)
        for p in points:
            del self.trouble[p]

    def do(self, moves: Sequence[Move]) -> None:
        """Make the moves, each with its error, and note them."""
        heads = self.points.of(Place.HEAD)
        for m in moves:
            k = AXES[m.axis]
            amount = m.amount + self.rng.normal() * SETTING
            base = m.place.removesuffix(" post")  # the ground stays where it is
            whole = m.place.endswith(" post")
            named = [base, f"{base} base"] if whole and m.axis != "up" else [base]
            if m.place.endswith("beam"):
                named = [f"{m.place[:-5]} left", f"{m.place[:-5]} right"]
            for name in named:
                self.xyz[self.points.index(name), k] += amount
            if not m.place.endswith("beam"):
                post = self.points.post[self.points.index(named[0])]
                near = [h for h in heads if abs(self.points.post[h] - post) == 1
                        and self.points.row[h] == self.points.row[heads[post]]]  # fmt: skip
                for h in near:
                    self.xyz[h, 1:] += self.rng.normal(size=2) * DISTURBED
            self.moved.append(Moved(self._next(), "", m.place, Axis(m.axis), m.amount))
        _ends(self.points, self.xyz)

    def notebook(self) -> Notebook:
        """What is written so far."""
        return Notebook(tuple(self.readings), (), tuple(self.held), tuple(self.slides),
                        tuple(self.moved), 0, (), "", "simulated")  # fmt: skip

    def _next(self) -> int:
        self.line += 1
        return self.line
