"""``plumbrail prove``: exit codes, files, JSON, papers that can be read, the demo."""

from __future__ import annotations

import json

import pytest

from plumbrail.cli.main import main
from plumbrail.jobs.proving import (
    blank_drawings,
    blank_tests,
    facts_of,
    prove_papers,
    proving,
)
from plumbrail.papers.pages_proving import proving_pages
from plumbrail.papers.words import listening, speaking
from plumbrail.plan.demos import demo_notebooks, demo_tests, demo_text
from plumbrail.plan.reader import load_plan
from proving_sheets import SLIPS, jobs
from proving_trials import HEAD
from sheets import assert_legible, words


@pytest.fixture
def demo(tmp_path):
    plan, tests = tmp_path / "plan.toml", tmp_path / "tests.csv"
    plan.write_text(demo_text("alder-creek"), encoding="utf-8")
    (text,) = demo_tests("alder-creek").values()
    tests.write_text(text, encoding="utf-8")
    return plan, tests


def test_the_demo_is_not_complete_and_says_what_is_wrong(demo, tmp_path, capsys):
    plan, tests = demo
    assert main(["prove", str(plan), str(tests), "--out", str(tmp_path / "o")]) == 1
    shown = " ".join(capsys.readouterr().out.split())
    assert "NOT COMPLETE" in shown
    assert "one module is missing from S2" in shown
    assert "Every string is live" in shown
    record = json.loads((tmp_path / "o" / "hand-over.json").read_text())
    assert record["schema"] == "plumbrail.prove"
    assert record["complete"] is False
    assert len(record["run"]["plan_sha256"]) == len(record["tests_sha256"]) == 64


def test_json_holds_what_a_page_needs(demo, capsys):
    plan, tests = demo
    main(["prove", str(plan), str(tests), "--json"])
    out = json.loads(capsys.readouterr().out)
    counts = out["passed"], out["failed"], out["uncertain"], out["not_measured"]
    assert sum(counts) == len(out["judged"])
    assert out["suspicions"][0]["candidates"][0]["fault"] == "missing"
    s1 = next(s for s in out["strings"] if s["id"] == "S1")
    assert len(s1["open_voltage"]) == len(out["warmths"])
    assert out["serials"][0]["text"] == "GC6-00318"
    assert all(d["certainty"] == "common practice" for d in out["maintenance"])


def test_without_tests_the_sheet_is_written_and_reads_back(demo, tmp_path, capsys):
    plan, _ = demo
    folder = tmp_path / "sheet"
    assert main(["prove", str(plan), "--out", str(folder), "--language", "es"]) == 0
    assert (folder / "test-sheet-1.svg").exists()
    capsys.readouterr()
    assert main(["prove", str(plan), str(folder / "tests.csv"), "--json"]) == 1
    out = json.loads(capsys.readouterr().out)
    assert out["problems"] == []
    assert out["not_measured"] == len(out["judged"])
    assert main(["prove", str(plan), "--out", str(folder)]) == 2  # never over tests


def test_wrong_order_and_a_plan_without_wires_are_refused(demo, tmp_path, capsys):
    plan, tests = demo
    assert main(["prove", str(tests), str(plan)]) == 2
    assert "plan first" in capsys.readouterr().err
    bare = tmp_path / "bare.toml"
    text = demo_text("alder-creek")
    bare.write_text(text[: text.index("[wiring.basis]")] + text[text.index("[piers]") :])
    assert main(["prove", str(bare)]) == 2
    assert "[wiring]" in capsys.readouterr().err


@pytest.mark.parametrize("language", ["en", "es"])
def test_papers_are_legible_and_the_field_sheet_speaks_the_language(demo, language):
    plan, tests = demo
    loaded = load_plan(str(plan))
    blank, made = proving(loaded), proving(loaded, str(tests))
    with listening() as unsaid:
        drawn = blank_drawings(blank, language)
        with speaking(language, "us"):
            proving_pages(facts_of(blank))
    assert unsaid == []
    for d in (*drawn, *prove_papers(made, language)):
        for sheet in d.sheets:
            assert_legible(sheet)
    said = " ".join(words(drawn[0].sheets))
    assert ("Arreglo vivo" in said) == (language == "es")


def test_every_number_opens(demo, capsys):
    plan, tests = demo
    assert main(["prove", str(plan), str(tests), "--explain", "S2.voltage"]) == 1
    shown = " ".join(capsys.readouterr().out.split())
    for part in ("FAIL", "V_e = 438.39 V", "n · V_m", "44.5 °C, 112.1 °F", "tests, line 13",
                 "read and written down", "Passes from 421.9 to 454.8 V"):  # fmt: skip
        assert part in shown
    main(["prove", str(plan), str(tests), "--explain", "t1.torque", "--json"])
    out = json.loads(capsys.readouterr().out)
    assert (out["schema"], out["test"]["id"]) == ("plumbrail.prove-explain", "T1.torque")
    assert {"M", "M_w", "A"} <= {s["symbol"] for s in out["steps"]}
    assert main(["prove", str(plan), "--explain", "S1.voltage"]) == 1
    assert "nothing was measured" in capsys.readouterr().out
    assert main(["prove", str(plan), str(tests), "--explain", "S1.polarity"]) == 2
    assert "without arithmetic" in capsys.readouterr().err
    assert main(["prove", str(plan), str(tests), "--explain", "S9.voltage"]) == 2
    assert "Near it are" in capsys.readouterr().err


def test_slips_are_named_and_nothing_of_them_passes(demo, tmp_path, capsys):
    plan, _ = demo
    bad = tmp_path / "bad.csv"
    bad.write_text(HEAD + SLIPS)
    assert main(["prove", str(plan), str(bad), "--json"]) == 1
    out = json.loads(capsys.readouterr().out)
    assert {p["line"] for p in out["problems"]} >= {2, 4, 5, 7, 8, 11, 15, 16, 17, 20}
    outcomes = {j["id"]: j["outcome"] for j in out["judged"]}
    assert {k for k, v in outcomes.items() if v == "pass"} == {
        "S1.voltage", "S2.current",  # rows 6 and 10 are good: degF and mA are units too
    }  # fmt: skip
    assert {k for k, v in outcomes.items() if v == "fail"} >= {
        "S1.current", "S2.voltage", "S1.insulation", "G2.continuity", "T1.torque", "P1.label",
    }  # fmt: skip
    assert out["again"]
    main(["prove", str(plan), str(bad)])
    shown = " ".join(capsys.readouterr().out.split())
    assert "rows that cannot be used: " in shown
    assert "Tested more than once" in shown


def test_the_record_carries_the_frame_as_the_readings_have_it(demo, tmp_path, capsys):
    plan, tests = demo
    *_, after = demo_notebooks("alder-creek").values()
    notebook = tmp_path / "readings.csv"
    notebook.write_text(after, encoding="utf-8")
    main(["prove", str(plan), str(tests), "--json"])
    bare = json.loads(capsys.readouterr().out)
    assert (bare["as_built"], bare["posts"]) == (None, [])
    assert any("where the posts stand" in x for x in bare["open"])
    out_dir = str(tmp_path / "o")
    main(["prove", str(plan), str(tests), "--notebook", str(notebook), "--json", "--out", out_dir])
    out = json.loads(capsys.readouterr().out)
    assert [p["id"] for p in out["posts"]] == ["F1", "F2", "F3", "F4", "B1", "B2", "B3", "B4"]
    assert all(abs(v) < 0.05 for p in out["posts"] for v in (*p["head_off"], *p["base_off"]))
    assert not any("where the posts stand" in x for x in out["open"])
    drawn = " ".join(path.read_text() for path in (tmp_path / "o").glob("*.svg"))
    assert "The frame as it stands" in drawn

    as_built = tmp_path / "as-built.toml"  # the same frame by way of the plan
    main(["true", str(plan), str(notebook), "--as-built", str(as_built)])
    capsys.readouterr()
    main(["prove", str(as_built), str(tests), "--json"])
    other = json.loads(capsys.readouterr().out)
    assert other["as_built"] == out["as_built"]
    for mine, theirs in zip(out["posts"], other["posts"], strict=True):
        assert mine["head"] == pytest.approx(theirs["head"], abs=1e-5)
        assert mine["base_off"] == pytest.approx(theirs["base_off"], abs=1e-5)


def test_readings_that_do_not_fix_the_frame_are_said(demo, tmp_path, capsys):
    plan, tests = demo
    few = tmp_path / "few.csv"
    *_, after = demo_notebooks("alder-creek").values()
    rows = [r for r in after.splitlines() if r and not r.startswith("#")]
    few.write_text("\n".join(rows[:6]) + "\n")
    main(["prove", str(plan), str(tests), "--notebook", str(few), "--json"])
    out = json.loads(capsys.readouterr().out)
    assert out["posts"] == []
    assert any("do not fix all of them" in x for x in out["open"])


def test_us_papers_say_celsius_with_fahrenheit_beside_it(demo):
    plan, tests = demo
    made = proving(load_plan(str(plan)), str(tests))
    said = " ".join(words(prove_papers(made)[0].sheets))
    assert "cells at 46 °C (115 °F)" in said
    sheet = " ".join(words(blank_drawings(made)[0].sheets))
    assert "50 °C (122 °F)" in sheet
    assert "°C / °F" in sheet


def test_all_that_verdicts_say_is_told_in_spanish():
    for made in jobs():
        with listening() as unsaid:
            drawn = [*prove_papers(made, "es"), *blank_drawings(made, "es")]
            blank = blank_tests(made, "es")
            with speaking("es", "us"):
                proving_pages(facts_of(made))
        assert unsaid == []
        for d in drawn:
            for sheet in d.sheets:
                assert_legible(sheet)
        assert "every string by itself" not in blank
