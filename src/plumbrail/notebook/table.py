"""Rows from comma-separated text as people type it and spreadsheets save it.

A double quote opens a quoted cell only where the cell begins with it and ends with its partner;
everywhere else it is an inch mark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from plumbrail.errors import Problem
from plumbrail.notebook.rows import (
    READINGS,
    Heads,
    Row,
    Rows,
    column_of,
    listed,
    near_column,
    shown,
    tidy,
    unknown_column,
)

_QUOTED = r'[ \xa0]*"((?:[^"]|"")*)"[ \xa0]*'
_SAY = {",": "comma", ";": "semicolon", "\t": "tab"}
SEPARATORS = "".join(_SAY)
_TOO_NARROW = re.compile(
    r"#{2,}\s*[,;\t][,;\s]*[^,;\s]|#(?:N/A|NAME\?|REF!|VALUE!|DIV/0!|NUM!|NULL!)"
)
_LONGEST_LINE = 10_000


def read_table(text: str, heads: Heads = READINGS) -> Rows:
    """The rows of CSV text; separated by commas, semicolons or tabs."""
    lines = _written(text)
    first = next(lines, None)
    if first is None:
        words = f"there is nothing in it; the first line is {heads.example}"
        return Rows((), (Problem("", words, 1),))
    number, header = first
    separator = _separator(header, heads)
    names = [tidy(cell.text) for cell in cells(header, separator)]
    columns = [column_of(name, heads) for name in names]
    problems, usable = _header_problems(number, names, columns, heads)
    if not usable:
        return Rows((), tuple(problems))
    rows = []
    for number, line in lines:
        row = _row(number, line, separator, columns)
        if isinstance(row, Problem):
            problems.append(row)
        elif any(row.cells.values()):
            rows.append(row)
    return Rows(tuple(rows), tuple(problems))


def lines_of(text: str) -> list[str]:
    """Lines as an editor counts them."""
    return re.split(r"\r\n|\n|\r", text)


class Cell(NamedTuple):
    """One cell of a line."""

    text: str
    """Quotes around it taken off."""
    quoted: bool


def cells(line: str, separator: str) -> list[Cell]:
    """The cells of one line."""
    quoted = re.compile(f"{_QUOTED}(?={re.escape(separator)}|$)")
    found: list[Cell] = []
    at = 0
    while True:
        cell = quoted.match(line, at)
        end = cell.end() if cell else line.find(separator, at)
        end = len(line) if end < 0 else end
        text = cell[1].replace('""', '"') if cell else line[at:end]
        found.append(Cell(text, cell is not None))
        if end >= len(line):
            return found
        at = end + 1


def _written(text: str) -> Iterator[tuple[int, str]]:
    """Number and text of every line that is neither empty nor a comment."""
    for number, line in enumerate(lines_of(text), 1):
        if not is_comment(line) and not says_nothing(line):
            yield number, line


def is_comment(line: str) -> bool:
    """A line that begins with ``#``, but for the marks of a spreadsheet's error."""
    bare = _bare(line)
    return bare.startswith("#") and not _TOO_NARROW.match(bare)


def says_nothing(line: str) -> bool:
    """A line of separators and spaces alone, or the one that tells a spreadsheet the separator."""
    bare = _bare(line)
    return not bare.strip(f"{SEPARATORS} \xa0") or bare.startswith("sep=")


def _bare(line: str) -> str:
    return line.strip().removeprefix('"').lstrip()


def _separator(header: str, heads: Heads) -> str:
    """The one that splits the first line into most known headings."""

    def known(separator: str) -> int:
        return sum(column_of(tidy(c.text), heads) is not None for c in cells(header, separator))

    return max(SEPARATORS, key=lambda s: (known(s), header.count(s)))


def _header_problems(
    line: int, names: list[str], columns: list[str | None], heads: Heads
) -> tuple[list[Problem], bool]:
    """What is wrong with the headings, and whether the rows can be read in spite of it.

    They cannot where a column that was meant to be read would be passed over.
    """
    if not any(columns):
        words = f"the first line names the columns; write {heads.example} and the readings below it"
        return [Problem("", words, line)], False
    unknown = [n for n, c in zip(names, columns, strict=True) if n and c is None]
    strange = next(
        (heads.strangers[n.lower()] for n in unknown if n.lower() in heads.strangers), ""
    )
    if strange:
        return [Problem("", strange, line)], False
    problems = [Problem(shown(name), unknown_column(name, heads), line) for name in unknown]
    meant = {near for name in unknown if (near := near_column(name, heads))}
    twice = [c for c in heads.names if columns.count(c) > 1]
    problems += [Problem(c, f"two columns are called {c}; keep one of them", line) for c in twice]
    missing = [need for need in heads.needed if need not in columns and need not in meant]
    words = f"this column is missing; needed are {listed(heads.needed)}, as in {heads.example}"
    problems += [Problem(need, words, line) for need in missing]
    return problems, not (meant or twice or missing)


def _row(number: int, line: str, separator: str, columns: list[str | None]) -> Row | Problem:
    own = own_cells(number, line, separator, columns)
    if isinstance(own, Problem):
        return own
    pairs = zip(columns, own, strict=False)
    return Row(number, {column: tidy(cell.text) for column, cell in pairs if column is not None})


def own_cells(
    number: int, line: str, separator: str, columns: Sequence[str | None]
) -> list[Cell] | Problem:
    """The cells of a line under its headings; a note at the end takes the rest of the line.

    A problem where something would be lost.
    """
    if len(line) > _LONGEST_LINE:
        return Problem("", f"this line is longer than {_LONGEST_LINE:,} letters; split it", number)
    if _TOO_NARROW.match(line.strip().removeprefix('"')):
        words = "the spreadsheet wrote #### or an error here; widen the column and save it again"
        return Problem(columns[0] or "", words, number)
    found = cells(line, separator)
    own, extra = found[: len(columns)], found[len(columns) :]
    last = own[-1]
    if any(cell.text.strip() for cell in extra):
        if columns[-1] != "note":
            words = f"this row has {len(found)} cells under {len(columns)} headings"
            return Problem("", f"{words}; put a cell that holds a {_SAY[separator]} in double "
                           "quotes", number)  # fmt: skip
        last = Cell(separator.join(cell.text for cell in (last, *extra)), last.quoted)
    if not last.quoted and last.text.lstrip().startswith('"') and last.text.count('"') % 2:
        # what follows on the next line would be taken for a row
        words = "the double quote that opens this cell is not closed on its line; close it"
        return Problem(columns[len(own) - 1] or "", words, number)
    return [*own[:-1], last]
