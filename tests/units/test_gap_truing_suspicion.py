"""Words of suspected readings: which way they are off, and what could have been read instead."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frames import INCH, alder_points, notebook, reading, truth_of
from plumbrail.notebook.entries import Axis, Kind, Moved
from plumbrail.notebook.reader import read_notebook
from plumbrail.plan.truing import Truing
from plumbrail.truing.gather import gather
from plumbrail.truing.observe import read_off
from plumbrail.truing.rows import make_rows
from plumbrail.truing.suspicion import Scene, _alternatives, _others, amount, suspicions
from plumbrail.truing.versions import versions_of

POINTS = alder_points(["mark stone", "mark kerb"])
ALONG, ACROSS = Axis.ALONG, Axis.ACROSS
LASERS = {"A": 2.1, "B": 2.6}


def scene(rows, off=None, sd=1e-6, units="us", moved=()):
    """Rows that read right on the frame as planned but for ``off`` {index: by so much [SI]}."""
    size = np.array([(off or {}).get(i, 0.0) for i in range(len(rows))])
    exact = truth_of(POINTS, rows, POINTS.planned, Truing(), moved)
    book = notebook(replace(r, value=r.value + s) for r, s in zip(exact, size, strict=True))
    network, problems = gather(POINTS, book.readings, moved, Truing())
    assert not problems
    full = np.append(network.places.ravel(), [LASERS[s] for s in network.setups])
    return Scene(network, full, size, np.full(len(rows), sd), units, network.known)


def made_rows(readings, points=POINTS):
    return make_rows(points, versions_of(points, ())[0], readings, Truing())


def words_of(row, by, units="us", sd=1e-6):
    (one,) = suspicions(scene([row], {0: by}, sd, units), [(0,)])
    assert (one.readings, one.size) == ((0,), by)
    return one.words


EDGE = 0.37 * INCH
TURN = np.radians(0.37)


@pytest.mark.parametrize(
    ("row", "by", "more", "less"),
    [(reading(4, Kind.TAPE, "F1", "F2"), EDGE, "3/8 in long", "3/8 in short"),
     (reading(4, Kind.LEVEL_TAPE, "F1", "B2"), EDGE, "3/8 in long", "3/8 in short"),
     (reading(4, Kind.DIAGONAL, "F1", "B2"), EDGE, "3/8 in long", "3/8 in short"),
     (reading(4, Kind.ROD, "F1", setup="A"), EDGE, "3/8 in too much", "3/8 in too little"),
     (reading(4, Kind.STRING_HEIGHT, "F1", "F4", "F2"), EDGE, "3/8 in too high", "3/8 in too low"),
     (reading(4, Kind.TILT, "F1", "B1"), TURN, "0.4° too steep", "0.4° too flat"),
     (reading(4, Kind.PLUMB, "F1", axis=ALONG), TURN, "0.4° too far to the right",
      "0.4° too far to the left"),
     (reading(4, Kind.PLUMB, "F1", axis=ACROSS), TURN, "0.4° too far to the back",
      "0.4° too far to the front"),
     (reading(4, Kind.STRING_SIDE, "F1", "F4", "F2"), EDGE, "3/8 in too far to the back",
      "3/8 in too far to the front"),
     (reading(4, Kind.STRING_SIDE, "F4 top", "F1 top", "F2"), EDGE, "3/8 in too far to the back",
      "3/8 in too far to the front"),
     (reading(4, Kind.STRING_SIDE, "B2", "F2", "F3"), EDGE, "3/8 in too far to the right",
      "3/8 in too far to the left"),
     (reading(4, Kind.STRING_SIDE, "F2", "B2", "F3"), EDGE, "3/8 in too far to the right",
      "3/8 in too far to the left")],
)  # fmt: skip
def test_which_way_a_reading_is_off(row, by, more, less):
    """Too much and too little in words of its kind; no usual slip fits, so it is read again."""
    assert words_of(row, by).endswith(f"(line 4) reads {more}: measure it again")
    assert words_of(row, -by).endswith(f"(line 4) reads {less}: measure it again")


def test_lengths_and_angles_of_a_slip():
    """Without sign; inches to 1/16, whole millimetres, degrees to a tenth."""
    assert (
        amount(-12 * INCH, False, "us") == "12 in" and amount(-0.305, False, "metric") == "305 mm"
    )
    assert amount(0.3051, False, "metric") == "305 mm"
    assert amount(np.radians(-1), True, "us") == amount(np.radians(1), True, "metric") == "1.0°"


def test_a_plain_size_is_said_in_its_units():
    """1 ft is 12 in or 305 mm; to a person with inches it is a foot."""
    row = reading(4, Kind.TAPE, "F1", "F2")
    words = "tape F1–F2 (line 4) reads 12 in long: was a foot misread?"
    assert words_of(row, 12 * INCH, sd=1e-3) == words
    assert "reads 305 mm long" in words_of(row, 12 * INCH, "metric")


def test_two_suspects_with_each_others_value():
    """Swapped only when both fit within 3 of their joint sd, and only within one kind."""
    rods = [reading(4, Kind.ROD, "F1 base", setup="A"), reading(5, Kind.ROD, "F1", setup="A")]
    b = POINTS.planned[POINTS.index("F1")] - POINTS.planned[POINTS.index("F1 base")]
    gap = b[2] + POINTS.to_top[POINTS.index("F1")]  # the rod on the ground reads so much more
    for slack, asked in ((2.99, True), (3.01, False)):
        far = slack * np.hypot(0.01, 0.01)
        for off in ({0: -gap, 1: gap + far}, {0: -gap - far, 1: gap}):
            found = [s.words for s in suspicions(scene(rods, off, 0.01), [(1,), (0,)])]
            assert ("swapped with line 5" in found[0]) is asked
            assert ("swapped with line 4" in found[1]) is asked
    small = suspicions(scene(rods, {0: 0.02}, 0.01), [(0,)])
    assert "swapped" not in small[0].words  # with itself
    alone = [s.words for s in suspicions(scene(rods, {0: -gap, 1: gap}, 0.01), [(1,)])]
    assert "swapped" not in alone[0]
    rows = [reading(4, Kind.TAPE, "F1", "F2"), reading(5, Kind.LEVEL_TAPE, "F1", "B1")]
    far = float(np.subtract(*(r.value for r in scene(rows).network.readings)))
    both = suspicions(scene(rows, {0: -far, 1: far}, 0.01), [(0,), (1,)])
    assert not any("swapped" in s.words for s in both)


def test_a_swap_is_asked_before_anything_else():
    """Two rods that are a foot apart and swapped: no foot is asked for."""
    rows = [reading(4, Kind.ROD, "F1", setup="A"), reading(5, Kind.ROD, "B1", setup="A")]
    found = scene(rows)
    gap = found.network.readings[0].value - found.network.readings[1].value
    (first, second) = suspicions(scene(rows, {0: -gap, 1: gap}, 0.1), [(0,), (1,)])
    assert first.words.endswith("too little: was it swapped with line 5?")
    assert second.words.endswith("too much: was it swapped with line 4?")


def test_readings_that_cannot_be_told_apart_are_listed_with_what_was_noted():
    """Other readings by their own size, moves with their line, pins and the ground by name."""
    rows = [reading(7, Kind.ROD, "F1", setup="A"), reading(4, Kind.ROD, "F2", setup="A")]
    moved = (Moved(5, "", "F1 post", Axis.UP, 0.01),)
    here = scene(rows, {0: EDGE, 1: -2 * EDGE}, moved=moved)
    m, conditions = len(rows), list(here.pseudo.line)
    tie, pin = conditions.index(5), here.pseudo.words.index("pin 2")
    (one,) = suspicions(here, [(0, 1, m + tie, m + tie + 1, m + pin)])
    assert one.readings == (0, 1) and one.size == EDGE
    assert one.words == (
        "either rod reading on F1 (line 7) reads 3/8 in too much: measure it again, or rod reading "
        "on F2 (line 4) reads 3/4 in too little: measure it again, or the move of F1 (line 5) is "
        "not as noted, or pin 2 does not stand where the plan has it (they cannot be told apart: "
        "measure all of them again)"
    )
    (one,) = suspicions(here, [(0, m + tie, m + tie + 1)])
    assert one.words.endswith("not as noted (they cannot be told apart: measure both again)")
    bare = replace(here, pseudo=replace(here.pseudo, words=("",) * len(conditions)))
    (one,) = suspicions(bare, [(0, m + pin)])
    assert "or the ground does not stand where the plan has it (" in one.words


def test_what_stands_in_for_a_suspect_was_not_swapped_with_it():
    """But perhaps with another suspect; all three values fit."""
    rows = [reading(4 + i, Kind.ROD, f"F{i + 1}", setup="A") for i in range(3)]
    here = scene(rows, dict.fromkeys(range(3), EDGE), sd=0.1)
    (alone,) = suspicions(here, [(0, 1)])
    assert "swapped" not in alone.words
    beside, third = suspicions(here, [(0, 1), (2,)])
    assert beside.words.count("was it swapped with line 6") == 2
    assert third.words.endswith("was it swapped with line 4?")


def test_a_reading_that_stands_in_for_two_suspects_has_a_size_for_each():
    """Its own words beside each of them."""
    rows = [reading(4 + i, Kind.ROD, f"F{i + 1}", setup="A") for i in range(3)]
    here = replace(scene(rows, {0: EDGE, 1: EDGE}), instead={(0, 2): -2 * EDGE, (1, 2): 4 * EDGE})
    first, second = suspicions(here, [(0, 2), (1, 2)])
    assert "(line 6) reads 3/4 in too little" in first.words
    assert "(line 6) reads 1 1/2 in too much" in second.words
    assert first.size == second.size == EDGE


def test_at_most_four_are_named_and_the_others_counted():
    """Two conditions of one move count once."""
    rows = [reading(4 + i, Kind.ROD, f"F{i + 1}", setup="A") for i in range(4)]
    moved = (Moved(9, "", "F1 post", Axis.UP, 0.01), Moved(10, "", "B1", Axis.UP, 0.01))
    here = scene(rows, dict.fromkeys(range(4), EDGE), moved=moved)
    one, two = (len(rows) + list(here.pseudo.line).index(line) for line in (9, 10))
    for group, named, end in (
        ((0, 1, 2, one, one + 1, one + 2), (0, 1, 2), "or the move of F1 (line 9) is not as noted"),
        ((0, one, one + 1, 1, 2, 3), (0, 1, 2), "(line 9) is not as noted, or one more row"),
        ((3, 2, 1, 0, one, one + 1), (3, 2, 1, 0), "measure it again, or one more row"),
        ((0, 1, 2, 3, two, one), (0, 1, 2, 3), "measure it again, or one of 2 more rows"),
    ):
        (said,) = suspicions(here, [group])
        assert said.readings == named
        again = " (they cannot be told apart: measure all of them again)"
        assert said.words.endswith(end + again) and "reads 0" not in said.words


def test_suspicions_stand_in_the_order_of_their_lines():
    """Whatever the order of the groups."""
    rows = [reading(7, Kind.ROD, "F1", setup="A"), reading(4, Kind.ROD, "F2", setup="A")]
    found = suspicions(scene(rows, {0: EDGE, 1: EDGE}), [(0,), (1,)])
    assert [s.readings for s in found] == [(1,), (0,)]


def instead(row, *more):
    """Questions for what is easily taken for a reading."""
    network = scene([row, *more]).network
    return [words.removeprefix("was ") for words, _ in _alternatives(network, row)]


def places(row, name):
    return [w.removesuffix(f" read instead of {name}") for w in instead(row) if name in w]


def test_neighbours_of_a_post():
    """Posts on either side and across; a rod may stand on the cut end, a tape at the foot."""
    rod = reading(4, Kind.ROD, "F1", setup="A")
    assert instead(rod) == [f"{p} read instead of F1" for p in ("F2", "B1", "F1 top")]
    assert places(reading(4, Kind.ROD, "F3 top", setup="A"), "F3 top") == [
        "F2 top", "F4 top", "B3 top", "F3"]  # fmt: skip
    assert places(reading(4, Kind.ROD, "B4 base", setup="A"), "B4 base") == [
        "B3 base", "F4 base", "B4", "B4 top"]  # fmt: skip
    tape = reading(4, Kind.TAPE, "F4", "B1 base")
    assert instead(tape)[:3] == [f"{p} read instead of F4" for p in ("F3", "B4", "F4 base")]
    assert places(tape, "B1 base") == ["B2 base", "F1 base", "B1"]
    assert "F3 read instead of F2" not in instead(reading(4, Kind.TAPE, "F2", "F3"))
    string = instead(reading(4, Kind.STRING_SIDE, "F1", "F4", "F2"))
    assert "B2 read instead of F2" in string and "F1 read instead of F2" not in string


def test_neighbours_of_what_is_no_post():
    """All other places of the same sort."""
    assert places(reading(4, Kind.ROD, "pin 1", setup="A"), "pin 1") == ["pin 2"]
    assert places(reading(4, Kind.ROD, "mark kerb", setup="A"), "mark kerb") == ["mark stone"]
    assert places(reading(4, Kind.ROD, "back left", setup="A"), "back left") == [
        "front left", "front right", "back right"]  # fmt: skip


def test_the_other_direction_and_the_other_set_up():
    """A plumb reading the other way, a rod from each other set-up."""
    assert instead(reading(4, Kind.PLUMB, "F1", axis=ALONG)) == [
        "F2 read instead of F1", "B1 read instead of F1", "it read across"]  # fmt: skip
    assert instead(reading(4, Kind.PLUMB, "F1", axis=ACROSS))[-1] == "it read along"
    more = [reading(5, Kind.ROD, "F2", setup="B")]
    assert instead(reading(4, Kind.ROD, "F1", setup="A"), *more)[-1] == "it read from set-up B"
    assert not any("set-up" in w for w in instead(reading(4, Kind.TAPE, "F1", "F2"), *more))


def test_what_a_neighbour_would_have_read():
    """Rods by hand from the heights of the lasers; as the points stood when it was read."""
    rows = [reading(4, Kind.ROD, "F1 base", setup="B"), reading(5, Kind.ROD, "F2", setup="A")]
    here = scene(rows, moved=(Moved(9, "", "B1 base", ALONG, 0.5),))
    said = {o.words: o.value for o in _others(here, 0)}
    height = dict(zip(POINTS.ids, POINTS.planned[:, 2], strict=True))
    top, cut = POINTS.to_top[0], POINTS.to_cut_end[0]
    want = {"was F2 base read instead of F1 base": 2.6 - height["F2 base"],
            "was B1 base read instead of F1 base": 2.6 - height["B1 base"],
            "was F1 read instead of F1 base": 2.6 - height["F1"] - top,
            "was F1 top read instead of F1 base": 2.6 - height["F1"] - cut,
            "was it read from set-up A": 2.1 - height["F1 base"]}  # fmt: skip
    assert said == pytest.approx(want)
    # between F2 and the foot under it a level tape would have no length
    tape = scene([reading(4, Kind.LEVEL_TAPE, "F1", "F2 base")])
    assert {o.words for o in _others(tape, 0)} == {
        "was B1 read instead of F1", "was F1 base read instead of F1",
        "was F3 base read instead of F2 base", "was B2 base read instead of F2 base",
        "was F2 read instead of F2 base"}  # fmt: skip


def test_a_string_from_pin_to_pin_has_the_sides_that_its_pins_give_it():
    """Pins along the row: back and front; written left or right it would count for the other."""
    head = "kind,from,to,at,value\n"
    for value, way in (("3/8 in back", 1), ("3/8 in front", -1), ("-3/8 in", -1)):  # bare
        book = read_notebook(f"{head}string side,pin 2,pin 1,F2,{value}\n", 4)
        made, problems = made_rows(book.readings)
        assert not problems and made.readings[0].value == pytest.approx(way * 3 / 8 * INCH)
        # behind the string counts as positive, whichever way it was strung
        assert read_off(made.rows, POINTS.planned, np.zeros(0))[0][0] == pytest.approx(2.4)
    for way in ("left", "right"):
        book = read_notebook(f"{head}string,pin 1,pin 2,F2,3/8 in {way}\n", 4)
        assert not book.problems
        made, (problem,) = made_rows(book.readings)
        assert made.readings == () and problem.line == 2
        assert problem.message == (
            "sideways of the string from pin 1 to pin 2 is back or front; write for example "
            "3/8 in back"
        )


def test_pins_set_square_to_the_row_give_a_string_left_and_right():
    """The same with the pins one behind the other."""
    planned = POINTS.planned.copy()
    planned[POINTS.index("pin 2")] = planned[POINTS.index("pin 1")] + [0.5, 8.0, 0.0]
    points = replace(POINTS, planned=planned)
    for way, fits in (("left", True), ("right", True), ("back", False), ("front", False)):
        text = f"kind,from,to,at,value\nstring side,pin 1,pin 2,F2,1 in {way}\n"
        made, problems = made_rows(read_notebook(text, 4).readings, points)
        assert bool(made.readings) is fits is not bool(problems)
        if not fits:
            assert "is right or left; write for example 3/8 in right" in problems[0].message
