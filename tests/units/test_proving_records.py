"""Records behind verdicts: they stand, they hold, and others reckon the same."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.jobs.proving import explain_proof
from plumbrail.notebook.proof_entries import Probe
from plumbrail.plan.demos import demo_tests
from plumbrail.proving.expecting import expected_value
from plumbrail.proving.judging import WORD
from plumbrail.proving.records import has_steps, record_of
from plumbrail.trace import recording
from proving_sheets import jobs
from proving_trials import HEAD, demo_subject, demo_wires, judged, subject_with

KELVIN = 273.15


def values(record):
    return {s.provision.symbol: float(s.value) for s in record.steps}


@pytest.fixture(scope="module")
def every():
    return list(jobs())


def test_every_verdict_with_a_number_opens_its_record(every):
    opened = 0
    for made in every:
        for j in (*made.proved.judged, *made.proved.beside):
            record = record_of(made.proved, j)
            assert (record is not None) == has_steps(j), j.id
            if record is not None:
                opened += 1
                assert record.misfits() == [], j.id
                assert record.loose() == [], j.id
                assert all(s.provision.source for s in record.steps)
    assert opened > 400


def test_the_steps_give_the_numbers_of_the_verdict():
    (text,) = demo_tests("alder-creek").values()
    found = judged(demo_subject(), text)
    for j in (x for x in found.judged if x.id.endswith((".voltage", ".current"))):
        got = values(record_of(found, j))
        expected = got["V_e" if j.unit == "V" else "I_e"]
        assert expected == pytest.approx(j.expected, rel=1e-12)
        assert got["U"] * expected == pytest.approx(j.uncertainty, rel=1e-12)
        assert got[f"{j.unit.replace('A', 'I')}_low"] == pytest.approx(j.low, rel=1e-12)
        assert got[f"{j.unit.replace('A', 'I')}_high"] == pytest.approx(j.high, rel=1e-12)
        assert (got["most"] <= 1.0) == (j.outcome.value == "pass")


def test_a_failure_is_one_in_its_steps():
    found = judged(demo_subject(), f"{HEAD},S1,voc,390 V,820 W/m2,45 degC,,\n")
    j = next(x for x in found.judged if x.id == "S1.voltage")
    assert j.outcome.value == "fail"
    assert values(record_of(found, j))["least"] > 1.0


def test_what_was_not_measured_is_explained_as_on_the_sheet(every):
    blank = every[0]
    got = values(explain_proof(blank, "s1.voltage").record)
    assert (got["G"], got["T"]) == (800.0, 318.15)
    assert values(explain_proof(blank, "S1.insulation").record)["R_min"] == 1e6
    with pytest.raises(Exception, match="without arithmetic"):
        explain_proof(blank, "S1.polarity")
    with pytest.raises(Exception, match=r"Near it are: .*S1\.voltage"):
        explain_proof(blank, "S1.voltag")


def test_insulation_torque_and_continuity_have_their_limits():
    rows = (",S1,insulation,20 Mohm at 1000 V,,,,\n,T1,torque,32 lbf*in of 35 lbf*in,,,,\n"
            ",G1,ground continuity,0.5 ohm,,,,\n,S1,thermal look,4 K,800 W/m2,,,\n")  # fmt: skip
    found = judged(demo_subject(), HEAD + rows)
    by = {j.id: values(record_of(found, j)) for j in found.judged if has_steps(j)}
    ohms = 20e6 * (1 - 1.959964 * 0.10 / 3**0.5)
    assert by["S1.insulation"]["V_s"] == pytest.approx(1.25 * 12 * 38.9)
    assert by["S1.insulation"]["used"] == pytest.approx(1e6 / ohms, rel=1e-6)
    assert by["T1.torque"]["d"] == pytest.approx(32 / 35 - 1)
    assert by["G1.continuity"]["used"] == pytest.approx(0.5 * (1 + 1.959964 * 0.05 / 3**0.5))
    assert by["S1.warmth"]["used"] == pytest.approx(0.4)


# Reckoned by others.


@pytest.mark.parametrize(("light", "celsius"), [(818.0, 46.0), (400.0, 10.0), (1000.0, 65.0)])
def test_voltage_and_current_as_a_reference_library_has_them(light, celsius):
    """pvlib's De Soto parameters and Lambert-W solution (BSD), on the same five parameters."""
    pvsystem = pytest.importorskip("pvlib.pvsystem")
    from plumbrail.energy.module import fitted

    module = demo_wires().plan.module
    d = fitted(module).diode
    args = pvsystem.calcparams_desoto(
        light, celsius, d.coefficient, d.ideality, d.light, d.saturation,
        d.shunt, d.series,
    )  # fmt: skip
    theirs = pvsystem.singlediode(*args)
    m = demo_subject().module
    volts = expected_value(m, Probe.OPEN, 12, light, celsius + KELVIN)
    best = expected_value(m, Probe.WORKING_VOLTAGE, 12, light, celsius + KELVIN)
    amps = expected_value(m, Probe.WORKING_CURRENT, 12, light, celsius + KELVIN)
    assert volts == pytest.approx(12 * float(theirs["v_oc"]), rel=2e-4)
    assert best == pytest.approx(12 * float(theirs["v_mp"]), rel=2e-3)
    assert amps == pytest.approx(float(theirs["i_mp"]), rel=2e-3)


@pytest.mark.parametrize(("light", "celsius", "within"), [
    (1000.0, 25.0, 1e-9), (818.0, 46.0, 2e-3), (800.0, 65.0, 2e-3), (1000.0, -10.0, 2e-3),
    (400.0, 10.0, 5e-3),
])  # fmt: skip
def test_voltage_and_current_by_hand_from_the_data_sheet(light, celsius, within):
    """IEC 60891's form of the short-circuit current (from memory); the open voltage by the sheet's
    coefficient and one diode of ideality 1.1 for the light, 54 cells in series."""
    thermal = 1.1 * 1.380649e-23 * (celsius + KELVIN) / 1.602176634e-19
    one = 38.9 * (1 - 0.0025 * (celsius - 25.0)) + 54 * thermal * np.log(light / 1000.0)
    current = 14.0 * light / 1000.0 * (1 + 0.00045 * (celsius - 25.0))
    m = demo_subject().module
    assert expected_value(m, Probe.OPEN, 12, light, celsius + KELVIN) == pytest.approx(
        12 * one, rel=within
    )
    assert expected_value(m, Probe.SHORT, 12, light, celsius + KELVIN) == pytest.approx(
        current, rel=1e-12
    )


def test_a_record_does_not_change_the_expected_value():
    m = demo_subject().module
    for kind in WORD:
        plain = expected_value(m, kind, 5, 700.0, 310.0)
        with recording() as record:
            assert expected_value(m, kind, 5, 700.0, 310.0) == plain
        assert all(s.residual is None or s.residual < 1e-6 for s in record.steps)


def test_strings_of_other_lengths_have_their_own_records():
    rows = ",S1,voc,360 V,820 W/m2,45 degC,,\n,S2,voc,290 V,820 W/m2,45 degC,,\n"
    found = judged(subject_with((10, 8)), HEAD + rows)
    counts = [values(record_of(found, next(j for j in found.judged if j.id == f"S{k}.voltage")))
              ["n"] for k in (1, 2)]  # fmt: skip
    assert counts == [10.0, 8.0]
