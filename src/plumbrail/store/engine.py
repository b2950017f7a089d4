"""Connections to the database, set so that what was acknowledged survives a crash.

SQLite: write-ahead log with ``synchronous = FULL`` (https://sqlite.org/pragma.html#pragma_synchronous),
so that every commit is on the disk before it returns. PostgreSQL: ``synchronous_commit = on``.
"""

from __future__ import annotations

import logging
import os
import sqlite3
import ssl
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import SQLAlchemyError

from plumbrail.store import schema
from plumbrail.store.failures import NotAStoreError, StoreError, plain
from plumbrail.store.places import Where
from plumbrail.store.tables import versions

WAIT = 10.0
"""Seconds to wait for another writer."""
_NETWORK_WAIT = 30.0
_MAGIC = b"SQLite format 3\x00"
_WRITES = "plumbrail_writes"
_ONE_STATE = {"isolation_level": "REPEATABLE READ"}


class Base:
    """An open database: transactions that read, and transactions that write."""

    def __init__(self, place: Where, wait: float = WAIT) -> None:
        self.place = place
        self.engine = _engine(place, wait)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that only reads."""
        with self._connected({}) as connection:
            yield connection

    @contextmanager
    def snapshot(self) -> Iterator[Connection]:
        """One state of everything, whatever others write meanwhile."""
        with self._connected({} if self.place.file else _ONE_STATE) as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """All or nothing; on the disk when the block is left."""
        with self._connected({_WRITES: True}) as connection:
            yield connection

    @contextmanager
    def _connected(self, options: dict[str, Any]) -> Iterator[Connection]:
        try:
            with self.engine.connect() as connection:
                connection = connection.execution_options(**options)
                with connection.begin():
                    yield connection
        except (SQLAlchemyError, OSError, sqlite3.Error) as error:
            raise plain(error, self.place.words) from None

    def close(self) -> None:
        """Give all connections back."""
        self.engine.dispose()


def opened(place: Where, wait: float = WAIT) -> Base:
    """The database with its tables, made or migrated where that is needed."""
    if place.file is not None:
        _file_ready(place, wait)
    base = Base(place, wait)
    try:
        with base.writing() as connection:
            schema.prepare(connection, place.words)
    except BaseException:
        base.close()
        raise
    return base


def _engine(place: Where, wait: float) -> Engine:
    pool: dict[str, Any] = {"pool_size": 8, "max_overflow": 32, "hide_parameters": True}
    pool["pool_logging_name"] = _quiet()
    if place.file is not None:
        engine = create_engine(place.url, connect_args={"timeout": wait}, **pool)
        event.listen(engine, "connect", _settle_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    connect = {"timeout": _NETWORK_WAIT, "ssl_context": _ssl(place.ssl)}
    engine = create_engine(place.url, connect_args=connect, pool_pre_ping=True, **pool)

    def settle(connection: Any, _record: Any) -> None:
        cursor = connection.cursor()
        cursor.execute("SET synchronous_commit = on")
        cursor.execute(f"SET lock_timeout = {round(1000 * wait)}")
        cursor.close()
        connection.commit()

    event.listen(engine, "connect", settle)
    return engine


def _quiet() -> str:
    """Name of a log that keeps still: a connection that cannot even be closed is no news, since
    whoever used it gets an error in plain words."""
    logging.getLogger("sqlalchemy.pool.impl.QueuePool.plumbrail").setLevel(logging.CRITICAL + 1)
    return "plumbrail"


def _settle_sqlite(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # transactions begin where _begin_sqlite says
    for pragma in ("synchronous = FULL", "foreign_keys = ON", "recursive_triggers = ON"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    """A writer takes its place at once: changing over from reading could fail."""
    writes = connection.get_execution_options().get(_WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _ssl(mode: str) -> ssl.SSLContext | None:
    if not mode:
        return None
    context = ssl.create_default_context()
    if mode == "require":  # as PostgreSQL's own tools: encrypted, but whoever answers is believed
        context.check_hostname = False
        context.verify_mode = ssl.CERT_NONE
    return context


def _file_ready(place: Where, wait: float) -> None:
    """The file is there, closed to others, no other kind of file, and keeps a write-ahead log."""
    path = place.file
    assert path is not None
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if place.own:
            path.parent.chmod(0o700)
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        except FileExistsError:
            with path.open("rb") as file:
                start = file.read(len(_MAGIC))
            if start not in (b"", _MAGIC):
                raise NotAStoreError(
                    f"{path} is no store of plumbrail; name another file"
                ) from None
        _log_ahead(place, wait)
    except OSError as error:
        why = error.strerror or "it cannot be opened"
        raise StoreError(f"the store {path} cannot be opened: {why}; check its folder") from None
    except sqlite3.Error as error:
        raise plain(error, place.words) from None


def _log_ahead(place: Where, wait: float) -> None:
    """The mode stays with the file. Two programs at once: SQLite does not wait for this one."""
    until = time.monotonic() + wait
    while True:
        connection = sqlite3.connect(str(place.file), timeout=wait, isolation_level=None)
        try:
            _own(connection, place)
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorname != "SQLITE_BUSY" or time.monotonic() > until:
                raise
            time.sleep(0.02)
        finally:
            connection.close()


def _own(connection: sqlite3.Connection, place: Where) -> None:
    """Refuse the database of another program before anything in it is touched."""
    found = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
    if found and versions.name not in found:
        raise NotAStoreError(f"{place.words} is a database of something else; name another one")
