"""Misaligned frames for tests and benchmarks: own values and slopes, from the definitions."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from plans import model_with
from plumbrail.model.parts import Model
from plumbrail.notebook.entries import Axis, Held, Hold, Moved, Notebook, Slides
from plumbrail.plan.truing import Truing
from plumbrail.truing.freedom import Freedom, effect, freedom
from plumbrail.truing.parts import Built, Positions, Verdict
from plumbrail.truing.points import Place, Points, points_of

INCH = 0.0254
TOLERANCE = {
    "straight": INCH / 4, "level": INCH / 4, "parallel": INCH / 4, "plumb": np.radians(0.5),
    "plane": 3 * INCH / 8, "spacing": INCH / 2, "square": INCH / 2, "height": INCH,
    "tilt": np.radians(2.0),
}  # fmt: skip
FACTOR = 1.645
X, Y, Z = range(3)


@cache
def model_of(stations: int) -> Model:
    """The larger demo with another number of stations, 9 ft apart."""
    columns = round(((stations - 1) * 2.7432 + 2.3) / 1.742)
    return model_with({"frame.posts": stations, "array.columns": columns})


@dataclass(frozen=True)
class Frame:
    """One misaligned frame and what may be moved."""

    model: Model
    positions: Positions
    built: Built
    freedom: Freedom


Row = tuple[str, str, np.ndarray]


def rows_of(points: Points) -> Iterator[Row]:
    """Family, id and slope of every value; all are linear in the offsets from plan."""
    n, count = points.stations, len(points.ids)

    def unit(point: int, c: int) -> np.ndarray:
        row = np.zeros((count, 3))
        row[point, c] = 1.0
        return row.ravel()

    heads = [points.of(Place.HEAD, r) for r in (0, 1)]
    bases = [points.of(Place.BASE, r) for r in (0, 1)]
    x, tall = points.planned[:, X], points.planned[:, Z]
    for r, name in ((0, "F"), (1, "B")):
        h = heads[r]
        for c, way in ((Y, "plan"), (Z, "height")):
            for i in h[1:-1]:
                t = (x[i] - x[h[0]]) / (x[h[-1]] - x[h[0]])
                chord = (1 - t) * unit(h[0], c) + t * unit(h[-1], c)
                yield "straight", f"{name}.{way}.{points.ids[i]}", unit(i, c) - chord
        mean = np.mean([unit(i, Z) for i in h], axis=0)
        for i, b in zip(h, bases[r], strict=True):
            yield "level", points.ids[i], unit(i, Z) - mean
            for c, way in ((X, "along"), (Y, "across")):
                yield (
                    "plumb",
                    f"{way}.{points.ids[i]}",
                    (unit(i, c) - unit(b, c)) / (tall[i] - tall[b]),
                )
            yield "height", points.ids[i], unit(i, Z)
        for i, j in itertools.pairwise(h):
            yield "spacing", f"{points.ids[i]}-{points.ids[j]}", unit(j, X) - unit(i, X)
    for c, way in ((Y, "plan"), (Z, "height")):
        apart = [unit(b, c) - unit(f, c) for f, b in zip(*heads, strict=True)]
        for k in range(n):
            yield "parallel", f"{way}.{k + 1}", apart[k] - np.mean(apart, axis=0)
    rise = points.planned[heads[1]] - points.planned[heads[0]]
    for k, (f, b) in enumerate(zip(*heads, strict=True)):
        up, back = rise[k, Z], rise[k, Y]
        size = np.hypot(up, back)
        yield "spacing", f"across.{k + 1}", unit(b, Y) - unit(f, Y)
        yield "square", f"{k + 1}", unit(b, X) - unit(f, X)
        yield (
            "tilt",
            f"{k + 1}",
            (back / size**2 * (unit(b, Z) - unit(f, Z)) - up / size**2 * (unit(b, Y) - unit(f, Y))),
        )
    every = np.concatenate(heads)
    base = np.column_stack([np.ones(2 * n), points.planned[every][:, :2]])
    off_plane = np.eye(2 * n) - base @ np.linalg.pinv(base)
    units = np.array([unit(i, Z) for i in every])
    for i, row in zip(every, off_plane, strict=True):
        yield "plane", points.ids[i], row @ units


def verdict_of(value: float, low: float, high: float, sd: float, factor: float) -> Verdict:
    """Inside, outside or unsure, by room kept from the limits."""
    room = min(value - low, high - value)
    if room >= factor * sd:
        return Verdict.INSIDE
    return Verdict.OUTSIDE if room <= -factor * sd else Verdict.UNSURE


def built_of(
    points: Points, off: np.ndarray, error: float, tolerance: Mapping[str, float] = TOLERANCE
) -> Built:
    """Values of offsets (points, 3) with the same standard deviation ``error`` everywhere."""
    family, ids, slopes = zip(*rows_of(points), strict=True)
    slope = np.array(slopes)
    angle = np.isin(family, ("plumb", "tilt"))
    value = slope @ off.ravel()
    high = np.array([tolerance[f] for f in family])
    # Lengths are known to about ``error``, a lean or a tilt to about a tenth of a degree or less.
    sd = np.where(angle, np.minimum(np.radians(0.1), error), error)
    verdict = tuple(
        verdict_of(v, -h, h, s, FACTOR) for v, h, s in zip(value, high, sd, strict=True)
    )
    full = tuple(f"{f}.{i}" for f, i in zip(family, ids, strict=True))
    return Built(
        full, family, full, family, angle, value, -high, high, sd, slope, verdict, FACTOR,
    )  # fmt: skip


def positions_of(points: Points, off: np.ndarray, error: float) -> Positions:
    """Positions with independent coordinates."""
    size = 3 * len(points.ids)
    return Positions(points, points.planned + off, error**2 * np.eye(size), np.zeros((size, 0)))


def notebook_of(
    held: Mapping[str, Hold] | None = None, slides: Mapping[str, tuple[float, float]] | None = None,
    moved: tuple[Moved, ...] = (),
) -> Notebook:  # fmt: skip
    """A notebook that holds no reading."""
    return Notebook(
        (), (), tuple(Held(1, "", p, h) for p, h in (held or {}).items()),
        tuple(Slides(2, p, a, b) for p, (a, b) in (slides or {}).items()), moved, 0, (), "", "made",
    )  # fmt: skip


def back_held(stations: int, hold: Hold) -> dict[str, Hold]:
    """The back row holds, the front row is loose."""
    return {f"B{s}": hold for s in range(1, stations + 1)}


def frame_of(
    stations: int, off: np.ndarray | Mapping[tuple[str, int], float], *, error: float = 0.0008,
    held: Mapping[str, Hold] | None = None,
    slides: Mapping[str, tuple[float, float]] | None = None,
    moved: tuple[Moved, ...] = (), tolerance: Mapping[str, float] = TOLERANCE, **truing: float,
) -> Frame:  # fmt: skip
    """A frame from offsets, given as an array (points, 3) or as {(point, axis): metres}."""
    model = model_of(stations)
    points = points_of(model, np.array([[-2.0, -2.0, 0.0], [10.0, -2.0, 0.0]]))
    if not isinstance(off, np.ndarray):
        given, off = off, np.zeros((len(points.ids), 3))
        for (id, c), amount in given.items():
            off[points.index(id), c] = amount
    positions = positions_of(points, off, error)
    notebook = notebook_of(back_held(stations, Hold.SET) if held is None else held, slides, moved)
    lengths: dict[str, Any] = {name: f"{float(value)!r} m" for name, value in truing.items()}
    free = freedom(model, positions, notebook, Truing(**lengths))
    return Frame(model, positions, built_of(points, off, error, tolerance), free)


def random_off(
    stations: int, rng: np.random.Generator, front: float = 0.019, back: float = 0.003
) -> np.ndarray:
    """Offsets as on a real site: front heads and bases up to ``front`` off, the back row little."""
    model = model_of(stations)
    count = 4 * stations + 6
    off = np.zeros((count, 3))
    row = np.tile(model.posts.row, 2)
    size = np.where(row == 0, front, back)[:, None]
    off[: 4 * stations] = rng.uniform(-size, size, (4 * stations, 3))
    # A post stands plumb within a degree: its head is near its base in plan.
    lean = (
        rng.uniform(-0.008, 0.008, (2 * stations, 2))
        * np.where(model.posts.row == 0, 1, 0.3)[:, None]
    )
    off[: 2 * stations, :2] = off[2 * stations : 4 * stations, :2] + lean
    off[2 * stations :, Z] = 0.0
    # Beam ends lie on the straight line through the two nearest heads.
    points = points_of(model, np.zeros((2, 3)))
    for r, row in enumerate("FB"):
        ends = points.of(Place.END, r)
        for s in range(1, stations + 1):
            for axis, c in ((Axis.ACROSS, Y), (Axis.UP, Z)):
                follow = effect(points, f"{row}{s}", axis).reshape(-1, 3)[ends, c]
                off[ends, c] += follow * off[points.index(f"{row}{s}"), c]
    return off


def mirrored(frame_off: np.ndarray, stations: int) -> np.ndarray:
    """The same frame seen from behind, left and right exchanged (equal spacings)."""
    n = stations
    order = np.concatenate([np.arange(n)[::-1] + k * n for k in range(4)])
    ends = 4 * n + np.array([1, 0, 3, 2, 4, 5])
    off = frame_off[np.concatenate([order, ends])].copy()
    off[:, X] *= -1.0
    return off


def scaled(built: Built, factor: float) -> Built:
    """All values, limits and uncertainties in another unit."""
    return replace(
        built, value=built.value * factor, low=built.low * factor, high=built.high * factor,
        sd=built.sd * factor, slope=built.slope * factor,
    )  # fmt: skip
