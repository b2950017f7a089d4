"""Values that only a noted move tells: by name and line of what has to be read again."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from frames import alder_points, notebook, reading, truth_of
from plumbrail.notebook.entries import Axis, Kind, Moved
from plumbrail.plan.truing import Truing
from plumbrail.truing.gather import gather
from plumbrail.truing.parts import Verdict
from plumbrail.truing.stale import moved_since

POINTS = alder_points()
NO, IN, OUT = Verdict.UNMEASURED, Verdict.INSIDE, Verdict.OUTSIDE


def lifted(line, point, amount=0.01):
    return Moved(line, "", point, Axis.UP, amount)


def told(values, moved, rods=((2, "pin 1"), (3, "F1"), (4, "F2"), (5, "F3"))):
    """What ``moved_since`` says of values ``({point: share of its height}, verdict)``."""
    rows = [reading(line, Kind.ROD, p, setup="A") for line, p in rods]
    exact = truth_of(POINTS, rows, POINTS.planned, Truing(), tuple(moved))
    network, problems = gather(POINTS, notebook(exact).readings, tuple(moved), Truing())
    assert not problems
    slope = np.zeros((len(values), 3 * len(POINTS.ids)))
    for row, (shares, _) in zip(slope, values, strict=True):
        for id, share in shares.items():
            row[3 * POINTS.index(id) + 2] = share
    verdict = tuple(v for _, v in values)
    built = SimpleNamespace(ids=verdict, slope=slope,
                            has=lambda v: np.array([w is v for w in verdict]))  # fmt: skip
    return moved_since(network, built)


def test_only_what_is_not_measured_and_hangs_on_a_move_is_named():
    """F3 was read, lifted and not read again; B1 was never read, F2 stands where it was read."""
    values = [({"F1": 1.0}, IN), ({"F3": 1.0}, NO), ({"B1": 1.0}, NO), ({"F3": 1.0}, OUT),
              ({"F2": 1.0, "F3": -1.0}, NO), ({"F3": 1.0, "B1": 1.0}, NO)]  # fmt: skip
    f3 = ("F3 (line 40)",)
    assert told(values, [lifted(40, "F3")]) == ((), f3, (), (), f3, ())


def test_without_moves_or_without_gaps_nothing_is_named():
    """One empty answer for each value."""
    assert told([({"B1": 1.0}, NO), ({"F1": 1.0}, IN)], []) == ((), ())
    assert told([({"F1": 1.0}, IN)], [lifted(40, "F3")]) == ((),)
    assert told([], [lifted(40, "F3")]) == ()


def test_every_point_by_its_last_move():
    """In the order of the notebook; two moves of one point count once, with the later line."""
    moves = [lifted(40, "F3"), lifted(41, "F2"), lifted(50, "F3")]
    both = [({"F2": 1.0, "F3": -1.0}, NO)]
    assert told(both, moves) == (("F2 (line 41)", "F3 (line 50)"),)
    assert told([({"F2": 1.0}, NO)], moves) == (("F2 (line 41)",),)


def test_what_was_read_between_two_moves_hangs_on_the_later_one():
    """F3 lifted, read from the same laser, F2 lifted: only F2 is open since."""
    rods = ((2, "pin 1"), (4, "F2"), (5, "F3"), (45, "F3"))
    moves = [lifted(40, "F3"), lifted(50, "F2")]
    values = [({"F3": 1.0, "F2": -1.0}, NO), ({"F3": 1.0}, NO)]
    assert told(values, moves, rods) == (("F2 (line 50)",), ())


def test_a_point_that_hardly_counts_is_not_named():
    """Under a twentieth of the most telling one, either sign."""
    moves = [lifted(40, "F3"), lifted(41, "F2"), lifted(42, "F1")]
    for share, count in ((0.049, 1), (0.051, 2), (-0.051, 2), (-0.049, 1)):
        for times in (1.0, -1.0, 0.01, 100.0):
            (names,) = told([({"F3": times, "F2": share * times}, NO)], moves)
            assert len(names) == count


def test_readings_after_the_move_settle_it():
    """Read from the old laser, or from a new one over a point that stands: nothing hangs on it."""
    rods = ((2, "pin 1"), (5, "F3"), (60, "F3"))
    assert told([({"F3": 1.0}, NO)], [lifted(40, "F3")], rods) == ((),)
