"""Slips that would not show and room for moves, at their limits and by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from plumbrail.notebook.entries import Kind, Reading
from plumbrail.truing import margins
from plumbrail.truing.hidden import hidden, second_readings
from plumbrail.truing.parts import Built, Positions, Survey, Verdict
from plumbrail.truing.points import Points

IN, OUT, UNSURE = Verdict.INSIDE, Verdict.OUTSIDE, Verdict.UNSURE
MM = 1e-3


def built(*rows: tuple[float, float, float, float, Verdict], slope: float = 1.0) -> Built:
    """Values, low, high, sd and verdict; each hangs on the height of the one point."""
    value, low, high, sd, verdict = zip(*rows, strict=True)
    n = len(rows)
    ids = tuple(f"front.level.F{k}" for k in range(1, n + 1))
    return Built(
        ids, ("level",) * n, ids, ids, np.zeros(n, dtype=bool), np.array(value), np.array(low),
        np.array(high), np.array(sd), np.tile([0.0, 0.0, slope], (n, 1)), verdict, 2.0,
    )  # fmt: skip


def survey(mdb: list[float], gain: list[float], kind: Kind = Kind.ROD) -> Survey:
    """Readings that move the one point up by so much of their error; 0.5, 0.4, … redundant."""
    points = Points((), *[np.zeros(0, dtype=int)] * 4, np.zeros((0, 3)), np.zeros(0), np.zeros(0))
    many = np.ones(len(mdb))
    readings = tuple(
        Reading(k, "", kind, f"F{k}", "", "", 1.0, None, "laser", "1", "", "1 m")
        for k in range(1, len(mdb) + 1)
    )
    influence = np.vstack([0 * many, 0 * many, np.array(gain)])
    return Survey(
        Positions(points, np.zeros((0, 3)), np.zeros((0, 0)), np.zeros((0, 0))), readings, many,
        0 * many, many, 0.5 - 0.1 * np.arange(len(mdb)), 0 * many, np.array(mdb), many > 2, (),
        ("1",), np.zeros(1), 3, 1.0, 7.8, 1.0, 2, 0.0, (), (), influence,
    )  # fmt: skip


def test_a_slip_that_stays_unseen_and_brings_a_value_outside():
    # 1 mm of 5 mm: 4 mm of room upward; half of a slip is felt
    b = built((1 * MM, -5 * MM, 5 * MM, 0.1 * MM, IN))
    assert hidden(survey([7.9 * MM], [0.5]), b) == ()
    (one,) = hidden(survey([10 * MM], [-0.5]), b)
    assert (one.reading, one.value, one.others) == (0, 0, 0)
    assert (one.slip, one.shift) == (pytest.approx(10 * MM), pytest.approx(5 * MM))


def test_where_nothing_would_show_a_foot_or_five_degrees_are_thought_of():
    b = built((0.0, -5 * MM, 5 * MM, 0.1 * MM, IN))
    (one,) = hidden(survey([np.inf], [0.5]), b)
    assert np.isinf(one.slip) and one.shift == pytest.approx(0.5 * 0.3048)
    (one,) = hidden(survey([np.inf], [0.5], Kind.PLUMB), b)
    assert one.shift == pytest.approx(0.5 * 5 * np.pi / 180)


def test_values_that_do_not_read_inside_hide_nothing_and_suspects_are_known():
    s = survey([10 * MM], [1.0])
    row = (1 * MM, -5 * MM, 5 * MM, 0.1 * MM)
    assert hidden(s, built((*row, UNSURE))) == () and hidden(s, built((*row, OUT))) == ()
    assert hidden(replace(s, suspect=np.array([True])), built((*row, IN))) == ()
    assert len(hidden(s, built((*row, IN)))) == 1


def test_the_least_checked_comes_first_and_the_worst_value_is_named():
    b = built((0.0, -5 * MM, 5 * MM, 0.1 * MM, IN), (4 * MM, -5 * MM, 5 * MM, 0.1 * MM, IN))
    found = hidden(survey([10 * MM, 10 * MM, 1 * MM], [1.0, 1.0, 0.5]), b)
    assert [(h.reading, h.value, h.others) for h in found] == [(1, 1, 1), (0, 1, 1)]


def test_the_value_named_is_the_one_farthest_outside_in_its_own_limits():
    # a slip of 13 mm: 11 mm beyond ± 2 mm is worse than 12 mm beyond ± 10 mm
    b = built((9 * MM, -10 * MM, 10 * MM, 0.1 * MM, IN), (0.0, -2 * MM, 2 * MM, 0.1 * MM, IN))
    (one,) = hidden(survey([13 * MM], [1.0]), b)
    assert (one.value, one.others) == (1, 1)


def test_only_what_nothing_checks_is_read_again_with_a_tie_to_the_old_set_up():
    b = built((0.0, -5 * MM, 5 * MM, 0.1 * MM, IN))
    s = replace(survey([10 * MM, 10 * MM], [1.0, 1.0]), redundancy=np.array([0.009, 0.01]))
    again = second_readings(s, hidden(s, b))
    assert [(w.start, w.setup) for w in again] == [("F1", "12"), ("F2", "12")]
    s = replace(s, redundancy=np.array([0.01, 0.01]))
    assert second_readings(s, hidden(s, b)) == ()


def test_room_and_what_is_too_coarse():
    b = built((4.0, -5, 5, 2.5, UNSURE), (4.0, -5, 5, 2.51, UNSURE), (-6.0, -5, 5, 0.1, OUT),
              (0.0, -5, 5, np.inf, Verdict.UNMEASURED))  # fmt: skip
    assert margins.room(b).tolist() == [1.0, 1.0, -1.0, 5.0]
    assert margins.judged(b).tolist() == [True, True, True, False]
    # two standard deviations on either side are 10 of the 10 that the limits are apart, or more
    assert margins.too_coarse(b).tolist() == [False, True, False, False]


def test_what_calls_for_a_move():
    # half of 2 · 1.0 is the room that four times the readings could not settle
    b = built((4.1, -5, 5, 1.0, UNSURE), (4.0, -5, 5, 1.0, UNSURE), (5.1, -5, 5, 1.0, UNSURE),
              (4.1, -5, 5, 1.0, IN), (-8.0, -5, 5, 1.0, OUT))  # fmt: skip
    assert margins.wanting(b).tolist() == [True, False, True, False, True]
    often = np.array([False, True, False, True, False])
    assert margins.wanting(b, often).tolist() == [True, True, True, False, True]


def test_room_that_moves_are_asked_to_leave():
    up, free = np.array([[0, 0, 1.0]]), SimpleNamespace(place=("F1",), axis=("up",))
    free.effect, step, use = up, 1.2 * MM, np.array([True])
    s_m = np.sqrt((0.8 * MM) ** 2 + (1.2 * MM) ** 2 / 12)  # 1/32 in is 0.8 mm; rounding to a step
    b = built((9.0 * MM, -6 * MM, 6 * MM, 1 * MM, OUT), (0.5 * MM, -4 * MM, 4 * MM, 1 * MM, IN))
    again, now, really = (2 * np.hypot(np.sqrt(k) * MM, s_m) for k in (2, 0, 1))
    want = [(2 * MM + again, again), (again, 2 * MM), (really, 2 * MM), (now / 4, 0.0), (0.0, 0.0)]
    found = margins.rungs(b, free, use, step)  # type: ignore[arg-type]
    for rung, (planned, kept) in zip(found, want, strict=True):
        # what reads inside is asked for no more room than the 3.5 mm that it has
        assert rung.planned == pytest.approx([planned, min(planned, 3.5 * MM)])
        assert rung.kept == pytest.approx([kept, min(kept, 3.5 * MM)])
