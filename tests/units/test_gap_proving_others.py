"""Limits of earth faults, insulation, torque, thermal looks and continuity, from both sides."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.notebook.proof_reader import read_proofs
from plumbrail.proving.earth import DRIFT, METER, earth_faults
from plumbrail.proving.others import Insulation, insulation_test, judged
from plumbrail.proving.parts import EarthFault, Judged, Outcome, TestedString
from plumbrail.proving.wanted import Wanted, places, wanted
from proving_trials import HEAD, demo_subject, subject_with

TEN = TestedString("S1", tuple(f"M{k}" for k in range(1, 11)), "C1", 1)
"""M1 at the positive end, M10 at the negative one."""
VOLTS = 400.0


def proofs(*rows: str) -> list[Proof]:
    return list(read_proofs(HEAD + "\n".join(rows) + "\n", places(demo_subject())).proofs)


def fault(plus: float, minus: float, least: float = 1e6) -> EarthFault:
    found = proofs(f",S1,positive to ground,{plus} V,,,,", f",S1,negative to ground,{minus} V,,,,")
    (one,) = earth_faults([TEN], found, {"S1": VOLTS}, least)
    return one


def test_the_meter_that_is_thought_of():
    # common practice, no published source: the usual digital voltmeter has 10 Mohm
    assert METER == 10e6 and DRIFT == 0.02


@pytest.mark.parametrize(
    ("plus", "minus", "least", "ohms", "outcome"),
    [  # derived: R = 10 Mohm (400 V / (V_p + V_n) - 1); it has to be 1.5 times the limit to pass
        (30, -10, 60e6, 90e6, Outcome.PASS),
        (30, -10, 61e6, 90e6, Outcome.UNSURE),
        (30, -10, 90e6, 90e6, Outcome.UNSURE),
        (30, -10, 91e6, 90e6, Outcome.FAIL),
        (100, -300, 1e6, 0.0, Outcome.FAIL),
        (200, -230, 1e6, 0.0, Outcome.FAIL),  # over the open voltage, but within a tenth of it
        (200, -241, 1e6, 0.0, Outcome.UNSURE),  # more than a tenth over it: not still yet
        (5, -3, 1e6, np.inf, Outcome.PASS),  # a fiftieth of 400 V together is stray charge
        (5, -3.2, 1e12, 10e6 * (400 / 8.2 - 1), Outcome.FAIL),  # above it is a path
    ],
)
def test_a_path_to_ground_against_its_limit(plus, minus, least, ohms, outcome):
    found = fault(plus, minus, least)
    assert found.outcome is outcome
    assert found.resistance == pytest.approx(ohms, rel=1e-9)


@pytest.mark.parametrize(
    ("plus", "minus", "x", "words"),
    [  # derived: x = 10 V_n / (V_p + V_n), counted from the negative end, where M10 sits
        (98, -2, 0.2, "at its negative home run"),
        (1, -99, 9.9, "at its positive home run"),
        (69, -31, 3.1, "between M8 and M7"),
        (75, -25, 2.5, "inside M8"),
        (72, -28, 2.8, "between M8 and M7"),
        (96, -4, 0.4, "inside M10"),
        (4, -96, 9.6, "inside M1"),
    ],
)
def test_where_the_path_is(plus, minus, x, words):
    found = fault(plus, minus)
    assert found.from_negative == pytest.approx(x)
    assert words in found.words


def test_one_end_alone_says_nothing():
    only = proofs(",S1,positive to ground,100 V,,,,")
    assert earth_faults([TEN], only, {"S1": VOLTS}, 1e6) == ()
    both = [*only, *proofs(",S1,negative to ground,-100 V,,,,")]
    assert earth_faults([TEN], both, {}, 1e6) == ()


def verdict(kind: Probe, place: str, text: str) -> Judged:
    subject = demo_subject()
    said = read_proofs(f"{HEAD},{place},{text}\n", places(subject)).proofs
    want = next(w for w in wanted(subject) if (w.kind, w.place) == (kind, place))
    return judged(subject, want, said[0], of_demo())


def of_demo() -> Insulation:
    return insulation_test(demo_subject())


@pytest.mark.parametrize(
    ("volts", "outcome"),
    [  # common practice: 5 % under and 25 % over the 1000 V of the step
        (949, Outcome.UNSURE), (950, Outcome.PASS), (1250, Outcome.PASS), (1251, Outcome.UNSURE),
    ],
)  # fmt: skip
def test_the_band_of_the_test_voltage(volts, outcome):
    assert of_demo().test_voltage == 1000.0
    assert (
        verdict(Probe.INSULATION, "S1", f"insulation,50 Mohm at {volts} V,,,,").outcome is outcome
    )


def test_the_test_voltage_is_cautioned_only_above_what_modules_stand():
    for stand, said in ((999.0, True), (1000.0, False), (1500.0, False)):
        assert bool(insulation_test(replace(demo_subject(), system_voltage=stand)).caution) is said
    longest = insulation_test(subject_with((4, 12)))
    assert longest.stepping == pytest.approx(1.25 * 12 * demo_subject().module.voc)


@pytest.mark.parametrize(
    ("text", "outcome"),
    [  # common practice: up to 10 K nothing, over 20 K and the camera's error a fault; 600 W/m2
        ("10 K,600 W/m2", Outcome.PASS), ("10 K,599 W/m2", Outcome.UNSURE),
        ("11 K,800 W/m2", Outcome.UNSURE), ("21 K,800 W/m2", Outcome.UNSURE),
        ("30 K,800 W/m2", Outcome.FAIL), ("30 K,300 W/m2", Outcome.FAIL),
        ("30 K,", Outcome.FAIL), ("4 K,", Outcome.UNSURE), ("21 K,300 W/m2", Outcome.UNSURE),
    ],
)  # fmt: skip
def test_a_thermal_look_at_its_limits(text, outcome):
    assert verdict(Probe.WARMTH, "S1", f"thermal look,{text},,,").outcome is outcome


@pytest.mark.parametrize(
    ("value", "outcome"),
    [("> 0.5 ohm", Outcome.UNSURE), ("> 1 ohm", Outcome.FAIL), ("1.02 ohm", Outcome.UNSURE)],
)  # a meter that shows more than it can read finds no path: never a pass
def test_continuity_over_the_range_never_passes(value, outcome):
    found = verdict(Probe.CONTINUITY, "G1", f"ground continuity,{value},,,,")
    assert found.outcome is outcome


@pytest.mark.parametrize(
    ("set_to", "outcome"),
    [  # common practice: a tenth off is the limit, and the tool's own error counts up to half of it
        (10.0, Outcome.PASS), (10.4, Outcome.PASS), (9.6, Outcome.PASS), (10.99, Outcome.UNSURE),
        (11.7, Outcome.FAIL), (8.3, Outcome.FAIL),
    ],
)  # fmt: skip
def test_a_torque_off_its_mark(set_to, outcome):
    found = verdict(Probe.TORQUE, "T1", f"torque,{set_to} N*m of 10 N*m,,,,")
    assert found.outcome is outcome
    assert (found.low, found.high) == (pytest.approx(9.0), pytest.approx(11.0))


def test_a_want_without_a_row_is_not_measured():
    want: Wanted = wanted(demo_subject())[0]
    assert judged(demo_subject(), want, None, of_demo()).outcome is Outcome.UNMEASURED
