"""Rows of the site notebook: what came in stays; a row may strike out another one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from sqlalchemy import Connection, select

from plumbrail.store import plans
from plumbrail.store import tables as t
from plumbrail.store.notebook_csv import cells_of, import_uid, struck_cells
from plumbrail.store.numbered import add_numbered, known
from plumbrail.store.records import NewRow, Row, Taken


def add_rows(connection: Connection, job: str, rows: Sequence[NewRow], device: str) -> Taken:
    """Keep the rows in their order, each uid once."""
    records = [{field: getattr(row, field) for field in NewRow.__slots__} for row in rows]
    done = add_numbered(connection, t.notebook, job, records, device)
    strikes = list(dict.fromkeys(row.strikes for row in rows if row.strikes))
    there = known(connection, t.notebook, job, strikes)
    unknown = tuple(
        dict.fromkeys(row.uid for row in rows if row.strikes and row.strikes not in there)
    )
    return Taken(done.uids, done.last, done.new, unknown, done.different)


def rows_of(connection: Connection, job: str, after: int = 0) -> tuple[Row, ...]:
    """The rows of a job after the one of number ``after``, in their order."""
    plans.head(connection, job)
    later = select(t.notebook).where(t.notebook.c.job == job, t.notebook.c.seq > after)
    found = connection.execute(later.order_by(t.notebook.c.seq)).mappings()
    return tuple(Row(**row) for row in found)


def import_rows(connection: Connection, job: str, rows: Iterable[NewRow], device: str) -> Taken:
    """Take in the rows of a file; those that the job has already, word for word, count once.

    A file that was saved before or after one of its rows was struck out, or that has rows from a
    phone in it, so brings nothing twice.
    """
    plans.lock(connection, job)
    there = rows_of(connection, job)
    struck = struck_cells(there)
    as_sent, as_saved = _numbered_cells(there, None), _numbered_cells(there, struck)
    seen: Counter[tuple[str, ...]] = Counter()
    kept: list[str] = []
    new: list[NewRow] = []
    for row in rows:
        cells = cells_of(row)
        seen[cells] += 1
        key = (cells, seen[cells])
        uid = as_sent.get(key) or as_saved.get(key)
        if uid is None:
            new.append(replace(row, uid=import_uid(cells, seen[cells])))
        else:
            kept.append(uid)
    done = add_rows(connection, job, new, device)
    return replace(done, uids=tuple(dict.fromkeys([*kept, *done.uids])))


def _numbered_cells(
    rows: Sequence[Row], instead: dict[str, tuple[str, ...]] | None
) -> dict[tuple[tuple[str, ...], int], str]:
    """Uid by cells and how many rows had the same cells up to there."""
    count: Counter[tuple[str, ...]] = Counter()
    found: dict[tuple[tuple[str, ...], int], str] = {}
    for row in rows:
        cells = (instead or {}).get(row.uid) or cells_of(row)
        count[cells] += 1
        found[cells, count[cells]] = row.uid
    return found
