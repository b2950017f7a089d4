"""Rows and ticks as they come in: numbered within the job, each uid once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, RowMapping, Table, func, insert, select

from plumbrail.store import plans
from plumbrail.store.clock import now

_CHUNK = 500
"""Values in one question; databases have a limit."""
_NO_TEXT = re.compile("[\0\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Numbered:
    """What became of the records that came in."""

    uids: tuple[str, ...]
    """Of all of them, in their order, each once."""
    new: int
    last: int
    """Number of the last one of the job."""
    different: tuple[str, ...]
    """Uids that were there with another content, which stays."""


def add_numbered(
    connection: Connection,
    table: Table,
    job: str,
    records: Sequence[Mapping[str, Any]],
    device: str,
) -> Numbered:
    """Add the records whose ``uid`` the job does not have yet, in their order."""
    plans.lock(connection, job)
    first: dict[str, Mapping[str, Any]] = {}
    different: list[str] = []
    for record in map(_keepable, records):
        if first.setdefault(record["uid"], record) != record:
            different.append(record["uid"])
    for row in _there(connection, table, job, list(first)):
        sent = first[row["uid"]]
        if any(row[field] != sent[field] for field in sent):
            different.append(row["uid"])
        first[row["uid"]] = {}
    last = connection.scalar(select(func.max(table.c.seq)).where(table.c.job == job)) or 0
    taken = now()
    new = [
        {**record, "job": job, "seq": last + n, "device": device, "taken": taken}
        for n, record in enumerate(filter(None, first.values()), 1)
    ]
    if new:
        connection.execute(insert(table), new)
    return Numbered(tuple(first), len(new), last + len(new), tuple(dict.fromkeys(different)))


def known(connection: Connection, table: Table, job: str, uids: Sequence[str]) -> set[str]:
    """Those of the uids that the job has."""
    return {row["uid"] for row in _there(connection, table, job, uids)}


def _there(
    connection: Connection, table: Table, job: str, uids: Sequence[str]
) -> Iterator[RowMapping]:
    for begin in range(0, len(uids), _CHUNK):
        some = table.c.uid.in_(uids[begin : begin + _CHUNK])
        yield from connection.execute(select(table).where(table.c.job == job, some)).mappings()


def _keepable(record: Mapping[str, Any]) -> dict[str, Any]:
    return {
        field: keepable(cell) if isinstance(cell, str) else cell for field, cell in record.items()
    }


def keepable(text: str) -> str:
    """A reading is not lost for a character that no database can hold: it becomes a mark."""
    return _NO_TEXT.sub("\ufffd", text)
