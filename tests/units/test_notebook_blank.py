"""A blank notebook is read back as what it asks for."""

from __future__ import annotations

import dataclasses

from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.notebook.blank import BlankRow, blank_csv
from plumbrail.notebook.entries import Axis, Kind
from plumbrail.notebook.reader import read_notebook

FILLED = {
    Kind.ROD: "4 ft", Kind.TAPE: "9 ft", Kind.LEVEL_TAPE: "9 ft", Kind.DIAGONAL: "9 ft",
    Kind.STRING_SIDE: "1/4 in back", Kind.STRING_HEIGHT: "1/4 in up",
    Kind.PLUMB: "0.3 deg back", Kind.TILT: "32 deg",
}  # fmt: skip


def row_of(kind: Kind, **more: object) -> BlankRow:
    points = {
        Kind.ROD: ("mark doorstep",), Kind.PLUMB: ("F3",), Kind.TILT: ("F3", "B3"),
        Kind.STRING_SIDE: ("F1", "F4", "F2"), Kind.STRING_HEIGHT: ("F1", "F4", "F2"),
    }  # fmt: skip
    return dataclasses.replace(BlankRow(kind, *points.get(kind, ("F1 base", "B1 top"))), **more)


def test_blank_rows_read_back() -> None:
    rows = [row_of(kind) for kind in Kind]
    found = read_notebook(blank_csv(rows), 4)
    assert found.blank == len(rows) == len(Kind)
    assert found.problems == ()
    assert found.readings == ()


def test_filled_rows_keep_what_was_asked() -> None:
    rows = [
        row_of(kind, setup="B", instrument="own one", hint='mind the "clamp", it slips')
        for kind in Kind
    ]
    lines = blank_csv(rows).splitlines()
    head = next(i for i, line in enumerate(lines) if line.startswith("time,"))
    for i, row in enumerate(rows, head + 1):
        cells = lines[i].split(",", 6)
        lines[i] = ",".join([*cells[:5], FILLED[row.kind], cells[6]])
    found = read_notebook("\n".join(lines), 4)
    assert found.problems == ()
    for row, reading in zip(rows, found.readings, strict=True):
        assert (reading.kind, reading.start, reading.end, reading.at) == (
            row.kind, row.start, row.end, row.at,
        )  # fmt: skip
        assert (reading.setup, reading.instrument) == ("B", "own one")
        assert reading.note == 'mind the "clamp", it slips'


def test_the_note_says_which_way_to_hold_the_level() -> None:
    text = blank_csv([row_of(Kind.PLUMB, axis=Axis.ACROSS), row_of(Kind.PLUMB, axis=Axis.ALONG)])
    assert text.splitlines()[-2:] == [
        ",plumb,F3,,,,,,back or front", ",plumb,F3,,,,,,left or right",
    ]  # fmt: skip


def test_a_hint_strikes_nothing_out() -> None:
    found = read_notebook(blank_csv([row_of(Kind.ROD, hint="Struck it with the auger?")]), 4)
    assert (found.blank, found.struck) == (1, ())


@settings(deadline=None)
@given(
    st.lists(
        st.builds(
            row_of, st.sampled_from(list(Kind)),
            hint=st.text(st.characters(exclude_categories=["Cc", "Cs", "Cn", "Co"])),
            setup=st.sampled_from(["", "A", "the 2nd", 'a"b', "a,b"]),
            axis=st.sampled_from([None, *Axis]),
        )
    )
)  # fmt: skip
def test_any_blank_rows_read_back(rows: list[BlankRow]) -> None:
    found = read_notebook(blank_csv(rows), 4)
    assert (found.blank, found.problems, found.struck) == (len(rows), (), ())
