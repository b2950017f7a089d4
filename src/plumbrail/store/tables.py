"""The tables of the store, the same in SQLite and PostgreSQL. Rows are only ever added.

Where two writers could both believe to be the first, a primary key decides: (job, revision) for the
steps, (job, seq) for all that is numbered within a job.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

VERSION = 2
"""Of the tables; see ``schema``."""

METADATA = MetaData()


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False)


def _job(name: str = "job") -> Column[str]:
    return Column(name, Text, ForeignKey("jobs.id"), primary_key=True)


def _number(name: str) -> Column[int]:
    return Column(name, Integer, primary_key=True, autoincrement=False)


versions = Table("store_versions", METADATA, _number("version"), _text("at"))

texts = Table("texts", METADATA, Column("sha256", Text, primary_key=True), _text("text"))

jobs = Table(
    "jobs", METADATA,
    Column("id", Text, primary_key=True),
    Column("uid", Text, nullable=False, unique=True),
)  # fmt: skip

steps = Table(
    "steps", METADATA,
    _job(), _number("revision"), _text("uid"), _text("kind"),
    Column("sha256", Text, ForeignKey("texts.sha256"), nullable=False),
    Column("of", Integer),
    _text("name"), _text("by"), _text("at"), _text("words"),
    UniqueConstraint("job", "uid"),
)  # fmt: skip

names = Table(
    "names", METADATA,
    _job(), _number("seq"), Column("revision", Integer, nullable=False),
    _text("name"), _text("by"), _text("at"),
    ForeignKeyConstraint(["job", "revision"], ["steps.job", "steps.revision"]),
)  # fmt: skip

notebook = Table(
    "notebook", METADATA,
    _job(), _number("seq"), _text("uid"),
    *(_text(cell) for cell in ("time", "kind", "start", "end", "at_point", "value",
                               "instrument", "setup", "note", "strikes", "device", "taken")),
    UniqueConstraint("job", "uid"),
)  # fmt: skip

ticks = Table(
    "ticks", METADATA,
    _job(), _number("seq"), _text("uid"), _text("list"), _text("item"),
    Column("done", Boolean, nullable=False), _text("device"), _text("at"), _text("taken"),
    UniqueConstraint("job", "uid"),
)  # fmt: skip

proofs = Table(
    "proofs", METADATA,
    _job(), _number("seq"),
    Column("sha256", Text, ForeignKey("texts.sha256"), nullable=False),
    _text("name"), _text("device"), _text("taken"),
)  # fmt: skip

devices = Table(
    "devices", METADATA,
    Column("id", Text, primary_key=True), _text("name"),
    Column("token_sha256", Text, nullable=False, unique=True), _text("let_in"),
)  # fmt: skip

revocations = Table(
    "revocations", METADATA,
    Column("device", Text, ForeignKey("devices.id"), primary_key=True), _text("at"),
)  # fmt: skip

sightings = Table(
    "sightings", METADATA,
    Column("device", Text, ForeignKey("devices.id"), primary_key=True), _text("seen"),
)  # fmt: skip

CHANGEABLE = frozenset({"sightings"})
"""Tables that may be changed: when a device was last seen. All others are append-only."""
COPIED = tuple(t for t in METADATA.sorted_tables if t.name != versions.name)
"""All that a backup holds, in an order in which references are met."""


def append_only() -> tuple[Table, ...]:
    """Tables whose rows are never changed and never taken away."""
    return tuple(t for t in METADATA.sorted_tables if t.name not in CHANGEABLE)


def keys(table: Table) -> tuple[tuple[str, ...], ...]:
    """The columns of every key of a table: no two rows are alike in one of these."""
    found = [tuple(c.name for c in table.primary_key.columns)]
    for constraint in table.constraints:
        if isinstance(constraint, UniqueConstraint):
            found.append(tuple(c.name for c in constraint.columns))
    return tuple(sorted(found))
