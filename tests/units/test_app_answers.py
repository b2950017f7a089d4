"""What the strip, the list of checks, the steps and the names of cut pieces say."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

import numpy as np
import pytest
from tests.app_client import demo, desk, edit
from tests.plans import plan_with

from plumbrail.app import compare, proofs, reported, strip
from plumbrail.app.steps import printed, said
from plumbrail.app.sticks import Names
from plumbrail.app.strip import Known
from plumbrail.app.worked import PartDone
from plumbrail.app.works_checks import lines, works_checks
from plumbrail.check import Check, Status
from plumbrail.plan.models import Plan
from plumbrail.proving.run import NO_FRAME
from plumbrail.stock.records import Cut, Stick
from plumbrail.trace import Certainty, given, provision, recording
from plumbrail.units import from_si

GOOD = Check("F1.bending", "post F1", "bending", Status.PASS, 0.86)


def known(*checks: Check, waiting: tuple[str, ...] = (), **more: Any) -> Known:
    return Known(cast(Any, None), cast(Any, None), checks, more.get("later", {}), True, None, None,
                 None, False, frozenset(waiting), more.get("not_covered", ()))  # fmt: skip


def figure(which: str, k: Known) -> Any:
    made = {"checks": strip._checks, "governs": strip._governs, "unchecked": strip._unchecked}
    return made[which](k)


# ------------------------------------------------------------------ what governs


def test_a_strength_governs_by_its_share() -> None:
    found = figure("governs", known(GOOD))
    assert (found.value, found.detail, found.mark) == ("86 % used", "post F1: bending", "pass")


def test_a_broken_rule_says_what_is_wrong() -> None:
    note = "1' 2\" are missing; at post F1. More is said in the list"
    rule = Check("F1.easement", "pier F1", "easement kept free", Status.FAIL, 1.31, note=note,
                 rule=True)  # fmt: skip
    found = figure("governs", known(GOOD, rule))
    assert "%" not in found.value and found.value == "a rule fails"
    assert found.detail == "pier F1: easement kept free: 1' 2\" are missing"
    assert (found.mark, found.opens) == ("fail", "check:F1.easement")


def test_a_failure_without_a_ratio_says_its_reason() -> None:
    bare = Check("x", "the array", "keep-out area", Status.FAIL, note="F2 stands in it. Move it.")
    found = figure("governs", known(GOOD, bare))
    assert found.detail == "the array: keep-out area: F2 stands in it"
    assert "%" not in found.value


def test_a_rule_that_is_met_never_governs() -> None:
    met = Check("t", "the trench", "cover", Status.PASS, 1.0, rule=True)
    assert figure("governs", known(met, GOOD)).opens == "check:F1.bending"


@pytest.mark.parametrize(("ratio", "words"), [
    (1.0004, "101 % used"), (0.9996, "100 % used"), (5.291, "529 % used"),
    (12.0, "over 10 times what it bears"), (float("inf"), "over 10 times what it bears"),
])  # fmt: skip
def test_a_share_is_never_rounded_to_a_pass(ratio: float, words: str) -> None:
    status = Status.FAIL if ratio > 1 else Status.PASS
    assert figure("governs", known(replace(GOOD, ratio=ratio, status=status))).value == words


def test_nothing_rated_says_what_is_missing() -> None:
    open_ = Check("a", "rails", "bending", Status.NOT_CHECKED, note="give frame.rail.fy; see docs")
    found = figure("governs", known(open_))
    assert (found.value, found.mark) == ("nothing rated", "not checked")
    assert found.detail == "rails: bending: give frame.rail.fy"


# ------------------------------------------------------------------ parts behind


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_with({}).model_copy(update={"works": None})


def test_a_part_that_is_not_there_is_not_checked(plan: Plan) -> None:
    with_works = plan.model_copy(update={"works": object()})
    found = reported.checks(with_works, {"wire": None})
    assert [c.id for c in found] == ["part.wire", "part.trench", "part.works"]
    assert {c.status for c in found} == {Status.NOT_CHECKED}
    assert {c.note for c in found} == {reported.COMING}
    k = known(GOOD, *found, waiting=("wire", "trench", "works"))
    shown = figure("checks", k)
    assert (shown.value, shown.mark) == ("1 pass, 3 not checked", "not checked")
    assert shown.detail == "wiring, trench, works still to come" and shown.pending
    assert figure("unchecked", k).value == "3"


def test_a_part_that_cannot_be_had_says_why(plan: Plan) -> None:
    later = {"wire": PartDone({"checks": []}), "trench": PartDone({"missing": "no [trench]"})}
    found = reported.checks(plan, later)
    assert [(c.id, c.note) for c in found] == [("part.trench", "no [trench]")]
    shown = figure("checks", known(GOOD, *found, later=later))
    assert shown.mark == "not checked" and shown.detail == "trench: no [trench]"


def test_works_count_only_where_they_are_planned(plan: Plan) -> None:
    assert plan.works is None
    assert "works" not in reported.asked(plan)
    assert "[works]" in reported.not_asked(plan)[0]


def test_a_broken_trench_is_broken_in_strip_and_list(plan: Plan) -> None:
    check = {"id": "trench.cover", "subject": "the trench", "title": "cover", "status": "fail",
             "ratio": 1.2, "demand": None, "capacity": None, "unit": "-", "combination": "",
             "clause": "Table 300.5(A)", "note": "3\" are missing", "family": "trench",
             "remedy": "dig deeper"}  # fmt: skip
    dug = PartDone({"checks": [check]}, None, frozenset(["trench.cover"]))
    later = {"wire": PartDone({"checks": []}), "trench": dug}
    found = reported.checks(plan, later)
    k = known(GOOD, *found, later=later)
    assert (figure("checks", k).value, figure("checks", k).mark) == ("1 fails", "fail")
    assert figure("governs", k).detail == 'the trench: cover: 3" are missing'
    [item] = reported.items(plan, later)
    assert (item.status, item.family, item.remedy) == ("fail", "trench", "dig deeper")


def test_all_pass_only_when_everything_is_there(plan: Plan) -> None:
    later = {"wire": PartDone({"checks": []}), "trench": PartDone({"checks": []})}
    k = known(GOOD, *reported.checks(plan, later), later=later)
    assert (figure("checks", k).value, figure("checks", k).mark) == ("all 1 pass", "pass")


# ------------------------------------------------------------------ checks of the works


def report(charges: list[float | None], modules: list[int], **more: Any) -> dict[str, Any]:
    days = [{"day": f"2026-05-{11 + n}", "charge": c, "modules": m, "live": ["S1"], "dead": []}
            for n, (c, m) in enumerate(zip(charges, modules, strict=True))]  # fmt: skip
    tasks = [{"words": "dig", "critical": True, "start_day": "2026-05-11",
              "end_day": "2026-05-12", "why": "8 holes"},
             {"words": "cut", "critical": False, "start_day": "2026-05-11",
              "end_day": "2026-05-11", "why": ""}]  # fmt: skip
    return {"proven": True, "end": "2026-06-05", "bound": "2026-06-01", "unchecked": [],
            "changeover": {"days": days}, "tasks": tasks} | more  # fmt: skip


@pytest.fixture(scope="module")
def moving() -> Any:
    from types import SimpleNamespace as Made

    reserve = Made(least=8 * 3.6e6)
    return Made(old_array=Made(reserve=reserve, least_modules=6))


def by_id(found: list[Check]) -> dict[str, Check]:
    return {c.id: c for c in found}


def test_works_that_keep_their_limits_pass_and_never_govern(moving: Any) -> None:
    found = by_id(works_checks(report([20e3, 10e3], [12, 6]), moving))
    assert {c.status for c in found.values()} == {Status.PASS}
    assert all(c.rule for c in found.values())
    assert found["works.battery"].ratio == pytest.approx(0.8)
    assert "10.0 kWh are left before sunrise on Tue, May 12" in found["works.battery"].note
    assert len(lines(report([20e3, 10e3], [12, 6]), found["works.battery"])) == 2
    assert [s["what"] for s in lines(report([], []), found["works.days"])] == ["dig"]


@pytest.mark.parametrize(("charge", "ratio"), [(5e3, 1.6), (-1.0, None)])
def test_a_battery_below_its_reserve_is_broken(moving: Any, charge: float, ratio: Any) -> None:
    found = by_id(works_checks(report([20e3, charge], [12, 12]), moving))["works.battery"]
    assert found.status is Status.FAIL and "the reserve is 8.0 kWh" in found.note
    assert found.ratio == (None if ratio is None else pytest.approx(ratio))


def test_too_few_modules_are_broken(moving: Any) -> None:
    found = by_id(works_checks(report([20e3, 20e3], [12, 4]), moving))["works.modules"]
    assert found.status is Status.FAIL and found.note.endswith("4; the plan asks for 6")


def test_what_is_unknown_or_not_counted_is_not_checked(moving: Any) -> None:
    said_ = ["Days lost to weather: none counted.", "Something else"]
    found = by_id(works_checks(report([20e3, None], [12, 12], unchecked=said_, proven=False),
                               moving))  # fmt: skip
    open_ = [i for i, c in found.items() if c.status is Status.NOT_CHECKED]
    assert open_ == ["works.days", "works.battery", "works.days-lost-to-weather",
                     "works.not-counted-2"]  # fmt: skip
    assert "cannot end before Mon, Jun 1, 2026" in found["works.days"].note


# ------------------------------------------------------------------ names of cut pieces


def stick(*pieces: tuple[str, float], length: float = 6.4, own: bool = False) -> Stick:
    cuts = tuple(Cut(label, 1, 1, 0.0, size) for label, size in pieces)
    return Stick(length, 10.0, own, cuts, 0.01, 0.003, 0.1, len(cuts))


def names(*sticks: Stick) -> list[list[str]]:
    made = Names()
    return [made.of("NPS 4 STD", s) for s in sticks]


def test_a_piece_keeps_its_name_wherever_its_stick_comes() -> None:
    one, two = stick(("post F1", 2.0), ("post F2", 2.1)), stick(("post F3", 4.0))
    assert names(one, two) == list(reversed(names(two, one)))
    assert names(one)[0][0].startswith("NPS 4 STD post F1 #")
    swapped = names(stick(("post F2", 2.1), ("post F1", 2.0)))[0]
    assert sorted(swapped) == sorted(names(one)[0])


@pytest.mark.parametrize("other", [
    stick(("post F1", 2.001), ("post F2", 2.1)), stick(("post F1", 2.0)),
    stick(("post F1", 2.0), ("post F2", 2.1), length=7.3),
    stick(("post F1", 2.0), ("post F2", 2.1), own=True),
    stick(("post F1", 2.0), ("post F3", 2.1)),
])  # fmt: skip
def test_another_stick_has_other_names(other: Stick) -> None:
    one = stick(("post F1", 2.0), ("post F2", 2.1))
    assert not set(names(one)[0]) & set(names(other)[0])


def test_names_are_told_apart_and_fit_the_store() -> None:
    same = stick(("rail", 2.0), ("rail", 2.0))
    found = [n for row in names(same, same) for n in row]
    assert len(set(found)) == 4
    long = Names().of("S" * 200, same)
    assert all(len(n) <= 100 for n in long) and len(set(long)) == 2


# ------------------------------------------------------------------ tests of the finished array


def proved(*outcomes: tuple[str, str], **more: Any) -> dict[str, Any]:
    """A report with a row for each (subject, outcome)."""
    rows = [{"id": f"{s}.x", "subject": s, "title": "open-circuit voltage", "outcome": o}
            for s, o in outcomes]  # fmt: skip
    count = [o for _, o in outcomes].count
    return {"strings": [{"id": f"S{i}"} for i in (1, 2, 3, 4)], "judged": rows, "open": [],
            "passed": count("pass"), "failed": count("fail"), "problems": [], "suspicions": [],
            "uncertain": count("too uncertain to say"), "not_measured": count("not measured"),
            "complete": False, **more}  # fmt: skip


def headline(report: dict[str, Any]) -> Any:
    return proofs.figure(PartDone(report))


def test_a_string_that_fails_is_the_headline_of_the_tests() -> None:
    found = headline(proved(("S2", "fail"), ("S2", "fail"), ("P3", "fail"), ("S1", "pass"),
                            ("T1", "not measured")))  # fmt: skip
    assert (found.value, found.mark) == ("1 of 4 strings fails", "fail")
    assert found.detail == "S2: open-circuit voltage; 1 other test fails; 1 not tested"
    why = {"strings": ["S2"], "candidates": [{"words": "one module is missing from S2"}]}
    found = headline(proved(("S2", "fail"), ("S4", "fail"), suspicions=[why]))
    assert found.value == "2 of 4 strings fail"
    assert found.detail == "one module is missing from S2; S4: open-circuit voltage"


@pytest.mark.parametrize(("report", "value", "mark"), [
    (proved(("P3", "fail"), ("S1", "pass")), "1 test fails", "fail"),
    (proved(("S1", "pass"), ("T1", "not measured")), "1 pass, 1 not tested", "not checked"),
    (proved(("S1", "too uncertain to say")), "1 too uncertain to say", "not checked"),
    (proved(("S1", "pass"), problems=[{"line": 4, "message": "x"}] * 2), "1 row cannot be used",
     "not checked"),
    (proved(("S1", "pass"), open=["not recorded: photos"]), "all 1 pass", "not checked"),
    (proved(("S1", "pass"), complete=True), "all 1 pass", "pass"),
])  # fmt: skip
def test_only_a_complete_hand_over_passes(report: dict[str, Any], value: str, mark: str) -> None:
    assert (headline(report).value, headline(report).mark) == (value, mark)


def test_while_they_are_judged_again_tests_never_pass_and_never_stop_failing() -> None:
    good, bad = proved(("S1", "pass"), complete=True), proved(("S1", "fail"))
    first = proofs.figure(None)
    assert (first.mark, first.value, first.pending) == ("not checked", "", True)
    again = [proofs.figure(None, PartDone(r)) for r in (good, bad)]
    assert [(f.mark, f.pending) for f in again] == [("not checked", True), ("fail", True)]
    assert again[1].detail == "being judged again; S1: open-circuit voltage"
    why = PartDone({"missing": "the plan has no wiring"})
    stuck = [proofs.figure(why, PartDone(r)) for r in (good, bad)]
    assert [(f.mark, f.pending) for f in stuck] == [("not checked", False), ("fail", False)]
    assert stuck[0].detail == "the plan has no wiring"
    assert stuck[1].detail.startswith("the plan has no wiring; S1")
    assert proofs.figure(PartDone(good), PartDone(bad)).mark == "pass"


def test_readings_that_cannot_be_used_hold_the_hand_over() -> None:
    report = proved(("S1", "pass"), complete=True, open=[])
    found = proofs.in_the_app(report, "no row can be used")
    assert not found["complete"] and "no row can be used" in found["open"][0]
    open_ = ["fail: 2 values of the frame are out of tolerance; see plumbrail true", NO_FRAME]
    found = proofs.in_the_app({**report, "open": open_})
    assert found["open"] == [open_[0].replace("plumbrail true", "the page True up"),
                             proofs.NO_READINGS]  # fmt: skip
    assert "--" not in "".join(found["open"])


# ------------------------------------------------------------------ two revisions side by side


def test_checks_of_a_part_are_compared_once_both_revisions_have_them(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    def dug(ratio: float) -> PartDone:
        check = {"id": "trench.cover", "subject": "the trench", "title": "cover", "ratio": ratio,
                 "status": "fail" if ratio > 1 else "pass", "demand": None, "capacity": None,
                 "unit": "-", "combination": "", "clause": "", "note": "", "family": "trench",
                 "remedy": ""}  # fmt: skip
        return PartDone({"checks": [check]}, None, frozenset(["trench.cover"]))

    with desk(tmp_path_factory.mktemp("compare")) as (client, works):
        job = demo(client)
        edit(client, job, {"path": "array.tilt", "value": "31 deg"})
        a, b = (works.office.at(job["job"], r) for r in (1, 2))
        works.bench.keep(a.sha256, "trench", dug(0.9))
        found = compare.compare(works.office, a, b)
        assert [w.split(" are")[0] for w in found.left_out] == [
            "Checks of the wiring", "Checks of the trench", "Checks of the works",
        ]  # fmt: skip
        assert "of revision 2 they" in found.left_out[1]
        assert "of revisions 1 and 2 they" in found.left_out[0]
        assert not any("trench" in m.what for m in found.checks)
        works.bench.keep(b.sha256, "trench", dug(1.2))
        found = compare.compare(works.office, a, b)
        assert not any("trench" in words for words in found.left_out)
        [moved] = [m for m in found.checks if m.what == "the trench: cover"]
        assert (moved.before, moved.after, moved.better) == ("pass, 90.0 %", "fail, 120.0 %", False)
        counted = {m.what: (m.before, m.after) for m in found.numbers}
        assert counted["Checks that fail"] == ("0", "1")


# ------------------------------------------------------------------ steps in the units of the job


@provision("practice", "f [Pa]", "M/S", Certainty.DERIVED, M="N*m", S="m**3")
def stress(M: Any, S: Any) -> Any:
    """Bending stress."""
    return M / S


def plain(steps: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Without the signs that keep a number with its unit."""
    return [{k: str(v).replace("\u00a0", " ") for k, v in s.items()} for s in steps]


def test_steps_are_in_the_units_of_the_job_with_si_beside() -> None:
    with recording() as record:
        M = given("frame analysis", "M [N*m]", np.array(1000.0), Certainty.DERIVED)
        stress(M, given("table", "S [m**3]", np.array(5e-5), Certainty.SECOND_HAND))
    us, metric = (plain(printed(record, units)) for units in ("us", "metric"))
    assert [s["number"] for s in us] == ["0", "0", "1"]
    # 1 lbf·ft = 1.3558179 N·m (NIST SP 811, B.8)
    assert us[0]["result"] == "M = 737.6 lbf·ft" and us[0]["si"].endswith("1000 N·m")
    step = us[2]
    assert step["formula"] == "f = M/S" and step["what"] == "Bending stress"
    assert step["numbers"] == "with M = 737.6 lbf·ft, S = 3.051 in³"
    assert step["result"] == f"f = {from_si(2e7, 'psi'):,.0f} psi"
    assert "1000" in step["si"] and step["si"].endswith("Pa")
    assert metric[2]["result"] == "f = 20 MPa" and "mm³" in metric[2]["numbers"]


@pytest.mark.parametrize(("value", "unit", "us", "metric"), [
    (3.048, "m", "10' 0\"", "3.048 m"), (0.0127, "m", "0.500 in", "12.7 mm"),
    (-44.482216, "N", "−10 lbf", "−44.48 N"), (0.0283168, "m**3", "1 ft³", "0.02832 m³"),
    (0.5, "-", "0.5", "0.5"), (np.array([3.048, 6.096]), "m", "10' 0\" … 20' 0\" (2)",
                               "3.048 m … 6.096 m (2)"),
])  # fmt: skip
def test_numbers_as_the_job_says_them(value: Any, unit: str, us: str, metric: str) -> None:
    found = [said(value, unit, units).replace("\u00a0", " ") for units in ("us", "metric")]
    assert found == [us, metric]


def test_what_is_no_number_is_shown_as_it_is() -> None:
    assert said(float("inf"), "m", "us").startswith("∞")


@pytest.mark.parametrize(("value", "unit"), [(4.6e-12, "A"), (1.8e-19, "J")])
def test_a_number_too_small_for_its_unit_is_not_said_as_nothing(value: float, unit: str) -> None:
    assert "10⁻" in said(value, unit, "us")
    assert said(0.0, unit, "us").startswith("0")
