"""Notebooks to surveys: blunders of every kind named with their line and likely slip."""

from __future__ import annotations

import sys
import time
from dataclasses import replace

import numpy as np
import pytest

from frames import (
    INCH,
    LASERS,
    alder_points,
    changed,
    crooked,
    index_of,
    long_points,
    measured,
    notebook,  # fmt: skip
    reading,
    rods,
    rows_for,
    truth_of,
)
from plumbrail.notebook.entries import Axis, Kind, Moved
from plumbrail.plan.truing import Truing
from plumbrail.truing.points import Place
from plumbrail.truing.scheme import field_readings
from plumbrail.truing.survey import survey

FOOT = 12 * INCH
POINTS = alder_points()
XYZ = crooked(POINTS)
BOOK = measured(POINTS, XYZ, noise=0.7)


def surveyed(book, units="us", points=POINTS):
    found, problems = survey(points, book, Truing(), units)
    assert not problems
    return found


def test_a_good_notebook():
    found = surveyed(BOOK)
    m = len(BOOK.readings)
    assert found.readings == BOOK.readings and found.suspicions == () and not found.suspect.any()
    for array in (found.adjusted, found.residual, found.sd, found.redundancy, found.w, found.mdb):
        assert array.shape == (m,)
    np.testing.assert_allclose(found.adjusted - found.residual, [r.value for r in BOOK.readings])
    assert found.setups == ("A", "B")
    np.testing.assert_allclose(found.setup_height, [LASERS["A"], LASERS["B"]], atol=INCH / 8)
    assert found.statistic < found.limit and found.enlarged == 1.0
    assert found.freedom > 20 and found.redundancy.sum() == pytest.approx(found.freedom, abs=1.0)
    heads = np.isin(POINTS.place, [Place.HEAD, Place.BASE])
    assert np.abs(found.positions.xyz - XYZ)[heads].max() < INCH / 2


def only(found, index):
    """The one suspicion there is, of the reading meant."""
    assert [s.readings[0] for s in found.suspicions] == [index], [s.words for s in found.suspicions]
    assert found.suspect[index] and found.suspect.sum() == 1
    return found.suspicions[0]


@pytest.mark.parametrize(
    ("key", "by", "words"),
    [((Kind.TAPE, "F2", "B2"), FOOT, "reads 12 in long: was a foot misread?"),
     ((Kind.TAPE, "F2", "F3"), -FOOT, "reads 12 in short: was a foot misread?"),
     ((Kind.DIAGONAL, "F1", "B2"), 2 * FOOT, "reads 24 in long: were 2 feet misread?"),
     ((Kind.ROD, "F3"), FOOT, "reads 12 in too much: was a foot misread?"),
     ((Kind.ROD, "B2"), -2 * INCH, "reads 2 in too little: were 2 inches misread?"),
     ((Kind.TAPE, "F2", "B2"), 0.55 * INCH, "long: measure it again"),
     ((Kind.TILT, "F2", "B2"), np.radians(3), "too steep: were 3 degrees misread?")],
)  # fmt: skip
def test_steps_misread(key, by, words):
    i = index_of(BOOK, *key)
    book = changed(BOOK, i, by - BOOK.readings[i].value + measured(POINTS, XYZ).readings[i].value)
    found = only(surveyed(book), i)
    assert words in found.words
    assert f"(line {book.readings[i].line})" in found.words
    assert found.size == pytest.approx(by, rel=0.15)


def test_centimetres_misread():
    i = index_of(BOOK, Kind.TAPE, "F2", "B2")
    assert "reads 100 mm long: were 10 cm misread?" in only(
        surveyed(changed(BOOK, i, 0.1), "metric"), i).words  # fmt: skip
    assert "was a metre misread?" in only(surveyed(changed(BOOK, i, -1.0), "metric"), i).words


def test_wrong_side():
    i = index_of(BOOK, Kind.PLUMB, "F2", axis=Axis.ACROSS)
    value = BOOK.readings[i].value
    assert abs(value) > np.radians(0.5)
    found = only(surveyed(changed(BOOK, i, -2 * value)), i)
    assert "plumb of F2 across" in found.words and "was it to the other side" in found.words, found
    i = index_of(BOOK, Kind.STRING_SIDE, "B1", "B4", at="B3")
    value = BOOK.readings[i].value
    assert abs(value) > INCH / 2
    found = only(surveyed(changed(BOOK, i, -2 * value)), i)
    assert "was it to the other side?" in found.words
    assert ("to the front" if value > 0 else "to the back") in found.words


def test_neighbour_read_instead():
    i = index_of(BOOK, Kind.DIAGONAL, "F1", "B2")
    straight = BOOK.readings[index_of(BOOK, Kind.TAPE, "F1", "B1")].value
    found = only(surveyed(changed(BOOK, i, straight - BOOK.readings[i].value)), i)
    assert "was B1 read instead of B2?" in found.words
    i = index_of(BOOK, Kind.ROD, "F3", setup="A")
    back = BOOK.readings[index_of(BOOK, Kind.ROD, "B3", setup="A")].value
    found = only(surveyed(changed(BOOK, i, back - BOOK.readings[i].value)), i)
    assert "was B3 read instead of F3" in found.words
    other = BOOK.readings[index_of(BOOK, Kind.ROD, "F3", setup="B")].value
    found = only(surveyed(changed(BOOK, i, other - BOOK.readings[i].value)), i)
    assert "was it read from set-up B" in found.words


def test_plumb_read_the_other_way():
    i = index_of(BOOK, Kind.PLUMB, "F3", axis=Axis.ALONG)
    j = index_of(BOOK, Kind.PLUMB, "F3", axis=Axis.ACROSS)
    values = [BOOK.readings[k].value for k in (i, j)]
    found = surveyed(changed(BOOK, i, values[1] - values[0]))
    assert "was it read across?" in only(found, i).words


def test_two_rows_swapped():
    i = index_of(BOOK, Kind.DIAGONAL, "F1", "B2")
    j = index_of(BOOK, Kind.TAPE, "F2", "B2")
    k = index_of(BOOK, Kind.TAPE, "F2", "F3")
    assert j != k
    a, b = BOOK.readings[i].value, BOOK.readings[j].value
    # a tape and a diagonal are different kinds; a swap is looked for within one kind
    book = changed(changed(BOOK, j, BOOK.readings[k].value - b), k, b - BOOK.readings[k].value)
    found = surveyed(book)
    words = {s.readings[0]: s.words for s in found.suspicions}
    assert set(words) == {j, k}, words
    assert abs(a - b) > INCH
    assert f"was it swapped with line {BOOK.readings[k].line}" in words[j]
    assert f"was it swapped with line {BOOK.readings[j].line}" in words[k]


def test_figures_turned_and_decimal_feet():
    i = index_of(BOOK, Kind.TAPE, "F2", "B2")
    exact = measured(POINTS, XYZ).readings[i].value
    written = f"{exact / FOOT:.2f}"
    tens, cents = written[-2], written[-1]
    assert tens != cents
    turned = f"{written[:-2]}{cents}{tens}"
    book = changed(BOOK, i, float(turned) * FOOT - BOOK.readings[i].value, text=f"{turned} ft")
    assert abs(float(turned) - float(written)) * FOOT > INCH / 2
    assert "two figures written in the wrong order?" in only(surveyed(book), i).words
    feet, tenth = divmod(exact / FOOT, 1.0)
    value = (feet + 10 * tenth / 12) * FOOT  # 8.6 ft read, 8 ft 6 in written
    found = only(surveyed(changed(BOOK, i, value - BOOK.readings[i].value)), i)
    assert "were decimal feet taken for inches?" in found.words, found.words


def test_readings_that_cannot_be_told_apart():
    points = alder_points()
    seen = rods("A pin 1", "A F1", "A F2", "B pin 1", "B F1", "B F2")
    book = notebook(truth_of(points, seen, XYZ, Truing()))
    found = surveyed(changed(book, 2, FOOT))
    assert len(found.suspicions) == 1
    (doubt,) = found.suspicions
    assert set(doubt.readings) == {2, 5}
    assert doubt.words.startswith("either ") and "cannot be told apart" in doubt.words
    assert "(line 4) reads 12 in too much" in doubt.words
    assert "(line 7) reads 12 in too little" in doubt.words


def test_a_move_that_was_noted_wrong_is_said_and_is_no_suspect():
    before = rows_for(field_readings(POINTS))
    moved = (Moved(300, "", "F3", Axis.UP, 2 * INCH),)
    after = [reading(400 + i, Kind.ROD, p, setup="C") for i, p in
             enumerate(("pin 1", "F1", "F2", "F3", "F4", "B1"))]  # fmt: skip
    more = [reading(410 + i, Kind.ROD, p, setup="D") for i, p in enumerate(("pin 1", "F2", "F3"))]
    exact = truth_of(POINTS, [*before, *after, *more], XYZ, Truing(), moved)
    wrong = (replace(moved[0], amount=INCH),)
    found = surveyed(notebook(exact, wrong))
    assert found.suspicions == ()
    assert any(n.startswith("line 300: F3 seems to have moved 1 in more than noted")
               for n in found.doubts), found.notes  # fmt: skip
    height = POINTS.index("F3")
    assert found.positions.xyz[height, 2] == pytest.approx(XYZ[height, 2], abs=INCH / 8)


def test_several_blunders_at_once_and_every_one_has_words():
    book = BOOK
    wrong = {index_of(BOOK, Kind.TAPE, "F2", "B2"): FOOT, index_of(BOOK, Kind.ROD, "B3"): -FOOT,
             index_of(BOOK, Kind.TILT, "F4", "B4"): np.radians(5)}  # fmt: skip
    for i, by in wrong.items():
        book = changed(book, i, by)
    found = surveyed(book)
    assert (
        {s.readings[0] for s in found.suspicions}
        == set(wrong)
        == set(np.flatnonzero(found.suspect))
    )
    lines = [found.readings[s.readings[0]].line for s in found.suspicions]
    assert lines == sorted(lines)


def test_coarse_readings_enlarge_everything():
    coarse = surveyed(measured(POINTS, XYZ, noise=1.5, seed=5))
    fine = surveyed(measured(POINTS, XYZ, noise=0.7, seed=5))
    assert not coarse.suspect.any()
    assert coarse.enlarged > 1.2
    np.testing.assert_allclose(np.trace(coarse.positions.cov) / np.trace(fine.positions.cov),
                               coarse.enlarged**2, rtol=0.05)  # fmt: skip
    assert coarse.statistic > coarse.limit


def test_bad_rows_are_reported_and_the_rest_is_used():
    bad = reading(900, Kind.TAPE, "F1", "F2", instrument="grandfather's tape", value=2.0)
    found, problems = survey(POINTS, replace(BOOK, readings=(*BOOK.readings, bad)), Truing())
    assert [p.line for p in problems] == [900]
    assert found.readings == BOOK.readings


def test_an_empty_notebook_is_a_plan_of_which_nothing_is_known():
    found = surveyed(notebook([]))
    assert found.readings == () and found.suspicions == ()
    np.testing.assert_allclose(found.positions.xyz, POINTS.planned, atol=1e-9)


def test_time_for_forty_posts(capsys):
    points = long_points(20)
    book = measured(points, crooked(points), noise=0.7)
    start = time.perf_counter()
    survey(points, book, Truing())
    clean = time.perf_counter() - start
    rng = np.random.default_rng(1)
    for i in rng.choice(len(book.readings), 8, replace=False):
        book = changed(book, int(i), FOOT)
    start = time.perf_counter()
    found, _ = survey(points, book, Truing())
    with capsys.disabled():
        sys.stdout.write(f"\n{len(book.readings)} readings: {clean:.2f} s clean, "
              f"{time.perf_counter() - start:.2f} s with 8 blunders, "
              f"{len(found.suspicions)} named")  # fmt: skip
    assert len(found.suspicions) >= 7
