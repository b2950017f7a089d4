"""The pour gate."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans import INCH
from plumbrail.errors import Problem
from plumbrail.notebook.entries import Kind, Reading, Struck
from plumbrail.truing.families import amounts, label
from plumbrail.truing.gate import gate
from plumbrail.truing.parts import (
    Built,
    Mending,
    Move,
    Outcome,
    Positions,
    Ready,
    Survey,
    Suspicion,
    Verdict,
)  # fmt: skip
from plumbrail.truing.points import Points

Q = INCH / 4
DEG = np.pi / 180


def values(*rows):
    """Rows of id, value, limit (or a band, or None), verdict."""
    ids, value, limits, verdict = zip(*rows, strict=True)
    low = [x[0] if isinstance(x, tuple) else -np.inf if x is None else -x for x in limits]
    high = [x[1] if isinstance(x, tuple) else np.inf if x is None else x for x in limits]
    names = [label(id) for id in ids]
    angle = np.array([n.kind.startswith(("plumb", "tilt")) for n in names])
    unmeasured = [v is Verdict.UNMEASURED for v in verdict]
    return Built(
        ids, tuple(n.kind.split(".")[0] for n in names), tuple(n.place for n in names),
        tuple(n.title for n in names), angle, np.array(value), np.array(low), np.array(high),
        np.where(unmeasured, np.inf, INCH / 16), np.zeros((len(ids), 3)), verdict, 2.0,
    )  # fmt: skip


def reading(line=1):
    return Reading(line, "", Kind.ROD, "F1", "", "", 1.0, None, "laser", "1", "", "1 m")


def survey(readings=1, suspicions=(), redundancy=0.5, enlarged=1.0):
    points = Points((), *[np.zeros(0, dtype=int)] * 4, np.zeros((0, 3)), np.zeros(0), np.zeros(0))
    many = np.ones(readings)
    return Survey(
        Positions(points, np.zeros((0, 3)), np.zeros((0, 0)), np.zeros((0, 0))),
        tuple(reading(i) for i in range(1, readings + 1)), many, 0 * many, many, redundancy * many,
        0 * many, many, many > 2, tuple(suspicions), ("1",), np.zeros(1), 3, 1.0, 7.8, enlarged,
        2, 0.0, (),
    )  # fmt: skip


def mending(outcome=Outcome.NONE_NEEDED, moves=(), stuck=()):
    return Mending(outcome, tuple(moves), np.zeros(0), tuple(stuck), (), True, 0.0, 0.95,
                   "next readings")  # fmt: skip


def move(words, fixed=False):
    return Move("F3", "up", 0.01, words, fixed)


GOOD = values(("front.level.F1", 0.001, Q, Verdict.INSIDE), ("tilt.1", 32 * DEG,
              (30 * DEG, 35 * DEG), Verdict.INSIDE))  # fmt: skip


def judge(b=GOOD, s=None, m=None, problems=(), struck=(), blank=0, units="us"):
    return gate(b, s or survey(), m or mending(), problems, struck, blank, units)


def test_ready_when_everything_is_inside():
    g = judge()
    assert g.ready is Ready.READY
    assert g.reasons == (
        "all 2 values that have a tolerance are inside it, at 95 % confidence",
    )  # fmt: skip


def test_no_readings_are_never_ready():
    g = judge(s=survey(readings=0))
    assert g.ready is Ready.NOT_READY
    assert g.reasons[0] == "no readings: nothing has been measured"


def test_a_row_that_cannot_be_read_holds_the_pour():
    g = judge(problems=[Problem("value", "'4 fot' is not a length", 7)])
    assert g.ready is Ready.NOT_READY
    assert g.reasons == ("row to put right: line 7: value: '4 fot' is not a length",)


def test_an_open_suspicion_holds_the_pour():
    words = "tape F2–B2 (line 14) reads 12 in long: was a foot misread?"
    g = judge(s=survey(suspicions=[Suspicion((0,), 0.3, words)]))
    assert g.ready is Ready.NOT_READY
    assert g.reasons == (f"suspected: {words}",)


def test_many_bad_rows_are_counted():
    g = judge(problems=[Problem("value", "x", line) for line in range(1, 31)])
    assert len(g.reasons) == 9
    assert g.reasons[-1] == "22 more rows to put right"


def test_outside_values_are_grouped_with_the_worst_named():
    level = [(f"front.level.F{i}", v * INCH, Q, verdict) for i, v, verdict in (
        (1, 0.1, Verdict.INSIDE), (2, 0.3, Verdict.OUTSIDE), (3, -5 / 16, Verdict.OUTSIDE),
        (4, 0.27, Verdict.OUTSIDE))]  # fmt: skip
    plumb = ("B2.plumb.across", -0.83 * DEG, 0.5 * DEG, Verdict.OUTSIDE)
    tilt = ("tilt.3", 36.24 * DEG, (30 * DEG, 35 * DEG), Verdict.OUTSIDE)
    g = judge(values(*level, plumb, tilt))
    assert g.ready is Ready.NOT_READY
    assert g.reasons == (
        "outside: plumb of the posts across the row, 1 of 1 posts, worst at B2: 0.8° to the front "
        "(0.5° allowed)",
        "outside: tilt, 1 of 1 stations, worst at station 3: 36.2° too steep (30.0° to 35.0° "
        "allowed)",
        "outside: level of the front beam, 3 of 4 posts, worst at F3: 5/16 in low (1/4 in allowed)",
    )


def test_metric_words():
    g = judge(values(("back.straight.side.right", 0.009, 0.006, Verdict.OUTSIDE)), units="metric")
    assert g.reasons == (
        "outside: line of the back beam seen from above, 1 of 1 places, worst at right end: 9 mm "
        "to the back (6 mm allowed)",
    )


def test_a_value_just_outside_does_not_read_like_its_limit():
    g = judge(values(("plane.F2", Q + 0.02 * INCH, Q, Verdict.OUTSIDE)))
    assert "9/32 in high (1/4 in allowed)" in g.reasons[0]
    assert amounts([0.5 * DEG, 0.52 * DEG], True, "us") == ["0.50°", "0.52°"]


def test_unmeasured_and_unsure_need_more_readings():
    g = judge(values(
        ("square.1", 0.0, Q, Verdict.UNMEASURED), ("square.2", 0.0, Q, Verdict.UNMEASURED),
        ("square.3", 0.0, Q, Verdict.INSIDE),
        ("parallel.plan.2", -3 / 16 * INCH, Q, Verdict.UNSURE),
    ))  # fmt: skip
    assert g.ready is Ready.TOO_FEW
    assert g.reasons == (
        "not measured: back posts square behind their front posts, 2 of 3 stations: station 1, "
        "station 2",
        "too uncertain to say: beams parallel seen from above, 1 of 1 stations, worst at station "
        "2: 3/16 in narrow (1/4 in allowed), give or take 1/8 in",
    )


def test_many_unmeasured_places_are_counted():
    rows = [(f"plane.F{i}", 0.0, Q, Verdict.UNMEASURED if i > 1 else Verdict.INSIDE)
            for i in range(1, 41)]  # fmt: skip
    (reason,) = judge(values(*rows)).reasons
    assert reason == (
        "not measured: beams in one plane, 39 of 40 posts: F2, F3, F4, F5, F6, F7, F8, F9 "
        "and 31 more"
    )


def test_outside_weighs_more_than_too_few():
    g = judge(values(("square.1", 0.0, Q, Verdict.UNMEASURED), ("plane.F1", 1.0, Q,
              Verdict.OUTSIDE)))  # fmt: skip
    assert g.ready is Ready.NOT_READY
    assert [r.partition(":")[0] for r in g.reasons] == ["outside", "not measured"]


def test_order_of_importance():
    g = judge(
        values(("plane.F1", 1.0, Q, Verdict.OUTSIDE), ("square.1", 0, Q, Verdict.UNMEASURED),
               ("square.2", 0, Q, Verdict.UNSURE), ("height.F1", 0, None, Verdict.UNSTATED)),
        survey(0, [Suspicion((), 1.0, "tape")], enlarged=1.5),
        mending(Outcome.MOVES, [move("F3: up 5/16 in")]), [Problem("kind", "what?", 3)],
        [Struck(9, "rod F2 4 ft", "bumped")], 2,
    )  # fmt: skip
    assert [r.partition(":")[0] for r in g.reasons] == [
        "no readings", "row to put right", "suspected", "outside", "1 move is needed",
        "not measured", "too uncertain to say", "not checked, no tolerance stated",
        "the readings agree less well than their instruments say",
        "struck out, not used", "not checked",
    ]  # fmt: skip


def test_what_has_no_tolerance_is_named_and_does_not_hold_the_pour():
    b = values(("plane.F1", 0.0, Q, Verdict.INSIDE), ("height.F1", 0.3, None, Verdict.UNSTATED),
               ("height.F2", 0.3, None, Verdict.UNSTATED),
               ("square.1", 0.3, None, Verdict.UNSTATED))  # fmt: skip
    g = judge(b)
    assert g.ready is Ready.READY
    assert g.reasons[0].startswith("all 1 values")
    assert g.reasons[1:] == ("not checked, no tolerance stated: height, square",)


def test_nothing_compared_is_not_ready():
    g = judge(values(("height.F1", 0.3, None, Verdict.UNSTATED)))
    assert g.ready is Ready.TOO_FEW
    assert g.reasons[0] == "nothing was compared with a tolerance"


def test_moves_hold_the_pour():
    g = judge(m=mending(Outcome.MOVES, [move("front beam at F3: up 5/16 in"), move("F2 top: x")]))
    assert g.ready is Ready.NOT_READY
    assert g.reasons == ("2 moves are needed",)


def test_where_no_moves_can_do_it():
    b = values(("tilt.1", 0.0, (0.5, 0.6), Verdict.OUTSIDE))
    m = mending(Outcome.IMPOSSIBLE, [move("F1 up"), move("B1 post: down 2 in", True)], [0])
    g = judge(b, m=m)
    assert g.ready is Ready.NOT_READY
    assert g.reasons[1:] == (
        "no allowed move brings inside: station 1 (tilt)",
        "what was thought fixed would have to change: B1 post: down 2 in",
    )


def test_readings_too_coarse_are_too_few():
    assert judge(m=mending(Outcome.COARSE)).ready is Ready.TOO_FEW


def test_readings_that_nothing_checks_are_named():
    g = judge(s=survey(2, redundancy=0.0))
    assert g.ready is Ready.READY
    assert "2 readings are confirmed by no other (lines 1 to 2)" in g.reasons[1]


@pytest.mark.parametrize(
    ("blank", "words"),
    [(1, "1 row of the field sheet is still blank"), (5, "5 rows of the sheet are still blank")],
)
def test_blank_rows_are_named(blank, words):
    assert judge(blank=blank).reasons[-1] == f"not checked: {words}"


def test_hold_points_and_cautions_are_always_there():
    for g in (judge(), judge(s=survey(0)), judge(values(("plane.F1", 1.0, Q, Verdict.OUTSIDE)))):
        holds, cautions = " ".join(g.hold_points).lower(), " ".join(g.cautions).lower()
        for word in ("inspection", "call before you dig", "braced", "loose soil", "frozen",
                     "40 °f", "rain", "strength", "after the last brace"):  # fmt: skip
            assert word in holds
        for word in ("caustic", "gloves", "goggles", "wash", "lift", "no approval"):
            assert word in cautions


def test_eighty_posts_give_few_lines():
    rows = [(id, 0.1, Q, Verdict.OUTSIDE) for i in range(1, 41) for id in (
        f"front.level.F{i}", f"back.level.B{i}", f"front.straight.side.F{i}",
        f"F{i}.plumb.across", f"plane.B{i}", f"square.{i}")]  # fmt: skip
    g = judge(values(*rows))
    assert len(g.reasons) == 6
    assert all(len(r) < 160 for r in g.reasons)


@given(st.lists(st.sampled_from(list(Verdict)), min_size=1, max_size=12))
def test_ready_means_that_every_stated_value_is_inside(verdicts):
    rows = [(f"plane.F{i}", 0.0, None if v is Verdict.UNSTATED else Q, v)
            for i, v in enumerate(verdicts)]  # fmt: skip
    stated = set(verdicts) - {Verdict.UNSTATED}
    ready = judge(values(*rows)).ready
    assert (ready is Ready.READY) == (stated == {Verdict.INSIDE})
    assert (ready is Ready.NOT_READY) == (Verdict.OUTSIDE in stated)


@pytest.mark.parametrize(("id", "row", "kind", "place"), [
    ("front.straight.side.F2", "front", "straight.side", "F2"),
    ("back.straight.height.left", "back", "straight.height", "left end"),
    ("F2.plumb.across", "", "plumb.across", "F2"), ("tilt.3", "", "tilt", "station 3"),
    ("front.spacing.F1-F2", "front", "spacing", "F1 to F2"),
    ("spacing.across.12", "", "spacing.across", "station 12"), ("plane.B40", "", "plane", "B40"),
])  # fmt: skip
def test_ids_are_taken_apart(id, row, kind, place):
    name = label(id)
    assert (name.row, name.kind, name.place) == (row, kind, place)
    assert "{" not in name.title
