"""Sentences of the pour gate that name a side, and how many more there are."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.units.test_truing_gate import DEG, GOOD, Q, judge, label, mending, move, survey, values

from plumbrail.truing.gate import Beside, _figure, _joined, _runs, gate
from plumbrail.truing.hidden import Hidden
from plumbrail.truing.parts import Outcome, Ready, Verdict


@pytest.mark.parametrize(
    ("tilt", "word"), [(36.0, "36.0° too steep"), (29.0, "29.0° too flat"), (30.2, "30.2° (")]
)
def test_a_tilt_says_its_side_only_outside_its_band(tilt, word):
    b = values(("tilt.1", tilt * DEG, (30 * DEG, 35 * DEG), Verdict.UNSURE))
    said = _figure(b, 0, label("tilt.1"), "us")
    assert said.startswith(word), said


@pytest.mark.parametrize(("count", "end"), [(8, "w7"), (9, "and 1 more"), (11, "and 3 more")])
def test_names_that_are_only_counted(count, end):
    assert _joined([f"w{k}" for k in range(count)]).endswith(end)


def test_neighbouring_lines_are_put_together():
    assert _runs([9, 3, 5, 6, 7]) == "3, 5 to 7, 9"


@pytest.mark.parametrize(
    ("redundancy", "ready", "words"),
    [
        (0.0, Ready.TOO_FEW, "nothing checks this: "),
        (0.0099, Ready.TOO_FEW, "nothing checks this: "),
        (0.01, Ready.READY, "not checked closely by other readings: "),
        (0.3, Ready.READY, "not checked closely by other readings: "),
    ],
)
def test_only_a_reading_that_nothing_checks_holds_the_pour(redundancy, ready, words):
    slip = Hidden(0, 0.01, 0, 0.01, 0)
    found = gate(GOOD, survey(redundancy=redundancy), mending(), (), (), 0, "us",
                 Beside(hidden=(slip,)))  # fmt: skip
    assert found.ready is ready
    assert any(r.startswith(words) for r in found.reasons)


def test_each_reason_by_itself_holds_the_pour():
    doubt = replace(survey(), doubts=("the move of F3 (line 4) is not as noted",))
    assert judge(s=doubt).ready is Ready.NOT_READY
    assert judge(m=mending(Outcome.COARSE)).ready is Ready.TOO_FEW
    assert judge(m=mending(Outcome.MOVES, [move("F3: up")])).ready is Ready.NOT_READY
    assert judge(m=mending(Outcome.IMPOSSIBLE)).ready is Ready.NOT_READY
    assert judge(values(("front.level.F1", 0.0, None, Verdict.UNSTATED))).ready is Ready.TOO_FEW
    for verdict, ready in ((Verdict.UNSURE, Ready.TOO_FEW), (Verdict.UNMEASURED, Ready.TOO_FEW),
                           (Verdict.OUTSIDE, Ready.NOT_READY), (Verdict.INSIDE, Ready.READY),
                           (Verdict.UNSTATED, Ready.READY)):  # fmt: skip
        one = values(
            ("front.level.F1", 0.0, Q, verdict), ("front.level.F2", 0.0, Q, Verdict.INSIDE)
        )
        assert judge(one).ready is ready


def test_the_worst_is_named_by_its_share_of_its_limits():
    # 2° from a middle with 1° on either side is worse than 5° from one with 4°
    b = values(("tilt.1", 26 * DEG, (27 * DEG, 29 * DEG), Verdict.OUTSIDE),
               ("tilt.2", 25 * DEG, (26 * DEG, 34 * DEG), Verdict.OUTSIDE))  # fmt: skip
    found = [r for r in judge(b).reasons if r.startswith("outside")]
    assert len(found) == 1 and "26.0°" in found[0], found
