"""Readings to take, put together in words; none is lost."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from frames import alder_points, long_points
from plumbrail.notebook.entries import Axis, Kind
from plumbrail.truing.grouping import grouped
from plumbrail.truing.naming import named
from plumbrail.truing.parts import Wanted
from plumbrail.truing.scheme import field_readings


def test_a_whole_field_sheet_is_a_short_list():
    for points, most in ((alder_points(), 40), (long_points(8), 48)):
        wanted = field_readings(points)
        assert len(grouped(wanted)) <= most < 0.5 * len(wanted)


def test_every_post_is_named_or_stands_in_a_run():
    lines = grouped([w for w in field_readings(long_points(8)) if w.kind is Kind.ROD])
    assert "rod on the beam over F1 to F8, all from set-up A" in lines
    assert "rod on the ground at B1 to B8, all from set-up A" in lines
    assert "rod reading on pin 1, all from set-up B" in lines


@pytest.mark.parametrize(("wanted", "line"), [
    ([("F1", "F2"), ("F2", "F3")], "tape along the front beam, bay by bay: F1 to F3"),
    ([("F1", "F2"), ("F3", "F4")], "tape: F1–F2, F3–F4"),
    ([("F1", "B1"), ("F3", "B3"), ("F2", "B2"), ("F6", "B6")],
     "tape from beam to beam: stations 1 to 3 and 6"),
    ([("B1 base", "B2 base"), ("B2 base", "B3 base")],
     "tape on the ground along the back row, bay by bay: B1 to B3"),
    ([("F1 base", "B1 base"), ("F2 base", "B2 base")],
     "tape from post to post on the ground: stations 1 and 2"),
])  # fmt: skip
def test_tapes(wanted, line):
    assert grouped([Wanted(Kind.TAPE, a, b) for a, b in wanted]) == (line,)


def test_what_stands_alone_keeps_its_own_words():
    alone = [Wanted(Kind.TAPE, "pin 1", "F1 base"), Wanted(Kind.PLUMB, "F2", axis=Axis.ALONG),
             Wanted(Kind.ROD, "mark doorstep", setup="C"), Wanted(Kind.TAPE, "F1", "F8"),
             Wanted(Kind.STRING_SIDE, "F1", "F8", "F3")]  # fmt: skip
    assert grouped(alone) == tuple(named(w) for w in alone)
    assert grouped([replace(alone[0], words="a tape")]) == ("a tape",)
    assert grouped([]) == ()


def test_a_second_reading_of_the_same_is_said_so():
    tapes = [Wanted(Kind.TAPE, f"F{i}", f"F{i + 1}") for i in (1, 2, 3)]
    rods = [Wanted(Kind.ROD, p, setup="C") for p in ("F1", "F2")]
    assert grouped([*tapes, tapes[1], *rods, *rods]) == (
        "tape along the front beam, bay by bay: F1 to F4", "tape F2–F3, once more",
        "rod on the beam over F1 and F2, all from set-up C",
        "rod on the beam over F1 and F2, all from set-up C, once more",
    )  # fmt: skip


def test_strings_and_plumb():
    side = [Wanted(Kind.STRING_SIDE, "F1 base", "F4 base", f"F{i} base") for i in (2, 3)]
    lean = [Wanted(Kind.PLUMB, p, axis=a) for p in ("F1", "F2", "F3", "B1") for a in Axis
            if a is not Axis.UP]  # fmt: skip
    found = grouped([*side, *lean])
    assert found == (
        "string side off the string F1 base–F4 base: F2 and F3 (base)",
        "plumb along the row: F1 to F3", "plumb across the row: F1 to F3",
        "plumb of B1 along", "plumb of B1 across",
    )  # fmt: skip
    assert not any(re.search(r"F2 to F3", line) for line in found)
