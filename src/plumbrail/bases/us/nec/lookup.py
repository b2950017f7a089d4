"""Finding the row of a code table, with the certainty of that row."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail import units
from plumbrail.errors import RangeError, TableError
from plumbrail.tables.loader import Table, load
from plumbrail.trace import Certainty, given

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
FOLDER = "nec"
SLACK = 1e-9
"""Share of a limit by which rounding may pass it: an exact fit is a fit."""


def table(name: str) -> Table:
    """The table ``nec/name``."""
    return load(FOLDER, name)


def certainty_of(found: Table, rows: IntArray) -> Certainty:
    """The least sure of some rows: their own level where the table states it row by row."""
    stated = found.words.get("certainty")
    if stated is None:
        return found.certainty
    return max(Certainty[stated[i].upper()] for i in np.unique(rows))


def picked(found: Table, column: str, rows: IntArray, where: str) -> Array:
    """Numbers of a column at some rows, entered in the record; shape of ``rows``."""
    meta = found.columns[column]
    return given(
        f"{found.source} ({units.print_words(where)})",
        f"{meta.symbol} [{units.si_unit(meta.printed_unit)}]",
        found.numbers[column][rows],
        certainty_of(found, rows),
        found.title,
    )


def number(name: str, column: str, /, **key: str) -> Array:
    """The one number of table ``nec/name`` for a key; 0-d. TableError unless one row fits."""
    found = table(name)
    where = ", ".join(f"{k} {v}" for k, v in key.items())
    return picked(found, column, _one_row(found, key), where)


def sureness(name: str, /, **key: str) -> Certainty:
    """How sure the one row of a table is."""
    found = table(name)
    return certainty_of(found, _one_row(found, key))


def words(name: str, column: str, /, **key: str) -> str:
    """The one entry of a text column for a key."""
    found = table(name)
    return found.words[column][int(_one_row(found, key))]


def _one_row(found: Table, key: Mapping[str, str]) -> IntArray:
    """Place of the one row that fits a key; 0-d."""
    rows = np.flatnonzero(found.rows(**key))
    if rows.size != 1:
        raise TableError(f"{found.source}: {dict(key)} fits {rows.size} rows, not one")
    return np.asarray(rows[0], dtype=np.int64)


def first_that_holds(tops: Array, x: ArrayLike, name: str, found: Table, slack: float) -> IntArray:
    """Place of the smallest of the rising ``tops`` that is not below ``x``; shape of ``x``.

    Raises RangeError above the last one and for what is not a number.
    """
    wanted = np.asarray(x, dtype=float)
    place = np.searchsorted(tops, wanted - slack, side="left")
    outside = (place == tops.size) | np.isnan(wanted)
    if outside.any():
        worst = wanted.flat[int(outside.argmax())]
        raise RangeError(
            f"{name} is {abs(worst):g}, beyond the last row of {found.source} "
            f"({abs(tops[-1]):g}). {found.advice}"
        )
    return np.asarray(place, dtype=np.int64)
