"""Moves that the rows above them say cannot be: at their limits, by hand, with both lines."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frames import INCH, notebook
from plumbrail.notebook.entries import Axis, Held, Hold, Moved, Slides
from plumbrail.plan.truing import Truing
from plumbrail.truing.claims import contradicted, first_of_each, slides_twice

SET, LOOSE, CONCRETED = Hold.SET, Hold.LOOSE, Hold.CONCRETED
ALONG, ACROSS, UP = Axis.ALONG, Axis.ACROSS, Axis.UP


def said(*rows, units="us", lean=INCH):
    """Problems of rows ``(post, hold)``, ``(place, least, most)`` or ``(point, axis, inches)``."""
    held, slides, moved = [], [], []
    for line, row in enumerate(rows, start=10):
        if len(row) == 2:
            held.append(Held(line, "", *row))
        elif isinstance(row[1], Axis):
            moved.append(Moved(line, "", row[0], row[1], row[2] * INCH))
        else:
            slides.append(Slides(line, row[0], row[1] * INCH, row[2] * INCH))
    book = replace(notebook([], tuple(moved)), held=tuple(held), slides=tuple(slides))
    truing = Truing().model_copy(update={"lean": lean})
    return [(p.line, p.message) for p in contradicted(book, truing, units)]


def test_nothing_of_a_post_in_concrete_moves_but_its_beam_may_slide():
    """Each part by its own word, both lines named; up and down is the beam in its collar."""
    for point, part in (("B2", "top"), ("B2 base", "foot"), ("B2 post", "foot")):
        assert said(("B2", CONCRETED), (point, ALONG, 0.1)) == [
            (11, f"this moves the {part} of B2, which line 10 has in concrete: which is right?")
        ]
    assert len(said(("B2", CONCRETED), ("B2 post", UP, 0.1))) == 1
    assert said(("B2", CONCRETED), ("B2", UP, 3.0)) == []


def test_of_a_set_post_only_the_foot_stays():
    """Foot and whole post hold; the top may lean, the beam slide."""
    words = "this moves the foot of F1, which line 10 has set in a little concrete: which is right?"
    for row in (("F1 base", ACROSS, 0.1), ("F1 post", UP, 0.1)):
        assert said(("F1", SET), row) == [(11, words)]
    assert said(("F1", SET), ("F1", ACROSS, 0.9), ("F1", UP, 5.0)) == []


@pytest.mark.parametrize("way", [1, -1])
def test_a_set_top_leans_as_far_as_the_plan_allows_in_all(way):
    """1 in and the 1/8 in to which a move is made, either way; what went back counts back."""
    for most, count in ((1.12, 0), (1.13, 1)):
        rows = [("F1", ACROSS, way * 0.5), ("F1", ACROSS, way * (most - 0.5))]
        assert len(said(("F1", SET), *rows)) == count
    assert said(("F1", SET), ("F1", ACROSS, way), ("F1", ACROSS, -way), ("F1", ACROSS, way)) == []
    assert said(("F1", SET), ("F1", ACROSS, way), ("F1", ALONG, way), ("F2", ACROSS, way)) == []


def test_the_lean_is_said_with_its_sum_its_limit_and_both_lines():
    """The sum of 1/2 in and 1 in, at the row that passed the limit; the plan's own limit."""
    assert said(("F1", SET), ("F1", ALONG, 0.5), ("F1", ALONG, -1.75), lean=INCH / 2) == [
        (12, "this leans the top of F1 by 1 1/4 in in all, which line 10 has set in a little "
             "concrete; the plan allows 1/2 in: which is right?")
    ]  # fmt: skip
    (one,) = said(("F1", SET), ("F1", ALONG, 2.0), units="metric")
    assert "by 51 mm in all" in one[1] and "allows 25 mm" in one[1]


def test_a_lean_counts_from_the_first_row_that_says_the_post_is_set():
    """Saying so again allows no more; loosened and set anew, it counts anew."""
    rows = [("F1", SET), ("F1", ALONG, 0.75), ("F1", SET), ("F1", ALONG, 0.75)]
    assert [line for line, _ in said(*rows)] == [13]
    rows[2:3] = [("F1", LOOSE), ("F1", SET)]
    assert said(*rows) == []


def test_only_the_last_row_above_the_move_says_how_the_post_stands():
    """Other posts, rows below, and what it was before it was loosened say nothing."""
    move = ("F1 base", ALONG, 0.5)
    assert said(("F2", CONCRETED), move) == [] == said(move, ("F1", CONCRETED))
    assert said(("F1", CONCRETED), ("F1", LOOSE), move) == []
    assert said(("F1", LOOSE), ("F1", SET), move)[0][1].count("line 11 has set") == 1
    assert said(("F1", LOOSE), ("F1", ALONG, 9.0)) == []


@pytest.mark.parametrize(
    ("place", "axis", "name"),
    [("B2", UP, "the beam at B2"), ("front beam", ALONG, "front beam")],
)
def test_a_beam_slides_within_what_its_row_says(place, axis, name):
    """From 1/2 in one way to 1 in the other, each with 1/8 in; by the row and line above it."""
    row = (place, -0.5, 1.0)
    for far, count in ((1.12, 0), (1.13, 1), (-0.62, 0), (-0.63, 1)):
        assert len(said(row, (place, axis, far))) == count
    assert said(row, (place, axis, 1.0), (place, axis, 1.0)) == [
        (12, f"this slides {name} 2 in in all, farther than line 10 says that it can: "
             "which is right?")
    ]  # fmt: skip
    assert said((place, axis, 9.0)) == [] == said((place, axis, 9.0), row)


def test_a_slide_counts_from_the_latest_row_above_and_of_its_own_place():
    """A new row counts anew; that of another place says nothing."""
    rows = [("B2", 0.0, 1.0), ("B2", UP, 1.0), ("B2", 0.0, 0.5), ("B2", UP, 0.5)]
    assert said(*rows) == []
    assert said(*rows, ("B2", UP, 0.25))[0][1].count("line 12 says") == 1
    assert [line for line, _ in said(rows[0], ("B2", UP, 2.0), rows[0])] == [11]
    assert said(("B3", 0.0, 0.5), ("B2", UP, 2.0)) == []
    assert said(("back beam", 0.0, 0.5), ("front beam", ALONG, 2.0)) == []


def test_a_move_by_just_what_is_left_alone_is_left_alone():
    """1/8 in where nothing is allowed, exactly in binary."""
    assert said(("F1", SET), ("F1", ALONG, 0.125), lean=0.0) == []
    for far in (0.125, -0.125):
        assert said(("B2", 0.0, 0.0), ("B2", UP, far)) == []


def test_rows_that_only_repeat_how_a_post_stands_are_left_out():
    """Each post by itself; going back to an earlier state is no repetition."""
    rows = [Held(1, "", "F1", SET), Held(2, "", "F2", SET), Held(3, "", "F1", SET),
            Held(4, "", "F1", LOOSE), Held(5, "", "F1", SET), Held(6, "", "F2", SET)]  # fmt: skip
    assert [h.line for h in first_of_each(rows)] == [1, 2, 4, 5]


def test_places_with_more_than_one_slides_row():
    """All lines, and that the last one counts; one row is nothing to say."""
    rows = [Slides(line, place, 0.0, 0.1) for line, place in
            ((3, "B2"), (4, "B3"), (5, "B2"), (7, "B2"))]  # fmt: skip
    assert slides_twice(rows) == ("lines 3, 5 and 7 say how far B2 slides: line 7 counts",)
    assert slides_twice(rows[:3]) == ("lines 3 and 5 say how far B2 slides: line 5 counts",)
    assert slides_twice(rows[1:2]) == ()
