"""The notebook as CSV, out and in, without loss.

Lines are taken apart by the site notebook's own reader: the ``csv`` module of Python would lose
inch marks and, at an open one, whole lines.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from plumbrail.errors import Problem
from plumbrail.notebook import table
from plumbrail.notebook.rows import COLUMNS, NEEDED
from plumbrail.store.failures import StoreError
from plumbrail.store.records import COMMENT, NewRow, Row

FIELDS = ("time", "kind", "start", "end", "at_point", "value", "instrument", "setup", "note")
MOST_ROWS = 100_000

_STRUCK = re.compile(r"struck\b", re.IGNORECASE)
_JOINER = "\u2060"
"""Has no width and is dropped by the reader: keeps a row from being taken for a comment."""
_AT_HEAD = re.compile(rf"^[\s{_JOINER}]+")


# ------------------------------------------------------------------ out


def notebook_csv(rows: Sequence[Row]) -> str:
    """All rows of a job; struck ones stay, with a note that begins with ``struck``.

    A row that only strikes another one out is in that one's note. Comments that began the file
    begin it again.
    """
    struck = struck_cells(rows)
    written = [row for row in rows if not _only_strikes(row)]
    head = 0
    while head < len(written) and is_comment(written[head]):
        head += 1
    lines = [_comment(row) for row in written[:head]]
    lines.append(",".join(COLUMNS))
    for row in written[head:]:
        lines.append(
            _comment(row) if is_comment(row) else _line(struck.get(row.uid, cells_of(row)))
        )
    return "".join(f"{line}\n" for line in lines)


def struck_uids(rows: Sequence[Row]) -> frozenset[str]:
    """Rows that are struck out. Striking out a row that strikes lets the other one count again."""
    target = {row.uid: row.strikes for row in rows}
    waiting = Counter(target.values())
    free = [uid for uid in target if not waiting[uid]]
    struck: set[str] = set()
    for uid in free:  # grows: a row is decided once all that strike it are
        aim = target[uid]
        if aim not in target:
            continue
        if uid not in struck:
            struck.add(aim)
        waiting[aim] -= 1
        if not waiting[aim]:
            free.append(aim)
    return frozenset(struck)


def struck_cells(rows: Sequence[Row]) -> dict[str, tuple[str, ...]]:
    """Cells by uid of the rows that are struck out, as they are written."""
    struck = struck_uids(rows)
    why: dict[str, list[str]] = {}
    for row in rows:
        if _only_strikes(row) and row.uid not in struck and _flat(row.note):
            why.setdefault(row.strikes, []).append(_flat(row.note))
    return {row.uid: _struck(row, why.get(row.uid, [])) for row in rows if row.uid in struck}


def cells_of(row: Row | NewRow) -> tuple[str, ...]:
    """The cells in the order of COLUMNS, each on one line with single spaces."""
    return tuple(_flat(getattr(row, field)) for field in FIELDS)


def is_comment(row: Row | NewRow) -> bool:
    """A line that is kept for the file's sake and says nothing that was read on site."""
    return row.kind == COMMENT and not any(
        getattr(row, field) for field in FIELDS if field not in ("kind", "note")
    )


def _only_strikes(row: Row) -> bool:
    return bool(row.strikes) and not row.value.strip()


def _struck(row: Row, why: list[str]) -> tuple[str, ...]:
    *others, note = cells_of(row)
    if _STRUCK.match(note):
        return (*others, "; ".join([note, *why]))
    said = [re.sub(r"^struck\b[\s:;,]*", "", word, flags=re.IGNORECASE) for word in why]
    tail = "; ".join(filter(None, [*said, note]))
    return (*others, f"struck: {tail}" if tail else "struck")


def _flat(text: str) -> str:
    return " ".join(text.split())


def _comment(row: Row) -> str:
    line = _flat(row.note)
    return line if table.is_comment(line) else f"# {line}"


def _line(cells: Sequence[str]) -> str:
    first, *others = cells
    first = f"{_JOINER}{first}" if first.startswith(("#", "sep=")) else first
    return ",".join(_quoted(cell) for cell in (first, *others))


def _quoted(cell: str) -> str:
    if any(mark in cell for mark in f'{table.SEPARATORS}"'):
        doubled = cell.replace('"', '""')
        return f'"{doubled}"'
    return cell


# ------------------------------------------------------------------ in


def rows_from_csv(text: str) -> tuple[NewRow, ...]:
    """The rows of CSV text, comments among them, cell by cell as they are written.

    Commas, semicolons or tabs; the columns in any order. Each row gets a uid from its cells and
    from how many rows before it had the same ones, so that the same file twice is the same rows.
    Raises StoreError, naming the line, where something would be lost.
    """
    lines = list(enumerate(table.lines_of(text.removeprefix("\ufeff")), 1))
    if len(lines) > MOST_ROWS:
        raise StoreError(f"more than {MOST_ROWS:,} lines are no notebook of one site; split it")
    rows: list[NewRow] = []
    count: Counter[tuple[str, ...]] = Counter()
    for cells in _parsed(lines):
        count[cells] += 1
        uid = import_uid(cells, count[cells])
        rows.append(NewRow(uid, **dict(zip(FIELDS, cells, strict=True))))
    return tuple(rows)


def import_uid(cells: Sequence[str], occurrence: int) -> str:
    """Uid of a row that a file brought."""
    whole = "\x1f".join([*map(_flat, cells), str(occurrence)])
    return f"csv-{hashlib.sha256(whole.encode('utf-8', 'replace')).hexdigest()[:40]}"


def _parsed(lines: Iterable[tuple[int, str]]) -> Iterator[tuple[str, ...]]:
    """The cells of every row in the order of COLUMNS; a comment is a row of its own kind."""
    separator, columns = "", list[str]()
    for number, line in lines:
        if table.is_comment(line):
            yield ("", COMMENT, *[""] * 6, line.strip())
        elif table.says_nothing(line):
            continue
        elif not columns:
            separator, columns = _heading(number, line)
        else:
            cells = _row(number, line, separator, columns)
            if any(cells):
                yield cells
    if not columns:
        raise StoreError(f"the first line names the columns; write {','.join(COLUMNS)}")


def _heading(number: int, line: str) -> tuple[str, list[str]]:
    """Separator and columns of the first line."""

    def columns(separator: str) -> list[str]:
        return [_column(cell.text) for cell in table.cells(line, separator)]

    def known(separator: str) -> tuple[int, int]:
        return sum(c in COLUMNS for c in columns(separator)), line.count(separator)

    separator = max(table.SEPARATORS, key=known)
    found = columns(separator)
    strange = [name for name in found if name and name not in COLUMNS]
    twice = [name for name in COLUMNS if found.count(name) > 1]
    missing = [name for name in NEEDED if name not in found]
    if strange or twice or missing:
        what = [*(f"{n[:40]} is no column" for n in strange), *(f"{n} stands twice" for n in twice),
                *(f"{n} is missing" for n in missing)]  # fmt: skip
        raise StoreError(f"line {number}: {'; '.join(what)}; write {','.join(COLUMNS)}")
    return separator, found


def _column(heading: str) -> str:
    plain = re.sub(r"[\s_-]+", "", _visible(heading).lower())
    return "set-up" if plain == "setup" else plain


def _visible(text: str) -> str:
    return text.replace("\ufeff", "").replace("\u200b", "").replace(_JOINER, "")


def _row(number: int, line: str, separator: str, columns: list[str]) -> tuple[str, ...]:
    own = table.own_cells(number, line, separator, columns)
    if isinstance(own, Problem):
        where = f", {own.path}" if own.path else ""
        raise StoreError(f"line {number}{where}: {own.message}")
    first, *others = (cell.text.strip() for cell in own)
    return _by_column(number, columns, [_AT_HEAD.sub("", first), *others])


def _by_column(number: int, columns: list[str], own: list[str]) -> tuple[str, ...]:
    by_column = dict(zip(columns, own, strict=False))
    if by_column.get("kind") == COMMENT:
        by_column["kind"] = _JOINER + COMMENT
    stray = [cell for column, cell in zip(columns, own, strict=False) if cell and not column]
    if stray:
        raise StoreError(
            f'line {number}: "{stray[0][:40]}" stands under no heading; name its column'
        )
    return tuple(by_column.get(column, "") for column in COLUMNS)
