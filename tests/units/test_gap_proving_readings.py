"""Readings of strings against a module of round numbers: what is judged, against what, and how."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.plan.proving import Proving
from plumbrail.proving.expecting import expected_value, fall, readings
from plumbrail.proving.judging import alike, comparisons, factor, outcomes
from plumbrail.proving.lasting import latest
from plumbrail.proving.parts import Outcome, TestedString

PASS, UNSURE, FAIL = Outcome.PASS, Outcome.UNSURE, Outcome.FAIL
MODULE: Any = SimpleNamespace(
    open=lambda G, T: 40.0 + 2.0 * np.log(G / 1000.0) + 0.0 * T, short=lambda G, T: G / 100.0,
    best_voltage=lambda G, T: 32.0 + 0.0 * G, best_current=lambda G, T: G / 110.0,
    alpha=0.0005, beta=-0.003,
)  # fmt: skip
"""40 V in full sun, 2 V less by each ln of the light; 10 A in full sun."""
PLAN = Proving()
WARM = 298.15


def string(id: str, count: int = 10) -> TestedString:
    return TestedString(id, tuple(f"{id}-{k}" for k in range(count)), "C1", 1)


def proof(kind: Probe, value: float, place: str = "S1", light: float | None = 1000.0,
          line: int = 2, time: str = "") -> Proof:  # fmt: skip
    return Proof(line, time, place, kind, value, False, None, "", light, WARM, "", "", str(value))


def read(*proofs: Proof, strings: tuple[TestedString, ...] = (string("S1"),)):
    return readings(PLAN, MODULE, strings, proofs)


@pytest.mark.parametrize(
    ("off", "uncertainty", "limit", "outcome"),
    [  # the rule of the docstring; binary fractions, so that sums are exact
        (0.25, 0.25, 0.5, PASS), (-0.25, 0.25, 0.5, PASS), (0.25, 0.3125, 0.5, UNSURE),
        (0.75, 0.25, 0.5, UNSURE), (-0.75, 0.25, 0.5, UNSURE), (0.8125, 0.25, 0.5, FAIL),
        (-0.8125, 0.25, 0.5, FAIL), (0.5, 0.0, 0.5, PASS), (0.0, 0.625, 0.5, UNSURE),
    ],
)  # fmt: skip
def test_a_verdict_needs_all_of_the_uncertainty_on_one_side(off, uncertainty, limit, outcome):
    assert outcomes(off, uncertainty, limit) == [outcome]


def test_standard_uncertainties_of_a_confidence():
    # tables of the normal distribution, every handbook: 1.960 and 2.576
    assert factor(0.95) == pytest.approx(1.959964, abs=1e-6)
    assert factor(0.99) == pytest.approx(2.575829, abs=1e-6)


def test_expected_values_of_a_string():
    for kind, value in ((Probe.OPEN, 400.0), (Probe.SHORT, 10.0), (Probe.WORKING_VOLTAGE, 320.0),
                        (Probe.WORKING_CURRENT, 1000 / 110)):  # fmt: skip
        assert expected_value(MODULE, kind, 10, 1000.0, WARM) == pytest.approx(value)
    # derived: 2 V of 40 V by each ln of the light; a tenth to either side is no difference to it
    assert fall(MODULE, 1000.0, WARM) == pytest.approx(2.0 / 40.0, rel=1e-3)


def test_common_errors_are_those_of_their_makers_and_meters():
    # an even spread between limits has a standard deviation of the limit over √3 (from memory, the
    # guide to uncertainty in measurement): 3 % of both by the plan, 5 % of light, 3 K, then the
    # usual meters of each reading, 0.5 % of voltage and 2 % of current, common practice
    found = read(proof(Probe.OPEN, 400.0), proof(Probe.SHORT, 10.0))
    limits = np.append(found.spread[[0, 1, 2, 3]], found.spread[-2:]) * 3**0.5
    assert limits == pytest.approx([0.03, 0.03, 0.05, 3.0, 0.005, 0.02])


@pytest.mark.parametrize(
    ("kind", "light", "kept"),
    [  # under 50 W/m2 nothing is judged, currents and loaded voltages not under the plan's least
        (Probe.OPEN, 50.0, True), (Probe.OPEN, 49.0, False), (Probe.OPEN, None, True),
        (Probe.SHORT, PLAN.least_light, True), (Probe.SHORT, PLAN.least_light - 1.0, False),
        (Probe.SHORT, None, False), (Probe.WORKING_VOLTAGE, None, False),
        (Probe.WORKING_VOLTAGE, PLAN.least_light - 1.0, False),
        (Probe.WORKING_CURRENT, PLAN.least_light - 1.0, False),
    ],
)  # fmt: skip
def test_too_little_light_is_not_judged(kind, light, kept):
    found = read(proof(kind, 10.0, light=light))
    assert (len(found.rows), len(found.refused)) == ((1, 0) if kept else (0, 1))
    if not kept:
        assert "test it again" in found.refused[0][1]


def test_a_reversed_string_reads_less_than_nothing():
    turned = proof(Probe.POLARITY, -1.0)
    found = read(proof(Probe.OPEN, 400.0), proof(Probe.SHORT, -10.0), turned)
    assert [r.ratio for r in found.rows] == pytest.approx([-2.0, 0.0])
    found = read(proof(Probe.OPEN, 400.0), proof(Probe.POLARITY, 1.0))
    assert [r.ratio for r in found.rows] == pytest.approx([0.0])


@pytest.mark.parametrize(("volts", "beyond"), [(1000.0, 0), (1001.0, 1)])
def test_two_and_a_half_times_the_voltage_is_no_reading_of_one_string(volts, beyond):
    assert len(read(proof(Probe.OPEN, volts)).beyond) == beyond


def test_strings_are_held_against_others_of_their_length():
    strings = (string("S1"), string("S2"), string("S3"), string("S4", 8))
    volts = [proof(Probe.OPEN, v, s.id) for v, s in zip((400, 404, 360, 320), strings, strict=True)]
    amps = [proof(Probe.SHORT, a, s.id) for a, s in zip((10, 10, 10, 9), strings, strict=True)]
    r = read(*volts, *amps, strings=strings)
    found = {c.row: c for c in comparisons(r, strings, Probe.OPEN, frozenset())}
    assert {k: c.others for k, c in found.items()} == {0: (1, 2), 1: (0, 2), 2: (0, 1)}
    # medians by hand: of 1 % and -10 %, 0 and -10 %, 0 and 1 %
    assert [found[k].middle for k in range(3)] == pytest.approx([-0.045, -0.05, 0.005])
    # a doubted one is compared with the others, never the others with it
    found = {c.row: c.others for c in comparisons(r, strings, Probe.OPEN, frozenset({"S3"}))}
    assert found == {0: (1,), 1: (0,), 2: (0, 1)}
    assert len(comparisons(r, strings, Probe.SHORT, frozenset())) == 4  # currents of any length
    assert comparisons(r, strings, Probe.OPEN, frozenset({"S1", "S2", "S3"})) == []
    bad = next(j for j in alike(PLAN, r, strings, frozenset()) if j.id == "S3.voltage-alike")
    assert bad.outcome is FAIL  # 0.9 / 1.005 is 10 % under the others, twice what is allowed


@pytest.mark.parametrize(
    ("times", "counts"),
    [  # the later by its time where both have one, else the one further down
        (("2026-05-04T10:00", "2026-05-04T09:00"), 1),
        (("2026-05-04T09:00", "2026-05-04 10:00"), 2),
        (("2026-05-04 10:00", "2026-05-04T10:00"), 2), (("2026-05-04T10:00", ""), 2),
        (("", "2026-05-04T10:00"), 2), (("", ""), 2),
    ],
)  # fmt: skip
def test_of_two_rows_one_counts(times, counts):
    rows = [proof(Probe.OPEN, 100.0 + k, line=k, time=t) for k, t in enumerate(times, 1)]
    kept, again = latest(rows)
    assert [p.line for p in kept] == [counts]
    assert [(a.earlier.line, a.counts.line) for a in again] == [(3 - counts, counts)]
    other = replace(rows[1], place="S2", line=9)
    assert len(latest([*rows, other])[0]) == 2
