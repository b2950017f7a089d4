"""Frames out of true and the notebooks of their readings, for tests."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from plans import alder, model_with
from plumbrail.notebook.entries import Axis, Kind, Moved, Notebook, Reading
from plumbrail.plan.truing import Truing
from plumbrail.truing.instruments import TOOLS
from plumbrail.truing.observe import read_off
from plumbrail.truing.parts import Wanted
from plumbrail.truing.points import Points, points_of
from plumbrail.truing.rows import make_rows
from plumbrail.truing.scheme import field_readings
from plumbrail.truing.versions import versions_of

INCH = 0.0254
PINS = np.array([[-1.8, -2.4, 0.1], [10.0, -2.4, 0.1]])
LASERS = {"A": 2.1, "B": 2.6, "C": 1.9}


def alder_points(marks: Sequence[str] = ()) -> Points:
    """Points of the Alder Creek demo with two pins in front of it."""
    return points_of(alder()[1], PINS, marks)


def long_points(stations: int) -> Points:
    """Points of a longer frame of the same make."""
    model = model_with({"frame.posts": stations, "array.columns": int(6 * stations / 4) + 2})
    pins = np.add(PINS, [[0, 0, 0], [2.8 * stations, 0, 0]])
    return points_of(model, pins)


def crooked(points: Points, seed: int = 1, size: float = INCH) -> np.ndarray:
    """(points, 3) planned places, each off by about ``size``; pins where they belong."""
    off = np.random.default_rng(seed).normal(0.0, size, points.planned.shape)
    pins = [i for i, id in enumerate(points.ids) if id.startswith("pin")]
    off[pins] = 0.0
    off[pins[1], 2] = 0.03
    off[[i for i, id in enumerate(points.ids) if id.startswith("mark")], :2] = 0.0
    return points.planned + off


def truth_of(
    points: Points,
    readings: Sequence[Reading],
    xyz: np.ndarray,
    truing: Truing,
    moved: tuple[Moved, ...] = (),
) -> tuple[Reading, ...]:
    """Exact values for readings of a frame that stands at ``xyz`` in the end."""
    versions, _ = versions_of(points, moved)
    made, problems = make_rows(points, versions, readings, truing)
    assert not problems, problems
    places = xyz[versions.point].copy()
    for tie in reversed(versions.ties):
        places[tie.old] = places[tie.new] - tie.shift
    value, _ = read_off(made.rows, places, np.array([LASERS.get(s, 2.3) for s in made.setups]))
    return tuple(replace(r, value=float(v)) for r, v in zip(made.readings, value, strict=True))


def reading(
    line: int,
    kind: Kind,
    start: str,
    end: str = "",
    at: str = "",
    *,
    setup: str = "",
    axis: Axis | None = None,
    value: float = 0.0,
    instrument: str = "",
    text: str = "",
) -> Reading:
    """One row of a notebook."""
    return Reading(
        line, "", kind, start, end, at, value, axis, instrument or TOOLS[kind][0], setup, "", text
    )


def rods(*seen: str) -> list[Reading]:
    """Rod readings from line 2 on, each ``A pin 1``: set-up, then point."""
    return [reading(i, Kind.ROD, at.partition(" ")[2], setup=at[0])
            for i, at in enumerate(seen, start=2)]  # fmt: skip


def rows_for(wanted: Iterable[Wanted], first: int = 2) -> list[Reading]:
    """Wanted readings as rows from a line on."""
    return [
        reading(first + i, w.kind, w.start, w.end, w.at, setup=w.setup, axis=w.axis)
        for i, w in enumerate(wanted)
    ]


def notebook(readings: Iterable[Reading], moved: tuple[Moved, ...] = ()) -> Notebook:
    """A notebook of readings and noted moves."""
    return Notebook(tuple(readings), (), (), (), moved, 0, (), "0" * 64, "test.csv")


def measured(
    points: Points,
    xyz: np.ndarray,
    *,
    noise: float = 0.0,
    seed: int = 2,
    truing: Truing | None = None,
    wanted: Iterable[Wanted] | None = None,
) -> Notebook:
    """All field readings of a frame, with ``noise`` standard deviations of error each."""
    truing = truing or Truing()
    rows = rows_for(field_readings(points) if wanted is None else wanted)
    exact = truth_of(points, rows, xyz, truing)
    versions, _ = versions_of(points, ())
    sd = make_rows(points, versions, exact, truing)[0].sd
    error = noise * sd * np.random.default_rng(seed).normal(size=len(sd))
    return notebook(replace(r, value=r.value + e) for r, e in zip(exact, error, strict=True))


def changed(book: Notebook, index: int, by: float, **fields: object) -> Notebook:
    """One reading off by an amount."""
    rows = list(book.readings)
    rows[index] = replace(rows[index], value=rows[index].value + by, **fields)
    return replace(book, readings=tuple(rows))


def index_of(book: Notebook, kind: Kind, start: str, end: str = "", **more: object) -> int:
    """Place of a reading in a notebook."""
    return next(
        i
        for i, r in enumerate(book.readings)
        if (r.kind, r.start, r.end) == (kind, start, end)
        and all(getattr(r, k) == v for k, v in more.items())
    )
