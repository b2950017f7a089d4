"""Table values whose certainty is stated row by row."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plumbrail import units
from plumbrail.tables.loader import Table, load
from plumbrail.trace import Certainty

Array = NDArray[np.float64]

FOLDER = "asce7"

PSF = float(units.to_si(1.0, "psf"))
"""One pound per square foot in Pa."""
MPH = float(units.to_si(1.0, "mph"))
"""One mile per hour in m/s."""
FOOT = float(units.to_si(1.0, "ft"))
"""One foot in m."""


def row_value(name: str, column: str, certainty: str = "certainty", **key: str) -> Array:
    """One number of table ``asce7/name``, entered in the record with its own row's certainty.

    ``certainty`` names the text column that states it. Raises TableError when no row fits.
    """
    table: Table = load(FOLDER, name)
    row = int(np.flatnonzero(table.rows(**key))[0])
    sure = Certainty[table.words[certainty][row].upper()]
    return replace(table, certainty=sure).value(column, **key)


def value(name: str, column: str, **key: str) -> Array:
    """One number of table ``asce7/name``, entered in the record with the table's certainty."""
    return load(FOLDER, name).value(column, **key)
