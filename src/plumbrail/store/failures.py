"""What can go wrong with the store, in words that say what to do.

Nothing of a statement or of a URL's password ever gets into a message.
"""

from __future__ import annotations

import sqlite3
from typing import Any

from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from plumbrail.errors import PlumbrailError


class StoreError(PlumbrailError):
    """The store refuses, or cannot do, what was asked."""


class BusyError(StoreError):
    """Somebody else held the store for too long; nothing was written."""


class FullError(StoreError):
    """The disk is full or does not write; nothing was written."""


class UnreachableError(StoreError):
    """The server of the database does not answer; whether the last write got through is open."""


class NotAStoreError(StoreError):
    """A file or database that is something else, damaged, or made by a newer plumbrail."""


class UnknownJobError(StoreError):
    """No such job in this store."""

    def __init__(self, job: str) -> None:
        super().__init__(f'there is no job "{job[:80]}" in this store; see the list of jobs')


class UnknownRevisionError(StoreError):
    """The job has no such revision."""

    def __init__(self, job: str, revision: int) -> None:
        super().__init__(f'job "{job[:80]}" has no revision {revision}; see its revisions')


class JobThereError(StoreError):
    """The id of a new job is taken."""

    def __init__(self, job: str) -> None:
        super().__init__(f'there is a job "{job[:80]}" already; choose another id')


class Stale(StoreError):  # noqa: N818 - what happened, and no fault
    """Someone else changed the job in the meantime; ``revision`` is its last."""

    def __init__(self, revision: int) -> None:
        self.revision = revision
        super().__init__(
            f"the job was changed in the meantime and is at revision {revision}; "
            "look at it and make the change again"
        )


class ClashError(StoreError):
    """A key that is there already, or a row that may only be added."""

    def __init__(self) -> None:
        super().__init__("this contradicts what the store holds; nothing was written")


_BUSY = "the store {place} is in use by another program; nothing was written; try again"
_FULL = "no space is left for the store {place}; nothing was written; free some space and try again"
_DISK = "the disk of the store {place} reports a fault; nothing was written; check the disk"
_DAMAGED = "{place} is no store of plumbrail, or it is damaged; bring back a backup of it"
_SHUT = "the store {place} may not be written; check the permissions of the file and its folder"
_AWAY = "the server of the store {place} does not answer; check that it runs, its name and port"
_REFUSED = "the server of the store {place} refuses the user or the password; check both"
_MISSING = "the server has no database {place}; create it first"
_UNPERMITTED = "the user may not create or use the tables of the store {place}; grant it that"

_SQLITE: dict[str, tuple[type[StoreError], str]] = {
    "BUSY": (BusyError, _BUSY),
    "LOCKED": (BusyError, _BUSY),
    "FULL": (FullError, _FULL),
    "IOERR": (FullError, _DISK),
    "NOTADB": (NotAStoreError, _DAMAGED),
    "CORRUPT": (NotAStoreError, _DAMAGED),
    "READONLY": (StoreError, _SHUT),
    "PERM": (StoreError, _SHUT),
    "CANTOPEN": (StoreError, _SHUT),
}
# Codes of the SQL standard and of PostgreSQL's manual, appendix A; the longest that fits counts.
_STATES: dict[str, tuple[type[StoreError], str]] = {
    "53100": (FullError, _FULL),
    "58030": (FullError, _DISK),
    "XX001": (NotAStoreError, _DAMAGED),
    "XX002": (NotAStoreError, _DAMAGED),
    "55P03": (BusyError, _BUSY),
    "57014": (BusyError, _BUSY),
    "40": (BusyError, _BUSY),
    "53": (BusyError, _BUSY),
    "28": (UnreachableError, _REFUSED),
    "3D000": (UnreachableError, _MISSING),
    "42501": (StoreError, _UNPERMITTED),
    "25006": (StoreError, _UNPERMITTED),
    "57P": (UnreachableError, _AWAY),
    "08": (UnreachableError, _AWAY),
}


def plain(error: Exception, place: str) -> StoreError:
    """The error of the driver in plain words; ``place`` names the store, without a password."""
    if isinstance(error, IntegrityError):
        return ClashError()
    if isinstance(error, PoolTimeout):
        return BusyError(_BUSY.format(place=place))
    cause = error.orig if isinstance(error, DBAPIError) else error
    if isinstance(error, DBAPIError | sqlite3.Error) and cause is not None:
        kind, words = _driver(cause)
        return kind(words.format(place=place))
    if isinstance(error, OSError):
        return UnreachableError(_AWAY.format(place=place))
    return StoreError(f"the store {place} cannot do this ({type(error).__name__})")


def _driver(error: BaseException) -> tuple[type[StoreError], str]:
    name = str(getattr(error, "sqlite_errorname", "")).removeprefix("SQLITE_").partition("_")[0]
    if name in _SQLITE:
        return _SQLITE[name]
    state = sqlstate(error)
    for length in range(len(state), 1, -1):
        if state[:length] in _STATES:
            return _STATES[state[:length]]
    if not state and not name:
        return UnreachableError, _AWAY
    return StoreError, f"the store {{place}} cannot do this (database error {state or name})"


def sqlstate(error: BaseException | None) -> str:
    """The five letters by which PostgreSQL names an error; empty where there are none."""
    first: Any = error.args[0] if error is not None and error.args else None
    return str(first.get("C", "")) if isinstance(first, dict) else ""
