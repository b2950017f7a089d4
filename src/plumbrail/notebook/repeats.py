"""Rows that stand twice: a reading pasted again would pass for a second look at the same thing.

Two rows are the same when kind, points, direction, instrument, set-up and value are. With one clock
time on both, the later one is no second reading and is not used; a rod cannot even be read from two
set-ups in one minute. Without clock times nobody can tell of one row, and both are used. A whole
block of rows that comes again to the last figure is another matter: who reads ten things twice
finds some of them a little different. Such a block is not used until somebody says when it was
read.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Kind, Moved, Reading

BLOCK = 10
"""Rows in a row that come again with the same values from which on they count as pasted. A
judgement: readings rounded so coarsely that two in three come out the same do so ten times running
once in sixty."""
_LOOKED_AT = 50
"""Earlier rows alike that a block is compared with."""
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


@dataclass(frozen=True, slots=True)
class Block:
    """Rows that repeat earlier ones, one by one."""

    lines: frozenset[int]
    problem: Problem


def blocks(rows: Sequence[Reading | Moved]) -> tuple[Block, ...]:
    """Blocks of at least ``BLOCK`` rows that repeat earlier ones with the same values, where times
    do not tell them apart; they are not to be used. Rows that ``pasted`` finds are left out."""
    keys = [_same(row, setups=True) for row in rows]
    places: dict[Hashable, list[int]] = {}
    found = []
    i = 0
    while i < len(rows):
        earlier = places.get(keys[i], [])[-_LOOKED_AT:]
        long, first = max(((_run(rows, keys, j, i), j) for j in earlier), default=(0, 0))
        size = long if long >= BLOCK else 1
        if size > 1:
            found.append(_block(rows[first : first + size], rows[i : i + size]))
        for k in range(i, i + size):
            places.setdefault(keys[k], []).append(k)
        i += size
    return tuple(found)


def _run(rows: Sequence[Reading | Moved], keys: Sequence[Hashable], j: int, i: int) -> int:
    """Rows from j on that come again from i on."""
    long = 0
    while (
        j + long < i < len(rows) - long
        and keys[j + long] == keys[i + long]
        and not _apart(rows[j + long], rows[i + long])
    ):
        long += 1
    return long


def _apart(one: Reading | Moved, other: Reading | Moved) -> bool:
    """Whether both say when, and not the same."""
    return bool(one.time and other.time) and (
        one.time[:_DAY] != other.time[:_DAY] or bool(_clock(one) and _clock(other))
    )


def _block(first: Sequence[Reading | Moved], again: Sequence[Reading | Moved]) -> Block:
    words = (
        f"lines {again[0].line} to {again[-1].line} repeat lines {first[0].line} to "
        f"{first[-1].line} to the last figure, without clock times: were they read twice? Give "
        "both times, or delete one of them; until then they are not used"
    )
    return Block(frozenset(r.line for r in again), Problem("", words, again[0].line))


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
