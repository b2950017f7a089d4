"""Jobs, the steps of their plans, the texts and the names of revisions."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, func, insert, select
from sqlalchemy.dialects import postgresql

from plumbrail.store import tables as t
from plumbrail.store.clock import now
from plumbrail.store.failures import (
    JobThereError,
    NotAStoreError,
    Stale,
    StoreError,
    UnknownJobError,
    UnknownRevisionError,
)
from plumbrail.store.line import line_of
from plumbrail.store.records import JobRow, Named, Step, StepKind

_BACK = (StepKind.UNDO, StepKind.REDO, StepKind.RESTORE)


@dataclass(frozen=True, slots=True)
class NewStep:
    """A step on its way in."""

    job: str
    uid: str
    kind: StepKind
    plan_text: str
    name: str
    by: str
    words: str
    of: int | None = None


def all_jobs(connection: Connection) -> tuple[JobRow, ...]:
    """Every job, the one changed last first."""
    last = select(t.steps.c.job, func.max(t.steps.c.revision).label("revision"))
    heads = last.group_by(t.steps.c.job).subquery()
    both = (t.steps.c.job == heads.c.job) & (t.steps.c.revision == heads.c.revision)
    found = connection.execute(select(t.steps).join(heads, both)).all()
    rows = [JobRow(r.job, r.name, r.revision, r.at) for r in found]
    return tuple(sorted(rows, key=lambda row: (row.changed, row.id), reverse=True))


def all_steps(connection: Connection, job: str) -> tuple[Step, ...]:
    """The steps of a job in their order."""
    ordered = select(t.steps).where(t.steps.c.job == job).order_by(t.steps.c.revision)
    found = connection.execute(ordered).all()
    if not found:
        raise UnknownJobError(job)
    return tuple(_step(row) for row in found)


def head(connection: Connection, job: str) -> Step:
    """The last step of a job."""
    last = select(t.steps).where(t.steps.c.job == job).order_by(t.steps.c.revision.desc()).limit(1)
    found = connection.execute(last).one_or_none()
    if found is None:
        raise UnknownJobError(job)
    return _step(found)


def step_at(connection: Connection, job: str, revision: int) -> Step:
    """The step of a job that made ``revision``."""
    one = select(t.steps).where(t.steps.c.job == job, t.steps.c.revision == revision)
    found = connection.execute(one).one_or_none() if 0 < revision < 2**31 else None
    if found is None:
        head(connection, job)
        raise UnknownRevisionError(job, revision)
    return _step(found)


def step_of_uid(connection: Connection, job: str, uid: str) -> Step | None:
    """The step that a client sent under ``uid``; None where it never arrived."""
    one = select(t.steps).where(t.steps.c.job == job, t.steps.c.uid == uid)
    found = connection.execute(one).one_or_none()
    return _step(found) if found is not None else None


def job_of_uid(connection: Connection, uid: str) -> Step | None:
    """The first step of the job that was begun under ``uid``."""
    job = connection.scalar(select(t.jobs.c.id).where(t.jobs.c.uid == uid))
    return step_at(connection, job, 1) if job is not None else None


def begin(connection: Connection, new: NewStep) -> Step:
    """A new job with its first step; the one already there for a uid that is."""
    there = job_of_uid(connection, new.uid)
    if there is not None:
        return there
    if connection.scalar(select(t.jobs.c.id).where(t.jobs.c.id == new.job)) is not None:
        raise JobThereError(new.job)
    connection.execute(insert(t.jobs).values(id=new.job, uid=new.uid))
    return _added(connection, new, 1)


def add(connection: Connection, new: NewStep, expected: int) -> Step:
    """The next step; the one already there for a uid that is.

    Raises Stale when ``expected`` is not the job's last revision.
    """
    there = step_of_uid(connection, new.job, new.uid)
    if there is not None:
        return there
    last = head(connection, new.job)
    if last.revision != expected:
        raise Stale(last.revision)
    _must_fit(connection, new)
    return _added(connection, new, expected + 1)


def _must_fit(connection: Connection, new: NewStep) -> None:
    """What brings an older state back brings back exactly that one."""
    if new.kind is StepKind.BEGUN:
        raise StoreError("a job is begun only once")
    if (new.of is not None) != (new.kind in _BACK):
        raise StoreError(f"a step of kind {new.kind} names an older revision, or must not")
    if new.of is None:
        return
    if step_at(connection, new.job, new.of).sha256 != _sha256(new.plan_text):
        raise StoreError(f"the text is not that of revision {new.of}")
    line = line_of(all_steps(connection, new.job))
    if new.kind is StepKind.UNDO and new.of != line.undo:
        raise StoreError(f"revision {new.of} is not the one that an undo brings back")
    if new.kind is StepKind.REDO and new.of != line.redo:
        raise StoreError(f"revision {new.of} is not the one that a redo brings back")


def _added(connection: Connection, new: NewStep, revision: int) -> Step:
    sha256 = keep_text(connection, new.plan_text)
    step = Step(new.job, revision, new.uid, new.kind, sha256, new.of, new.by, now(), new.words)
    values = {field: getattr(step, field) for field in Step.__slots__}
    values |= {"kind": str(new.kind), "name": new.name}
    connection.execute(insert(t.steps).values(values))
    return step


def _sha256(text: str) -> str:
    try:
        raw = text.encode("utf-8")
    except UnicodeEncodeError:
        raw = b"\0"
    if b"\0" in raw:
        raise StoreError("the plan has a character that is no text; save it as UTF-8 text")
    return hashlib.sha256(raw).hexdigest()


def keep_text(connection: Connection, text: str) -> str:
    """Each text is kept once, whichever job brought it."""
    sha256 = _sha256(text)
    if connection.scalar(select(t.texts.c.sha256).where(t.texts.c.sha256 == sha256)) is None:
        # on a server another job may bring the same text in this very moment
        maker = postgresql.insert(t.texts).on_conflict_do_nothing()
        statement = maker if connection.dialect.name == "postgresql" else insert(t.texts)
        connection.execute(statement, {"sha256": sha256, "text": text})
    return sha256


def text(connection: Connection, sha256: str) -> str:
    """The plan or file with this checksum; what the disk gives is checked against it."""
    found = connection.scalar(select(t.texts.c.text).where(t.texts.c.sha256 == sha256))
    if found is None:
        raise StoreError(
            f'there is no plan or file of tests with the checksum "{sha256[:80]}" in this store'
        )
    if _sha256(found) != sha256:
        raise NotAStoreError(
            "a plan or file of tests in the store is damaged; bring back a backup of the store"
        )
    return found


def name_revision(connection: Connection, job: str, revision: int, name: str, by: str) -> Named:
    """Give a revision a name, or with an empty one take it off; nothing happens where it has it."""
    step_at(connection, job, revision)
    lock(connection, job)
    given = _given(connection, job)
    before = [n for n in given if n.revision == revision]
    if before and before[-1].name == name:
        return before[-1]
    named = Named(job, revision, name, by, now())
    values = {field: getattr(named, field) for field in Named.__slots__}
    connection.execute(insert(t.names).values(values | {"seq": len(given) + 1}))
    return named


def names(connection: Connection, job: str) -> tuple[Named, ...]:
    """The names that count, by revision."""
    head(connection, job)
    last = {named.revision: named for named in _given(connection, job)}
    return tuple(last[revision] for revision in sorted(last) if last[revision].name)


def lock(connection: Connection, job: str) -> None:
    """Number what is added to a job one after the other; SQLite has one writer at a time anyway."""
    held = select(t.jobs.c.id).where(t.jobs.c.id == job).with_for_update()
    if connection.scalar(held) is None:
        raise UnknownJobError(job)


def _given(connection: Connection, job: str) -> list[Named]:
    ordered = select(t.names).where(t.names.c.job == job).order_by(t.names.c.seq)
    return [Named(r.job, r.revision, r.name, r.by, r.at) for r in connection.execute(ordered)]


def _step(row: Row[Any]) -> Step:
    return Step(
        row.job, row.revision, row.uid, StepKind(row.kind), row.sha256, row.of, row.by, row.at,
        row.words,
    )  # fmt: skip
