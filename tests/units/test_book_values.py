"""Numbers of calculation pages: nothing printed that is not in the record."""

from __future__ import annotations

import re
from math import inf, isclose

import numpy as np
import pytest

from plumbrail.papers import book_values as values
from plumbrail.trace import PROVISIONS, Certainty, given, provision, recording

SUPER = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")


def read(text):
    """The number of a printed figure."""
    found = re.fullmatch(r"([−-]?[\d.]+)(?:×10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+))?", text)
    assert found, text
    mantissa = float(found[1].replace("−", "-"))
    return mantissa * 10.0 ** int(found[2].translate(SUPER)) if found[2] else mantissa


@pytest.mark.parametrize("value", [0.0, 1.0, -1.0, 1047.123456, 2.0e11, -3.25e-7, 99999.6, 0.85,
                                   123456.0, 1e-5])  # fmt: skip
def test_a_figure_reads_back_to_five_digits(value):
    assert isclose(read(values.figure(value)), value, rel_tol=6e-5, abs_tol=0.0)


def test_figures_at_the_edge():
    assert values.figure(-0.0) == "0"
    assert values.figure(inf) == "∞"
    assert values.figure(-inf) == "−∞"
    assert values.figure(2.0e11) == "2×10¹¹"
    assert values.figures(np.array([1.0, 3.0, 2.0])) == "1 … 3 (3)"
    assert values.figures(np.array([2.0, 2.0])) == "2"


def test_units_are_printed_with_raised_powers():
    assert values.unit_words("kg*m**-3") == "kg·m⁻³"
    assert values.unit_words("m**2") == "m²"
    assert values.unit_words("-") == ""
    assert values.valued(0.3, "-") == "0.3"
    assert values.both(2.54e-2, "m", "us") == "0.0254 m (1.000 in)".replace(" m", "\u00a0m", 1)
    assert "(" not in values.both(2.54e-2, "m", "metric")
    assert values.in_own_units(1e-6 * 25.4**4 * 1e-6, "m**4", "us").endswith("in⁴")


@pytest.mark.parametrize(("formula", "said"), [
    ("0.6*D + W/2", "0.6 · D + W/2"),
    ("where(theta <= theta_1, a**2, -b)", "if(θ ≤ θ_1, a^2, −b)"),
    ("minimum(a, maximum(b, pi))", "min(a, max(b, π))"),
    ("exp(-k*z)", "exp(−k · z)"),
    ("(a < b) & (c > d)", "(a < b) and (c > d)"),
])  # fmt: skip
def test_formulas_are_printed_as_people_write_them(formula, said):
    assert values.printed(formula) == said


@provision("somewhere", "x [N]", "k*a**2*b - a**2*b*theta", Certainty.DERIVED,
           constants={"k": (3.0, "-")}, a="m", b="Pa", theta="-")  # fmt: skip
def _force(a, b, theta):
    """A made force."""
    return np.asarray(3.0 * a**2 * b - a**2 * b * theta)


PROVISIONS.pop(f"{_force.__module__}.{_force.__qualname__}")  # it is none of the program's


def test_numbers_stand_in_the_formula_with_their_units_and_where_they_come_from():
    with recording() as record:
        a = given("plan", "a [m]", 0.5, Certainty.PLAN)
        _force(a, np.asarray(-1.2e6), 0.25)
    step = record.steps[-1]
    said = values.filled_in(step, {record.steps[0].number: 7}).replace("\u00a0", " ")
    assert said == ("3 · (0.5 m [7])^2 · (−1.2×10⁶ Pa) − (0.5 m [7])^2 · (−1.2×10⁶ Pa) · 0.25")
    assert values.fed(step, {}).replace(
        "\u00a0", " "
    ) == "a = 0.5 m, b = −1.2×10⁶ Pa, theta = 0.25".replace("theta", "θ")
