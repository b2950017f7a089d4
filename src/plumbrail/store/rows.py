"""Rows of the site notebook: what came in stays; a row may strike out another one."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Sequence
from dataclasses import replace

from sqlalchemy import Connection, select

from plumbrail.store import plans
from plumbrail.store import tables as t
from plumbrail.store.notebook_csv import cells_of, import_uid, struck_cells
from plumbrail.store.numbered import add_numbered, keepable, known
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
    phone in it, so brings nothing twice. Each row of the job stands for one row of the file only:
    a reading that was struck out by mistake and written again below it is a new one.
    """
    plans.lock(connection, job)
    there = rows_of(connection, job)
    sent = [(row, tuple(map(keepable, cells_of(row)))) for row in rows]
    found = _found([cells for _, cells in sent], there)
    taken = {row.uid for row in there}
    seen: Counter[tuple[str, ...]] = Counter()
    new: list[NewRow] = []
    for i, (row, cells) in enumerate(sent):
        seen[cells] += 1
        if i not in found:
            while (uid := import_uid(cells, seen[cells])) in taken:
                seen[cells] += 1
            new.append(replace(row, uid=uid))
    done = add_rows(connection, job, new, device)
    kept = [found[i] for i in sorted(found)]
    return replace(done, uids=tuple(dict.fromkeys([*kept, *done.uids])))


def _found(file: Sequence[tuple[str, ...]], there: Sequence[Row]) -> dict[int, str]:
    """Uid of the row of the job that each row of a file is, by its place in the file.

    As the job would be saved now first; what is left may have been saved before a row was struck.
    """
    struck = struck_cells(there)
    as_saved = [(struck.get(row.uid) or cells_of(row), row.uid) for row in there]
    as_sent = [(cells_of(row), row.uid) for row in there if row.uid in struck]
    found: dict[int, str] = {}
    for written in (as_saved, as_sent):
        waiting: dict[tuple[str, ...], deque[str]] = {}
        used = set(found.values())
        for cells, uid in written:
            if uid not in used:
                waiting.setdefault(cells, deque()).append(uid)
        for i, cells in enumerate(file):
            if i not in found and waiting.get(cells):
                found[i] = waiting[cells].popleft()
    return found
