"""The steps behind insulation, continuity, torque, the thermal look, ground and the pattern."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from plumbrail.bases.iec.insulation import stepping_voltage
from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.proving import care, earth, others, shares
from plumbrail.proving.expecting import MOST
from plumbrail.proving.parts import Array, Judged, Outcome
from plumbrail.proving.record_steps import READ, confidence, largest, least_ohms, read
from plumbrail.proving.run import Proved
from plumbrail.proving.suggesting import SEEN, SURE, SUSPECT
from plumbrail.proving.weighing import field_of, separation
from plumbrail.trace import Certainty, analysis, given, recording

PRACTICE = Certainty.PRACTICE
_OFF = "{kind}, share off the expected value"


def _proof(p: Proved, j: Judged, kind: Probe) -> Proof | None:
    """The row that counts; insulation of the whole array stands for its strings."""
    return next((x for x in p.proofs if x.kind is kind and x.line == j.line), None)


def _wide(p: Proved, proof: Proof) -> Array:
    """Uncertainty of a meter on either side, a share of the reading."""
    meter = care.meter_of(p.subject.rules, proof.kind, proof.instrument)
    return shares.either_side(confidence(p), largest(meter, "u_M [-]"))


def insulation(p: Proved, j: Judged) -> None:
    """Step of the test, least resistance, and what the reading allows."""
    most = max(s.count for s in p.subject.strings)
    n = given("longest string of the plan", "n [-]", float(most), Certainty.DERIVED)
    volts = given("module.voc", "V_m [V]", p.subject.module.voc, Certainty.MAKER)
    stepping_voltage(shares.in_series(n, volts))
    least = least_ohms(p)
    proof = _proof(p, j, Probe.INSULATION)
    if proof is None:
        return
    if proof.under is not None:
        given(read(proof), "V_u [V]", proof.under, READ, "test voltage that was used")
    R = given(read(proof), "R [ohm]", proof.value or 0.0, READ, proof.text)
    if not proof.value:
        return  # nothing to divide by: no insulation at all
    U = (given(f"{read(proof)}: over the range", "U [-]", 0.0, READ) if proof.at_least
         else _wide(p, proof))  # fmt: skip
    shares.insulation_used(least, shares.least_it_is(R, U))


def continuity(p: Proved, j: Judged) -> None:
    """Largest resistance that the reading allows against the most allowed."""
    most = given(others.PRACTICE, "R_max [ohm]", others.MOST_CONTINUITY, PRACTICE,
                 "most of a path to ground; IEC 62446-1 sets none")  # fmt: skip
    proof = _proof(p, j, Probe.CONTINUITY)
    if proof is None:
        return
    R = given(read(proof), "R [ohm]", proof.value or 0.0, READ, proof.text)
    if not proof.at_least:
        shares.continuity_used(shares.most_it_is(R, _wide(p, proof)), most)


def torque(p: Proved, j: Judged) -> None:
    """Set against wanted."""
    band = given(others.PRACTICE, "A [-]", others.TORQUE_BAND, PRACTICE, "allowed off")
    proof = _proof(p, j, Probe.TORQUE)
    if proof is None:
        return
    M = given(read(proof), "M [N*m]", proof.value or 0.0, READ, proof.text)
    if j.expected is None:
        return  # what is wanted was not written
    wanted = given(j.source, "M_w [N*m]", j.expected, j.certainty or PRACTICE)
    off = shares.torque_off(M, wanted)
    U = shares.tool_share(_wide(p, proof), band)
    shares.used_at_least(off, U, band)
    shares.used_at_most(off, U, band)


def warmth(p: Proved, j: Judged) -> None:
    """Difference against the two limits of the thermal look."""
    none = given(others.PRACTICE, "dT_0 [K]", others.WARM, PRACTICE, "up to here nothing is found")
    fault = given(others.PRACTICE, "dT_f [K]", others.HOT, PRACTICE, "over this a fault")
    proof = _proof(p, j, Probe.WARMTH)
    if proof is None:
        return
    if proof.light is not None:
        given(read(proof), "G [W/m**2]", proof.light, READ, "light on the modules")
    dT = given(read(proof), "dT [K]", proof.value or 0.0, READ, proof.text)
    meter = care.meter_of(p.subject.rules, proof.kind, proof.instrument)
    U = shares.either_side_warmth(confidence(p), largest(meter, "u_T [K]"))
    shares.warmth_used(dT, none)
    shares.fault_shown(dT, U, fault)


def ground(p: Proved, j: Judged) -> None:
    """Place and resistance of a path to ground."""
    ends = {x.kind: x for x in p.proofs if x.place == j.subject}
    plus, minus = ends[Probe.PLUS_TO_GROUND], ends[Probe.MINUS_TO_GROUND]
    e = next(x for x in p.earth if x.string == j.subject)
    V_p = given(read(plus), "V_p [V]", abs(plus.value or 0.0), READ, plus.text)
    V_n = given(read(minus), "V_n [V]", abs(minus.value or 0.0), READ, minus.text)
    V = given("open voltage, measured or as on the data sheet", "V_oc [V]", e.volts,
              Certainty.DERIVED)  # fmt: skip
    earth_sum = float(V_p) + float(V_n)
    if earth_sum <= earth.DRIFT * e.volts:
        given("common practice", "drift [-]", earth.DRIFT, PRACTICE,
              "share of the open voltage that a sound string may show")  # fmt: skip
        return
    n = given("modules of the string in the plan", "n [-]",
              float(next(s.count for s in p.subject.strings if s.id == j.subject)),
              Certainty.DERIVED)  # fmt: skip
    R_m = given("usual digital voltmeter", "R_m [ohm]", earth.METER, PRACTICE)
    earth.fault_place(V_p, V_n, n)
    R_f = earth.fault_resistance(V_p, V_n, V, R_m)
    least = least_ohms(p)
    if float(R_f) > 0.0:
        shares.ground_used(least, R_f)


def pattern(p: Proved, j: Judged) -> None:
    """How far each reading is off, how likely a sound string gives them, what would be seen."""
    r = p.readings
    for x in (x for x in r.beyond if x.proof.place == j.subject):
        given(read(x.proof), "d [-]", x.ratio, Certainty.DERIVED, _OFF.format(kind=x.proof.kind))
        given("no fault of one string gives more", "d_max [-]", MOST, PRACTICE)
    if j.outcome is Outcome.UNMEASURED or not any(x.proof.place == j.subject for x in r.rows):
        return
    with recording():  # the expected values have records of their own
        field = field_of(p.subject.module, p.subject.strings, r)
        k = next(i for i, s in enumerate(field.strings) if s.id == j.subject)
        seen_by = separation(field, k)
    C = field.wide[""]
    seen: dict[str, tuple[Array, str]] = {}
    for i in field.rows[k]:
        x = r.rows[i]
        name = f"d_{len(seen) // 2 + 1}"
        seen[name] = given(read(x.proof), f"{name} [-]", x.ratio, Certainty.DERIVED,
                           _OFF.format(kind=x.proof.kind)), "-"  # fmt: skip
        wide = f"s_{name[2:]}"
        seen[wide] = (
            given(
                "all errors together",
                f"{wide} [-]",
                float(np.sqrt(C[i, i])),
                PRACTICE,
                "standard uncertainty of it; good modules differ too",
            ),
            "-",
        )
    mine = next((s for s in p.suspicions if j.subject in s.strings), None)
    top = 0.0 if mine is None else sum(c.probability for c in mine.candidates)
    if mine is not None:
        analysis("statistics of the readings", "P [-]", mine.sound, PRACTICE,
                 max(mine.sound + top - 1.0, 0.0),
                 "probability that nothing is wrong; frequencies of faults are common practice",
                 seen)  # fmt: skip
        given("common practice", "P_f [-]", SURE, PRACTICE, "under this it fails")
        given("common practice", "P_s [-]", SUSPECT, PRACTICE, "under this it is suspected")
    analysis("statistics of the readings", "m [-]", seen_by, PRACTICE, 0.0,
             "standard uncertainties by which a missing module would stand out", seen)  # fmt: skip
    given("one in twenty missed either way", "m_min [-]", SEEN, Certainty.DERIVED,
          "under this a missing module may be overlooked")  # fmt: skip


OTHERS: dict[str, Callable[[Proved, Judged], None]] = {
    "insulation": insulation, "continuity": continuity, "torque": torque, "warmth": warmth,
    "earth": ground, "pattern": pattern,
}  # fmt: skip
