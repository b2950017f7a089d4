"""Rows of the store: frozen, append-only. Times are UTC, ISO 8601 with milliseconds."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class StepKind(StrEnum):
    """How a plan came to its next state."""

    BEGUN = "begun"
    EDIT = "edit"
    UNDO = "undo"
    REDO = "redo"
    RESTORE = "restore"
    """Back to an older state that somebody picked."""
    IMPORT = "import"
    """A whole plan file was taken in."""


@dataclass(frozen=True, slots=True)
class JobRow:
    """A job."""

    id: str
    name: str
    """As the plan of the last step says."""
    revision: int
    """Number of its last step."""
    changed: str
    """Time of its last step."""


@dataclass(frozen=True, slots=True)
class Step:
    """One state of a job's plan; never changed, never taken away."""

    job: str
    revision: int
    """From 1, without gaps."""
    uid: str
    """Made by the client: the same edit sent twice counts once."""
    kind: StepKind
    sha256: str
    """Of the plan's text, under which the text is kept."""
    of: int | None
    """For undo, redo and restore: the revision whose text came back."""
    by: str
    """Device it came from."""
    at: str
    words: str
    """What was changed, for the list of revisions: "array.tilt: 31 deg to 28 deg"."""


@dataclass(frozen=True, slots=True)
class Named:
    """A name somebody gave a revision; the last one given counts, an empty one takes it off."""

    job: str
    revision: int
    name: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the site notebook as it was entered; the columns of the notebook's CSV."""

    job: str
    seq: int
    """Order in which the server took it, from 1 within the job."""
    uid: str
    """Made by the phone: the same row sent twice counts once."""
    time: str
    """When it was read, as the phone wrote it; may be empty."""
    kind: str
    start: str
    end: str
    at_point: str
    value: str
    instrument: str
    setup: str
    note: str
    strikes: str
    """Uid of the row that this one strikes out; empty for all others. Both are kept."""
    device: str
    taken: str
    """When the server took it."""


COMMENT = "#"
"""Kind of a row that is no reading but a line of comment from a file; the line is its note."""


@dataclass(frozen=True, slots=True)
class NewRow:
    """A row of the notebook on its way in; the cells of :class:`Row`."""

    uid: str
    time: str = ""
    kind: str = ""
    start: str = ""
    end: str = ""
    at_point: str = ""
    value: str = ""
    instrument: str = ""
    setup: str = ""
    note: str = ""
    strikes: str = ""


@dataclass(frozen=True, slots=True)
class NewTick:
    """A tick on its way in; the fields of :class:`Tick`."""

    uid: str
    list: str
    item: str
    done: bool
    at: str


@dataclass(frozen=True, slots=True)
class Taken:
    """What the store has for certain after rows or ticks came in."""

    uids: tuple[str, ...]
    """Of all that came in, the ones already there among them."""
    last: int
    """Number of the last one of the job."""
    new: int = 0
    """How many were not there before."""
    unknown_strikes: tuple[str, ...] = ()
    """Uids of rows that strike out a row which is not there (yet); they are kept."""
    different: tuple[str, ...] = ()
    """Uids that were already there with another content; what was there first stays."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A box that was ticked, or cleared again; the last one counts."""

    job: str
    list: str
    """Which list: "cut", "buy", "pour", "torque", …"""
    item: str
    done: bool
    uid: str
    device: str
    at: str
    """As the device wrote it: of two ticks of the same item the later one counts."""


@dataclass(frozen=True, slots=True)
class ProofFile:
    """A file of tests that was judged; the last one of a job counts."""

    job: str
    seq: int
    """Order in which they came, from 1 within the job."""
    sha256: str
    """Of its text, under which the text is kept."""
    name: str
    """As the file was called where it was chosen."""
    device: str
    taken: str
    """When the server took it."""


@dataclass(frozen=True, slots=True)
class Device:
    """A phone or tablet that was let in."""

    id: str
    name: str
    token_sha256: str
    """The token itself is never kept."""
    let_in: str
    revoked: str
    """Time; empty while it may come in."""
    seen: str


@dataclass(frozen=True, slots=True)
class LetIn:
    """A device just let in, with the token that only it gets to know."""

    device: Device
    token: str
