"""Rows from TOML text, one ``[[reading]]`` at a time, so that a slip in one spoils no other."""

from __future__ import annotations

import datetime
import re
import tomllib
from itertools import pairwise
from typing import Any

from plumbrail.errors import Problem
from plumbrail.notebook.rows import Row, Rows, column_of, shown, tidy, unknown_column
from plumbrail.notebook.table import lines_of

_HEADER = re.compile(r"\s*\[")
_READING = re.compile(r"\s*\[\[\s*(?:reading|\"reading\"|'reading')\s*\]\]\s*(?:#.*)?")
_KEY = re.compile(r"\s*(?P<key>[A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')\s*=")
_ADVICE = 'write for example value = "4 ft 3 1/2 in"'
_LINE = re.compile(r" \(at line ([0-9]+), column [0-9]+\)")


def read_blocks(text: str) -> Rows:
    """The rows of TOML text."""
    rows: list[Row] = []
    problems: list[Problem] = []
    for start, lines in _blocks(lines_of(text)):
        if not _READING.fullmatch(lines[0]):
            problems += _outside(start, lines)
            continue
        found = _block(start, lines)
        problems += found.problems
        rows += found.rows
    if not rows and not problems:
        problems.append(Problem("", "there is no reading in it; begin each one with [[reading]]"))
    return Rows(tuple(rows), tuple(problems))


def _blocks(lines: list[str]) -> list[tuple[int, list[str]]]:
    """Line number and lines of what stands before the first header, and of every section."""
    starts = [i for i, line in enumerate(lines) if _HEADER.match(line)]
    edges = sorted({0, *starts, len(lines)})
    return [(a + 1, lines[a:b]) for a, b in pairwise(edges)]


def _outside(start: int, lines: list[str]) -> list[Problem]:
    """What stands in no reading."""
    for number, line in enumerate(lines, start):
        bare = line.strip()
        if bare.startswith("["):
            return [Problem("", f"{shown(bare)} will not do; each reading begins with [[reading]]",
                            number)]  # fmt: skip
        if bare and not bare.startswith("#"):
            return [Problem("", "this line stands in no reading; begin with [[reading]]", number)]
    return []


def _block(start: int, lines: list[str]) -> Rows:
    """One reading, or what is wrong with it."""
    try:
        data = tomllib.loads("\n".join(["", *lines[1:]]))
    except (ValueError, RecursionError) as error:
        return Rows((), (_slip(start, lines, str(error)),))
    where = {_name(found["key"]): start + i for i, line in enumerate(lines)
             if (found := _KEY.match(line))}  # fmt: skip
    problems: list[Problem] = []
    cells: dict[str, str] = {}
    places: dict[str, int] = {}
    for key, value in data.items():
        line, column = where.get(key, start), column_of(key)
        text = _text(value)
        if column is None:
            problems.append(Problem(shown(key), unknown_column(key), line))
        elif column in cells:
            words = f"{column} is written twice in this reading; keep one of them"
            problems.append(Problem(column, words, line))
        elif text is None:
            words = f"{shown(str(value))} will not do; write one text in quotes"
            problems.append(Problem(column, words, line))
        else:
            cells[column], places[column] = tidy(text), line
    rows = () if problems else (Row(start, cells, places),)
    return Rows(rows, tuple(problems))


def _name(key: str) -> str:
    return key.strip("\"'") if key[0] in "\"'" else key


def _text(value: Any) -> str | None:
    """What is written; numbers and dates may stand without quotes, to be judged as text."""
    if isinstance(value, str):
        return value
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, bool | dict | list):
        return None
    try:
        return str(value)
    except ValueError:  # a whole number with thousands of digits
        return None


def _slip(start: int, lines: list[str], error: str) -> Problem:
    """A line that is not TOML."""
    at = _LINE.search(error)
    number = start + int(at[1]) - 1 if at else start + _last(lines)
    row = lines[min(number - start, len(lines) - 1)]
    key = _KEY.match(row)
    column = column_of(_name(key["key"])) if key else None
    if "Cannot overwrite" in error:
        words = "a key is written twice in this reading; keep one of them"
    elif key and re.search(r"\"[^\"]*\"\s*\"|\".*\\", row):
        words = f'inside double quotes write "in" for inches and no backslash; {_ADVICE}'
    else:
        words = f"a line is written key = value with text in quotes; {_ADVICE}"
    return Problem(column or "", words, min(number, start + len(lines) - 1))


def _last(lines: list[str]) -> int:
    return max((i for i, line in enumerate(lines) if line.strip()), default=0)
