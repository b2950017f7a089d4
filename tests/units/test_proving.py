"""Verdicts, planted faults, sheets of tests that are wrong, and the papers."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from plumbrail.errors import PlanError, RangeError
from plumbrail.notebook.proof_blank import BlankProof, blank_proofs
from plumbrail.notebook.proof_entries import Probe
from plumbrail.notebook.proof_reader import read_proofs
from plumbrail.notebook.reader import read_notebook
from plumbrail.plan.demos import demo_notebooks, demo_tests
from plumbrail.plan.proving import Meter, Proving
from plumbrail.proving.others import insulation_test
from plumbrail.proving.parts import BuiltFrame, Outcome, Readings
from plumbrail.proving.wanted import places, wanted
from proving_trials import (
    HEAD,
    Errors,
    Wired,
    arrays,
    blamed,
    demo_subject,
    judged,
    sheet,
    subject_with,
)

LIT = "820 W/m2,45 degC,,"


def row(text: str, subject=None):
    return judged(subject or demo_subject(), HEAD + text + "\n")


def one(found, id: str):
    (hit,) = [j for j in found.judged if j.id == id]
    return hit


# Planted faults: simulated by the physics of the modules.

PLAIN = ("missing", "module reversed", "extra", "bypass", "shaded", "open", "polarity",
         "wrong string", "crossed", "sensor")  # fmt: skip


@pytest.mark.parametrize("fault", PLAIN)
def test_a_planted_fault_is_named_first(fault):
    named: Counter[str] = Counter()
    for seed in range(6):
        rng = np.random.default_rng(seed)
        a = arrays(10, 3, rng)[fault]
        text = sheet(a["strings"], Errors(rng), sensor=a.get("sensor", 0.0))
        named[blamed(judged(subject_with((10, 10, 10)), text))] += 1
    assert named[fault] >= 5, named


def test_joint_and_part_shade_look_much_alike_and_both_are_shown():
    pair, right = {"joint", "partly shaded"}, 0
    for seed in range(4):
        rng = np.random.default_rng(seed)
        for fault in sorted(pair):
            a = arrays(10, 3, rng)[fault]
            text = sheet(a["strings"], Errors(rng), working=True)
            (s,) = judged(subject_with((10, 10, 10)), text).suspicions
            assert s.strings == ("S1",)
            names = {c.fault for c in s.candidates}
            assert names <= pair
            assert bool(s.apart) == (s.candidates[0].probability < 0.95)
            right += fault in names
    assert right >= 7


def test_a_sound_array_is_hardly_ever_suspected():
    flagged = 0
    for seed in range(150):
        text = sheet([Wired(12), Wired(12)], Errors(np.random.default_rng(1000 + seed)))
        flagged += bool(judged(demo_subject(), text).suspicions)
    assert flagged <= 3


def test_two_faults_at_once():
    strings = [Wired(9), Wired(10), Wired(10), Wired(10, light=[0.7] * 10), Wired(10)]
    found = judged(subject_with((10,) * 5), sheet(strings, Errors(np.random.default_rng(5))))
    assert {s.strings: s.candidates[0].fault for s in found.suspicions} == {
        ("S1",): "missing", ("S4",): "shaded",
    }  # fmt: skip


def test_strings_of_other_lengths_exchanged():
    found = judged(subject_with((10, 8)), sheet([Wired(8), Wired(10)],
                                                Errors(np.random.default_rng(2))))  # fmt: skip
    assert blamed(found) == "swapped"


# Verdicts.


def test_voltage_is_judged_in_light_too_weak_for_a_current():
    found = row("2026-07-01,S1,voc,422 V,250 W/m2,45 degC,,\n2026-07-01,S1,isc,3.4 A,250 W/m2,"
                "45 degC,,")  # fmt: skip
    assert one(found, "S1.voltage").outcome is Outcome.PASS
    current = one(found, "S1.current")
    assert current.outcome is Outcome.UNMEASURED
    assert "400 W/m2" in current.words


def test_a_current_passes_by_its_neighbours_when_the_light_sensor_is_the_doubt():
    two = f",S1,isc,12.2 A,{LIT}\n,S2,isc,12.25 A,{LIT}\n"
    assert one(row(two), "S1.current").outcome is Outcome.PASS
    assert one(row(f",S1,isc,12.2 A,{LIT}"), "S1.current").outcome is Outcome.UNSURE


def test_readings_at_different_times_are_brought_together():
    hot = ",S1,voc,415.5 V,900 W/m2,65 degC,,\n,S2,voc,464.0 V,900 W/m2,22 degC,,\n"
    found = row(hot)
    assert [one(found, f"S{k}.voltage").outcome for k in (1, 2)] == [Outcome.PASS] * 2
    assert not found.suspicions


def test_a_long_string_alone_does_not_pass_where_a_missing_module_would_not_show():
    subject = subject_with((24,))
    volts = 24 * float(subject.module.open(np.asarray(820.0), np.asarray(320.2)))
    found = row(f",S1,voc,{volts:.1f} V,{LIT}", subject)
    assert one(found, "S1.voltage").outcome is Outcome.PASS
    assert one(found, "S1.pattern").outcome is Outcome.UNSURE


def test_a_better_meter_of_the_plan_narrows_the_verdict():
    rules = Proving(instruments={"cell 7": Meter(kind="light sensor", error="2 %")})
    wide = one(row(f",S1,isc,12.2 A,{LIT}"), "S1.current")
    fine = one(row(f",S1,isc,12.2 A,{LIT}", replace(demo_subject(), rules=rules)), "S1.current")
    assert fine.uncertainty < wide.uncertainty


@pytest.mark.parametrize(("value", "outcome"), [
    ("> 200 Mohm at 1000 V", Outcome.PASS), ("1.05 Mohm at 1000 V", Outcome.UNSURE),
    ("0.6 Mohm at 1000 V", Outcome.FAIL), ("50 Mohm at 500 V", Outcome.UNSURE),
    ("50 Mohm", Outcome.UNSURE), ("0.3 Mohm", Outcome.FAIL), ("0 Mohm at 1000 V", Outcome.FAIL),
    ("> 50 Mohm at 2500 V", Outcome.UNSURE), ("> 50 Mohm at 1100 V", Outcome.PASS),
])  # fmt: skip
def test_insulation(value, outcome):
    assert one(row(f",S1,insulation,{value},,,,"), "S1.insulation").outcome is outcome


@pytest.mark.parametrize(("value", "outcome"), [
    ("35 lbf*in of 35 lbf*in", Outcome.PASS), ("35 lbf*in large slot", Outcome.PASS),
    ("20 lbf*in large slot", Outcome.FAIL), ("35 lbf*in", Outcome.UNSURE),
])  # fmt: skip
def test_torque(value, outcome):
    assert one(row(f",T1,torque,{value},,,,"), "T1.torque").outcome is outcome


@pytest.mark.parametrize(("value", "light", "outcome"), [
    ("4 degC", "800 W/m2", Outcome.PASS), ("15 K", "800 W/m2", Outcome.UNSURE),
    ("45 degF", "800 W/m2", Outcome.FAIL), ("4 K", "300 W/m2", Outcome.UNSURE),
])  # fmt: skip
def test_thermal_look(value, light, outcome):
    assert one(row(f",S1,thermal look,{value},{light},,,"), "S1.warmth").outcome is outcome


@pytest.mark.parametrize(("value", "outcome"), [
    ("0.2 ohm", Outcome.PASS), ("0.98 ohm", Outcome.UNSURE), ("3 ohm", Outcome.FAIL),
    ("OL", Outcome.FAIL), ("open", Outcome.FAIL), ("> 40 Mohm", Outcome.FAIL),
    ("1e9 ohm", Outcome.FAIL),
])  # fmt: skip
def test_continuity(value, outcome):
    assert one(row(f",G1,ground continuity,{value},,,,"), "G1.continuity").outcome is outcome


def test_what_no_string_gives_fails_whatever_else_is_wrong():
    found = row(f",S1,voc,1999 V,{LIT}\n,S2,voc,436 V,{LIT}\n,S1,isc,100 A,{LIT}\n"
                f",S2,isc,11.6 A,{LIT}")  # fmt: skip
    for id in ("S1.voltage", "S1.current", "S1.pattern"):
        assert one(found, id).outcome is Outcome.FAIL
    assert "slip of number" in one(found, "S1.voltage").words
    assert one(found, "S2.voltage").outcome is Outcome.PASS
    assert not found.suspicions  # neither the light sensor nor the other string is blamed for it


def test_two_strings_in_one_another_are_no_slip_and_fail():
    found = row(f",S1,voc,872 V,{LIT}\n,S2,voc,0 V,{LIT}")
    assert one(found, "S1.voltage").outcome is Outcome.FAIL
    assert one(found, "S1.pattern").outcome is Outcome.FAIL


def test_a_test_made_again_counts_and_the_earlier_row_is_told():
    text = f",S1,polarity,reversed,,,,\n,S1,voc,-436 V,{LIT}\n,S1,polarity,right,,,,\n"
    found = row(f"{text},S1,voc,436 V,{LIT}")
    assert one(found, "S1.polarity").outcome is Outcome.PASS
    assert one(found, "S1.voltage").outcome is Outcome.PASS
    assert [(x.earlier.line, x.counts.line) for x in found.again] == [(2, 4), (3, 5)]
    assert "line 2 says reversed, line 4 says right; line 4 counts" in found.again[0].words


def test_of_two_rows_with_times_the_later_counts_wherever_it_stands():
    rows = "2026-07-02 11:00,P1,label,missing,,,,\n2026-07-02 9:00,P1,label,in place,,,,"
    found = row(rows)
    assert one(found, "P1.label").outcome is Outcome.FAIL
    assert found.again[0].counts.line == 2


def test_photos_and_serials_are_no_repetitions():
    rows = ",box C1,photo,1,,,,\n,box C1,photo,2,,,,\n,S1,serial,A,,,,\n,S1,serial,B,,,,"
    assert row(rows).again == ()
    assert len(row(rows).proofs) == 4


def test_a_low_operating_current_may_be_the_equipment():
    found = row(f",S1,operating current,7 A,{LIT}")
    assert "full battery" in one(found, "S1.working-current").words


def test_what_is_measured_beyond_the_list_is_judged_too():
    found = row(f",S1,voc,436 V,{LIT}\n,S1,isc,11.6 A,{LIT}\n,S1,operating current,7 A,{LIT}\n"
                f",S1,operating voltage,250 V,{LIT}")  # fmt: skip
    assert one(found, "S1.current").outcome is not Outcome.FAIL
    for word in ("working-current", "working-voltage"):
        assert one(found, f"S1.{word}").outcome is Outcome.FAIL


def test_the_insulation_of_the_whole_array_is_judged_beside_its_strings():
    good = ",S1,insulation,50 Mohm at 1000 V,,,,\n,S2,insulation,50 Mohm at 1000 V,,,,\n"
    found = row(f"{good},array,insulation,0.2 Mohm at 1000 V,,,,")
    assert one(found, "S1.insulation").outcome is Outcome.PASS
    assert one(found, "array.insulation").outcome is Outcome.FAIL
    assert any("array, insulation" in x for x in found.open)


def test_light_and_warmth_stand_with_the_verdict():
    j = one(row(f",S1,voc,436 V,{LIT}"), "S1.voltage")
    assert j.light == 820.0
    assert j.warmth == pytest.approx(318.15 + 2.5 * 0.82)


def test_an_earth_fault_is_placed_between_two_modules():
    text = ",S1,positive to ground,150 V,,,,\n,S1,negative to ground,-300 V,,,,"
    (e,) = row(text).earth
    assert e.outcome is Outcome.FAIL
    assert e.from_negative == pytest.approx(8.0)
    names = demo_subject().strings[0].modules[::-1]
    assert f"between {names[7]} and {names[8]}" in e.words


def test_insulation_is_refused_outside_low_voltage():
    with pytest.raises(RangeError, match=r"module\.voc"):
        insulation_test(subject_with((60,)))
    low = replace(demo_subject(), system_voltage=600.0)
    assert "600 V" in insulation_test(low).caution


def test_nothing_measured_is_nothing_passed():
    found = row("")
    assert found.count(Outcome.PASS) == 0
    assert found.count(Outcome.UNMEASURED) == len(found.judged)
    assert not found.complete
    assert isinstance(found.readings, Readings)


def test_a_hand_over_is_complete_only_when_all_of_it_passes():
    subject = replace(demo_subject(), built=BuiltFrame("b" * 64, "2026-05-20", ()))
    text = sheet([Wired(12), Wired(12)], Errors(np.random.default_rng(0), 0.2)).partition("\n")[2]
    good = {"continuity": "0.1 ohm", "polarity": "right", "insulation": "> 200 Mohm at 1000 V",
            "torque": "35 lbf*in of 35 lbf*in", "function": "works", "label": "in place",
            "warmth": "3 K"}  # fmt: skip
    rows = [f",{w.place},{w.kind.value},{good[w.kind.name.lower()]},800 W/m2,,," for w in
            wanted(subject) if w.kind.name.lower() in good]  # fmt: skip
    rows += [",equipment,serial,A1,,,,", ",box C1,photo,17,,,,"]
    whole = text + "\n".join(rows)
    assert row(whole, subject).open == ()
    for k in range(len(rows)):
        less = text + "\n".join(rows[:k] + rows[k + 1 :])
        assert not row(less, subject).complete
    assert not row(f"{whole}\n,S9,voc,4 V,,,,", subject).complete


# The sheet as people fill it in.


@pytest.mark.parametrize(("cells", "words"), [
    (",S9,voc,400 V,800 W/m2,45 degC,,", "S1, S2"),
    (",S1,isc,12 A,,45 degC,,", "820 W/m2"),
    (",S1,voc,400 V,800 W/m2,,,", "46 degC"),
    (",S1,voc,400,800 W/m2,45 degC,,", "452.3 V"),
    (",S1,vloc,400 V,800 W/m2,45 degC,,", "did you mean"),
    (",S1,polarity,maybe,,,,", "right or reversed"),
    (",S1,voc,400 V,8000 W/m2,45 degC,,", "1600"),
    (",S1,voc,400 V,800 W/m2,450 degC,,", "110 degC"),
    (",S1,insulation,-4 Mohm at 500 V,,,,", "below zero"),
    ("2026-13-01,S1,polarity,right,,,,", "no time"),
    (",S1,voc,4000 V,800 W/m2,45 degC,,", "2000 V"),
    (",S1,voc,400 V,-5 W/m2,45 degC,,", "no light"),
    (",S1,isc,12 V,800 W/m2,45 degC,,", "not a current"),
    (",T1,torque,100000 N*m of 100000 N*m,,,,", "no terminal"),
    (",S1,thermal look,-30 K,800 W/m2,,,", "below zero"),
    (",S1,insulation,5 Mohm at 90000 V,,,,", "no test voltage"),
    (",S1,insulation,5 Mohm at -1000 V,,,,", "no test voltage"),
])  # fmt: skip
def test_a_bad_row_is_named_by_its_line_and_the_good_one_is_used(cells, words):
    found = read_proofs(f"{HEAD},S2,polarity,right,,,,\n{cells}\n", places(demo_subject()))
    (problem,) = found.problems
    assert problem.line == 3
    assert words in problem.message
    assert len(found.proofs) == 1


def test_struck_rows_and_blanks():
    text = f"{HEAD},S1,polarity,right,,,,struck: wrong lead\n,S2,polarity,,,,,\n"
    found = read_proofs(text, places(demo_subject()))
    assert (len(found.proofs), len(found.struck), found.blank) == (0, 1, 1)


def test_the_blank_reads_back():
    rows = [BlankProof(w.kind, w.place, w.words) for w in wanted(demo_subject())]
    found = read_proofs(blank_proofs(rows), places(demo_subject()))
    assert found.problems == ()
    assert found.blank == len(rows)


def test_a_plan_is_no_sheet_of_tests():
    with pytest.raises(PlanError, match="plan first"):
        read_proofs("[job]\nname = 'x'\n", {})


def test_a_site_notebook_is_told_from_a_sheet_of_tests():
    (readings, *_) = demo_notebooks("alder-creek").values()
    (problem,) = read_proofs(readings, {}).problems
    assert "`plumbrail true` takes it" in str(problem)
    (tests,) = demo_tests("alder-creek").values()
    (problem,) = read_notebook(tests, 4).problems
    assert "`plumbrail prove` takes it" in str(problem)


def test_the_fault_of_the_demo_is_found():
    (text,) = demo_tests("alder-creek").values()
    found = judged(demo_subject(), text)
    (s,) = found.suspicions
    assert s.strings == ("S2",)
    assert s.candidates[0].fault == "missing"
    assert one(found, "S1.voltage").outcome is Outcome.PASS


def test_a_limit_under_the_makers_tolerance_is_refused():
    with pytest.raises(ValueError, match="module_voltage"):
        Proving(voltage_limit="2 %")
    assert Probe("polarity") is Probe.POLARITY
