"""A backup is a store in one SQLite file, whatever the store itself is kept in.

Rows are copied out of one state of the store while others go on writing; the copy gets its name
only when all of it is on the disk.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

from sqlalchemy import Connection, func, insert, select

from plumbrail.store import schema
from plumbrail.store import tables as t
from plumbrail.store.engine import Base, opened
from plumbrail.store.failures import StoreError
from plumbrail.store.places import Where, where

_CHUNK = 500


def backup(base: Base, path: str | Path) -> Path:
    """Write all of the store into a new file; one that is there already is never touched."""
    target = Path(path).expanduser().absolute()
    if target.exists() or target.is_symlink():
        raise StoreError(f"{target} is there already; choose another name for the backup")
    part = None
    try:
        handle, name = tempfile.mkstemp(
            prefix=f".{target.name}.", suffix=".part", dir=target.parent
        )
        os.close(handle)
        part = Path(name)
        _write(base, part)
        _flush(part)
        _name(part, target)
        _flush(target.parent)
    except FileExistsError:
        raise StoreError(f"{target} is there already; choose another name") from None
    except OSError as error:
        why = error.strerror or "it cannot be opened"
        raise StoreError(f"the backup {target} cannot be written: {why}") from None
    finally:
        if part is not None:
            part.unlink(missing_ok=True)
    return target


def restore(backup_file: str | Path, place: str | Path | None) -> None:
    """Bring everything back into an empty store, all or nothing; the backup is not changed."""
    source = Path(backup_file).expanduser().absolute()
    if not source.is_file():
        raise StoreError(f"there is no backup {source}; check its name and its folder")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "backup.db"
        try:
            shutil.copyfile(source, copy)
        except OSError as error:
            raise StoreError(f"the backup {source} cannot be read: {error.strerror}") from None
        if not copy.stat().st_size:
            raise StoreError(f"{source} is empty and no backup")
        _bring_back(_opened_copy(copy, source), place)


def _opened_copy(copy: Path, source: Path) -> Base:
    """A backup of an older plumbrail is brought up to date in the copy."""
    try:
        return opened(where(copy))
    except StoreError as error:
        raise type(error)(str(error).replace(str(copy), str(source))) from None


def _bring_back(source: Base, place: str | Path | None) -> None:
    try:
        target = opened(where(place))
        try:
            with source.snapshot() as reading, target.writing() as writing:
                _must_be_empty(writing, target.place)
                transfer(reading, writing)
        finally:
            target.close()
    finally:
        source.close()


def _write(base: Base, part: Path) -> None:
    """The copy keeps no log beside it: one file is all of it."""
    copy = Base(Where(where(part).url, part))
    try:
        with base.snapshot() as reading, copy.writing() as writing:
            schema.prepare(writing, str(part))
            transfer(reading, writing)
    finally:
        copy.close()


def transfer(source: Connection, target: Connection) -> None:
    """Copy every row of every table, and count them."""
    for table in t.COPIED:
        copied = 0
        for some in source.execute(select(table)).mappings().partitions(_CHUNK):
            target.execute(insert(table), [dict(row) for row in some])
            copied += len(some)
        if target.scalar(select(func.count()).select_from(table)) != copied:
            raise StoreError(f"the copy of {table.name} is not complete")


def _must_be_empty(connection: Connection, place: Where) -> None:
    for table in t.COPIED:
        if connection.execute(select(table).limit(1)).first() is not None:
            raise StoreError(
                f"the store {place.words} is not empty; a backup is brought back into a new one"
            )


def _name(part: Path, target: Path) -> None:
    """Give the finished file its name; never over another one."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:  # no hard links here, as on most memory sticks
        os.close(os.open(target, os.O_CREAT | os.O_EXCL, 0o600))
        part.replace(target)


def _flush(path: Path) -> None:
    """To the disk; folders too, where the system can."""
    try:
        handle = os.open(path, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        return
    finally:
        os.close(handle)
