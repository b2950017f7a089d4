"""Boxes of the lists: ticked on one phone, cleared on another; the later one counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Connection, select

from plumbrail.store import plans
from plumbrail.store import tables as t
from plumbrail.store.clock import moment
from plumbrail.store.numbered import add_numbered
from plumbrail.store.records import NewTick, Taken, Tick


def add_ticks(connection: Connection, job: str, ticks: Sequence[NewTick], device: str) -> Taken:
    """Keep the ticks in their order, each uid once."""
    records = [{field: getattr(tick, field) for field in NewTick.__slots__} for tick in ticks]
    done = add_numbered(connection, t.ticks, job, records, device)
    return Taken(done.uids, done.last, done.new, (), done.different)


def ticks_of(connection: Connection, job: str) -> tuple[Tick, ...]:
    """The tick that counts for every item of every list, in the order of lists and items.

    The later one by the devices' clocks, of two at the same moment the one that came later. A
    clock that is ahead is not believed beyond the time at which the tick came in: else nobody could
    clear that box again.
    """
    plans.head(connection, job)
    ordered = select(t.ticks).where(t.ticks.c.job == job).order_by(t.ticks.c.seq)
    last: dict[tuple[str, str], tuple[datetime, Tick]] = {}
    for r in connection.execute(ordered).mappings():
        when = min(moment(r["at"]), moment(r["taken"]))
        tick = Tick(job, r["list"], r["item"], bool(r["done"]), r["uid"], r["device"], r["at"])
        before = last.get((tick.list, tick.item))
        if before is None or before[0] <= when:
            last[tick.list, tick.item] = (when, tick)
    return tuple(last[key][1] for key in sorted(last))
