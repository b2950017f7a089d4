"""The notebook as CSV loses nothing on its way into the store and out again."""

from __future__ import annotations

from hypothesis import assume, example, given
from hypothesis import strategies as st

from plumbrail.notebook.rows import COLUMNS, tidy
from plumbrail.notebook.table import read_table
from plumbrail.store.failures import StoreError
from plumbrail.store.notebook_csv import (
    FIELDS,
    cells_of,
    import_uid,
    is_comment,
    notebook_csv,
    rows_from_csv,
    struck_uids,
)
from plumbrail.store.records import NewRow, Row

# What breaks CSV: quotes, inch marks, separators, spaces, comment signs, marks without width.
LETTERS = st.sampled_from([*list('ab1\'"",,;\t# =/-é\xa0\u2060'), "rod", "sep=", "##", "struck"])
CELL = st.lists(LETTERS, max_size=6).map("".join)
ANY_CELL = CELL | st.text(max_size=8)


def _row(seq: int, cells: tuple[str, ...], strikes: str = "") -> Row:
    named = dict(zip(FIELDS, cells, strict=True))
    return Row(job="j", seq=seq, uid=f"uid-{seq}", **named, strikes=strikes, device="d", taken="")


def _read(text: str) -> list[dict[str, str]]:
    rows = read_table(text)
    assert not rows.problems
    return [{column: row[column] for column in COLUMNS} for row in rows.rows]


@given(st.lists(st.tuples(*[ANY_CELL] * 9), max_size=6))
@example([("#", "", "", "", "", "1 ft", "", "", "")])
@example([("sep=", "rod", "", "", "", "", "", "", '"')])
@example([("", "rod", "F1", "", "", "", "", "", "")])
def test_what_is_written_reads_back_cell_by_cell(cells: list[tuple[str, ...]]) -> None:
    """Every row of the store, blanks too, by the reader of notebooks and by the store itself."""
    rows = [_row(n, c) for n, c in enumerate(cells, 1)]
    assume(not any(is_comment(row) for row in rows))
    text = notebook_csv(rows)
    kept = [[tidy(c) for c in cells_of(row)] for row in rows]
    kept = [row for row in kept if any(row)]
    assert [[row[c] for c in COLUMNS] for row in _read(text)] == kept
    again = rows_from_csv(text)
    assert [
        [tidy(c) for c in cells_of(row)] for row in again if any(map(tidy, cells_of(row)))
    ] == kept


@given(st.lists(st.tuples(*[CELL] * 9).map(",".join) | CELL, max_size=8))
@example([',,,,,,,,""a,,,"'])
@example([",,,,,,,,", "\u2060\u2060,,,,,,,,"])
@example([",#"])
@example(["\u2060 \u2060#,rod,F1,,,1 ft,,,"])
def test_a_file_taken_in_and_written_out_says_the_same(lines: list[str]) -> None:
    """Cell by cell to the reader, and comments word for word in their order; or it is refused."""
    text = "\n".join([",".join(COLUMNS), *lines])
    said = ""
    try:
        new = rows_from_csv(text)
    except StoreError as refused:
        said = str(refused)
    if said:
        assert "line" in said
        assert read_table(text).problems
        return
    rows = [_row(n, cells_of(row)) for n, row in enumerate(new, 1)]
    out = notebook_csv(rows)
    assert _read(out) == _read(text)
    assert rows_from_csv(out) == new or [cells_of(r) for r in rows_from_csv(out)] == [
        cells_of(r) for r in new
    ]


@given(st.lists(st.tuples(*[CELL] * 9), max_size=6))
def test_the_same_file_has_the_same_uids(cells: list[tuple[str, ...]]) -> None:
    text = notebook_csv([_row(n, c) for n, c in enumerate(cells, 1)])
    rows = rows_from_csv(text)
    assert rows_from_csv(text) == rows
    assert len({row.uid for row in rows}) == len(rows)


@given(st.lists(st.integers(-1, 9), max_size=10))
def test_who_strikes_whom(targets: list[int]) -> None:
    """A row is struck when a row that itself is not struck strikes it; rings strike nothing."""
    rows = [_row(n, ("",) * 9, f"uid-{target}") for n, target in enumerate(targets)]
    struck = struck_uids(rows)
    by_uid = {row.uid: row for row in rows}
    for row in rows:
        strikers = [r.uid for r in rows if r.strikes == row.uid]
        if not any(_in_ring(by_uid, uid) for uid in (*strikers, row.uid)):
            assert (row.uid in struck) == any(uid not in struck for uid in strikers)


def _in_ring(rows: dict[str, Row], uid: str) -> bool:
    """Whether it strikes, row by row, itself in the end, or is struck by what does."""
    at, seen = uid, set[str]()
    while at in rows and at not in seen:
        seen.add(at)
        at = rows[at].strikes
    return at in seen


def test_uids_fit_the_messages() -> None:
    uid = import_uid(("a",) * 9, 1)
    assert uid.replace("-", "").isalnum()
    assert 8 <= len(uid) <= 64
    assert NewRow(uid) == NewRow(uid)
