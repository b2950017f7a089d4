"""Rows of text by column, whatever kind of file they stood in."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from plumbrail.errors import Problem

COLUMNS = ("time", "kind", "from", "to", "at", "value", "instrument", "set-up", "note")
NEEDED = ("kind", "from", "value")


@dataclass(frozen=True, slots=True)
class Heads:
    """The columns of one kind of sheet."""

    names: tuple[str, ...]
    needed: tuple[str, ...]
    strangers: Mapping[str, str]
    """What to say of a heading that only another kind of sheet has."""

    @property
    def example(self) -> str:
        """The first line as it may be written."""
        return ",".join(self.names)


READINGS = Heads(
    COLUMNS,
    NEEDED,
    {"irradiance": "this looks like a sheet of tests, not of readings; `plumbrail prove` takes it"},
)
_CURLY = re.compile("[“„](.*)[”“]", re.DOTALL)
_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a notebook: text by column."""

    line: int
    cells: Mapping[str, str]
    lines: Mapping[str, int] = field(default_factory=dict)
    """Line of each cell that has its own."""

    def __getitem__(self, column: str) -> str:
        """The cell without outer spaces; empty when nothing was written."""
        return self.cells.get(column, "")

    def problem(self, column: str, message: str) -> Problem:
        """A problem of one cell, on its line."""
        return Problem(column, message, self.lines.get(column, self.line))


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a file, and what could not be taken apart."""

    rows: tuple[Row, ...]
    problems: tuple[Problem, ...]


def tidy(text: str) -> str:
    """A cell with single plain spaces, without invisible marks and curly quotes around it."""
    if not text.isascii():
        text = "".join(c for c in text if unicodedata.category(c) != "Cf")
    plain = " ".join(text.split())
    curly = _CURLY.fullmatch(plain)
    return curly[1].strip() if curly else plain


def invisible(row: Row) -> list[Problem]:
    """Cells that hold control characters."""
    words = "there is an invisible character in this cell; type it again"
    return [row.problem(c, words) for c in row.cells if not row[c].isprintable()]


def column_of(name: str, heads: Heads = READINGS) -> str | None:
    """The column that a heading names, in any case, with or without its hyphen."""
    plain = re.sub(r"[\s_-]+", "", name.lower())
    return next((c for c in heads.names if re.sub(r"[ -]", "", c) == plain), None)


def near_column(name: str, heads: Heads = READINGS) -> str | None:
    """The column that an unknown heading was probably meant to be."""
    return next(iter(get_close_matches(name.lower()[:_SHOWN], heads.names, n=1, cutoff=0.6)), None)


def unknown_column(name: str, heads: Heads = READINGS) -> str:
    """What is wrong with a heading, and what was probably meant."""
    near = near_column(name, heads)
    hint = f"did you mean `{near}`?" if near else f"known columns: {', '.join(heads.names)}"
    return f"unknown column `{shown(name)}`; {hint}"


def shown(text: str) -> str:
    """Text cut to a length that fits a message."""
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"


def listed(names: Iterable[str]) -> str:
    """``kind, from and value``."""
    names = list(names)
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))
