"""What the pictures of truing show: the values as built sorted by beam, direction and station."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.papers.truing_marks import gravest
from plumbrail.papers.words import later
from plumbrail.truing.families import Label, label
from plumbrail.truing.parts import Built, Positions, Verdict
from plumbrail.truing.points import Place

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

_UP = frozenset({"level", "straight.height", "plane", "height"})
_FLAT = frozenset({"straight.side", "plumb.along", "plumb.across", "spacing", "square"})
_ROW_NAMES = {
    "straight.height": later("off straight, + high"), "plane": later("off plane, + high"),
    "height": later("height, + high"), "plumb.along": later("lean, + right"),
    "plumb.across": later("lean, + back"), "spacing": later("next post, + long"),
    "square": later("square, + right"), "parallel.height": later("parallel in height"),
    "parallel.plan": later("parallel in plan"), "parallel.distance": later("parallel, distance"),
    "spacing.across": later("front to back"),
}  # fmt: skip
_UNKNOWN = 1e-6


@dataclass(frozen=True, slots=True)
class Cell:
    """One value at one station."""

    value: float
    low: float
    high: float
    sd: float
    angle: bool
    verdict: Verdict | None
    """None: no such value exists here, for example where a string is fixed."""

    @property
    def known(self) -> bool:
        """It was measured."""
        return bool(np.isfinite(self.sd)) and self.verdict is not Verdict.UNMEASURED


@dataclass(frozen=True)
class Figures:
    """Values of one kind, one for each station or None."""

    name: str
    cells: tuple[Cell | None, ...]

    def telling(self, first: int, last: int) -> bool:
        """Some value between two stations is outside, too uncertain or not measured."""
        found = {c.verdict for c in self.cells[first : last + 1] if c is not None}
        return bool(found & {Verdict.OUTSIDE, Verdict.UNSURE, Verdict.UNMEASURED})


@dataclass(frozen=True)
class Trace:
    """One beam seen from one side. Axis of the tuples: station."""

    row: int
    """0 front, 1 back."""
    up: bool
    """True: heights, seen from the front; false: across, seen from above."""
    names: tuple[str, ...]
    drawn: tuple[Cell, ...]
    """Off its own mean height, or off a string from its first to its last post [m]."""
    ends: tuple[Cell | None, Cell | None]
    """Left and right end of the beam, off the same line."""
    rows: tuple[Figures, ...]
    """All other values about its posts in this direction."""
    verdicts: tuple[Verdict | None, ...]
    """The gravest of all values about each post in this direction."""
    lean: Array
    """(stations, 2) along and across of each head less its base [m]; NaN where not measured."""
    middle: float
    """Mean height of the beam over the planned one [m]; NaN where not measured, or seen from
    above."""

    @property
    def tolerance(self) -> float:
        """Half the width of the tolerance band [m]; infinite where none is stated."""
        stated = [c.high for c in (*self.drawn, *self.ends) if c is not None and c.verdict]
        return max(stated, default=np.inf)


@dataclass(frozen=True)
class StationFigures:
    """Values that compare the two rows."""

    tilt: tuple[Cell | None, ...]
    rows: tuple[Figures, ...]


def trace(positions: Positions, built: Built, row: int, up: bool) -> Trace:
    """One beam in one direction."""
    points = positions.points
    heads = points.of(Place.HEAD, row)
    names = tuple(points.ids[i] for i in heads)
    labels = [label(id) for id in built.ids]
    kinds = _UP if up else _FLAT
    mine = [i for i, name in enumerate(labels) if name.kind in kinds and _station(name, names) >= 0]
    main = "level" if up else "straight.side"
    cells = _spread(built, [i for i in mine if labels[i].kind == main], labels, names)
    drawn = tuple(c or _worked_out(positions, heads, k, up) for k, c in enumerate(cells))
    rest = tuple(
        Figures(name, _spread(built, [i for i in mine if labels[i].kind == kind], labels, names))
        for kind, name in _ROW_NAMES.items() if kind in kinds
    )  # fmt: skip
    about: list[list[Verdict]] = [[] for _ in names]
    for i in mine:
        about[_station(labels[i], names)].append(built.verdict[i])
    return Trace(
        row, up, names, drawn, _ends(positions, built, labels, row, drawn, up),
        tuple(r for r in rest if any(r.cells)), tuple(gravest(a) for a in about),
        _lean(positions, names), _middle(positions, heads) if up else float("nan"),
    )  # fmt: skip


def stations(built: Built, count: int) -> StationFigures:
    """The values that belong to a station rather than to a post."""
    labels = [label(id) for id in built.ids]
    names = tuple(f"station {k}" for k in range(1, count + 1))

    def of(kind: str) -> tuple[Cell | None, ...]:
        found = [i for i, name in enumerate(labels) if name.kind == kind and name.place in names]
        return _spread(built, found, labels, names)

    rows = tuple(Figures(name, of(kind)) for kind, name in _ROW_NAMES.items())
    return StationFigures(of("tilt"), tuple(r for r in rows if any(r.cells)))


def _station(name: Label, names: tuple[str, ...]) -> int:
    """Which of the names a value is about; of a bay, its first post; -1 for none of them."""
    place = name.place.split(" to ")[0]
    return names.index(place) if place in names else -1


def _cell(built: Built, i: int) -> Cell:
    return Cell(
        float(built.value[i]), float(built.low[i]), float(built.high[i]), float(built.sd[i]),
        bool(built.angle[i]), built.verdict[i],
    )  # fmt: skip


def _spread(
    built: Built, which: list[int], labels: list[Label], names: tuple[str, ...]
) -> tuple[Cell | None, ...]:
    cells: list[Cell | None] = [None] * len(names)
    for i in which:
        cells[_station(labels[i], names)] = _cell(built, i)
    return tuple(cells)


def _ends(
    positions: Positions, built: Built, labels: list[Label], row: int, drawn: tuple[Cell, ...],
    up: bool,
) -> tuple[Cell | None, Cell | None]:  # fmt: skip
    """The ends of a beam off the line that its heads are drawn from."""
    points, kind = positions.points, "straight.height" if up else "straight.side"
    heads, ends = points.of(Place.HEAD, row), points.of(Place.END, row)
    x = points.planned[heads[[0, -1]], 0]
    found: list[Cell | None] = [None, None]
    for i, name in enumerate(labels):
        if name.row != ("front", "back")[row] or name.kind != kind or "end" not in name.place:
            continue
        side = int(name.place.startswith("right"))
        share = (points.planned[ends[side], 0] - x[0]) / (x[1] - x[0])
        chord = drawn[0].value + share * (drawn[-1].value - drawn[0].value)
        c = _cell(built, i)
        if c.known and drawn[0].known and drawn[-1].known:
            found[side] = Cell(c.value + chord, c.low, c.high, c.sd, False, c.verdict)
    return found[0], found[1]


def _worked_out(positions: Positions, heads: IntArray, k: int, up: bool) -> Cell:
    """Off the mean height or the string where the values as built leave a post out."""
    weights = np.zeros((len(positions.points.ids), 3))
    if up:
        weights[heads, 2] = -1.0 / len(heads)
        weights[heads[k], 2] += 1.0
    else:
        x = positions.points.planned[heads, 0]
        share = (x[k] - x[0]) / (x[-1] - x[0])
        weights[heads[k], 1] += 1.0
        weights[heads[0], 1] -= 1.0 - share
        weights[heads[-1], 1] -= share
    value, sd = _with_sd(positions, weights)
    return Cell(value, -np.inf, np.inf, sd, False, None)


def _with_sd(positions: Positions, weights: Array) -> tuple[float, float]:
    """Change against the plan of a weighted sum of coordinates; infinite sd when left open."""
    flat = weights.ravel()
    left_open = float(np.linalg.norm(flat @ positions.loose)) > _UNKNOWN
    variance = max(float(flat @ positions.cov @ flat), 0.0)
    return float((weights * positions.off).sum()), np.inf if left_open else variance**0.5


def _lean(positions: Positions, names: tuple[str, ...]) -> Array:
    points = positions.points
    found = np.full((len(names), 2), np.nan)
    for k, name in enumerate(names):
        head, base = points.index(name), points.index(f"{name} base")
        for axis in (0, 1):
            weights = np.zeros((len(points.ids), 3))
            weights[head, axis], weights[base, axis] = 1.0, -1.0
            value, sd = _with_sd(positions, weights)
            if np.isfinite(sd):
                found[k, axis] = value
    return found


def _middle(positions: Positions, heads: IntArray) -> float:
    weights = np.zeros((len(positions.points.ids), 3))
    weights[heads, 2] = 1.0 / len(heads)
    value, sd = _with_sd(positions, weights)
    return value if np.isfinite(sd) else float("nan")
