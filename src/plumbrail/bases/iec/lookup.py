"""Rows of the tables of international standards, by words and by cross-section."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plumbrail import units
from plumbrail.errors import RangeError
from plumbrail.tables.loader import Table, load
from plumbrail.trace import Certainty, given

Array = NDArray[np.float64]


def table(name: str) -> Table:
    """The table ``iec/name``."""
    return load("iec", name)


def of_area(name: str, column: str, S: float, /, **key: str) -> Array:
    """Number of the row with cross-section ``S`` [m**2]; 0-d.

    Entered in the record with the certainty of its row. Raises RangeError for a cross-section
    that the table does not have.
    """
    found = table(name)
    areas = found.numbers["area"]
    mask = found.rows(**key) if key else np.ones(areas.size, dtype=bool)
    rows = np.flatnonzero(mask & np.isclose(areas, S, rtol=1e-6, atol=0.0))
    if rows.size != 1:
        listed = ", ".join(f"{a * 1e6:g}" for a in areas[mask])
        raise RangeError(
            f"{found.source} has no conductor of {S * 1e6:g} mm2; it has {listed}. {found.advice}"
        )
    row = int(rows[0])
    meta = found.columns[column]
    sure = found.certainty
    if "certainty" in found.words:
        sure = Certainty[found.words["certainty"][row].upper()]
    where = ", ".join([*(f"{k} {v}" for k, v in key.items()), f"{S * 1e6:g} mm2"])
    unit = units.si_unit(meta.printed_unit)
    return given(f"{found.source} ({where})", f"{meta.symbol} [{unit}]",
                 found.numbers[column][row], sure, found.title)  # fmt: skip


def with_row_certainty(name: str, column: str, /, **key: str) -> Array:
    """The one number for a key, with its own row's certainty; 0-d."""
    found = table(name)
    row = int(np.flatnonzero(found.rows(**key))[0])
    sure = Certainty[found.words["certainty"][row].upper()]
    return replace(found, certainty=sure).value(column, **key)
