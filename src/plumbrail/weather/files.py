"""A typical-year file, read into a :class:`~plumbrail.weather.year.WeatherYear`."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import WeatherError
from plumbrail.weather.forms import WANTED, Form, recognise, station
from plumbrail.weather.gaps import Hours, filled, lay
from plumbrail.weather.labels import find
from plumbrail.weather.rows import read_rows
from plumbrail.weather.usual import GRASS, MODULE_WIND
from plumbrail.weather.year import HOURS, Origin, WeatherYear, month_of_hours

Array = NDArray[np.float64]

LARGEST = 30_000_000
"""Bytes; a year of hours has 1 to 2 million."""


def read_year(path: Path) -> WeatherYear:
    """The year in an EPW, TMY3 or TMY2 file, recognised by what it holds.

    Raises WeatherError, which names the file and the line, for anything that is no whole year.
    """
    file = path.name
    lines = _lines(path)
    form = recognise(lines, file)
    where = station(form, lines[0], file)
    rows = read_rows(form, lines, file)
    labels = find(rows, where, file)
    hours = lay(form, rows, labels, file)
    main = [filled(c, hours.values[:, i], file) for i, c in enumerate(form.columns[:5])]
    albedo, albedo_words = _albedo(form, hours)
    snow, snow_words = _snowfall(form, hours)
    notes = [
        labels.words, *_gap_words(form, hours, rows.leap), albedo_words, snow_words,
        f"Wind of the file, taken as measured 10 m up, × {MODULE_WIND:.2f} for modules 2 m up in "
        "the open (common practice).",
    ]  # fmt: skip
    ghi, dni, dhi, air, wind = main
    return WeatherYear(
        ghi, dni, dhi, air, MODULE_WIND * wind, snow, albedo,
        float(np.radians(where.latitude)), float(np.radians(where.longitude)), where.elevation,
        3600 * where.zone, Origin.FILE, f"{file} ({form.name}, {where.name})",
        tuple(n for n in notes if n),
    )  # fmt: skip


def _lines(path: Path) -> list[str]:
    try:
        if path.stat().st_size > LARGEST:
            raise WeatherError(f"{path.name} is too large for a year of hours. {WANTED}")
        raw = path.read_bytes()
    except OSError as error:
        raise WeatherError(f"{path} cannot be read: {error.strerror or error}") from error
    if b"\0" in raw:
        raise WeatherError(f"{path.name} is no text file. {WANTED}")
    # names of places may be in any encoding; numbers are the same in all of them
    return raw.decode("utf-8-sig", errors="replace").splitlines()


def _albedo(form: Form, hours: Hours) -> tuple[Array, str]:
    if not form.albedo:
        return np.full(HOURS, GRASS), f"Albedo: the file has none, {GRASS:.0%} taken (grass)."
    found = hours.values[:, -1]
    valid = (found > 0) & (found < 1)
    if valid.all():
        return found, f"Albedo from the file, {found.min():.0%} to {found.max():.0%}."
    if not valid.any():
        return np.full(HOURS, GRASS), f"Albedo: none valid in the file, {GRASS:.0%} taken (grass)."
    count = int((~valid).sum())
    return (
        np.where(valid, found, GRASS),
        f"Albedo from the file; {GRASS:.0%} (grass) in {count:,} hours without a valid one.",
    )


def _snowfall(form: Form, hours: Hours) -> tuple[Array | None, str]:
    """Rises of the snow depth; between two months, of different years, there is none."""
    if not form.snow:
        return None, "Snow: the file has no snow depth."
    depth = hours.values[:, 5]
    known = np.isfinite(depth)
    if known.mean() < 0.9:
        return None, "Snow: the file has no snow depth for most of the year."
    held = depth[np.maximum.accumulate(np.where(known, np.arange(HOURS), np.argmax(known)))]
    rise = np.maximum(np.diff(held, prepend=held[:1]), 0.0)
    month = month_of_hours()
    rise[np.flatnonzero(np.diff(month, prepend=month[:1]))] = 0.0
    return rise, (
        f"Fresh snow from rises of the snow depth, {rise.sum():.2f} m in the year; settling and "
        "snow on the first of a month are not in it."
    )


def _gap_words(form: Form, hours: Hours, leap: int) -> list[str]:
    words = []
    if leap:
        words.append(f"29 February left out ({leap} rows).")
    if hours.absent:
        words.append(f"{_hours(hours.absent)} missing in the file, filled in on a straight line.")
    for i, column in enumerate(form.columns[:5]):
        more = int(np.isnan(hours.values[:, i]).sum()) - hours.absent
        if more > 0:
            words.append(f"{column.name.capitalize()} missing in {_hours(more)}, filled in on a "
                         "straight line.")  # fmt: skip
    return words


def _hours(count: int) -> str:
    return f"{count:,} hour{'' if count == 1 else 's'}"
