"""Steps that several records share: readings, limits, expected values and their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.notebook.proof_entries import CURRENTS, Probe, Proof
from plumbrail.proving import care, shares
from plumbrail.proving.expecting import UNKNOWN, UNKNOWN_LIGHT, WORKING
from plumbrail.proving.judging import factor
from plumbrail.proving.parts import Array, Expected, Part
from plumbrail.proving.run import Proved
from plumbrail.trace import Certainty, given, recording

READ, PRACTICE, MEMORY = Certainty.READ, Certainty.PRACTICE, Certainty.MEMORY
KELVIN = 273.15


@dataclass(frozen=True)
class Expectation:
    """What a reading is held against, recorded."""

    value: Array
    """[V or A]"""
    off: Array
    standard: Array
    """Standard uncertainty of ``off``."""


def read(p: Proof) -> str:
    """Where a reading stands."""
    return f"tests, line {p.line}"


def celsius(kelvin: float) -> str:
    """A temperature as meters of either kind show it."""
    warm = kelvin - KELVIN
    return f"{warm:.1f} °C, {1.8 * warm + 32.0:.1f} °F"


def share(p: Proved, name: str, result: str, value: float) -> Array:
    """A share that the plan's [proving] decides, or common practice in its place."""
    sure = Certainty.PLAN if name in p.subject.rules.model_fields_set else PRACTICE
    return given(f"proving.{name}", result, value, sure)


def confidence(p: Proved) -> Array:
    """Standard uncertainties on either side."""
    wanted = p.subject.rules.confidence
    return given(f"proving.confidence, {100 * wanted:g} %", "z [-]", factor(wanted),
                 Certainty.DERIVED, "normal distribution")  # fmt: skip


def least_ohms(p: Proved) -> Array:
    """Least resistance of the insulation test, with the voltage of its step."""
    test = p.insulation
    given(f"IEC 62446-1, {test.tier}", "V_t [V]", test.test_voltage, Certainty.CONFIRMED,
          "test voltage of the step")  # fmt: skip
    return given(f"IEC 62446-1, {test.tier}", "R_min [ohm]", test.least, MEMORY,
                 "least resistance of the step")  # fmt: skip


def used(off: Array, U: Array, A: Array) -> None:
    """What is allowed against what is used: with all of the uncertainty, and without it."""
    shares.used_at_least(off, U, A)
    shares.used_at_most(off, U, A)


def largest(part: Part, result: str) -> Array:
    """Standard uncertainty from the largest error of a meter."""
    symbol, _, unit = result.partition(" ")
    e = given(part.words, f"e_{symbol.partition('_')[2]} {unit}", part.size, part.certainty,
              "largest error")  # fmt: skip
    return shares.standard_warmth(e) if part.kelvins else shares.standard(e)


def expectation(p: Proved, x: Expected, count: int) -> Expectation:
    """Expected value, what the reading is off by, and how uncertain that is."""
    proof, kind = x.proof, x.proof.kind
    amps = kind in CURRENTS
    G = _light(proof)
    T = _cells(p, proof, G)
    value = expected(p, kind, count, G, T)
    size = x.value * (1.0 + x.ratio)
    if amps:
        off = shares.current_off(given(read(proof), "I [A]", size, READ, proof.text), value)
    else:
        off = shares.voltage_off(given(read(proof), "V [V]", size, READ, proof.text), value)
    return Expectation(value, off, _standard(p, proof, G, T))


def _light(p: Proof) -> Array:
    if p.light is None:
        return given("light not written", "G [W/m**2]", UNKNOWN_LIGHT, PRACTICE,
                     "taken; 300 to 1000 W/m2 are as likely")  # fmt: skip
    return given(read(p), "G [W/m**2]", p.light, READ, "light on the modules")


def _cells(p: Proved, proof: Proof, G: Array) -> Array:
    assert proof.warmth is not None
    if p.subject.rules.temperature_at == "cell":
        return given(read(proof), "T [K]", proof.warmth, READ, f"cells, {celsius(proof.warmth)}")
    back = given(read(proof), "T_b [K]", proof.warmth, READ,
                 f"back of the module, {celsius(proof.warmth)}")  # fmt: skip
    return shares.cells_behind(back, G)


def expected(p: Proved, kind: Probe, count: int, G: Array, T: Array) -> Array:
    """Expected value of a string, recorded through the steps of its module."""
    m = p.subject.module
    if kind in CURRENTS:
        return m.short(G, T) if kind is Probe.SHORT else m.best_current(G, T)
    n = given("modules of the string in the plan", "n [-]", float(count), Certainty.DERIVED)
    return shares.in_series(n, m.open(G, T) if kind is Probe.OPEN else m.best_voltage(G, T))


def _standard(p: Proved, proof: Proof, G: Array, T: Array) -> Array:
    """Standard uncertainty of a voltage or current against its expected value."""
    rules, m, kind = p.subject.rules, p.subject.module, proof.kind
    amps = kind in CURRENTS
    nothing = given("plays no part here", "none [-]", 0.0, Certainty.DERIVED)
    if amps:
        k = given("a current follows the light", "k [-]", 1.0, Certainty.DERIVED)
        b = given("module.isc_coefficient", "b [1/K]", m.alpha, Certainty.MAKER)
        away, slope = nothing, nothing
    else:
        k, b = _fall(p, G, T), shares.change_per_kelvin(
            given("module.voc_coefficient", "beta [1/K]", m.beta, Certainty.MAKER), T
        )  # fmt: skip
        away = shares.light_away(G)
        slope = given("ideal diode to thin light", "u_k [-]", care.SLOPE, PRACTICE,
                      "of the fall by the light")  # fmt: skip
    fill = nothing if kind is not Probe.WORKING_VOLTAGE else given(
        "wires, best point of the data sheet", "u_F [-]", care.FILLING, PRACTICE
    )  # fmt: skip
    u_G = largest(care.sensor(rules, "light sensor"), "u_G [-]")
    u_T = largest(care.sensor(rules, "thermometer"), "u_T [K]")
    u_M = largest(care.meter_of(rules, kind, proof.instrument), "u_M [-]")
    return shares.combined_share(k, u_G, b, u_T, away, slope, u_M, fill,
                                 _own(proof, b, k, nothing))  # fmt: skip


def _fall(p: Proved, G: Array, T: Array) -> Array:
    """Slope of the voltage by the light, from the module a tenth above and below."""
    m = p.subject.module
    with recording():  # by the same steps as the expected value: not told again
        found = [m.open(np.array(float(G) * q), np.array(float(T))) for q in (1.1, 1 / 1.1)]
    high, low = (
        given(f"module in a tenth {word} light", name, value, Certainty.DERIVED)
        for name, word, value in zip(("V_h [V]", "V_l [V]"), ("more", "less"), found, strict=True)
    )
    return shares.fall_per_light(high, low)


def _own(p: Proof, b: Array, k: Array, nothing: Array) -> Array:
    practice = [("r [-]", care.DIGIT, "repeats of a meter"),
                ("g [K]", care.GRADIENT, "warmth of one string against another"),
                ("f [-]", care.FLICKER, "light between sensor and meter")]  # fmt: skip
    r, g, f = (given(words, name, size, PRACTICE) for name, size, words in practice)
    w = nothing if p.light is not None else given(
        "light not written", "w [-]", UNKNOWN, PRACTICE, "standard deviation of its ln"
    )  # fmt: skip
    t = nothing if p.kind not in WORKING else given(
        "working point about the best one", "t [-]", care.TRACKING, PRACTICE
    )  # fmt: skip
    return shares.own_share(r, b, g, k, f, w, t)
