"""``plumbrail wire``: what it prints first, its JSON, its papers, its refusals."""

from __future__ import annotations

import json
import math
import re
from argparse import Namespace
from copy import deepcopy
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plans import plan_text
from plumbrail.check import Status
from plumbrail.cli.wire import exit_code, run
from plumbrail.errors import PlanError, PlumbrailError
from plumbrail.jobs.wire_output import WireReport, wire_report
from plumbrail.jobs.wiring import wire_papers, wiring
from plumbrail.plan.reader import load_plan
from wirings import WIRING


@pytest.fixture
def write(tmp_path):
    def written(changes=None, drop=(), wired=True):
        path = tmp_path / "plan.toml"
        section = {"wiring": deepcopy(WIRING)} if wired else {}
        path.write_text(plan_text({**section, **(changes or {})}, drop, "alder-creek"), "utf-8")
        return str(path)

    return written


def wire(plan, **given):
    """The command as the command line calls it."""
    asked = {"json": False, "all": False, "explain": None, "out": None, **given}
    return run(Namespace(plan=plan, **asked))


def told(capsys):
    return " ".join(capsys.readouterr().out.replace("\u00a0", " ").split())


def test_the_numbers_a_builder_asks_for_come_first(write, capsys):
    assert wire(write()) == 1  # cover, signs and switches are for people on site: not checked
    said = told(capsys)
    start = said.index("Ways to string the modules")
    for words in (
        "no check of 36 on the wiring fails, 14 NOT CHECKED", "3 strings of 8 modules", "373.4 V",
        "strings: 10 AWG copper PV wire, 25 A fuse", "4 AWG copper THWN-2, no fuse needed",
        "lost in the wires at full sun: 1.4 %",
    ):  # fmt: skip
        assert words in said[:start], words
    for words in (
        "M1-6 to M1-1, M2-1 to M2-2", "Wires to cut", "Circuits", "Conduits", "Signs", "To buy",
        "NOT CHECKED: The installation, rapid shutdown", "largest voltage: 373 V",
        "an arc of direct current does not go out by itself", "licensed practice decide",
    ):  # fmt: skip
        assert words in said, words
    assert "690.41(B)" not in said  # a rule that is met shows with --all only


def test_all_shows_every_check_and_grouping(write, capsys):
    few = wire(write()), told(capsys)
    many = wire(write(), all=True), told(capsys)
    made = wiring(load_plan(write()))
    assert few[0] == many[0] and len(many[1]) > len(few[1])
    assert "690.41(B)" in many[1]
    assert many[1].count("will not do") == sum(not g.feasible for g in made.wired.groupings) > 0


def test_json_agrees_with_the_wiring_and_reads_back(write, capsys):
    assert wire(write(), json=True) == 1
    text = capsys.readouterr().out
    made, found = wiring(load_plan(write())), json.loads(text)
    assert found["schema"] == "plumbrail.wire" and found["schema_version"] == 1
    assert WireReport.model_validate_json(text) == wire_report(made)
    assert [len(s["modules"]) for s in found["strings"]] == [8, 8, 8]
    assert sorted(m for s in found["strings"] for m in s["modules"]) == sorted(
        made.model.modules.ids
    )
    assert found["left_over"] == []
    assert {c["id"] for c in found["checks"]} == {c.id for c in made.checks}
    assert found["passed"] + found["failed"] + found["not_checked"] == len(found["checks"])
    laid = sum(c["laid"] for c in found["cuts"])
    assert laid == pytest.approx(
        sum(p["length"] for p in found["paths"] if p["kind"] in ("home run", "jumper"))
    )
    for path in found["paths"]:
        steps = np.linalg.norm(np.diff(np.array(path["points"]), axis=0), axis=1)
        assert steps.sum() == pytest.approx(path["length"])
    assert [p["number"] for p in found["placards"]] == [f"P{i + 1}" for i in range(12)]


@pytest.mark.parametrize(("changes", "empty"), [
    ({"wiring.basis.code": "IEC"}, ["ampacity"]),
    ({"wiring.conductors.array_size": "10 AWG", "wiring.per_string": 1,
      "wiring.equipment.max_short_circuit": "900 A", "wiring.run.length": "990 ft"}, ["size"]),
])  # fmt: skip
def test_what_has_no_number_is_null(write, capsys, changes, empty):
    wire(write(changes), json=True)
    text = capsys.readouterr().out
    assert "NaN" not in text and "Infinity" not in text
    found = json.loads(text)
    for field in empty:
        assert found["circuits"][1][field] is None
    assert all(g["rank"] is None for g in found["groupings"] if not g["feasible"])
    assert all(c["fill"] is None for c in found["conduits"] if c["trade"] is None)


def test_explain_prints_every_step(write, capsys):
    wire(write(), explain="s1.cold")
    said = told(capsys)
    for words in ("S1.cold: every string", "373.4 V of 450.0 V, 83 % used: pass", "V_s = 373.44 V",
                  "Table 690.7(A)", "module.voc"):  # fmt: skip
        assert words in said, words
    wire(write(), explain="run.drop", json=True)
    found = json.loads(capsys.readouterr().out)
    assert found["schema"] == "plumbrail.wire-explain" and found["check"]["id"] == "run.drop"
    last = found["steps"][-1]["value"]
    assert last == pytest.approx([found["check"]["ratio"]])


def test_explain_of_every_check_gives_its_ratio(write):
    made = wiring(load_plan(write()))
    rated = [c for c in made.checks if c.replay is not None]
    assert len(rated) > 15
    for c in rated:
        assert c.replay().steps[-1].value.item() == pytest.approx(c.ratio)


@pytest.mark.parametrize(("id", "words"), [("S1.colt", "Near it are: S1.cold"),
                                           ("run.cover", "was not made"),
                                           ("rules.arc-fault", "without arithmetic")])  # fmt: skip
def test_a_check_without_steps_is_refused_in_words(write, id, words):
    with pytest.raises(PlumbrailError, match=words):
        wire(write(), explain=id)


def test_papers_are_written(write, tmp_path, capsys):
    wire(write(), out=str(tmp_path / "out"))
    said = told(capsys)
    names = sorted(p.name for p in (tmp_path / "out").glob("*.svg"))
    assert {"one-line.svg", "wiring-map-1.svg", "wiring-map-2.svg"} <= set(names)
    assert len([n for n in names if n.startswith("wiring-sheet")]) >= 4
    assert all(f"/out/{n}" in said for n in names)
    for name in names:
        text = (tmp_path / "out" / name).read_text("utf-8")
        assert re.search(r"<text[^>]*>No check fails; 14 of 36", text), name


def test_a_plan_without_the_section_says_what_to_write(write):
    with pytest.raises(PlanError) as found:
        wire(write(wired=False))
    (problem,) = found.value.problems
    assert problem.path == "wiring" and "[wiring]" in problem.message
    assert "docs/plan-file.md" in problem.message
    assert found.value.source.endswith("plan.toml")


def test_a_missing_figure_is_named_and_a_wrong_one_has_its_line(write):
    with pytest.raises(PlanError) as found:
        wire(write(drop=["module.voc"]))
    (problem,) = found.value.problems
    assert problem.path == "module.voc" and "voc = " in problem.message
    path = write({"module.isc": "13.0 A"})
    with pytest.raises(PlanError) as found:
        wire(path)
    (problem,) = found.value.problems
    assert problem.path == "module.imp" and found.value.source == path
    lines = Path(path).read_text("utf-8").splitlines()
    assert lines[problem.line - 1].startswith("imp")


def test_a_wiring_that_fails_says_so(write, capsys):
    assert wire(write({"wiring.per_string": 20})) == 1
    said = told(capsys)
    assert "3 of 36 checks of the wiring FAIL" in said
    assert "will not do, chosen" in said and "FAILS: Every string, voltage on the coldest" in said


def test_the_exit_code_is_0_only_when_all_is_checked_and_passes(write):
    made = wiring(load_plan(write()))
    passing = tuple(c for c in made.checks if c.status is Status.PASS)
    assert exit_code(replace(made, wired=replace(made.wired, checks=passing))) == 0
    assert exit_code(made) == 1
    failed = replace(passing[0], status=Status.FAIL)
    assert exit_code(replace(made, wired=replace(made.wired, checks=(failed, *passing)))) == 1


def test_shade_is_passed_on(write):
    loaded = load_plan(write({"site.shade": {"horizon": [["180 deg", "2 deg"]]}}))
    shade = np.zeros(24)
    shade[:6] = 0.3
    made = wiring(loaded, shade)
    together = {int(made.wired.strings.string[m]) for m in range(6)}
    assert len(together) == 1 and "Shade was not looked at" not in " ".join(made.wired.notes)
    assert all(math.isfinite(c.cut) for c in wire_report(made).cuts)
    assert [d.name for d in wire_papers(made)] == ["one-line", "wiring-map", "wiring-sheet"]
