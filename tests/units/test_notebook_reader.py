"""Reading notebooks: every row that cannot be used is named, the others stay usable."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest

from plumbrail.errors import PlanError
from plumbrail.notebook.entries import Axis, Held, Hold, Kind, Notebook
from plumbrail.notebook.reader import MOST_ROWS, load_notebook, read_notebook
from plumbrail.notebook.rows import COLUMNS

IN, FT = 0.0254, 0.3048
HEAD = "time,kind,from,to,at,value,instrument,set-up,note\n"
PAGE = Path(__file__).parents[2] / "docs" / "method" / "readings.md"


def book(*rows: str, stations: int = 4) -> Notebook:
    return read_notebook(HEAD + "".join(f"{row}\n" for row in rows), stations)


def one_problem(row: str) -> tuple[str, str]:
    found = book(row, ",tape,F1,B1,,9 ft,,,")
    (problem,) = found.problems
    assert problem.line == 2
    assert [r.line for r in found.readings] == [3]
    return problem.path, problem.message


def test_a_reading_has_everything_that_was_written() -> None:
    (reading,) = book("2026-05-03 08:10, Rod ,f3 top,,,4 ft 3 1/2 in,long laser,2,wind").readings
    assert reading.line == 2
    assert reading.time == "2026-05-03 08:10"
    assert reading.kind is Kind.ROD
    assert (reading.start, reading.end, reading.at) == ("F3 top", "", "")
    assert reading.value == pytest.approx(51.5 * IN, rel=1e-15)
    assert reading.axis is None
    assert (reading.instrument, reading.setup, reading.note) == ("long laser", "2", "wind")
    assert reading.text == "4 ft 3 1/2 in"


@pytest.mark.parametrize(
    ("row", "kind", "points", "instrument", "setup", "axis"),
    [
        (",rod,pin 1,,,4 ft,,,", Kind.ROD, ("pin 1", "", ""), "laser", "A", None),
        (",rod reading,mark x,,,4 ft,,B,", Kind.ROD, ("mark x", "", ""), "laser", "B", None),
        (",tape,F1,B1,,9 ft,,,", Kind.TAPE, ("F1", "B1", ""), "tape", "", None),
        (",Level_Tape,f1 base,pin 2,,9 ft,,,", Kind.LEVEL_TAPE, ("F1 base", "pin 2", ""), "tape",
         "", None),
        (",horizontal tape,F1,F2,,9 ft,,,", Kind.LEVEL_TAPE, ("F1", "F2", ""), "tape", "", None),
        (",diagonal,front left,B4,,30 ft,,,", Kind.DIAGONAL, ("front left", "B4", ""), "tape", "",
         None),
        (",string side,F1,F4,F2,1/4 in back,,,", Kind.STRING_SIDE, ("F1", "F4", "F2"), "string",
         "", None),
        (",string-height,F1,F4,F2,-1/4 in,,3,", Kind.STRING_HEIGHT, ("F1", "F4", "F2"), "string",
         "3", None),
        (",string,F1,F4,F2,1/4 in back,,,", Kind.STRING_SIDE, ("F1", "F4", "F2"), "string", "",
         None),
        (",string,F1,F4,F2,1/4 in above,,,", Kind.STRING_HEIGHT, ("F1", "F4", "F2"), "string", "",
         None),
        (",string,F2,B2,F2 base,1/4 in left,,,", Kind.STRING_SIDE, ("F2", "B2", "F2 base"),
         "string", "", None),
        (",string,pin 1,pin 2,F1 base,6 ft back,,,", Kind.STRING_SIDE,
         ("pin 1", "pin 2", "F1 base"), "string", "", None),
        (",plumb,F3 post,,,0.3 deg back,,,", Kind.PLUMB, ("F3", "", ""), "level", "", Axis.ACROSS),
        (",plumb,F3 top,,,0 deg along,,,", Kind.PLUMB, ("F3", "", ""), "level", "", Axis.ALONG),
        (",tilt,B3,F3,,32 deg,,,", Kind.TILT, ("F3", "B3", ""), "angle gauge", "", None),
        (",tilt,front left,back left,,32 deg,LEVEL,,", Kind.TILT, ("front left", "back left", ""),
         "level", "", None),
    ],
)  # fmt: skip
def test_kinds(
    row: str, kind: Kind, points: tuple[str, str, str], instrument: str, setup: str,
    axis: Axis | None,
) -> None:  # fmt: skip
    found = book(row)
    assert found.problems == ()
    (r,) = found.readings
    assert (r.kind, (r.start, r.end, r.at), r.instrument, r.setup, r.axis) == (
        kind, points, instrument, setup, axis,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("row", "path", "words"),
    [
        (",,F3,,,4 ft,,,", "kind", "nothing says what was measured; write rod, tape"),
        (",rood,F3,,,4 ft,,,", "kind", "did you mean rod?"),
        (",strnig side,F1,F4,F2,1 in back,,,", "kind", "did you mean string side?"),
        (",banana,F3,,,4 ft,,,", "kind", "is no kind of reading; write rod, tape"),
        (",rod,F9,,,4 ft,,,", "from", "F9: this plan has posts F1 to F4 and B1 to B4"),
        (",rod,,,,4 ft,,,", "from", "needs a point under `from`; write for example F3"),
        (",rod,F3 post,,,4 ft,,,", "from", "F3 (the beam over it), F3 top or F3 base"),
        (",rod,front beam,,,4 ft,,,", "from", "name a point of the beam: F1, front left"),
        (",rod,F3,B3,,4 ft,,,", "to", "has nothing under `to`; take B3 out"),
        (",tape,F3,B3,F2,4 ft,,,", "at", "has nothing under `at`; take F2 out"),
        (",tape,F3,,,4 ft,,,", "to", "needs the other point under `to`"),
        (",tape,F3,f3,,4 ft,,,", "to", "the same place"),
        (",tape,F3,F3 top,,4 ft,,,", "to", "the same place"),
        (",tape,mark a,F3,,4 ft,,,", "from", "only the height of a mark is ever known"),
        (",string side,F1,F4,,1 in back,,,", "at", "the point held against the string"),
        (",string side,F1,F4,f4,1 in back,,,", "at", "the same place"),
        (",string side,F1,B2,F3,1 in back,,,", "to", "has no clear side"),
        (",string side,pin 1,B2,F3,1 in back,,,", "to", "has no clear side"),
        (",string side,F1,F4,F3,1 in left,,,", "value", "is back or front"),
        (",string side,F1,B1,F3,1 in back,,,", "value", "is left or right"),
        (",string,F1,B2,F3,1 in back,,,", "value", "has no clear side"),
        (",string,F1,F4,F3,1 in,,,", "value", "has no direction; write back or front"),
        (",plumb,F3 base,,,0.3 deg back,,,", "from", "a plumb reading is of a post"),
        (",tilt,F3,B2,,32 deg,,,", "to", "a trial rail lies square to the row"),
        (",tilt,F3,F2,,32 deg,,,", "to", "a trial rail lies square to the row"),
        (",tilt,F3 base,B3,,32 deg,,,", "from", "a trial rail lies on the beams"),
        (",tape,F1,F2,,9,,,", "value", "9 has no unit"),
        ("5/3/2026 8:10,tape,F1,F2,,9 ft,,,", "time", "write year-month-day and the clock time"),
        ("2026-02-30,tape,F1,F2,,9 ft,,,", "time", "is no time"),
        ("08:10,tape,F1,F2,,9 ft,,,", "time", "is no time"),
        ("####,tape,F1,F2,,9 ft,,,", "time", "widen the column"),
        ("#REF!,tape,F1,F2,,9 ft,,,", "time", "widen the column"),
        (",state,F3,,,losse,,,", "value", "write loose (free in its hole)"),
        (",state,F3 base,,,set,,,", "from", "this is about a post"),
        (",slides,F3,,,1 in left,,,", "value", "slides up or down"),
        (",slides,front beam,,,1 in up,,,", "value", "slides left or right"),
        (",slides,pin 1,,,1 in up,,,", "from", "a beam slides at a post"),
        (",moved,front beam,,,1 in up,,,", "value", "as a whole moves left or right"),
        (",moved,F3 top,,,1 in up,,,", "from", "write F3 (the beam at the post)"),
        (",moved,F3,,,1 in,,,", "value", "how far and which way"),
        (",tape,F1,F2,,9 ft,,,\x07bell", "note", "invisible character"),
        (',tape,F1,F2,,9 ft,,,"not closed', "note", "is not closed on its line"),
        (",tape,F1,F2,," + "9" * 11_000 + ",,,", "", "longer than 10,000 letters"),
    ],
)  # fmt: skip
def test_a_bad_row_is_named_and_the_next_one_is_used(row: str, path: str, words: str) -> None:
    where, message = one_problem(row)
    assert where == path
    assert words in message
    assert len(message) < 300


def test_every_fault_of_a_row_is_told_at_once() -> None:
    found = book("yesterday,tape,F9,,F2,9,,,")
    assert [p.path for p in found.problems] == ["time", "from", "to", "at", "value"]
    assert {p.line for p in found.problems} == {2}
    assert str(found.problems[1]).startswith("line 2: from: F9")


def test_states_slides_and_moves() -> None:
    found = book(
        "2026-05-03,state,F1,,,set,,,", ",state,b2 post,,,Concreted,,,", ",slides,F1,,,1 in up,,,",
        ",slides,F2,,,1/2 in,,,", ',slides,front beam,,,"2 in left, 1 in right",,,',
        "2026-05-03 9:05,moved,F3,,,5/16 in up,,,", ",moved,F3 base,,,1/4 in front,,,",
        ",moved,F3 post,,,1/4 in right,,,", ",move,back beam,,,1 in left,,,",
    )  # fmt: skip
    assert found.problems == ()
    assert found.held == (Held(2, "2026-05-03", "F1", Hold.SET), Held(3, "", "B2", Hold.CONCRETED))
    assert [(s.place, round(s.least / IN, 9), round(s.most / IN, 9)) for s in found.slides] == [
        ("F1", 0, 1), ("F2", -0.5, 0.5), ("front beam", -2, 1),
    ]  # fmt: skip
    assert [(m.point, m.axis, round(m.amount / IN, 9)) for m in found.moved] == [
        ("F3", Axis.UP, 0.3125), ("F3 base", Axis.ACROSS, -0.25), ("F3 post", Axis.ALONG, 0.25),
        ("back beam", Axis.ALONG, -1),
    ]  # fmt: skip
    assert found.moved[0].time == "2026-05-03 09:05"


def test_blank_rows_are_counted_and_their_names_checked() -> None:
    found = book(",rod,F1,,,,,,", ",string,F1,F4,F2,,,,", ",state,F1,,,,,,", ",tape,F1,F9,,,,,",
                 ",,,,,,,,", ",,,,,,,,,,,")  # fmt: skip
    assert found.blank == 3
    assert found.readings == ()
    assert [(p.line, p.path) for p in found.problems] == [(5, "to")]


def test_struck_rows_are_kept_whatever_they_say() -> None:
    found = book(",tape,F2,B2,,12 ft,,,struck: caught", ",rood,F9,,,4,,,STRUCK", ",rod,F1,,,,,,",
                 ",rod,F1,,,4 ft,,,strucktural")  # fmt: skip
    assert [(s.line, s.words, s.note) for s in found.struck] == [
        (2, "tape F2–B2 12 ft", "struck: caught"), (3, "rood F9 4", "STRUCK"),
    ]  # fmt: skip
    assert found.problems == ()
    assert (found.blank, len(found.readings)) == (1, 1)


def test_names_that_people_choose_keep_their_first_spelling() -> None:
    found = book(
        ",rod,mark Doorstep,,,4 ft,Big Laser,North,",
        ",rod,MARK doorstep,,,4 ft,big laser,north,",
        ",rod,F1,,,4 ft,Laser,,",
        ",rod,F1,,,4 ft,,a,",
    )
    assert [(r.start, r.instrument, r.setup) for r in found.readings] == [
        ("mark Doorstep", "Big Laser", "North"), ("mark Doorstep", "Big Laser", "North"),
        ("F1", "laser", "A"), ("F1", "laser", "A"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "time", ["2026-05-03", "2026-05-03 08:10", "2026-05-03T08:10:30", "2026-05-03T08:10Z",
             "2026-05-03 08:10+02:00", "2026-05-03T08:10:30.250"],
)  # fmt: skip
def test_times_are_kept_as_written(time: str) -> None:
    assert book(f"{time},rod,F1,,,4 ft,,,").readings[0].time == time


@pytest.mark.parametrize(
    "row",
    [
        ",tape,F1,F2,,4' 3 1/2\",,,", ',tape,F1,F2,,"4\' 3 1/2""",,,', ",tape,F1,F2,,4′ 3½″,,,",
        ",tape,F1,F2,,4’ 3 1/2”,,,", ',tape,F1,F2,,"4 ft 3 1/2 in",,,', ",tape,F1,F2,,“4 ft 3½ in”",
        ',"tape","F1","F2","","4 ft 3 1/2 in","","",""', " , tape , F1 , F2 , , 4 ft 3 1/2 in ",
        ",tape,F1,F2,,\u00a04\u00a0ft\u00a03\u00a01/2\u00a0in,,,,,,", ",tape,F1,F2,,51 1/2\"",
        ",tape,F1\u200b,F2,,4'-3 1/2\",,,", ',tape,F1,F2,,51 1/2","tape",A,"a ""b"" c"',
    ],
)  # fmt: skip
def test_inch_marks_and_quotes_of_people_and_spreadsheets(row: str) -> None:
    found = book(row)
    assert found.problems == ()
    assert found.readings[0].value == pytest.approx(51.5 * IN, rel=1e-15)
    assert (found.readings[0].start, found.readings[0].end) == ("F1", "F2")


def test_a_quote_is_an_inch_mark_unless_it_opens_and_closes_a_cell() -> None:
    found = book(",tape,F1,F2,,51 1/2\",,,it is \"loose\", and wet", ',tape,F1,F2,,9 ft,,,"a" post',
                 ',tape,F1,F2,,9 ft,,,"a, ""b"", c" ')  # fmt: skip
    assert found.problems == ()
    assert [r.note for r in found.readings] == ['it is "loose", and wet', '"a" post', 'a, "b", c']


def test_more_cells_than_headings_are_refused_unless_the_note_comes_last() -> None:
    text = "kind,from,note,value\nrod,F1,,1 in, 2\nrod,F2,,1 in,,,\n"
    found = read_notebook(text, 4)
    assert [r.start for r in found.readings] == ["F2"]
    assert "5 cells under 4 headings; put a cell that holds a comma in double" in str(
        found.problems[0]
    )


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("start", ["", "\ufeff", "# a, b; c\n\n", '"# a, b",,,\n', "sep=;\n"])
def test_files_of_spreadsheets(separator: str, end: str, start: str) -> None:
    rows = [["Kind", "VALUE", "from", "Set_up", "to", ""], ["rod", "4 ft", "F1", "2", "", ""],
            ["# no", "", "", "", "", ""], ["", "", "", "", "", ""],
            ["tape", "9 ft", "F1", "", "F2", ""]]  # fmt: skip
    text = start + "\n".join(separator.join(row) for row in rows) + "\n\n"
    found = read_notebook(text.replace("\n", end), 4)
    assert found.problems == ()
    before = start.count("\n")
    assert [(r.line, r.kind, r.setup) for r in found.readings] == [
        (before + 2, Kind.ROD, "2"), (before + 5, Kind.TAPE, ""),
    ]  # fmt: skip


@pytest.mark.parametrize("heading", ["set-up", "setup", "Set Up", "SET_UP"])
def test_spellings_of_set_up(heading: str) -> None:
    found = read_notebook(f"kind,from,value,{heading}\nrod,F1,4 ft,7\n", 4)
    assert found.readings[0].setup == "7"


@pytest.mark.parametrize(
    ("head", "path", "words", "used"),
    [
        ("kind,from,value,notes", "notes", "did you mean `note`?", 0),
        ("kind,from,valeu,note", "valeu", "did you mean `value`?", 0),
        ("kind,from,to,note", "value", "this column is missing; needed are kind, from and", 0),
        ("kind,from,value,value", "value", "two columns are called value; keep one", 0),
        ("kind,from,value,weather", "weather", "known columns: time, kind, from", 1),
        ("rod,F2,3 ft,", "", "the first line names the columns; write time,kind", 0),
    ],
)
def test_headings(head: str, path: str, words: str, used: int) -> None:
    found = read_notebook(f"# c\n{head}\nrod,F1,4 ft,\n", 4)
    (problem,) = found.problems
    assert (problem.line, problem.path) == (2, path)
    assert words in problem.message
    assert len(found.readings) == used


def test_an_empty_notebook_says_how_to_begin() -> None:
    for text in ("", "\n\n", "# nothing yet\n"):
        found = read_notebook(text, 4)
        assert "the first line is time,kind,from" in found.problems[0].message


def test_a_line_of_hashes_alone_is_a_comment() -> None:
    assert book("#########", "## a, b", "# , ,").problems == ()


def test_load_keeps_source_and_checksum(tmp_path: Path) -> None:
    raw = b"\xef\xbb\xbf" + (HEAD + ",rod,F1,,,4 ft,,,\n").replace("\n", "\r\n").encode()
    path = tmp_path / "day 1.CSV"
    path.write_bytes(raw)
    found = load_notebook(path, 4)
    assert (len(found.readings), found.problems) == (1, ())
    assert found.sha256 == hashlib.sha256(raw).hexdigest()
    assert found.source == str(path)
    (tmp_path / "day.TOML").write_text(
        '[[reading]]\nkind="rod"\nfrom="F1"\nvalue="4 ft"\n', "utf-8"
    )
    assert len(load_notebook(str(tmp_path / "day.TOML"), 4).readings) == 1
    text = HEAD + ",rod,F1,,,4 ft,,,\n"
    assert read_notebook(text, 4).sha256 == hashlib.sha256(text.encode()).hexdigest()


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="there is no such file"):
        load_notebook(tmp_path / "none.csv", 4)
    with pytest.raises(PlanError, match="this is a folder"):
        load_notebook(tmp_path, 4)
    with pytest.raises(PlanError, match="cannot be opened"):
        load_notebook("a\0b", 4)
    path = tmp_path / "old.csv"
    path.write_bytes(HEAD.encode() + b",rod,F1,,,4 ft \xbd in,,,\n")
    with pytest.raises(PlanError, match="line 2: this is not UTF-8 text; save the readings as CSV"):
        load_notebook(path, 4)
    path.write_bytes(b"PK\x03\x04\x00\xff")
    with pytest.raises(PlanError, match="this is the spreadsheet itself"):
        load_notebook(path, 4)


def test_too_many_rows_are_refused() -> None:
    with pytest.raises(PlanError, match="more than 100,000 rows"):
        read_notebook(HEAD + "\n" * MOST_ROWS, 4)


def test_the_page_on_readings_shows_notebooks_that_read() -> None:
    page = PAGE.read_text("utf-8")
    (table,) = re.findall(r"```csv\n(.*?)```", page, re.DOTALL)
    (blocks,) = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)
    found = read_notebook(table, 4)
    assert found.problems == ()
    assert {r.kind for r in found.readings} == set(Kind)
    assert (len(found.struck), len(found.held), len(found.slides)) == (1, 4, 2)
    assert (len(found.moved), found.blank) == (1, 1)
    twin = read_notebook(blocks, 4, form="toml")
    assert twin.problems == ()
    same = {(r.kind, r.start, r.value) for r in found.readings}
    assert {(r.kind, r.start, r.value) for r in twin.readings} < same


def test_the_page_on_readings_names_every_column_and_kind() -> None:
    page = PAGE.read_text("utf-8")
    for word in (*COLUMNS, *Kind, "state", "slides", "moved", *Hold):
        assert f"`{word}`" in page
