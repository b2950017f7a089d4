"""The store: one object for all threads of a server, each call one transaction.

A call that writes returns when what it wrote is on the disk; one that raises wrote nothing, except
that after ``UnreachableError`` nobody can tell. Sent again with the same uid it counts once.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from plumbrail.store import backup as _backup
from plumbrail.store import devices as _devices
from plumbrail.store import plans as _plans
from plumbrail.store import proofs as _proofs
from plumbrail.store import rows as _rows
from plumbrail.store import ticks as _ticks
from plumbrail.store.engine import WAIT, Base, opened
from plumbrail.store.failures import ClashError, Stale
from plumbrail.store.line import Line, line_of
from plumbrail.store.notebook_csv import notebook_csv, rows_from_csv
from plumbrail.store.places import where
from plumbrail.store.plans import NewStep
from plumbrail.store.records import (
    Device,
    JobRow,
    LetIn,
    Named,
    NewRow,
    NewTick,
    ProofFile,
    Row,
    Step,
    StepKind,
    Taken,
    Tick,
)


def open_store(place: str | Path | None = None, wait: float = WAIT) -> Store:
    """Open the store at a path or URL, and make it where there is none.

    None is the file in the user's data folder. ``wait``: seconds to wait for another writer.
    Raises StoreError (see ``failures``) with what to do; no message has the password in it.
    """
    return Store(opened(where(place), wait))


def restore(backup: str | Path, place: str | Path | None = None) -> None:
    """Bring a backup back into the store at ``place``, which must be empty or not there yet."""
    _backup.restore(backup, place)


class Store:
    """Jobs, the steps of their plans, notebooks, ticks and devices; see ``open_store``."""

    def __init__(self, base: Base) -> None:
        self._base = base

    @property
    def place(self) -> str:
        """Where it is, for people to read; without the password."""
        return self._base.place.words

    def close(self) -> None:
        """Give all connections back; the store can not be used any more."""
        self._base.close()

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        self.close()

    # -------------------------------------------------------------- jobs and their plans

    def jobs(self) -> tuple[JobRow, ...]:
        """Every job, the one changed last first."""
        with self._base.reading() as connection:
            return _plans.all_jobs(connection)

    def add_job(self, job: str, uid: str, plan_text: str, name: str, by: str, words: str) -> Step:
        """Begin a job. The same uid again gives the step already there, whatever its job's id.

        Raises JobThereError when the id is taken.
        """
        new = NewStep(job, uid, StepKind.BEGUN, plan_text, name, by, words)
        try:
            with self._base.writing() as connection:
                return _plans.begin(connection, new)
        except ClashError:  # another writer was first by a moment: now it can be seen
            with self._base.writing() as connection:
                return _plans.begin(connection, new)

    def steps(self, job: str) -> tuple[Step, ...]:
        """The steps of a job in their order."""
        with self._base.reading() as connection:
            return _plans.all_steps(connection, job)

    def head(self, job: str) -> Step:
        """The last step of a job."""
        with self._base.reading() as connection:
            return _plans.head(connection, job)

    def step(self, job: str, revision: int) -> Step:
        """The step that made a revision."""
        with self._base.reading() as connection:
            return _plans.step_at(connection, job, revision)

    def step_of_uid(self, job: str, uid: str) -> Step | None:
        """The step that came under ``uid``; None where none did."""
        with self._base.reading() as connection:
            return _plans.step_of_uid(connection, job, uid)

    def add_step(
        self, job: str, expected_revision: int, uid: str, kind: StepKind, plan_text: str,
        name: str, by: str, words: str, of: int | None = None,
    ) -> Step:  # fmt: skip
        """Add the next state of a plan. The same uid again gives the step already there.

        ``of``: for undo, redo and restore, the revision whose text comes back. Raises Stale when
        ``expected_revision`` is not the job's last, also when another writer was faster.
        """
        new = NewStep(job, uid, kind, plan_text, name, by, words, of)
        try:
            with self._base.writing() as connection:
                return _plans.add(connection, new, expected_revision)
        except ClashError:  # the key decided for another writer, or for the same step sent twice
            with self._base.reading() as connection:
                there = _plans.step_of_uid(connection, job, uid)
                if there is None:
                    raise Stale(_plans.head(connection, job).revision) from None
                return there

    def text(self, sha256: str) -> str:
        """The text of a plan or of a file of tests by its checksum."""
        with self._base.reading() as connection:
            return _plans.text(connection, sha256)

    def text_of(self, job: str, revision: int) -> str:
        """The text of a plan as it was at a revision."""
        with self._base.reading() as connection:
            return _plans.text(connection, _plans.step_at(connection, job, revision).sha256)

    def line(self, job: str) -> Line:
        """Where undo and redo would go from here."""
        return line_of(self.steps(job))

    def undo_target(self, job: str) -> int | None:
        """The revision that an undo brings back; None where there is nothing to undo."""
        return self.line(job).undo

    def redo_target(self, job: str) -> int | None:
        """The revision that a redo brings back; None where there is nothing to redo."""
        return self.line(job).redo

    def name_revision(self, job: str, revision: int, name: str, by: str) -> Named:
        """Name a revision; an empty name takes it off."""
        with self._base.writing() as connection:
            return _plans.name_revision(connection, job, revision, name, by)

    def names(self, job: str) -> tuple[Named, ...]:
        """The names that count, by revision."""
        with self._base.reading() as connection:
            return _plans.names(connection, job)

    # -------------------------------------------------------------- the notebook and ticks

    def add_rows(self, job: str, rows: Sequence[NewRow], device: str) -> Taken:
        """Keep rows of the notebook in their order; each uid counts once."""
        with self._base.writing() as connection:
            return _rows.add_rows(connection, job, rows, device)

    def rows(self, job: str, after: int = 0) -> tuple[Row, ...]:
        """The rows of a job after the one of number ``after``."""
        with self._base.reading() as connection:
            return _rows.rows_of(connection, job, after)

    def notebook_csv(self, job: str) -> str:
        """The notebook as CSV, as the reader of notebooks takes it."""
        return notebook_csv(self.rows(job))

    def import_csv(self, job: str, text: str, device: str) -> Taken:
        """Take in the rows of a CSV; those already there count once, whoever entered them."""
        rows = rows_from_csv(text)
        with self._base.writing() as connection:
            return _rows.import_rows(connection, job, rows, device)

    def add_ticks(self, job: str, ticks: Sequence[NewTick], device: str) -> Taken:
        """Keep ticks in their order; each uid counts once."""
        with self._base.writing() as connection:
            return _ticks.add_ticks(connection, job, ticks, device)

    def ticks(self, job: str) -> tuple[Tick, ...]:
        """The tick that counts for every item that ever had one."""
        with self._base.reading() as connection:
            return _ticks.ticks_of(connection, job)

    # -------------------------------------------------------------- tests of the array

    def add_proof(self, job: str, text: str, name: str, device: str) -> ProofFile:
        """Keep a file of tests; from now on it is the one that counts."""
        with self._base.writing() as connection:
            return _proofs.add_proof(connection, job, text, name, device)

    def last_proof(self, job: str) -> ProofFile | None:
        """The file of tests that counts; None before there is one."""
        with self._base.reading() as connection:
            return _proofs.last_proof(connection, job)

    # -------------------------------------------------------------- devices

    def let_in(self, name: str) -> LetIn:
        """Let a device in; its token is told only here."""
        with self._base.writing() as connection:
            return _devices.let_in(connection, name)

    def device_of(self, token: str) -> Device | None:
        """The device with this token, unless it was taken back."""
        with self._base.reading() as connection:
            return _devices.device_of(connection, token)

    def devices(self) -> tuple[Device, ...]:
        """Every device that was ever let in."""
        with self._base.reading() as connection:
            return _devices.all_devices(connection)

    def revoke(self, device: str) -> Device:
        """Shut a device out for good."""
        with self._base.writing() as connection:
            return _devices.revoke(connection, device)

    def seen(self, device: str) -> None:
        """The device was here; written at most once a minute."""
        with self._base.reading() as connection:
            if not _devices.needs_seen(connection, device):
                return
        try:
            with self._base.writing() as connection:
                _devices.set_seen(connection, device)
        except ClashError:  # another thread wrote it first, this very moment
            return

    # -------------------------------------------------------------- backup

    def backup(self, path: str | Path) -> Path:
        """Copy everything into a new SQLite file, while others go on; see ``restore``."""
        return _backup.backup(self._base, path)
