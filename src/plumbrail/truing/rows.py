"""Readings of a notebook as rows of numbers; what cannot be used comes back with its line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.plan.truing import Truing
from plumbrail.truing import observe
from plumbrail.truing.instruments import ANGLES, STRUNG, TAPED, Precision, precision, refusal
from plumbrail.truing.observe import Rows
from plumbrail.truing.parts import Array
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


def spots_of(points: Points, reading: Reading) -> Spots:
    """Places of a reading; KeyError with words for a name that there is not."""
    if reading.kind is Kind.PLUMB:
        post = reading.start.removesuffix(" top").removesuffix(" base")
        head, base = points.index(post), points.index(f"{post} base")
        return Spots((base, head, base), (0.0, 0.0, 0.0))
    names = (reading.start, reading.end or reading.start, reading.at or reading.start)
    found = [_spot(points, name, reading.kind is Kind.ROD) for name in names]
    return Spots((found[0][0], found[1][0], found[2][0]), (found[0][1], found[1][1], found[2][1]))


def _spot(points: Points, name: str, rod: bool) -> tuple[int, float]:
    """A point and the height above it: of the pipe's top under a rod, or of the post's cut end."""
    head = name.removesuffix(" top")
    i = points.index(head)
    if head != name:
        return i, float(points.to_cut_end[i])
    return i, float(points.to_top[i]) if rod else 0.0


def make_rows(
    points: Points, versions: Versions, readings: Sequence[Reading], truing: Truing
) -> tuple[Made, tuple[Problem, ...]]:
    """Readings as rows with their standard deviations, and why the others cannot be used."""
    good: list[Reading] = []
    spots: list[Spots] = []
    problems: list[Problem] = []
    for reading in readings:
        why = _unfit(points, reading) or refusal(reading.kind, reading.instrument, truing)
        if why:
            problems.append(Problem("", why, reading.line))
            continue
        good.append(reading)
        spots.append(spots_of(points, reading))
    known = {(r.kind, r.instrument): r for r in good}
    tools = {key: precision(*key, truing) for key in known}
    setups = tuple(dict.fromkeys(r.setup for r in good if r.kind is Kind.ROD))
    used = [tools[r.kind, r.instrument] for r in good]
    rows = _rows(points, versions, good, spots, used, setups)
    sd = np.array([_sd(points, *row) for row in zip(good, spots, used, strict=True)])
    sags = any(r.kind is Kind.STRING_HEIGHT and not u.curve_stated
               for r, u in zip(good, used, strict=True))  # fmt: skip
    notes = (
        "The sag of a string was not corrected, because the plan states no weight and pull for it; "
        "its height readings count for less.",
    )  # fmt: skip
    return Made(tuple(good), rows, sd, setups, notes if sags else ()), tuple(problems)


def _unfit(points: Points, reading: Reading) -> str:
    """Why a reading cannot be used as it stands; empty when it can."""
    try:
        spots = spots_of(points, reading)
    except KeyError as error:
        return f"there is no point {error.args[0]!r} for a {reading.kind} reading"
    kind, used = reading.kind, set(spots.points)
    if kind is not Kind.ROD and any(points.place[i] == Place.MARK for i in used):
        return f"only a rod can be read on a mark, not a {kind}"
    if kind is Kind.PLUMB and reading.axis not in (Axis.ALONG, Axis.ACROSS):
        return "a plumb reading needs its direction, along or across"
    if kind is Kind.ROD or kind is Kind.PLUMB:
        return ""
    flat = points.planned * [1.0, 1.0, float(kind in (Kind.TAPE, Kind.DIAGONAL))]
    start, end, at = flat[list(spots.points)]
    if np.linalg.norm(end - start) < NO_LENGTH:
        return f"there is no length between {reading.start} and {reading.end} for a {kind}"
    if kind in STRUNG and min(np.linalg.norm(at - start), np.linalg.norm(at - end)) < NO_LENGTH:
        return f"{reading.at or 'no point'} is where the string is fixed; it reads nothing there"
    return ""


def _rows(
    points: Points, versions: Versions, readings: Sequence[Reading], spots: Sequence[Spots],
    tools: Sequence[Precision], setups: tuple[str, ...],
) -> Rows:  # fmt: skip
    m = len(readings)
    seen = [
        [versions.at(i, r.line) for i in s.points] for r, s in zip(readings, spots, strict=True)
    ]
    warm = np.array([293.15 if t.temperature is None else t.temperature for t in tools])
    return Rows(
        np.array([FORMULA[r.kind] for r in readings], dtype=np.int64),
        np.array(seen, dtype=np.int64).reshape(m, 3),
        np.array([s.rise for s in spots], dtype=float).reshape(m, 3),
        np.array([setups.index(r.setup) if r.kind is Kind.ROD else -1 for r in readings],
                 dtype=np.int64),
        np.array([int(r.axis is Axis.ACROSS) for r in readings], dtype=np.int64),
        np.array([_sign(points, s) for s in spots]),
        np.array([t.curve if t.curve_stated else 0.0 for t in tools]),
        tape_scale(warm.astype(float)),
    )  # fmt: skip


def _sign(points: Points, spots: Spots) -> float:
    """Which side of a string counts positive: the back, or the right of a string across."""
    step = points.planned[spots.points[1]] - points.planned[spots.points[0]]
    along = abs(step[0]) >= abs(step[1])
    return 1.0 if (step[0] >= 0 if along else step[1] < 0) else -1.0


def _sd(points: Points, reading: Reading, spots: Spots, tool: Precision) -> float:
    start, end, at = points.planned[list(spots.points)]
    if reading.kind in ANGLES:
        return tool.error
    if reading.kind is Kind.ROD:
        pin = points.planned[points.of(Place.PIN)[0]]
        return tool.sd(float(np.linalg.norm(start - pin)))
    length = float(np.linalg.norm(end - start))
    if reading.kind in TAPED:
        return tool.sd(length)
    share = float((at - start) @ (end - start)) / length**2
    sag = tool.curve * length**2 * share * (1 - share)
    return tool.sd(length, 0.0 if tool.curve_stated else abs(sag))
