"""Making the tables, and bringing those of an older plumbrail up to date.

All of it happens in one transaction: after a crash the tables are as they were before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from sqlalchemy import Connection, Table, func, insert, inspect, select

from plumbrail.store.clock import now
from plumbrail.store.failures import NotAStoreError
from plumbrail.store.tables import METADATA, VERSION, append_only, keys, proofs, versions

Migration = Callable[[Connection], None]
_LOCK = 0x706C756D  # any number that no other program is likely to choose
_REFUSAL = "rows of the store are only ever added"


def _tables_2(connection: Connection) -> None:
    """Files of tests are kept."""
    proofs.create(connection)
    guard(connection, (proofs,))


MIGRATIONS: Mapping[int, Migration] = {1: _tables_2}
"""Version to the function that makes the next one of it. A migration may add tables and columns;
if it must rewrite rows it takes the guards off itself."""


def prepare(
    connection: Connection,
    place: str,
    migrations: Mapping[int, Migration] = MIGRATIONS,
    version: int = VERSION,
) -> None:
    """Make the tables, or migrate them to ``version``; inside a transaction that writes.

    Raises NotAStoreError for a database of something else and for one of a newer plumbrail.
    """
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_LOCK})")
    there = set(inspect(connection).get_table_names())
    if versions.name not in there:
        _make(connection, place, there, version)
        return
    found = connection.scalar(select(func.max(versions.c.version))) or 0
    if found > version:
        raise NotAStoreError(
            f"the store {place} was made by a newer plumbrail (its tables are version {found}, "
            f"this plumbrail knows up to {version}); use the newer one"
        )
    for older in range(found, version):
        if older not in migrations:
            raise NotAStoreError(f"the store {place} has tables of unknown version {older}")
        migrations[older](connection)
        connection.execute(insert(versions).values(version=older + 1, at=now()))


def _make(connection: Connection, place: str, there: set[str], version: int) -> None:
    sqlite = connection.dialect.name == "sqlite"
    if there if sqlite else there & set(METADATA.tables):
        raise NotAStoreError(f"{place} is a database of something else; name another one")
    METADATA.create_all(connection)
    first_guards(connection, append_only())
    connection.execute(insert(versions).values(version=version, at=now()))


def first_guards(connection: Connection, tables: Sequence[Table]) -> None:
    """Guards in a database that has none yet."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql(_POSTGRES_FUNCTION)
    guard(connection, tables)


def guard(connection: Connection, tables: Sequence[Table]) -> None:
    """Let the database itself refuse to change or remove rows, whoever asks."""
    guards = _sqlite_guards if connection.dialect.name == "sqlite" else _postgres_guards
    for table in tables:
        for statement in guards(table):
            connection.exec_driver_sql(statement)


def _sqlite_guards(table: Table) -> list[str]:
    """INSERT OR REPLACE would remove rows past the trigger on DELETE, so that has one of its own.

    https://sqlite.org/lang_conflict.html: delete triggers fire only with recursive triggers on.
    """
    name = table.name
    raised = f"BEGIN SELECT RAISE(ABORT, '{_REFUSAL}'); END"
    same = " OR ".join(
        "(" + " AND ".join(f'"{column}" = NEW."{column}"' for column in key) + ")"
        for key in keys(table)
    )
    return [
        f'CREATE TRIGGER "{name}_no_update" BEFORE UPDATE ON "{name}" {raised}',
        f'CREATE TRIGGER "{name}_no_delete" BEFORE DELETE ON "{name}" {raised}',
        f'CREATE TRIGGER "{name}_no_replace" BEFORE INSERT ON "{name}" '
        f'WHEN EXISTS (SELECT 1 FROM "{name}" WHERE {same}) {raised}',
    ]


_POSTGRES_FUNCTION = f"""
CREATE FUNCTION store_append_only() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION USING MESSAGE = '{_REFUSAL}', ERRCODE = 'restrict_violation'; END $$
"""


def _postgres_guards(table: Table) -> list[str]:
    call = "EXECUTE FUNCTION store_append_only()"
    return [
        f'CREATE TRIGGER "{table.name}_append_only" BEFORE UPDATE OR DELETE ON "{table.name}" '
        f"FOR EACH ROW {call}",
        f'CREATE TRIGGER "{table.name}_no_truncate" BEFORE TRUNCATE ON "{table.name}" '
        f"FOR EACH STATEMENT {call}",
    ]
