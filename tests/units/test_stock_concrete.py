"""Concrete: worked by hand in cubic feet."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.errors import GeometryError, RangeError
from plumbrail.stock.concrete import concrete, make_piers
from plumbrail.stock.mixes import BagSize, bag_sizes
from plumbrail.trace import Certainty, recording

FOOT, INCH = 0.3048, 0.0254
DEMO = {
    "diameter": 16 * INCH, "depth": 5 * FOOT, "above_grade": 0.0, "outside": 2.875 * INCH,
    "bore": 0.0, "embedded": 4.5 * FOOT, "over_break": 0.10, "holding": 12 * INCH,
}  # fmt: skip


def test_two_pours_by_hand():
    # hole pi/4 (16/12)^2 = 1.39626 ft2; pipe pi/4 (2.875/12)^2 = 0.045082 ft2
    # holding: 1.39626 * 1 * 1.1 - 0.045082 * (1 - 0.5) = 1.51335 ft3
    # rest:    1.39626 * 4 * 1.1 - 0.045082 * 4         = 5.96323 ft3
    found = concrete(make_piers(("F1", "B1"), **DEMO))
    assert found.volume[:, 0] / FOOT**3 == pytest.approx([1.51335, 5.96323], abs=2e-5)
    eighty = found.bags[0]
    assert eighty.per_pier[:, 1].tolist() == [3, 10]
    assert eighty.total == 26
    assert eighty.per_stage.tolist() == [6, 20]
    # 3.0267 ft3 = 0.112 yd3 and 11.926 ft3 = 0.442 yd3
    assert found.ready_mix.tolist() == [0.25, 0.5]
    assert found.ready_mix_once == 0.75
    assert found.mass.sum() / 0.45359237 == pytest.approx(2 * 7.47658 * 150, rel=1e-5)


def test_a_pipe_that_fills_displaces_only_its_wall():
    solid = concrete(make_piers(("F1",), **DEMO))
    filled = concrete(make_piers(("F1",), **(DEMO | {"bore": 2.469 * INCH})))
    inside = np.pi / 4 * (2.469 * INCH) ** 2 * 4.5 * FOOT
    assert filled.total - solid.total == pytest.approx(inside)


def test_a_collar_is_formed_and_has_no_over_break():
    plain = concrete(make_piers(("F1",), **DEMO))
    collar = concrete(make_piers(("F1",), **(DEMO | {"above_grade": 0.1, "embedded": 4.5 * FOOT})))
    # the pipe, embedded as deep, stands 0.1 m higher: 0.1 m less of it in the holding pour
    assert collar.total - plain.total == pytest.approx(np.pi / 4 * (16 * INCH) ** 2 * 0.1)
    assert collar.displaced[0, 0] < plain.displaced[0, 0]


def test_no_holding_pour():
    found = concrete(make_piers(("F1",), **(DEMO | {"holding": 0.0})))
    assert found.volume[0, 0] == 0
    assert found.bags[0].per_pier[0, 0] == 0
    assert found.ready_mix[0] == 0


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"diameter": 0.0}, "piers.F1.diameter"),
        ({"outside": 17 * INCH}, "less than the hole"),
        ({"bore": 3 * INCH}, "piers.F1.bore"),
        ({"embedded": 6 * FOOT}, "depth and collar"),
        ({"over_break": 10.0}, "10 %"),
        ({"over_break": float("nan")}, "over_break"),
        ({"holding": 6 * FOOT}, "deep"),
    ],
)
def test_what_cannot_be_built_is_refused(change, words):
    with pytest.raises(GeometryError, match=words):
        make_piers(("F1",), **(DEMO | change))


def test_bags_of_ones_own_choice():
    sack = BagSize("25 kg", 25.0, 0.0125, Certainty.PLAN)
    found = concrete(make_piers(("F1",), **DEMO), (sack,))
    assert [b.size.name for b in found.bags] == ["25 kg"]
    with pytest.raises(RangeError, match="read it on the bag"):
        concrete(make_piers(("F1",), **DEMO), (BagSize("?", 25.0, 0.0, Certainty.PLAN),))


def test_each_size_says_how_sure_it_is():
    sure = {s.name: s.certainty for s in bag_sizes()}
    assert sure["80 lb"] is Certainty.SECOND_HAND
    assert sure["50 lb"] is Certainty.MEMORY
    with recording() as record:
        bag_sizes()
    assert len(record.steps) == 4
    assert record.certainty is Certainty.MEMORY
