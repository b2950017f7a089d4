"""The door of the site notebook: text in, readings and every problem with its line out.

* CSV: the first line names the columns (``time``, ``kind``, ``from``, ``to``, ``at``, ``value``,
  ``instrument``, ``set-up``, ``note``) in any order and any case; commas, semicolons or tabs;
  lines that begin with ``#`` are not read. Needed are ``kind``, ``from`` and ``value``.
* TOML: one ``[[reading]]`` with the same keys for each row.
* Rod readings without a set-up are one set-up, called ``A``.
* A row without a value is a blank still to be filled in; a row whose note begins with ``struck``
  is kept and not used.
"""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path
from typing import Literal

from plumbrail.errors import PlanError, Problem
from plumbrail.notebook.blocks import read_blocks
from plumbrail.notebook.entries import Held, Moved, Notebook, Reading, Slides, Struck
from plumbrail.notebook.repeats import blocks, pasted
from plumbrail.notebook.table import lines_of, read_table
from plumbrail.notebook.taking import Book, take

MOST_ROWS = 100_000
_LINES_OF_A_BLOCK = 12
_PLAN = re.compile(r"^[ \t]*\[(?:job|site|frame|array|setout|truing|tolerances)\]", re.MULTILINE)
"""A section that only plans have."""
_READINGS = re.compile(r"^[ \t]*\[\[[ \t]*[\"']?reading[\"']?[ \t]*\]\]", re.MULTILINE)


def load_notebook(path: str | Path, stations: int) -> Notebook:
    """Read a notebook file, TOML by its suffix and CSV otherwise.

    ``stations`` is the number of posts in each row of the plan. Raises PlanError for a file that
    cannot be read at all; rows that cannot be used come back as problems.
    """
    source = os.fsencode(path).decode("utf-8", "replace")
    try:
        raw = Path(path).read_bytes()
    except (OSError, ValueError) as error:
        raise PlanError([Problem("", f"{source}: {file_words(error)}")], source) from None
    form: Literal["csv", "toml"] = "toml" if Path(path).suffix.lower() == ".toml" else "csv"
    return read_notebook(
        text_of(raw, source), stations, source, form, hashlib.sha256(raw).hexdigest()
    )


def read_notebook(
    text: str,
    stations: int,
    source: str = "readings",
    form: Literal["csv", "toml"] = "csv",
    sha256: str | None = None,
) -> Notebook:
    """What ``text`` says about a site with ``stations`` posts in each row.

    ``sha256`` is the checksum of the file; left out, that of the text in UTF-8. Raises PlanError
    only for a plan in place of a notebook and for more than 100 000 rows.
    """
    text = text.removeprefix("\ufeff")
    if _PLAN.search(text) and not _READINGS.search(text):
        words = (
            "this is a plan and no notebook of readings; name the plan first and the file of "
            "readings after it"
        )
        raise PlanError([Problem("", words)], source)
    if len(lines_of(text)) > MOST_ROWS * (_LINES_OF_A_BLOCK if form == "toml" else 1):
        words = f"more than {MOST_ROWS:,} rows are no notebook of one site; split the file"
        raise PlanError([Problem("", words)], source)
    rows = read_blocks(text) if form == "toml" else read_table(text)
    book = Book(stations)
    taken = [take(row, book) for row in rows.rows]
    entries = [one.entry for one in taken]
    used = [e for e in entries if isinstance(e, Reading | Moved)]
    repeated = pasted(used)
    again = {problem.line for problem in repeated}
    copied = blocks([e for e in used if e.line not in again])
    again.update(line for block in copied for line in block.lines)
    problems = [*rows.problems, *(problem for one in taken for problem in one.problems), *repeated,
                *(block.problem for block in copied)]  # fmt: skip
    return Notebook(
        tuple(e for e in entries if isinstance(e, Reading) and e.line not in again),
        tuple(e for e in entries if isinstance(e, Struck)),
        tuple(e for e in entries if isinstance(e, Held)),
        tuple(e for e in entries if isinstance(e, Slides)),
        tuple(e for e in entries if isinstance(e, Moved) and e.line not in again),
        sum(one.blank for one in taken),
        tuple(sorted(problems, key=lambda p: p.line or 0)),
        sha256 or hashlib.sha256(text.encode("utf-8", "replace")).hexdigest(),
        source,
    )


def text_of(raw: bytes, source: str, what: str = "readings") -> str:
    """The text of a file; PlanError for a spreadsheet and for what is not UTF-8."""
    if raw.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        words = "this is the spreadsheet itself; save it as CSV in UTF-8 and name that file"
        raise PlanError([Problem("", words)], source)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = len(lines_of(raw[: error.start].decode("utf-8", "replace")))
        words = f"this is not UTF-8 text; save the {what} as CSV in UTF-8"
        raise PlanError([Problem("", words, line)], source) from None


def file_words(error: Exception) -> str:
    """Why a file cannot be opened."""
    words = {
        FileNotFoundError: "there is no such file; check its name and its folder",
        IsADirectoryError: "this is a folder; name the file inside it",
        PermissionError: "this file may not be read; change its permissions",
    }
    return words.get(type(error), "this file cannot be opened; check its name")  # type: ignore[arg-type]
