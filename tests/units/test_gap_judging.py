"""What is written of a reading beside its verdict: its limits, its uncertainty and its words."""

from __future__ import annotations

from math import log, sqrt
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.plan.proving import Proving
from plumbrail.proving.expecting import readings
from plumbrail.proving.judging import against, alike, limit_of
from plumbrail.proving.parts import Judged, Outcome, TestedString
from plumbrail.trace import Certainty

MODULE: Any = SimpleNamespace(
    open=lambda G, T: 40.0 + 2.0 * np.log(G / 1000.0) + 0.0 * T, short=lambda G, T: G / 100.0,
    best_voltage=lambda G, T: 32.0 + 0.0 * G, best_current=lambda G, T: G / 110.0,
    alpha=0.0005, beta=-0.003,
)  # fmt: skip
"""40 V and 10 A in full sun; ten of them are 400 V."""
WARM = 298.15
Z = 1.959964
"""Standard normal, two-sided 95 %: tables of every handbook."""


def strings(*counts: int) -> tuple[TestedString, ...]:
    return tuple(
        TestedString(f"S{k}", tuple(str(i) for i in range(n)), "C1", 1)
        for k, n in enumerate(counts, 1)
    )


def proof(
    kind: Probe, value: float, place: str = "S1", light: float | None = 1000.0, line: int = 7
) -> Proof:
    return Proof(line, "", place, kind, value, False, None, "", light, WARM, "", "", str(value))


def plan(**more: Any) -> Proving:
    return Proving.model_validate({"temperature_at": "cell", "confidence": "95 %", **more})


def one(kind: Probe, value: float, light: float | None = 1000.0, **more: Any) -> Judged:
    own = plan(**more)
    (found,) = against(own, readings(own, MODULE, strings(10), [proof(kind, value, "S1", light)]))
    return found


def voltage_u() -> float:
    """Standard uncertainty of a voltage in full sun by common practice: light 5 % times the fall
    of 0.05 per ln, thermometer 3 K and gradient 0.7 K times 0.3 % per K, meter 0.5 %, repeats
    0.1 %, flicker 1 %. The largest errors are as likely anywhere up to them: over root 3."""
    meters = (0.05 * 0.05) ** 2 + (0.003 * 3.0) ** 2 + 0.005**2
    return sqrt(meters / 3 + 0.001**2 + (0.003 * 0.7) ** 2 + (0.05 * 0.01) ** 2)


def test_a_voltage_with_all_that_is_said_of_it() -> None:
    """396 V of 400 V: 1 % low; what passes is the limit less the uncertainty, either side."""
    found = one(Probe.OPEN, 396.0, voltage_limit="4 %")
    U = Z * voltage_u()
    assert (found.id, found.subject, found.line, found.unit) == ("S1.voltage", "S1", 7, "V")
    assert (found.outcome, found.group) == (Outcome.PASS, "string")
    assert (found.measured, found.expected) == (pytest.approx(396.0), pytest.approx(400.0))
    assert found.uncertainty == pytest.approx(400 * U, rel=1e-3)
    assert found.low == pytest.approx(400 * (1 - (0.04 - U)), rel=1e-5)
    assert found.high == pytest.approx(400 * (1 + (0.04 - U)), rel=1e-5)
    assert (found.source, found.certainty) == ("IEC 62446-1", Certainty.SECOND_HAND)
    assert (found.light, found.warmth) == (1000.0, WARM)
    assert found.words == (f"396 V read, 400 V expected: -1.0 %, give or take {100 * U:.1f} %, "
                           "4 % allowed")  # fmt: skip


def test_a_current_has_its_own_limit_and_source() -> None:
    found = one(Probe.SHORT, 9.9, voltage_limit="3 %", current_limit="20 %")
    assert (found.id, found.unit, found.source) == ("S1.current", "A", "common practice")
    assert found.certainty is Certainty.PRACTICE
    assert (found.measured, found.expected) == (pytest.approx(9.9), pytest.approx(10.0))
    assert "20 % allowed" in found.words
    own = plan(voltage_limit="3 %", current_limit="20 %")
    assert [limit_of(own, k) for k in (Probe.OPEN, Probe.WORKING_VOLTAGE)] == [0.03, 0.03]
    assert [limit_of(own, k) for k in (Probe.SHORT, Probe.WORKING_CURRENT)] == [0.2, 0.2]


def test_meters_too_uncertain_for_a_pass_say_so() -> None:
    """A limit of 1 % under an uncertainty of 1.3 %: nothing passes, no limits to pass by."""
    found = one(Probe.OPEN, 400.0, voltage_limit="1 %", module_voltage="0.1 %")
    assert (found.outcome, found.low, found.high) == (Outcome.UNSURE, None, None)
    assert found.words.endswith("; the meters are too uncertain for a pass by themselves")
    sure = one(Probe.OPEN, 400.0, voltage_limit="4 %")
    assert "too uncertain" not in sure.words and sure.low is not None


def test_what_is_far_beyond_is_a_slip_and_no_fault() -> None:
    """Two and a half times what is expected, and less than that."""
    assert "a slip of number or unit" in one(Probe.OPEN, 1001.0).words
    assert "a slip of number or unit" not in one(Probe.OPEN, 999.0).words
    assert one(Probe.OPEN, 1001.0).outcome is Outcome.FAIL


def test_a_working_current_held_back_by_the_equipment() -> None:
    """Said where it is low by more than the limit; not where it is high, not of other currents."""
    held = "the equipment held it back"
    low, high, fine = (one(Probe.WORKING_CURRENT, 9.0909 * x, current_limit="20 %")
                       for x in (0.7, 1.3, 0.85))  # fmt: skip
    assert [held in found.words for found in (low, high, fine)] == [True, False, False]
    assert held not in one(Probe.SHORT, 7.0, current_limit="20 %").words


def test_a_voltage_without_its_light_says_what_was_taken() -> None:
    """600 W/m2: 40 + 2 ln 0.6 V a module."""
    found = one(Probe.OPEN, 390.0, light=None)
    assert found.expected == pytest.approx(400 + 20 * log(0.6))
    assert found.words.endswith("; light not written: 300 to 1000 W/m2 taken")
    assert found.light is None


def test_nothing_read_is_nothing_judged() -> None:
    own = plan()
    assert against(own, readings(own, MODULE, strings(10), [])) == ()


def beside(*volts: float, **more: Any) -> dict[str, Judged]:
    own = plan(**more)
    got = strings(*[10] * len(volts))
    found = [
        proof(Probe.OPEN, v, s.id, line=k)
        for k, (v, s) in enumerate(zip(volts, got, strict=True), 1)
    ]
    return {j.subject: j for j in alike(own, readings(own, MODULE, got, found), got, frozenset())}


def test_strings_alike_against_the_middle_of_the_others() -> None:
    """380 V beside 400, 404 and 396 V: the middle is 400 V, 5.0 % off. Each reading's own
    uncertainty counts, and that of the middle over the root of three."""
    found = beside(380.0, 400.0, 404.0, 396.0, alike="10 %")["S1"]
    own = sqrt(0.001**2 + (0.003 * 0.7) ** 2 + (0.05 * 0.01) ** 2)
    U = Z * sqrt(own**2 + own**2 / 3)
    assert (found.id, found.outcome, found.line) == ("S1.voltage-alike", Outcome.PASS, 1)
    assert found.words == ("-5.0 % off the middle of 3 other, all at the same light and warmth, "
                           f"give or take {100 * U:.1f} %, 10 % allowed")  # fmt: skip
    assert found.certainty is Certainty.CONFIRMED
    assert beside(380.0, 400.0, 404.0, 396.0, alike="4 %")["S1"].outcome is Outcome.FAIL
    assert beside(380.0, 400.0, 404.0, 396.0, alike="5 %")["S1"].outcome is Outcome.UNSURE


def test_each_string_brings_its_own_uncertainty() -> None:
    """S1 without its light: 0.35 of ln of the light, times the fall of 0.05 (at 600 W/m2, of
    40 + 2 ln 0.6 V); the others with it count by the root of two."""
    own = plan(alike="20 %")
    got = strings(10, 10, 10)
    found = [proof(Probe.OPEN, 390.0, "S1", None), proof(Probe.OPEN, 400.0, "S2"),
             proof(Probe.OPEN, 400.0, "S3")]  # fmt: skip
    first = alike(own, readings(own, MODULE, got, found), got, frozenset())[0]
    known = sqrt(0.001**2 + (0.003 * 0.7) ** 2 + (0.05 * 0.01) ** 2)
    fall = 2 / (40 + 2 * log(0.6))
    unknown = sqrt(0.001**2 + (0.003 * 0.7) ** 2 + (fall * 0.01) ** 2 + (fall * 0.35) ** 2)
    U = Z * sqrt(unknown**2 + known**2 / 2)
    assert first.subject == "S1"
    assert f"give or take {100 * U:.1f} %" in first.words


def test_what_the_comparison_of_strings_rests_on() -> None:
    """The standard names voltages; for currents it is from memory."""
    own, got = plan(), strings(10, 10)
    both = [proof(k, v, s.id) for k, v in ((Probe.OPEN, 400.0), (Probe.SHORT, 10.0)) for s in got]
    found = alike(own, readings(own, MODULE, got, both), got, frozenset())
    assert {(j.id, j.source, j.certainty) for j in found} == {
        (f"{s}.{word}-alike", "IEC 62446-1, strings alike within 5 %", sure)
        for s in ("S1", "S2")
        for word, sure in (("voltage", Certainty.CONFIRMED), ("current", Certainty.MEMORY))
    }


def test_beside_others_that_read_nothing_a_string_is_far_off() -> None:
    """The middle of two dead ones is nothing: no share of it can be said."""
    found = beside(400.0, 0.0, 0.0)["S1"]
    assert found.outcome is Outcome.FAIL
    assert found.words.startswith("far off the middle of 2 other")
