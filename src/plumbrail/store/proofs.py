"""Files of tests of the finished array: each that was judged is kept, the last one counts."""

from __future__ import annotations

from sqlalchemy import Connection, insert, select

from plumbrail.store import plans
from plumbrail.store import tables as t
from plumbrail.store.clock import now
from plumbrail.store.numbered import keepable
from plumbrail.store.records import ProofFile


def add_proof(connection: Connection, job: str, text: str, name: str, device: str) -> ProofFile:
    """Keep a file; the same one again, as the last one, is not kept twice."""
    plans.lock(connection, job)
    name, text = keepable(name), keepable(text)
    last = last_proof(connection, job)
    sha256 = plans.keep_text(connection, text)
    if last is not None and (last.sha256, last.name) == (sha256, name):
        return last
    new = ProofFile(job, 1 if last is None else last.seq + 1, sha256, name, device, now())
    values = {field: getattr(new, field) for field in ProofFile.__slots__}
    connection.execute(insert(t.proofs).values(values))
    return new


def last_proof(connection: Connection, job: str) -> ProofFile | None:
    """The file that counts; None before there is one. Raises UnknownJobError."""
    plans.head(connection, job)
    last = select(t.proofs).where(t.proofs.c.job == job).order_by(t.proofs.c.seq.desc()).limit(1)
    found = connection.execute(last).mappings().one_or_none()
    return None if found is None else ProofFile(**found)
