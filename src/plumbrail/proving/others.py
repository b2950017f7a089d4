"""Verdicts on what is no voltage or current of a string."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.bases.iec.insulation import (
    least_resistance,
    stepping_voltage,
    tier_of,
    voltage_of_test,
)
from plumbrail.bases.us.nec.torque import torque
from plumbrail.errors import PlumbrailError
from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.proving import care
from plumbrail.proving.judging import factor, outcomes
from plumbrail.proving.parts import Judged, Outcome, TestedString, Wanted
from plumbrail.proving.wanted import Subject
from plumbrail.trace import Certainty

MOST_CONTINUITY = 1.0
"""[ohm]; common practice, no published source. IEC 62446-1 sets none."""
WARM, HOT = 10.0, 20.0
"""Differences [K] up to which nothing is found, and over which something is; common practice."""
THERMAL_LIGHT = 600.0
"""Light under which a thermal look shows little [W/m2]; IEC TS 62446-3, from memory."""
TORQUE_BAND = 0.10
"""Share by which a torque may be off the one that is wanted; common practice."""
TEST_BAND, TEST_MORE = 0.05, 0.25
"""Shares by which a test voltage may be under and over the one of its step; common practice."""
PRACTICE = "common practice"


@dataclass(frozen=True)
class Insulation:
    """The insulation test of strings up to one voltage."""

    tier: str
    stepping: float
    """1.25 times the open-circuit voltage at the standard conditions [V]."""
    test_voltage: float
    least: float
    """[ohm]"""
    caution: str
    """Why the test voltage may not be used as it stands; empty when it may."""


def insulation_test(s: Subject) -> Insulation:
    """Test voltage and limit for the longest string; RangeError outside low voltage."""
    most = max(x.count for x in s.strings) * s.module.voc
    step = float(stepping_voltage(np.asarray(most)))
    tier = tier_of(step)
    volts = float(voltage_of_test(tier))
    caution = ""
    if s.system_voltage is not None and volts > s.system_voltage:
        caution = (f"the test voltage of {volts:.0f} V is more than the {s.system_voltage:.0f} V "
                   "that the modules stand: ask their maker")  # fmt: skip
    return Insulation(tier, step, volts, float(least_resistance(tier)), caution)


def judged(s: Subject, w: Wanted, p: Proof | None, test: Insulation) -> Judged:
    """The verdict on one wanted test that is no reading of light."""
    title, id = w.kind.value, f"{w.place}.{w.kind.name.lower()}"
    if p is None:
        return Judged(id, w.place, title, Outcome.UNMEASURED, w.words, group=w.group)
    match w.kind:
        case Probe.POLARITY:
            good = p.value == 1.0
            words = (
                "plus and minus are right"
                if good
                else "reversed: keep it away from the others and the equipment"
            )
            return _made(w, p, good, words, "IEC 62446-1")
        case Probe.LABEL | Probe.FUNCTION:
            return _made(w, p, p.value == 1.0, f"{w.words}: {p.text}", PRACTICE)
        case Probe.CONTINUITY:
            return _limit(s, w, p, MOST_CONTINUITY, PRACTICE)
        case Probe.INSULATION:
            return _insulation(s, w, p, test)
        case Probe.TORQUE:
            return _torque(s, w, p)
    return _thermal(s, w, p)


def _made(w: Wanted, p: Proof, good: bool, words: str, source: str) -> Judged:
    outcome = Outcome.PASS if good else Outcome.FAIL
    return Judged(
        f"{w.place}.{w.kind.name.lower()}",
        w.place,
        w.kind.value,
        outcome,
        words,
        line=p.line,
        source=source,
        certainty=Certainty.PRACTICE,
        group=w.group,
    )


def _error(s: Subject, p: Proof) -> float:
    """Uncertainty of the meter as a share, at the confidence of the plan."""
    return factor(s.rules.confidence) * care.meter_of(s.rules, p.kind, p.instrument).standard


def _limit(s: Subject, w: Wanted, p: Proof, most: float, source: str) -> Judged:
    value = p.value or 0.0
    U = value * _error(s, p)
    (outcome,) = outcomes(value, U, most)
    words = f"{w.words}: {value:.2g} ohm, give or take {U:.1g}, at most {most:g} ohm"
    if p.at_least:  # over the range of the meter
        outcome = Outcome.FAIL if value >= most else Outcome.UNSURE
        words = f"{w.words}: {p.text}, no path was found; at most {most:g} ohm"
    return Judged(f"{w.place}.continuity", w.place, w.kind.value, outcome, words, value, None, None,
                  most, U, "ohm", p.line, source, Certainty.PRACTICE, w.group)  # fmt: skip


def _insulation(s: Subject, w: Wanted, p: Proof, test: Insulation) -> Judged:
    value = p.value or 0.0
    U = 0.0 if p.at_least else value * _error(s, p)
    said = f"{'over ' if p.at_least else ''}{value / 1e6:.3g} Mohm"
    least = f"at least {test.least / 1e6:g} Mohm at {test.test_voltage:.0f} V"
    if value + U < test.least and not p.at_least:
        outcome = Outcome.FAIL
    elif p.under is None:
        outcome, least = Outcome.UNSURE, f"{least}; the test voltage was not written"
    elif p.under < (1 - TEST_BAND) * test.test_voltage:
        outcome, least = Outcome.UNSURE, f"{least}; {p.under:.0f} V is too little to test with"
    elif p.under > (1 + TEST_MORE) * test.test_voltage:
        outcome = Outcome.UNSURE
        least = f"{least}; {p.under:.0f} V is too much and may have hurt: ask the modules' maker"
    else:
        outcome = Outcome.PASS if value - U >= test.least else Outcome.UNSURE
    return Judged(f"{w.place}.insulation", w.place, w.kind.value, outcome, f"{said}, {least}",
                  value, None, test.least, None, U, "ohm", p.line,
                  "IEC 62446-1", Certainty.MEMORY, w.group)  # fmt: skip


def _torque(s: Subject, w: Wanted, p: Proof) -> Judged:
    value, id = p.value or 0.0, f"{w.place}.torque"
    aim, source, sure = p.under, "marked on the part", Certainty.MAKER
    if aim is None and p.screw and s.code != "IEC":
        size = next(x.size for x in s.screws if x.id == w.place)
        try:
            aim, source = float(torque(size, p.screw)), "NFPA 70 Annex I"
            sure = Certainty.SECOND_HAND
        except PlumbrailError:
            aim = None
    if aim is None:
        words = f"{w.words}: {p.text} set; what the part is marked with was not written"
        return Judged(id, w.place, "torque", Outcome.UNSURE, words, value, unit="N*m", line=p.line,
                      group=w.group)  # fmt: skip
    U = _error(s, p)
    # The tool clicks at what it is set to: its own error is part of every torque, so a setting
    # within the band of the tool passes.
    (outcome,) = outcomes(value / aim - 1.0, min(U, 0.5 * TORQUE_BAND), TORQUE_BAND)
    words = f"{w.words}: {_both(value)}, {_both(aim)} wanted ({source})"
    return Judged(
        id,
        w.place,
        "torque",
        outcome,
        words,
        value,
        aim,
        aim * (1 - TORQUE_BAND),
        aim * (1 + TORQUE_BAND),
        aim * U,
        "N*m",
        p.line,
        source,
        sure,
        w.group,
    )


def _both(torque: float) -> str:
    """In both units: tools are marked in either."""
    return f"{torque:.2f} N·m ({torque / 0.1129848290276167:.0f} lbf·in)"


def _thermal(s: Subject, w: Wanted, p: Proof) -> Judged:
    value = p.value or 0.0
    U = factor(s.rules.confidence) * care.meter_of(s.rules, p.kind, p.instrument).standard
    words = f"{value:.0f} K hotter, give or take {U:.0f} K"
    if p.light is None or p.light < THERMAL_LIGHT:
        lit = "not written" if p.light is None else f"{p.light:.0f} W/m2"
        outcome = Outcome.FAIL if value - U > HOT else Outcome.UNSURE
        words += f"; light {lit}: a fault shows less under {THERMAL_LIGHT:.0f} W/m2"
    else:
        outcome = (Outcome.FAIL if value - U > HOT else
                   Outcome.PASS if value <= WARM else Outcome.UNSURE)  # fmt: skip
    words += f"; up to {WARM:.0f} K nothing is found, over {HOT:.0f} K a fault"
    return Judged(f"{w.place}.warmth", w.place, w.kind.value, outcome, words, value, None, None,
                  WARM, U, "K", p.line, PRACTICE, Certainty.PRACTICE, w.group, p.light)  # fmt: skip


def counts_of(strings: tuple[TestedString, ...]) -> str:
    """``2 strings of 12 modules``, ``1 of 10 and 2 of 8``."""
    sizes = sorted({x.count for x in strings}, reverse=True)
    parts = [f"{sum(x.count == n for x in strings)} of {n} modules" for n in sizes]
    return " and ".join(parts)
