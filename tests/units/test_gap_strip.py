"""The strip never shows better than what is known: the gate, the yield, the pipe, the shares."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any, cast

import pytest

from plumbrail.app import proofs, strip
from plumbrail.app.strip import Known
from plumbrail.check import Check, Status

GOOD = Check("F1.bending", "post F1", "bending", Status.PASS, 0.86)
OPEN = Check("x", "post F1", "frost", Status.NOT_CHECKED, note="no frost depth. More is said")
BAD = Check("F2.bending", "post F2", "bending", Status.FAIL, 1.3)


def known(*checks: Check, waiting: tuple[str, ...] = (), **more: Any) -> Known:
    base = Known(cast(Any, None), cast(Any, None), checks, {}, True, None, None, None, False,
                 frozenset(waiting), ())  # fmt: skip
    return replace(base, **more)


@pytest.mark.parametrize(
    ("ready", "mark"),
    [
        ("ready to pour", "pass"),
        ("not ready", "fail"),
        ("not enough readings", "not checked"),
        ("a word of a later version", "not checked"),
    ],
)
def test_only_ready_to_pour_passes(ready, mark):
    truing = {"gate": {"ready": ready, "reasons": ["the first", "the second"]}}
    found = strip._gate(known(truing=truing))
    assert (found.value, found.detail, found.mark) == (ready, "the first", mark)


def test_a_gate_that_could_not_be_judged_is_not_checked():
    found = strip._gate(known(truing={"missing": "no row can be used"}))
    assert (found.value, found.detail, found.mark) == (
        "not judged", "no row can be used", "not checked",
    )  # fmt: skip
    for waiting, detail, pending in ((("truing",), "", True), ((), "not worked out", False)):
        found = strip._gate(known(waiting=waiting))
        assert (found.value, found.detail, found.pending) == ("", detail, pending)
        assert found.mark != "pass"


@pytest.mark.parametrize(
    ("checks", "value", "detail", "mark"),
    [
        ((GOOD, GOOD), "all 2 pass", "", "pass"),
        ((GOOD, OPEN), "1 pass, 1 not checked", "", "not checked"),
        ((GOOD, BAD), "1 fails", "of 2 checks", "fail"),
        ((BAD, BAD, OPEN), "2 fail", "of 3 checks; 1 not checked", "fail"),
    ],
)
def test_checks_are_counted(checks, value, detail, mark):
    found = strip._checks(known(*checks))
    assert (found.value, found.detail, found.mark) == (value, detail, mark)
    assert not found.pending and strip._checks(known(*checks, waiting=("trench",))).pending
    left = strip._unchecked(known(*checks))
    open_ = sum(c is OPEN for c in checks)
    assert (left.value, left.mark) == (str(open_), "not checked" if open_ else "none")


@pytest.mark.parametrize(
    ("ratio", "words"),
    [
        (0.996, "100 % used"), (1.0, "100 % used"), (1.001, "101 % used"), (1.3, "130 % used"),
        (9.99, "999 % used"), (10.0, "over 10 times what it bears"),
        (float("inf"), "over 10 times what it bears"),
        (float("nan"), "over 10 times what it bears"),
    ],
)  # fmt: skip
def test_a_share_over_one_never_reads_as_all_of_it(ratio, words):
    assert strip.share(ratio) == words


@pytest.mark.parametrize(
    ("energy", "value", "detail", "mark"),
    [  # 3.6 MJ are 1 kWh
        ({"energy": 3.6e9, "lost_to_shade": 3.6e8, "complete": True},
         "1,000 kWh a year", "shade takes 100 kWh", "none"),
        ({"energy": 3.6e9, "lost_to_shade": None, "complete": False},
         "1,000 kWh a year", "shade not checked; something is not checked", "not checked"),
        ({"missing": "no weather"}, "not worked out", "no weather", "not checked"),
    ],
)  # fmt: skip
def test_a_yield_in_which_something_is_open_says_so(energy, value, detail, mark):
    found = strip._energy(known(energy=energy))
    assert (found.value, found.detail, found.mark) == (value, detail, mark)
    none, coming = strip._energy(known()), strip._energy(known(waiting=("yield",)))
    assert (none.detail, none.mark, none.pending) == ("not worked out", "not checked", False)
    assert (coming.detail, coming.mark, coming.pending) == ("", "none", True)


def pipe(*plans: Any, waiting: tuple[str, ...] = ()) -> Any:
    sections = [SimpleNamespace(section=f"s{k}", plan=p) for k, p in enumerate(plans)]
    design = SimpleNamespace(cutting=SimpleNamespace(sections=sections))
    sticks = SimpleNamespace(
        cost=1234.0, lines=[SimpleNamespace(count=3), SimpleNamespace(count=4)]
    )
    shop = SimpleNamespace(sticks=sticks)
    return strip._pipe(known(design=design, shop=shop, waiting=waiting))


def test_a_cut_list_is_the_cheapest_only_when_every_level_is_proven():
    yes, no = (SimpleNamespace(levels=[SimpleNamespace(proven=p)]) for p in (True, False))
    assert pipe(yes, yes).detail == "7 sticks"
    assert pipe(yes, no).detail == "7 sticks; not proven the cheapest"
    assert pipe(yes, no, waiting=("cut",)).detail == "7 sticks; a cheaper list may still be found"
    cannot = pipe(yes, None)
    assert (cannot.mark, cannot.detail) == ("fail", "without s1: cannot be cut")


def report(**more: Any) -> dict[str, Any]:
    return {"strings": [{"id": "S1"}], "judged": [], "open": [], "passed": 1, "problems": [],
            "suspicions": [], "uncertain": 0, "not_measured": 0, "complete": False,
            **more}  # fmt: skip


def test_failures_do_not_hide_what_else_is_open():
    fails = {"subject": "P3", "title": "torque", "outcome": "fail"}
    rows = [{"line": 4, "message": "x"}, {"line": 0, "message": "y"}]
    found = report(judged=[fails], problems=rows, uncertain=2, not_measured=3)
    assert proofs._headline(found) == ("1 test fails", "fail")
    assert proofs._details(found) == [
        "P3: torque", "2 rows cannot be used", "2 too uncertain to say", "3 not tested",
    ]  # fmt: skip
    assert proofs._headline(report(not_measured=3)) == ("1 pass, 3 not tested", "not checked")
    assert proofs._details(report(not_measured=3)) == []
    assert proofs._details(report(uncertain=1, not_measured=3)) == ["3 not tested"]
