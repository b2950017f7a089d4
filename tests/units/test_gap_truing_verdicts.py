"""Verdicts on values and on the readings as a whole, at their limits."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from plumbrail.truing.asbuilt import _verdicts
from plumbrail.truing.determined import determined
from plumbrail.truing.parts import Verdict
from plumbrail.truing.quality import enlargement, passes

IN, OUT, UNSURE = Verdict.INSIDE, Verdict.OUTSIDE, Verdict.UNSURE


@pytest.mark.parametrize(
    ("value", "low", "high", "margin", "verdict"),
    [  # the definition of the method page: inside or outside only with all of the uncertainty
        (6.0, -6.0, 6.0, 0.0, IN), (-6.0, -6.0, 6.0, 0.0, IN),
        (6.1, -6.0, 6.0, 0.0, OUT), (-6.1, -6.0, 6.0, 0.0, OUT),
        (5.0, -6.0, 6.0, 1.0, IN), (-5.0, -6.0, 6.0, 1.0, IN),
        (5.1, -6.0, 6.0, 1.0, UNSURE), (-5.1, -6.0, 6.0, 1.0, UNSURE),
        (7.0, -6.0, 6.0, 1.0, UNSURE), (-7.0, -6.0, 6.0, 1.0, UNSURE),
        (7.1, -6.0, 6.0, 1.0, OUT), (-7.1, -6.0, 6.0, 1.0, OUT), (0.0, -6.0, 6.0, 7.0, UNSURE),
        (0.0, -6.0, 6.0, np.inf, Verdict.UNMEASURED), (0.0, -np.inf, np.inf, 1.0, Verdict.UNSTATED),
        (0.0, -np.inf, np.inf, np.inf, Verdict.UNSTATED), (-99.0, -np.inf, 6.0, 1.0, IN),
        (99.0, -6.0, np.inf, 1.0, IN), (99.0, -np.inf, 6.0, 1.0, OUT),
    ],
)  # fmt: skip
def test_one_value_against_its_limits(value, low, high, margin, verdict):
    assert _verdicts(*(np.array([x]) for x in (value, low, high, margin))) == [verdict]


def test_readings_that_agree_less_well_than_they_should_count_for_less():
    # chi-square of 4 at 95 %: 9.488, tables of every handbook
    bad, good = SimpleNamespace(freedom=4, statistic=9.5), SimpleNamespace(freedom=4, statistic=9.4)
    assert (passes(good), enlargement(good)) == (True, 1.0)
    assert not passes(bad) and enlargement(bad) == pytest.approx(np.sqrt(9.5 / 4))
    one = SimpleNamespace(freedom=1, statistic=3.9)  # 3.841 of one
    assert not passes(one) and enlargement(one) == pytest.approx(np.sqrt(3.9))
    none = SimpleNamespace(freedom=0, statistic=0.0)
    assert (passes(none), enlargement(none)) == (True, 1.0)


def test_a_value_may_lean_on_what_is_loose_by_a_twentieth():
    loose = np.array([[0.0], [1.0]])
    assert determined(np.array([[1, 0.0499], [1, -0.0501], [0, 1], [1, 0]]), loose).tolist() == [
        True, False, False, True,
    ]  # fmt: skip
