"""Readings of a notebook as rows of numbers; what cannot be used comes back with its line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.plan.truing import Truing
from plumbrail.truing import observe
from plumbrail.truing.instruments import ANGLES, STRUNG, Precision, precision, refusal
from plumbrail.truing.naming import AXIS_WORDS
from plumbrail.truing.observe import Rows
from plumbrail.truing.parts import Array, IntArray, Mask
from plumbrail.truing.points import Place, Points
from plumbrail.truing.taping import tape_scale
from plumbrail.truing.versions import Versions

FORMULA = {
    Kind.TAPE: observe.DISTANCE, Kind.DIAGONAL: observe.DISTANCE,
    Kind.LEVEL_TAPE: observe.LEVEL_DISTANCE, Kind.ROD: observe.ROD,
    Kind.STRING_SIDE: observe.SIDE, Kind.STRING_HEIGHT: observe.HEIGHT,
    Kind.PLUMB: observe.LEAN, Kind.TILT: observe.TILT,
}  # fmt: skip
NO_LENGTH = 1e-3
"""Two places nearer than this [m] are one."""


@dataclass(frozen=True, slots=True)
class Spots:
    """The three places of one reading: points, and how far above each it was read [m]."""

    points: tuple[int, int, int]
    rise: tuple[float, float, float]


@dataclass(frozen=True)
class Made:
    """Rows that can be used. Axis: reading."""

    readings: tuple[Reading, ...]
    rows: Rows
    sd: Array
    setups: tuple[str, ...]
    notes: tuple[str, ...]


class Named:
    """Points looked up by name quickly."""

    def __init__(self, points: Points) -> None:
        self.points = points
        self._index = {id: i for i, id in reversed(list(enumerate(points.ids)))}

    def spots(self, reading: Reading) -> Spots:
        """Places of a reading; KeyError with the name that there is not."""
        if reading.kind is Kind.PLUMB:
            post = reading.start.removesuffix(" top").removesuffix(" base")
            head, base = self._index[post], self._index[f"{post} base"]
            return Spots((base, head, base), (0.0, 0.0, 0.0))
        names = (reading.start, reading.end or reading.start, reading.at or reading.start)
        (i, up), (j, up_j), (k, up_k) = (self._spot(n, reading.kind is Kind.ROD) for n in names)
        return Spots((i, j, k), (up, up_j, up_k))

    def _spot(self, name: str, rod: bool) -> tuple[int, float]:
        """A point and the height above it: of the pipe's top under a rod, or of the cut end."""
        head = name.removesuffix(" top")
        i = self._index[head]
        if head != name:
            return i, float(self.points.to_cut_end[i])
        return i, float(self.points.to_top[i]) if rod else 0.0


def spots_of(points: Points, reading: Reading) -> Spots:
    """Places of a reading; KeyError with words for a name that there is not."""
    return Named(points).spots(reading)


def make_rows(
    points: Points, versions: Versions, readings: Sequence[Reading], truing: Truing
) -> tuple[Made, tuple[Problem, ...]]:
    """Readings as rows with their standard deviations, and why the others cannot be used."""
    good: list[Reading] = []
    spots: list[Spots] = []
    problems: list[Problem] = []
    by_name = Named(points)
    refused = {(r.kind, r.instrument): "" for r in readings}
    refused = {key: refusal(*key, truing) for key in refused}
    for reading in readings:
        found = _placed(by_name, reading)
        why = found if isinstance(found, str) else refused[reading.kind, reading.instrument]
        if isinstance(found, str) or why:
            problems.append(Problem("", why, reading.line))
            continue
        good.append(reading)
        spots.append(found)
    known = {(r.kind, r.instrument): r for r in good}
    tools = {key: precision(*key, truing) for key in known}
    setups = tuple(dict.fromkeys(r.setup for r in good if r.kind is Kind.ROD))
    used = [tools[r.kind, r.instrument] for r in good]
    rows = _rows(points, versions, good, spots, used, setups)
    sd = _sd(points, good, spots, used)
    sags = any(r.kind is Kind.STRING_HEIGHT and not u.curve_stated
               for r, u in zip(good, used, strict=True))  # fmt: skip
    notes = (
        "The sag of a string was not corrected, because the plan states no weight and pull for it; "
        "its height readings count for less.",
    )  # fmt: skip
    return Made(tuple(good), rows, sd, setups, notes if sags else ()), tuple(problems)


def _placed(points: Named, reading: Reading) -> Spots | str:
    """Its places, or why a reading cannot be used as it stands."""
    try:
        spots = points.spots(reading)
    except KeyError as error:
        return f"there is no point {error.args[0]!r} for a {reading.kind} reading"
    return _unfit(points.points, reading, spots) or spots


def _unfit(points: Points, reading: Reading, spots: Spots) -> str:
    """Why a reading of these places cannot be used; empty when it can."""
    kind, used = reading.kind, set(spots.points)
    if kind is not Kind.ROD and any(points.place[i] == Place.MARK for i in used):
        return f"only a rod can be read on a mark, not a {kind}"
    if kind is Kind.PLUMB and reading.axis not in (Axis.ALONG, Axis.ACROSS):
        return "a plumb reading needs its direction, along or across"
    if kind is Kind.ROD or kind is Kind.PLUMB:
        return ""
    up = float(kind in (Kind.TAPE, Kind.DIAGONAL))
    start, end, at = points.planned[list(spots.points)] * (1.0, 1.0, up)
    if math.dist(start, end) < NO_LENGTH:
        return f"there is no length between {reading.start} and {reading.end} for a {kind}"
    if kind in STRUNG and min(math.dist(at, start), math.dist(at, end)) < NO_LENGTH:
        return f"{reading.at or 'no point'} is where the string is fixed; it reads nothing there"
    side = Axis.ACROSS if runs_along(end - start) else Axis.ALONG
    if reading.way not in (None, side):
        right, left = AXIS_WORDS[side]
        return (f"sideways of the string from {reading.start} to {reading.end} is {right} or "
                f"{left}; write for example 3/8 in {right}")  # fmt: skip
    return ""


def _rows(
    points: Points, versions: Versions, readings: Sequence[Reading], spots: Sequence[Spots],
    tools: Sequence[Precision], setups: tuple[str, ...],
) -> Rows:  # fmt: skip
    m = len(readings)
    place = {name: k for k, name in enumerate(setups)}
    warm = np.array([293.15 if t.temperature is None else t.temperature for t in tools])
    return Rows(
        np.array([FORMULA[r.kind] for r in readings], dtype=np.int64),
        _seen(versions, readings, spots),
        np.array([s.rise for s in spots], dtype=float).reshape(m, 3),
        np.array([place[r.setup] if r.kind is Kind.ROD else -1 for r in readings],
                 dtype=np.int64),
        np.array([int(r.axis is Axis.ACROSS) for r in readings], dtype=np.int64),
        _sign(points, spots),
        np.array([t.curve if t.curve_stated else 0.0 for t in tools]),
        tape_scale(warm.astype(float)),
    )  # fmt: skip


def _seen(versions: Versions, readings: Sequence[Reading], spots: Sequence[Spots]) -> IntArray:
    """(readings, 3) the version of each point that stood when it was read."""
    point = np.array([s.points for s in spots], dtype=np.int64).reshape(len(spots), 3)
    seen = point.copy()
    line = np.maximum(np.array([r.line for r in readings], dtype=np.int64), 1)[:, None]
    for tie in versions.ties:  # in the order of the notebook
        seen[(point == versions.point[tie.new]) & (line > tie.line)] = tie.new
    return seen


def _ends(points: Points, spots: Sequence[Spots]) -> Array:
    """(3, readings, 3) planned start, end and point at a string."""
    index = np.array([s.points for s in spots], dtype=np.int64).reshape(len(spots), 3)
    return points.planned[index.T]


def runs_along(step: Array) -> Mask:
    """Whether strings (..., 3) run along the rows rather than across."""
    return np.asarray(np.abs(step[..., 0]) >= np.abs(step[..., 1]))


def _sign(points: Points, spots: Sequence[Spots]) -> Array:
    """Which side of a string counts positive: the back, or the right of a string across."""
    start, end, _ = _ends(points, spots)
    step = end - start
    return np.where(np.where(runs_along(step), step[:, 0] >= 0, step[:, 1] < 0), 1.0, -1.0)


def _sd(
    points: Points, readings: Sequence[Reading], spots: Sequence[Spots],
    tools: Sequence[Precision],
) -> Array:  # fmt: skip
    """Standard deviations: of an angle alone, over a length, or over the way from pin 1."""
    start, end, at = _ends(points, spots)
    pin = points.planned[points.of(Place.PIN)[0]]
    rod, angle, strung = (
        np.array([r.kind in kinds for r in readings], dtype=bool)
        for kinds in ((Kind.ROD,), ANGLES, STRUNG)
    )
    length = np.linalg.norm(np.where(rod[:, None], start - pin, end - start), axis=1)
    length = np.where(angle, 0.0, length)
    chord = np.where(strung, length, 1.0)
    share = ((at - start) * (end - start)).sum(axis=1) / chord**2
    curve = np.array([0.0 if t.curve_stated else t.curve for t in tools])
    sag = np.where(strung, curve * length**2 * share * (1 - share), 0.0)
    error, per_length = (np.array([getattr(t, name) for t in tools], dtype=float)
                         for name in ("error", "per_length"))  # fmt: skip
    return np.asarray(np.sqrt(error**2 + (per_length * length) ** 2 + sag**2))
