"""The commands as a user runs them, in this process."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from plumbrail.cli.main import main
from plumbrail.jobs.designing import design
from plumbrail.jobs.explaining import explain
from plumbrail.jobs.output import explain_report
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan
from plumbrail.units import parse

PASSES, FAILS = "alder-creek", "dry-gulch"


pytestmark = pytest.mark.usefixtures("worked_once")


@pytest.fixture(scope="module")
def demos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demos")


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "plan.toml"
    path.write_text(demo_text(PASSES), encoding="utf-8")
    return path


def changed(plan: Path, old: str, new: str) -> Path:
    text = plan.read_text("utf-8")
    assert text.count(old) == 1, old
    plan.write_text(text.replace(old, new), encoding="utf-8")
    return plan


def output(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


def test_the_good_demo_passes_and_the_bad_one_fails(demos, capsys):
    assert main(["demo", "--out", str(demos / "a")]) == 0
    said = capsys.readouterr().out
    assert "checks pass" in said and "governs" in said and "What to do next" in said

    assert main(["demo", "--plan", FAILS, "--out", str(demos / "b")]) == 1
    said = " ".join(capsys.readouterr().out.split())
    for lesson in ("moment where it is joined", "frost depth", "uplift", "bending"):
        assert lesson in said
    assert "NOT CHECKED" in said


def test_demo_writes_every_paper(demos, capsys):
    main(["demo", "--out", str(demos / "a"), "--json"])
    report = output(capsys)

    assert report["schema"] == "plumbrail.demo"
    names = {Path(p).name for p in report["written"]}
    for wanted in ("alder-creek.toml", "checks.txt", "cut-list.txt", "setting-out.txt",
                   "section.svg"):  # fmt: skip
        assert wanted in names
    assert any(n.startswith("setting-out") and n.endswith(".svg") for n in names)
    for path in report["written"]:
        assert Path(path).stat().st_size > 200


def test_instructive_failures_of_dry_gulch(demos, capsys):
    main(["demo", "--plan", FAILS, "--out", str(demos / "b"), "--json"])
    failed = [c for c in output(capsys)["check"]["checks"] if c["status"] == "fail"]

    kinds = {(c["family"], c["title"]) for c in failed}
    assert ("splice", "moment where it is joined") in kinds
    assert ("pier", "frost depth") in kinds
    assert ("pier", "sideways hold in the soil") in kinds
    assert ("post", "bending") in kinds


def test_check_json_is_whole(plan, capsys):
    assert main(["check", str(plan), "--json"]) == 0
    report = output(capsys)

    assert (report["schema"], report["schema_version"]) == ("plumbrail.check", 1)
    assert report["failed"] == report["not_checked"] == 0
    assert report["passed"] == len(report["checks"]) > 100
    assert report["governing"] in {c["id"] for c in report["checks"]}
    assert report["frame"]["residual"] < 1e-9
    for check in report["checks"]:
        assert check["certainty"] and check["clause"], check["id"]
        if check["capacity"] and check["unit"] != "-":
            assert check["ratio"] == pytest.approx(check["demand"] / check["capacity"])


def test_every_check_can_be_explained(plan):
    made = design(load_plan(plan))
    for check in made.checks.checks:
        report = explain_report(made.run, explain(made, check.id))
        assert report.check.id == check.id
        assert report.steps or check.ratio is None, check.id
        numbers = [s.number for s in report.steps]
        assert numbers == list(range(1, len(numbers) + 1))
        for step in report.steps:
            assert None not in step.origins.values(), (check.id, step.symbol, step.origins)


def test_explanation_as_json(plan, capsys):
    assert main(["check", str(plan), "--explain", "F3.bending", "--json"]) == 0
    report = output(capsys)
    assert (report["schema"], report["check"]["id"]) == ("plumbrail.explain", "F3.bending")
    assert {load["case"] for load in report["loads"]} >= {"D"}
    assert report["residual"] < 1e-9


def test_explanation_on_the_terminal_names_clause_formula_numbers_units(plan, capsys):
    assert main(["check", str(plan), "--explain", "F3.bending"]) == 0
    said = capsys.readouterr().out

    for wanted in ("AISC 360-22 F8", "M_n", "F_y", "Pa", "q_z", "governing", "site.wind_speed"):
        assert wanted in said


def test_unknown_check_names_near_ones(plan, capsys):
    assert main(["check", str(plan), "--explain", "F3.bendng"]) == 2
    assert "F3.bending" in capsys.readouterr().err


@pytest.mark.parametrize("given", [["cut"], ["stake"]])
def test_cut_and_stake_print_and_draw(plan, tmp_path, capsys, given):
    out = tmp_path / "drawings"
    assert main([*given, str(plan), "--out", str(out)]) == 0
    assert "Wrote" in capsys.readouterr().out
    assert list(out.glob("*.svg"))

    assert main([*given, str(plan), "--json"]) == 0
    assert output(capsys)["schema"] == f"plumbrail.{given[0]}"


def test_cut_report_adds_up(plan, capsys):
    main(["cut", str(plan), "--json"])
    report = output(capsys)

    sticks = sum(line["cost"] for line in report["buying"])
    assert report["cost"] == pytest.approx(sticks + report["concrete"]["bag_cost"])
    for section in report["sections"]:
        assert section["aims"][0]["proven"], section["section"]
        for stick in section["sticks"]:
            used = sum(c["length"] for c in stick["cuts"])
            whole = used + stick["trim"] + stick["kerf_lost"] + stick["offcut"]
            assert whole == pytest.approx(stick["length"])
    assert report["splices"]["front"]
    for row in ("front", "back"):
        for x in report["splices"][row]:
            assert any(a - 1e-6 <= x <= b + 1e-6 for a, b in report["splice_zones"][row])


def test_new_writes_a_plan_that_reads_and_never_overwrites(tmp_path, capsys):
    path = tmp_path / "mine.toml"
    assert main(["new", str(path)]) == 0
    assert main(["check", str(path)]) in (0, 1)
    before = path.read_text("utf-8")
    capsys.readouterr()

    assert main(["new", str(path)]) == 2
    assert "exists already" in " ".join(capsys.readouterr().err.split())
    assert path.read_text("utf-8") == before


def test_invalid_plan_ends_with_2_and_all_errors(plan, capsys):
    changed(plan, 'wind_speed = "105 mph"', 'wind_speed = "105"')
    changed(plan, "rows = 4 ", "rowz = 4 ")
    assert main(["check", str(plan)]) == 2
    said = " ".join(capsys.readouterr().err.split())

    assert "site.wind_speed" in said and "array.rowz" in said and "did you mean `rows`" in said

    assert main(["check", str(plan), "--json"]) == 2
    report = output(capsys)
    assert report["schema"] == "plumbrail.problems"
    assert all(p["line"] for p in report["problems"])


def test_geometry_errors_are_located_too(plan, capsys):
    changed(plan, 'rail_inset = "22 %"', 'rail_inset = "45 %"')
    assert main(["check", str(plan)]) == 2
    said = " ".join(capsys.readouterr().err.split())

    assert "clamp zone" in said and "line " in said


@pytest.mark.parametrize("command", ["check", "cut", "stake"])
def test_missing_file_is_no_traceback(tmp_path, capsys, command):
    assert main([command, str(tmp_path / "none.toml")]) == 2
    assert "none.toml" in capsys.readouterr().err


def test_steeper_than_the_wind_figure_is_refused(plan, capsys):
    changed(plan, 'tilt = "32 deg"', 'tilt = "50 deg"')
    changed(plan, 'tilt_band = ["30 deg", "35 deg"]', 'tilt_band = ["30 deg", "55 deg"]')
    assert main(["check", str(plan)]) == 2
    said = " ".join(capsys.readouterr().err.split())

    assert "45" in said and "array.tilt" in said


def test_a_missing_letter_is_not_checked_and_ends_with_1(plan, capsys):
    changed(plan, 'clamp_uplift = "800 lbf"\n', "")
    assert main(["check", str(plan), "--json"]) == 1
    report = output(capsys)

    assert report["failed"] == 0 and report["not_checked"] == 1
    (open_,) = [c for c in report["checks"] if c["status"] == "not checked"]
    assert "frame.connections.clamp_uplift" in open_["note"]
    assert open_["ratio"] is None


def test_a_beam_that_cannot_be_cut_is_said_and_not_passed(plan, capsys):
    changed(plan, 'shortest_piece = "4 ft"', 'shortest_piece = "25 ft"')
    assert main(["cut", str(plan)]) == 1
    assert "CANNOT BE CUT" in capsys.readouterr().out

    assert main(["check", str(plan), "--json"]) == 1
    report = output(capsys)
    assert any(c["id"].startswith("cutting.") for c in report["checks"])


def test_metric_plan_shows_metric(plan, capsys):
    changed(plan, 'units = "us" ', 'units = "metric" ')
    assert main(["check", str(plan)]) == 0
    said = capsys.readouterr().out

    assert "kN" in said and "lbf" not in said
    main(["stake", str(plan)])
    assert "millimetres" in capsys.readouterr().out


def test_wind_direction_that_lifts(plan, capsys):
    """Uplift governs with wind from the back, at the high edge, and on the back posts."""
    main(["check", str(plan), "--json"])
    checks = {c["id"]: c for c in output(capsys)["checks"]}
    uplift = [c for i, c in checks.items() if i.endswith(".uplift") and c["family"] == "pier"]

    worst = max(uplift, key=lambda c: c["ratio"])
    assert "W-back" in worst["combination"]
    assert worst["subject"].startswith("pier B")


def test_help_shows_examples(capsys):
    for arguments in (["--help"], ["check", "--help"], ["cut", "--help"]):
        with pytest.raises(SystemExit) as end:
            main(arguments)
        assert end.value.code == 0
        assert "example" in capsys.readouterr().out


def test_lengths_shown_can_be_read_again(plan, capsys):
    main(["cut", str(plan), "--json"])
    length = output(capsys)["buying"][0]["length"]
    main(["cut", str(plan)])
    assert "21' 0\"" in capsys.readouterr().out
    assert parse("21' 0\"", "length") == pytest.approx(length)
