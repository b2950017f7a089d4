"""The hours of a typical-year file as numbers, each known by its line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import WeatherError
from plumbrail.weather.forms import Column, Form
from plumbrail.weather.year import DAYS

Array = NDArray[np.float64]

NEEDED = 5
"""Columns of a form that every line must have; older files end before snow and albedo."""


@dataclass(frozen=True)
class Rows:
    """Axes: row of the file (leap day left out), column of the form."""

    label: Array
    """(rows,) time printed beside the row, in hours since 1 January 0:00."""
    line: NDArray[np.int64]
    """(rows,) line in the file, from 1."""
    values: Array
    """(rows, columns) SI; nan where nothing was measured."""
    leap: int
    """Rows of 29 February left out."""


@dataclass(frozen=True)
class Moment:
    """The label of a row."""

    month: int
    day: int
    hour: float
    """0 to 24, as printed."""


def read_rows(form: Form, lines: list[str], file: str) -> Rows:
    """All hours; raises WeatherError with the line of the first that cannot be right."""
    labels, numbers, values, leap = [], [], [], 0
    for number, line in enumerate(lines[form.heading :], start=form.heading + 1):
        if not line.strip():
            continue
        parts = line.split(",") if form.separated else line
        place = f"{file} line {number}"
        at = _moment(form, parts, place)
        if (at.month, at.day) == (2, 29):
            leap += 1
            continue
        labels.append(24.0 * (DAYS[: at.month - 1].sum() + at.day - 1) + at.hour)
        numbers.append(number)
        values.append([_value(c, parts, place, i < NEEDED) for i, c in enumerate(form.columns)])
    if not labels:
        raise WeatherError(f"{file}: no hours after the heading of {form.heading} lines")
    return Rows(np.array(labels), np.array(numbers), np.array(values), leap)


def _moment(form: Form, parts: list[str] | str, place: str) -> Moment:
    try:
        at = _fixed(parts) if isinstance(parts, str) else _separated(form, parts)
    except (ValueError, IndexError) as error:
        raise WeatherError(f"{place}: no month, day and hour can be read") from error
    if not 1 <= at.month <= 12 or not 1 <= at.day <= DAYS[at.month - 1] + (at.month == 2):
        raise WeatherError(f"{place}: there is no day {at.day} of month {at.month}")
    if not 0 <= at.hour <= 24:
        raise WeatherError(f"{place}: there is no hour {at.hour:g}")
    return at


def _fixed(line: str) -> Moment:
    return Moment(int(line[3:5]), int(line[5:7]), float(line[7:9]))


def _separated(form: Form, parts: list[str]) -> Moment:
    if form.name == "TMY3":
        month, day, _ = parts[0].split("/")
        hour, minute = parts[1].split(":")
        return Moment(int(month), int(day), int(hour) + int(minute) / 60)
    past = int(parts[4])  # 0 and 60 both mean the full hour
    back = 1 - past / 60 if 0 < past < 60 else 0.0
    return Moment(int(parts[1]), int(parts[2]), int(parts[3]) - back)


def _value(column: Column, parts: list[str] | str, place: str, needed: bool) -> float:
    cut = parts[column.place]
    text = cut if isinstance(cut, str) else "".join(cut)
    if not text.strip():
        if needed and isinstance(cut, list) and not cut:
            raise WeatherError(f"{place}: the line ends before the {column.name}")
        return float("nan")
    try:
        printed = float(text)
    except ValueError as error:
        raise WeatherError(f"{place}: {text.strip()!r} is no {column.name}") from error
    if printed >= column.absent if column.absent > 0 else printed <= column.absent:
        return float("nan")
    value = column.scale * printed + column.shift
    if not column.low <= value <= column.high:
        raise WeatherError(
            f"{place}: {column.name} of {text.strip()} cannot be; it runs from "
            f"{(column.low - column.shift) / column.scale:g} to "
            f"{(column.high - column.shift) / column.scale:g} as printed"
        )
    return value
