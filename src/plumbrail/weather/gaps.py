"""Rows of a file laid on the 8,760 hours, short gaps filled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import WeatherError
from plumbrail.weather.forms import Column, Form
from plumbrail.weather.labels import Labels
from plumbrail.weather.rows import Rows
from plumbrail.weather.year import DAYS, HOURS

Array = NDArray[np.float64]

LONGEST = 6
"""Hours in a row that are filled in on a straight line; a longer gap is refused. A judgement."""
MOST = HOURS // 100
"""Hours of the year that are filled in at most, 1 %. A judgement."""
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip


@dataclass(frozen=True)
class Hours:
    """Axes: hour of the year, column of the form."""

    values: Array
    """(8760, columns) SI; nan where nothing was measured."""
    absent: int
    """Hours that the file has no row for."""


def lay(form: Form, rows: Rows, labels: Labels, file: str) -> Hours:
    """Rows in their hours; raises WeatherError for two rows of one hour, or too few."""
    middle = np.mod(rows.label + labels.offset, HOURS)
    whole = np.mod(middle, 1.0) < 0.25  # the middle stands on a full hour: mean of two neighbours
    place = np.floor(np.where(whole, middle - 0.25, middle)).astype(int) % HOURS
    order = np.argsort(place, kind="stable")
    twice = np.flatnonzero(np.diff(place[order]) == 0)
    if twice.size:
        line = rows.line[order][twice[0] + 1]
        raise WeatherError(f"{file} line {line}: a second row for the same hour; the file must "
                           "hold one row for each hour of one year")  # fmt: skip
    values = np.full((HOURS, rows.values.shape[1]), np.nan)
    values[place] = rows.values
    if whole.all():
        values = 0.5 * (values + np.roll(values, -1, axis=0))
    absent = HOURS - len(place)
    if absent > MOST:
        last = when(int(place[np.argmax(rows.line)]))
        raise WeatherError(
            f"{file}: {len(place):,} hours, where a year has {HOURS:,}. It ends on line "
            f"{rows.line.max()}, {last}; it may have been cut off."
        )
    return Hours(values, absent)


def filled(column: Column, values: Array, file: str) -> Array:
    """(8760,) without gaps; raises WeatherError for a long gap or too many."""
    gone = np.isnan(values)
    if not gone.any():
        return values
    if gone.all():
        raise WeatherError(f"{file}: no {column.name} in it at all")
    if gone.sum() > MOST:
        raise WeatherError(f"{file}: {column.name} is missing in {gone.sum():,} hours; at most "
                           f"{MOST} are filled in")  # fmt: skip
    start, length = _longest(gone)
    if length > LONGEST:
        raise WeatherError(f"{file}: {column.name} is missing for {length} hours from "
                           f"{when(start)}; at most {LONGEST} in a row are filled in")  # fmt: skip
    hours = np.arange(HOURS)
    return np.interp(hours, hours[~gone], values[~gone], period=HOURS)


def _longest(gone: NDArray[np.bool_]) -> tuple[int, int]:
    edges = np.diff(np.concatenate([[0], gone.astype(int), [0]]))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    longest = int(np.argmax(ends - starts))
    return int(starts[longest]), int(ends[longest] - starts[longest])


def when(hour: int) -> str:
    """The hour of the year in words."""
    day, clock = divmod(hour, 24)
    ends = np.cumsum(DAYS)
    month = int(np.searchsorted(ends, day, side="right"))
    return f"{day - int(ends[month] - DAYS[month]) + 1} {MONTHS[month]}, {clock}:00"
