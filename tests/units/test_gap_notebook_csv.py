"""The notebook as a file: struck rows and their reasons, comments, headings, what is refused."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest

from plumbrail.store.failures import StoreError
from plumbrail.store.notebook_csv import (
    MOST_ROWS,
    cells_of,
    import_uid,
    is_comment,
    notebook_csv,
    rows_from_csv,
    struck_cells,
    struck_uids,
)  # fmt: skip
from plumbrail.store.records import COMMENT, Row

HEAD = "time,kind,from,to,at,value,instrument,set-up,note"


def row(uid: str, **cells: str) -> Row:
    blank = dict.fromkeys(("time", "kind", "start", "end", "at_point", "value", "instrument",
                           "setup", "note", "strikes"), "")  # fmt: skip
    return Row(job="j", seq=1, uid=uid, device="d", taken="", **{**blank, **cells})


def reading(uid: str, note: str = "", **more: str) -> Row:
    return row(uid, kind="rod", start="F1", value="1 ft", note=note, **more)


def strike(uid: str, of: str, note: str = "") -> Row:
    return row(uid, strikes=of, note=note)


def comment(uid: str, text: str, **more: str) -> Row:
    return row(uid, kind=COMMENT, note=text, **more)


def lines(*rows: Row) -> list[str]:
    return notebook_csv(rows).splitlines()


@pytest.mark.parametrize(
    ("note", "why", "written"),
    [
        ("", [""], "struck"), ("wet", [""], "struck: wet"), ("", ["slipped"], "struck: slipped"),
        ("wet", ["slipped"], "struck: slipped; wet"),
        ("wet", ["Struck: slipped"], "struck: slipped; wet"),  # the word is not said twice
        ("wet", ["struck, rod"], "struck: rod; wet"), ("wet", ["struck"], "struck: wet"),
        ("", ["a", "b"], "struck: a; b"), ("struck: by hand", [""], "struck: by hand"),
        ("Struck by hand", ["slipped"], "Struck by hand; slipped"),
        ("strucked", [""], "struck: strucked"), ("", [" two\n  lines "], "struck: two lines"),
    ],
)  # fmt: skip
def test_why_a_row_was_struck(note: str, why: list[str], written: str) -> None:
    rows = [reading("a", note), *(strike(f"s{k}", "a", w) for k, w in enumerate(why))]
    cell = f'"{written}"' if ";" in written else written
    assert lines(*rows) == [HEAD, f",rod,F1,,,1 ft,,,{cell}"]


def test_a_strike_that_was_struck_says_nothing_and_its_row_counts_again() -> None:
    rows = [reading("a"), strike("s", "a", "slipped"), strike("t", "s", "no, it was right")]
    assert struck_uids(rows) == {"s"}
    assert lines(*rows) == [HEAD, ",rod,F1,,,1 ft,,,"]
    again = [*rows, strike("u", "a", "wet")]
    assert struck_cells(again)["a"][-1] == "struck: wet"


@pytest.mark.parametrize(
    ("strikes", "struck"),
    [  # each pair: who strikes whom, in the order of the rows
        ("s>a t>s u>t", "t a"),
        ("u>t t>s s>a", "t a"),
        ("s>a t>s u>t v>u", "u s"),
        ("s>a t>a u>s", "s a"),
        ("s>nobody t>a", "a"),
        ("t>a s>nobody", "a"),
        ("s>a t>s u>s", "s"),
        ("s>t t>s", ""),
        ("s>s t>a", "a"),
        # x is struck by u, so it strikes nothing; y, decided later, does: a is struck, not b
        ("u>x x>a a>b y>a v>y u2>v", "x v a"),
        ("u2>v v>y y>a u>x x>a a>b", "x v a"),
    ],
)
def test_who_is_struck_when_strikes_are_struck(strikes: str, struck: str) -> None:
    """A row is struck when one that is not struck itself strikes it; in a ring nobody is."""
    rows = [row(*pair.split(">")[:1], strikes=pair.split(">")[1]) for pair in strikes.split()]
    there = {r.uid for r in rows}
    rows += [row(uid) for uid in ("a", "b") if uid not in there]
    assert struck_uids(rows) == set(struck.split())


def test_a_reading_in_the_place_of_another_is_a_row_of_its_own() -> None:
    """It strikes and it reads; its note is its own and no reason."""
    rows = [reading("a"), row("b", kind="rod", start="F1", value="2 ft", strikes="a", note="again")]
    assert lines(*rows) == [HEAD, ",rod,F1,,,1 ft,,,struck", ",rod,F1,,,2 ft,,,again"]


def test_a_strike_of_a_row_that_is_not_there_strikes_nothing() -> None:
    assert struck_uids([reading("a"), strike("s", "elsewhere")]) == frozenset()


def test_comments_that_began_the_file_begin_it_again() -> None:
    """Later ones stay between the rows; a line that is no comment by itself becomes one."""
    rows = [comment("c1", "# first"), comment("c2", "second"), reading("a"),
            comment("c3", "#  third  line")]  # fmt: skip
    assert lines(*rows) == ["# first", "# second", HEAD, ",rod,F1,,,1 ft,,,", "# third line"]
    assert lines(comment("c1", "# only")) == ["# only", HEAD]
    assert lines(comment("c1", "# one"), reading("a"))[:2] == ["# one", HEAD]
    assert lines(reading("a"), comment("c1", "# one"))[::2] == [HEAD, "# one"]


def test_a_comment_with_a_reading_in_it_is_a_row() -> None:
    assert is_comment(comment("c", "# x")) and not is_comment(reading("a"))
    for cell in ("time", "start", "end", "at_point", "value", "instrument", "setup"):
        assert not is_comment(comment("c", "# x", **{cell: "1"})), cell


def test_cells_that_need_quotes_have_them() -> None:
    """Separators and quotes; a first cell that would make a comment of its row does not."""
    whole = row("a", time="#1", kind="rod", value='3 ft 2"', note="a,b;c\td")
    assert lines(whole)[1] == '\u2060#1,rod,,,,"3 ft 2""",,,"a,b;c d"'
    assert lines(row("a", time="sep=;", note="x"))[1].startswith('"\u2060sep=;"')
    assert lines(row("a", kind="#2", note="x"))[1] == ",#2,,,,,,,x"


def read(*text: str) -> list[tuple[str, ...]]:
    return [cells_of(r) for r in rows_from_csv("\n".join(text))]


CELLS = ("", "rod", "F1", "", "", "1 ft", "", "", "")


@pytest.mark.parametrize(
    "text",
    [
        (HEAD, ",rod,F1,,,1 ft,,,"), ("kind,from,value", "rod,F1,1 ft"),
        ("value;From;KIND", "1 ft;F1;rod"), ("kind\tfrom\tvalue", "rod\tF1\t1 ft"),
        ("\ufeffkind,from,value", "rod,F1,1 ft"), ("\u200bkind,\u2060from,value", "rod,F1,1 ft"),
        ("kind,from,value,Set_Up", "rod,F1,1 ft,"), ("kind,from,value,set up", "rod,F1,1 ft,"),
        ("kind,from,value,", "rod,F1,1 ft,"), ("", "sep=,", "kind,from,value", ",,", "rod,F1,1 ft"),
        ('"kind","from","value"', '"rod","F1","1 ft"'), ("kind,from,value", " rod , F1 , 1 ft "),
        ("kind,from,value", "\u2060rod,F1,1 ft"), (HEAD, '"","",""', ",rod,F1,,,1 ft,,,"),
    ],
)  # fmt: skip
def test_the_same_row_however_the_columns_stand(text: tuple[str, ...]) -> None:
    assert read(*text) == [CELLS]


def test_comments_are_rows_of_their_own_kind() -> None:
    """And a row that only looks like one keeps being a row."""
    found = rows_from_csv("# head \nkind,from,value\n#, x\nrod,F1,1 ft\n\u2060#,F2,3 ft\n")
    assert [is_comment(r) for r in found] == [True, True, False, False]
    assert [found[0].note, found[1].note] == ["# head", "#, x"]
    assert (found[0].kind, found[3].kind) == (COMMENT, f"\u2060{COMMENT}")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (("kind,from,value,rain,snow", "rod,F1,1 ft,,"),
         f"line 1: rain is no column; snow is no column; write {HEAD}"),
        (("x" * 41 + ",kind,from,value", ""), f"line 1: {'x' * 40} is no column; write {HEAD}"),
        (("", "kind,from,from,value"), f"line 2: from stands twice; write {HEAD}"),
        (("kind,value",), f"line 1: from is missing; write {HEAD}"),
        (("kind,from,value,", f"rod,F1,1 ft,{'y' * 41}"),
         f'line 2: "{"y" * 40}" stands under no heading; name its column'),
        (("# only a comment",), f"the first line names the columns; write {HEAD}"),
        (("kind,from,value", "rod,F1,1 ft,more"), "line 2: this row has 4 cells under 3 headings"),
        (("kind,from,value", 'rod,F1,"1 ft'), "line 2, value: the double quote"),
    ],
)  # fmt: skip
def test_what_would_be_lost_is_refused_by_its_line(text: tuple[str, ...], words: str) -> None:
    with pytest.raises(StoreError) as error:
        rows_from_csv("\n".join(text))
    assert str(error.value).startswith(words)


def test_a_hundred_thousand_lines_are_taken_and_one_more_is_not() -> None:
    assert rows_from_csv(f"kind,from,value{chr(10) * (MOST_ROWS - 1)}") == ()
    with pytest.raises(StoreError, match="more than 100,000 lines"):
        rows_from_csv(f"kind,from,value{chr(10) * MOST_ROWS}")


def test_rows_alike_are_told_apart_by_how_many_came_before() -> None:
    """The uid is a checksum of the cells and that number; spaces do not matter."""
    first, second, other = rows_from_csv("kind,from,value\nrod,F1,1 ft\nrod,F1,1 ft\nrod,F2,1 ft\n")
    assert first.uid == import_uid(CELLS, 1) == import_uid([f" {c} " for c in CELLS], 1)
    assert second.uid == import_uid(CELLS, 2)
    assert len({first.uid, second.uid, other.uid}) == 3
    whole = "\x1f".join([*CELLS, "1"]).encode()
    assert first.uid == f"csv-{hashlib.sha256(whole).hexdigest()[:40]}"


def test_a_letter_that_cannot_be_encoded_has_a_uid_too() -> None:
    cells: Any = ("\ud800", *CELLS[1:])
    assert import_uid(cells, 1).startswith("csv-")
