"""Records of calculations: links, proofs, and what they refuse."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.errors import RangeError
from plumbrail.trace import (
    PROVISIONS,
    Certainty,
    Provision,
    Record,
    Step,
    analysis,
    given,
    provision,
    recording,
    require,
)

T, M = Certainty.SECOND_HAND, Certainty.MEMORY


def make(formula: str = "a*b", units: dict[str, str] | None = None):
    """A throw-away provision; taken out of the registry again."""

    @provision("a test", "c [m]", formula, T, **(units or {"a": "m", "b": "-"}))
    def product(a, b):
        """A product."""
        return a * b

    PROVISIONS.pop(f"{product.__module__}.{product.__qualname__}")
    return product


def test_nothing_is_kept_outside_a_recording():
    product = make()
    assert product(2.0, 3.0) == 6.0
    with recording() as record:
        pass
    product(2.0, 3.0)
    assert record.steps == []


def test_steps_are_linked_and_hold():
    product = make()
    with recording() as record:
        a = given("plan", "a [m]", 2.0, Certainty.PLAN)
        b = given("table", "b [-]", [3.0, 4.0], M)
        c = product(a, b=b)

    assert [s.kind for s in record.steps] == ["given", "given", "provision"]
    assert record.steps[2].origins == {"a": 0, "b": 1}
    np.testing.assert_allclose(c, [6.0, 8.0])
    assert all(s.holds() for s in record.steps)
    assert record.loose() == []
    assert record.misfits() == []
    assert record.certainty is M


def test_a_loose_number_and_a_wrong_unit_are_found():
    product = make()
    with recording() as record:
        force = given("plan", "F [N]", 2.0, Certainty.PLAN)
        product(force, 3.0)

    assert record.loose() == ["c <- b"]
    assert record.misfits() == ["c <- a [m] given F [N]"]


def test_a_changed_copy_is_loose():
    product = make()
    with recording() as record:
        a = given("plan", "a [m]", 2.0, Certainty.PLAN)
        product(a * 1.05, given("plan", "b [-]", 1.0, Certainty.PLAN))
    assert record.loose() == ["c <- a"]


def test_recorded_values_cannot_be_edited():
    with recording():
        a = given("plan", "a [m]", [2.0], Certainty.PLAN)
        with pytest.raises(ValueError, match="read-only"):
            a[0] = 3.0


def test_a_step_whose_formula_is_not_the_code_does_not_hold():
    product = make(formula="a+b")
    with recording() as record:
        product(np.array(2.0), np.array(3.0))
    assert not record.steps[0].holds()


def test_every_argument_needs_a_unit():
    with pytest.raises(TypeError, match="units for"):
        make(units={"a": "m"})


@pytest.mark.parametrize(
    "formula", ["__import__('os')", "a.b", "[a]", "lambda: a", "a if a else b"]
)
def test_formulas_are_arithmetic_only(formula: str):
    meta = Provision("x", "s", "t", "c", "m", formula, {}, {}, {}, T)
    with pytest.raises((ValueError, NameError)):
        meta.evaluate(a=1.0, b=2.0)


def test_an_analysis_carries_its_residual():
    with recording() as record:
        a = given("plan", "a [m]", 2.0, Certainty.PLAN)
        analysis("solver", "d [m]", 1.0, Certainty.DERIVED, 3e-13, "depth", {"a": (a, "m")})
    step = record.steps[1]
    assert (step.kind, step.residual, step.origins) == ("analysis", 3e-13, {"a": 0})
    assert record.loose() == []


def test_an_empty_record_is_not_sure_of_anything():
    assert Record().certainty is M


def test_certainty_has_words_and_an_order():
    assert Certainty.PLAN < Certainty.CONFIRMED < Certainty.SECOND_HAND < Certainty.MEMORY
    assert all(c.words for c in Certainty)


@pytest.mark.parametrize("bad", [-1.0, 2.1, np.nan, [1.0, 5.0]])
def test_require_names_value_limits_and_advice(bad):
    with pytest.raises(RangeError, match=r"outside 0 to 2 \(a clause\)\. Write less"):
        require("x", 0.0, bad, 2.0, "a clause", "Write less")


def test_require_lets_the_limits_pass():
    require("x", 0.0, [0.0, 2.0], 2.0, "a clause", "Write less")


def test_given_outside_a_recording_is_a_plain_array():
    value = given("plan", "a [m]", 2, Certainty.PLAN)
    assert value.dtype == float
    assert value.flags.writeable


def test_steps_are_frozen():
    step = Step(0, "given", Provision("", "", "", "", "", "", {}, {}, {}, T), {}, {}, np.array(1.0))
    with pytest.raises(AttributeError):
        step.number = 1
