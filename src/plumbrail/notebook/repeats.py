"""Rows that stand twice: a reading pasted again would pass for a second look at the same thing.

Two rows are the same when kind, points, direction, instrument, set-up and value are. With one clock
time on both, the later one is no second reading and is not used; a rod cannot even be read from two
set-ups in one minute. Without clock times nobody can tell, and both are used.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Kind, Moved, Reading

_ROUND = 9
_DAY = len("2026-05-05")


def pasted(rows: Sequence[Reading | Moved]) -> tuple[Problem, ...]:
    """Readings and moves that repeat an earlier row to the minute; they are not to be used."""
    first: dict[Hashable, int] = {}
    found = []
    for row in rows:
        if not _clock(row):
            continue
        line = first.setdefault((_same(row, setups=False), _clock(row)), row.line)
        if line != row.line:
            what = "reading" if isinstance(row, Reading) else "move"
            words = (
                f"repeats line {line} to the minute: a second {what} has its own time; delete it"
            )
            found.append(Problem("", words, row.line))
    return tuple(found)


def untimed(readings: Sequence[Reading], moved: Sequence[Moved]) -> int:
    """Readings that are the same as an earlier one, with no clock time on one of them to tell them
    apart and nothing moved in between."""
    seen: dict[Hashable, list[str]] = {}
    count = 0
    for r in readings:
        moves = sum(m.line < r.line for m in moved)
        earlier = seen.setdefault((_same(r, setups=True), moves), [])
        count += bool(earlier) and not (_clock(r) and all(earlier))
        earlier.append(_clock(r))
    return count


def _same(row: Reading | Moved, setups: bool) -> Hashable:
    """Equal for rows that say the same."""
    if isinstance(row, Moved):
        return row.point, row.axis, round(row.amount, _ROUND)
    ends = (row.start, row.end)
    if row.kind not in (Kind.ROD, Kind.PLUMB, Kind.TILT):
        ends = (min(ends), max(ends))
    setup = row.setup if setups else ""
    return (row.kind, ends, row.at, row.axis, row.instrument, setup, round(row.value, _ROUND))


def _clock(row: Reading | Moved) -> str:
    """Day and time as written; empty when there is no clock time."""
    return row.time.upper().replace("T", " ") if len(row.time) > _DAY else ""
