"""From text to plain TOML data, with slips of writing said in a builder's words.

A line that cannot be read is put aside and the rest is read on, so that one missing quote does not
hide the other mistakes of the plan.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from plumbrail.errors import Problem
from plumbrail.plan.locate import locate
from plumbrail.plan.outline import Key, Part, part_at
from plumbrail.plan.spans import Place

_WHERE = re.compile(r"(.*?) \(at (?:line (\d+), column \d+|end of document)\)", re.DOTALL)
_HEADER = re.compile(r"\s*\[\[?\s*([^\[\]]+?)\s*\]")
_STATEMENT = re.compile(r"\s*(?P<key>[^=#\[\]\"']+?|\"[^\"]*\"|'[^']*')\s*=\s*(?P<value>.*)")
_ENDLESS = re.compile(r"[0-9_]{4000}")
_PUT_ASIDE = (
    "Expected newline or end of document", "Invalid value", "Cannot overwrite a value",
    "Illegal character", "Unescaped", "Expected '=' after a key", "Invalid statement",
    "Invalid date", "Unterminated string", "Invalid hex", "Escaped character",
    "Exceeds the limit",
)  # fmt: skip
_MOST_SLIPS = 50
_DEEPEST = 20


@dataclass
class Reading:
    """What could be read of a text."""

    data: dict[str, Any] | None
    """Plain TOML data without the lines put aside; None when nothing could be read."""
    lines: dict[Place, int]
    problems: list[Problem] = field(default_factory=list)
    aside: set[tuple[Place, str]] = field(default_factory=set)
    """Section and key of each line put aside."""


def read_toml(text: str) -> Reading:
    """Read ``text``; never raises for what a person may have written."""
    rows = text.replace("\r\n", "\n").split("\n")
    reading = Reading(None, {})
    for _ in range(_MOST_SLIPS):
        try:
            document = "\n".join(rows)
            found = tomllib.loads(document)
            if not _flat(found):
                raise RecursionError
            reading.lines = locate(document)
            reading.data = found
            return reading
        except RecursionError:
            words = (
                "sections or lists are nested too deeply to be read; a plan has only a few levels"
            )
            reading.problems.append(Problem("", words))
            return reading
        except ValueError as error:
            if not _put_aside(str(error), rows, reading):
                return reading
    return reading


def _flat(data: dict[str, Any]) -> bool:
    """No deeper than any plan; what comes after walks through it level by level."""
    level: list[Any] = [data]
    for _ in range(_DEEPEST):
        level = [v for held in level for v in (held.values() if isinstance(held, dict) else held)
                 if isinstance(v, dict | list)]  # fmt: skip
    return not level


def _put_aside(message: str, rows: list[str], reading: Reading) -> bool:
    """Note a slip and empty its line; False when the rest cannot be read without it."""
    found = _WHERE.fullmatch(message)
    words = found[1] if found else message
    number = int(found[2]) if found and found[2] else _last(rows)
    if words.startswith("Unclosed"):
        number = _opening(rows, number)
    elif words.startswith("Exceeds"):  # Python's own limit, which tells no line
        number = next((i for i, row in enumerate(rows, 1) if _ENDLESS.search(row)), number)
    row = rows[number - 1]
    section = _section(rows[:number])
    slip = _Slip(words, row, number, section, part_at(section), rows)
    name = slip.known.name if slip.known else slip.name
    path = ".".join((*section, name) if name else section)
    reading.problems.append(Problem(path, slip.message(), number))
    if not row.strip() or not words.startswith(_PUT_ASIDE) or "[" in row.split("=")[0]:
        return False
    reading.aside.add((section, slip.known.name if slip.known else slip.name))
    rows[number - 1] = ""
    return True


def _last(rows: list[str]) -> int:
    written = [i for i, row in enumerate(rows, 1) if row.strip()]
    return written[-1] if written else 1


def _opening(rows: list[str], number: int) -> int:
    """Line on which the list or table begins that is still open at line ``number``."""
    upward = range(number, 0, -1)
    begins = (i for i in upward if re.match(r"[^#=]*=\s*[\[{]", rows[i - 1]))
    return next(begins, number)


def _section(rows: list[str]) -> tuple[str, ...]:
    """Section that the last row lies in."""
    headers = [found[1] for row in rows if (found := _HEADER.match(row))]
    return tuple(name.strip(" \"'") for name in headers[-1].split(".")) if headers else ()


@dataclass(frozen=True)
class _Slip:
    """One line that is not TOML."""

    words: str
    row: str
    number: int
    section: tuple[str, ...]
    part: Part | None
    rows: list[str]

    @property
    def name(self) -> str:
        found = _STATEMENT.match(self.row)
        return found["key"].strip("\"'") if found else ""

    @property
    def value(self) -> str:
        found = _STATEMENT.match(self.row)
        return found["value"].partition("#")[0].strip() if found else ""

    @property
    def known(self) -> Key | None:
        """The key that the line means."""
        if self.part is None:
            return None
        words = self.name or next(iter(self.row.split()), "")
        wanted = re.sub(r"[\s-]+", "_", words.strip().lower())
        near = get_close_matches(wanted, [k.name for k in self.part.keys], 1)
        return self.part.key(near[0]) if near else None

    def message(self) -> str:
        """What is wrong with the line, and what to write."""
        say = next((say for start, say in _SAY.items() if self.words.startswith(start)), None)
        return say(self) if say else f"this line cannot be read ({self.words[:60]!r})"

    @property
    def advice(self) -> str:
        return f"; write for example {self.known.example_line}" if self.known else ""


def _bad_value(slip: _Slip) -> str:
    value = slip.value
    if not slip.name or not value:
        return f"nothing stands after the equals sign{slip.advice}"
    if value.lower() in ("true", "false"):
        return f"write {value.lower()} in small letters"
    if value[0] == '"':
        return (
            'the text ends at its second double quote, and more follows; for inches write "in", '
            f'as in "11 ft 4 1/2 in"{slip.advice}'
        )
    if value[0] in "'[{":
        return f"something is left over after the value{slip.advice}"
    if re.fullmatch(r"[+-]?(?:\d+,\d+|0\d+|\d+\.|\.\d+)", value):
        return f"write the number {value} with a point and a digit on each side of it{slip.advice}"
    return f'text and quantities stand in quotes: {slip.name} = "{_unquoted(value)}"'


def _unquoted(value: str) -> str:
    inches = re.sub(r"\s*\"", " in", re.sub(r"(\d)\s*'", r"\1 ft", value))
    return inches.strip()


def _no_equals(slip: _Slip) -> str:
    if slip.name and re.search(r"\s", slip.name):
        meant = slip.known.name if slip.known else re.sub(r"\s+", "_", slip.name)
        return f"a key has no spaces; write {meant} = …"
    return f"a line is written key = value, and here the equals sign is missing{slip.advice}"


def _twice(slip: _Slip) -> str:
    start = max(
        (i for i, row in enumerate(slip.rows[: slip.number - 1], 1) if _HEADER.match(row)),
        default=0,
    )
    for number in range(start + 1, slip.number):
        found = _STATEMENT.match(slip.rows[number - 1])
        if found and found["key"].strip("\"'") == slip.name:
            return f"{slip.name} is written twice, here and on line {number}; keep one of them"
    return f"{slip.name or 'this'} is written twice in this section; keep one of them"


def _header_twice(slip: _Slip) -> str:
    return f"the section [{'.'.join(slip.section)}] begins twice; put its lines under one header"


_SAY: dict[str, Callable[[_Slip], str]] = {
    "Expected newline": _bad_value,
    "Invalid value": _bad_value,
    "Invalid date": _bad_value,
    "Cannot overwrite": _twice,
    "Duplicate inline": lambda slip: "a key is written twice inside the braces; keep one of them",
    "Cannot declare": _header_twice,
    "Cannot redefine": _header_twice,
    "Cannot mutate": _header_twice,
    "Illegal character '\\n'": lambda slip: f"the closing quote is missing{slip.advice}",
    "Illegal character": lambda slip: "there is an invisible character on this line; retype it",
    "Found invalid": lambda slip: "there is an invisible character on this line; retype it",
    "Unescaped": lambda slip: "a backslash cannot stand in double quotes; leave it out",
    "Invalid hex": lambda slip: "a backslash cannot stand in double quotes; leave it out",
    "Escaped": lambda slip: "a backslash cannot stand in double quotes; leave it out",
    "Expected '=' after a key": _no_equals,
    "Invalid statement": lambda slip: (
        "this line is neither key = value, nor a [section], nor a # comment"
    ),
    "Invalid initial": lambda slip: (
        "a key or the name of a section is missing or has strange letters"
    ),
    "Expected ']": lambda slip: "a section header ends with the bracket it began with: [site]",
    "Unclosed array": lambda slip: (
        "the list is not closed, or a comma or quote is missing in it; write lists like "
        f'["21 ft", "24 ft"]{slip.advice}'
    ),
    "Unclosed inline": lambda slip: "the closing brace } is missing",
    "Unterminated": lambda slip: "the text that begins here or above has no closing quote",
    "Expected": lambda slip: "the text that begins here or above has no closing quote",
    "Exceeds the limit": lambda slip: "a number has thousands of digits; write a shorter one",
}
