"""Proving: what must hold of every array and every set of readings."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.notebook.proof_entries import Probe
from plumbrail.proving.earth import fault_place, fault_resistance
from plumbrail.proving.expecting import expected_value
from plumbrail.proving.judging import outcomes
from plumbrail.proving.parts import Outcome
from proving_trials import Errors as E
from proving_trials import Wired as W
from proving_trials import demo_subject, judged, sheet, subject_with

SURE = {Outcome.PASS, Outcome.FAIL}
lights = st.floats(60.0, 1300.0)
warmths = st.floats(250.0, 350.0)


@given(st.integers(1, 30), lights, warmths)
def test_one_module_more_never_lowers_the_expected_voltage(n, G, T):
    m = demo_subject().module
    less = expected_value(m, Probe.OPEN, n, G, T)
    assert expected_value(m, Probe.OPEN, n + 1, G, T) > less


@given(lights, lights, warmths)
def test_more_light_never_lowers_voltage_or_current(a, b, T):
    m = demo_subject().module
    low, high = sorted((a, b))
    for kind in (Probe.OPEN, Probe.SHORT, Probe.WORKING_CURRENT):
        assert expected_value(m, kind, 5, high, T) >= expected_value(m, kind, 5, low, T) - 1e-9


@given(st.floats(-0.5, 0.5), st.floats(0.0, 0.3), st.floats(0.0, 0.3), st.floats(0.01, 0.2))
def test_more_uncertainty_never_makes_a_verdict(off, U, more, limit):
    (before,), (after,) = outcomes(off, U, limit), outcomes(off, U + more, limit)
    assert after is before or after is Outcome.UNSURE
    if before is Outcome.UNSURE:
        assert after not in SURE


@given(st.integers(2, 30), st.floats(0.05, 0.95), st.floats(1e3, 1e8), st.floats(100.0, 900.0))
def test_the_ratio_method_gives_the_fault_back(n, share, R, V):
    meter = 1e7
    through = meter / (meter + R)
    plus, minus = V * (1 - share) * through, V * share * through
    one = np.asarray
    assert np.isclose(fault_place(one(plus), one(minus), one(float(n))), share * n)
    assert np.isclose(fault_resistance(one(plus), one(minus), one(V), one(meter)), R, rtol=1e-6)


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10_000))
def test_the_order_of_rows_and_strings_does_not_matter(seed):
    text = sheet([W(9), W(10), W(10)], E(np.random.default_rng(seed)))
    head, *rows = text.splitlines()
    turned = "\n".join([head, *rows[::-1]]) + "\n"
    subject = subject_with((10, 10, 10))
    one, other = judged(subject, text), judged(subject, turned)
    assert {j.id: j.outcome for j in one.judged} == {j.id: j.outcome for j in other.judged}
    assert [s.strings for s in one.suspicions] == [s.strings for s in other.suspicions]
