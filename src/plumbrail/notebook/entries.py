"""What one site notebook says: frozen rows in SI with the line they stand on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from plumbrail.errors import Problem


class Kind(StrEnum):
    """What was measured; the words are those of the ``kind`` column."""

    ROD = "rod"
    """Rod reading on a point: the laser plane above it, one unknown height for each set-up."""
    TAPE = "tape"
    """Straight between two points, on whatever slope the tape lies."""
    LEVEL_TAPE = "level tape"
    """Between two points with the tape held level."""
    DIAGONAL = "diagonal"
    """A tape corner to corner, straight; the same as ``tape`` to the arithmetic."""
    STRING_SIDE = "string side"
    """A point off a string between two others, seen from above."""
    STRING_HEIGHT = "string height"
    """A point above or below a string between two others; the string sags."""
    PLUMB = "plumb"
    """Lean of a post, its top against its base."""
    TILT = "tilt"
    """Slope of a trial rail from the front to the back beam."""


class Axis(StrEnum):
    """A direction of the site: x, y and z of the model."""

    ALONG = "along"
    """Positive to the right."""
    ACROSS = "across"
    """Positive to the back."""
    UP = "up"


class Hold(StrEnum):
    """How a post stands."""

    LOOSE = "loose"
    """Free in its hole: top and base can be moved, up and down too."""
    SET = "set"
    """Held by a little hardened concrete: the foot stays, the top can still be leaned."""
    CONCRETED = "concreted"
    """The hole is full and hard: the post itself does not move any more."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One measurement."""

    line: int
    """Row of the file it stands on, counted from 1."""
    time: str
    """As written, ISO 8601; empty when none was."""
    kind: Kind
    start: str
    """Canonical name of a point (see ``names``); the point itself for rod and plumb."""
    end: str
    """The other point; empty for rod and plumb."""
    at: str
    """The point held against a string; empty for all other kinds."""
    value: float
    """SI. Rod: laser plane above the point (negative: the point is above the laser). String side:
    positive to the back (to the right for a string across the row). String height: the point above
    the string positive. Plumb: angle, top to the back or to the right positive. Tilt: up to the
    back positive."""
    axis: Axis | None
    """Which way a plumb reading leans; None for all other kinds."""
    instrument: str
    """Name of an instrument (see ``plan.truing``); never empty, the kind's own by default."""
    setup: str
    """Laser set-up for rod readings, string-up for strings; empty when none was written."""
    note: str
    text: str
    """The value as written, for messages."""
    way: Axis | None = None
    """Direction written for the side of a string; None for a bare number and all other kinds."""


@dataclass(frozen=True, slots=True)
class Struck:
    """A reading that its writer struck out: kept, shown, not used."""

    line: int
    words: str
    note: str


@dataclass(frozen=True, slots=True)
class Held:
    """From this line on, a post stands so."""

    line: int
    time: str
    post: str
    hold: Hold


@dataclass(frozen=True, slots=True)
class Slides:
    """How far a beam can slide: up and down in the collar at a post, or along itself."""

    line: int
    place: str
    """A post id for up and down; ``front beam`` or ``back beam`` for along."""
    least: float
    """Zero or negative [m]: down, or to the left."""
    most: float
    """Zero or positive [m]: up, or to the right."""


@dataclass(frozen=True, slots=True)
class Moved:
    """Something was moved: readings above this line saw the point where it was before."""

    line: int
    time: str
    point: str
    """A post head (``F3``), a post base (``F3 base``), a whole post (``F3 post``) or a beam
    (``front beam``, along itself)."""
    axis: Axis
    amount: float
    """[m], positive to the right, to the back, up."""


@dataclass(frozen=True)
class Notebook:
    """Everything one notebook says, in the order of its rows."""

    readings: tuple[Reading, ...]
    struck: tuple[Struck, ...]
    held: tuple[Held, ...]
    slides: tuple[Slides, ...]
    moved: tuple[Moved, ...]
    blank: int
    """Rows of a field sheet that have no value yet."""
    problems: tuple[Problem, ...]
    """Rows that cannot be used, each with its line."""
    sha256: str
    """Checksum of the bytes of the file."""
    source: str
