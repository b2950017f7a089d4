"""A notebook with the rows to measure and no values yet, to be filled in on site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.notebook.entries import Axis, Kind
from plumbrail.notebook.rows import COLUMNS, tidy

_HEAD = (
    "# Write each value with its unit: 4 ft 3 1/2 in or 1.31 m.",
    "# Directions: up and down / back and front / left and right.",
    "# To strike a row out begin its note with: struck",
)
_LEANS = {Axis.ACROSS: "back or front", Axis.ALONG: "left or right"}


@dataclass(frozen=True, slots=True)
class BlankRow:
    """One reading to take, without its value."""

    kind: Kind
    start: str
    end: str = ""
    at: str = ""
    hint: str = ""
    """What to write or to mind; it goes into the note."""
    instrument: str = ""
    setup: str = ""
    axis: Axis | None = None
    """Which way a plumb reading leans; the note says so."""


def blank_csv(rows: Sequence[BlankRow]) -> str:
    """CSV text that ``read_notebook`` reads back with as many blanks as there are rows."""
    lines = [*_HEAD, ",".join(COLUMNS), *(_line(row) for row in rows)]
    return "".join(f"{line}\n" for line in lines)


def _line(row: BlankRow) -> str:
    lean = f"{_LEANS[row.axis]}" if row.axis in _LEANS else ""
    note = "; ".join(filter(None, [lean, row.hint]))
    if tidy(note).lower().startswith("struck"):
        note = f"note: {note}"  # a row that only begins so is not struck out
    cells = ("", row.kind, row.start, row.end, row.at, "", row.instrument, row.setup, note)
    return ",".join(quoted(tidy(str(cell))) for cell in cells)


def quoted(cell: str) -> str:
    """In quotes where the cell would not read back without them."""
    if any(c in cell for c in ',;\t"') or cell.startswith("#"):
        escaped = cell.replace('"', '""')
        return f'"{escaped}"'
    return cell
