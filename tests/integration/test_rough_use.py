"""Rough use: slips, odd files, full disks, closed pipes, narrow terminals. Nothing may crash."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from tests.plans import plan_text

from plumbrail.cli.main import main
from plumbrail.cli.show import balance, share_used, used
from plumbrail.cli.true import _fine
from plumbrail.jobs.designing import design
from plumbrail.jobs.drawing import frame_sheets
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan

pytestmark = pytest.mark.usefixtures("worked_once")
BASE = "alder-creek"
BRACE = {"direction": "across", "stations": [3], "low": "6 in", "high": "6 in"}
POINTS = ("site.ground.slope_across", "site.ground.slope_along")


def write(folder: Path, changes: dict, drop: Sequence[str] = ()) -> Path:
    path = folder / "plan.toml"
    path.write_text(plan_text(changes, drop, BASE), encoding="utf-8")
    return path


def told(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().err.split())


REFUSED = {
    "splice beyond the beam": (
        {"stock.splices.front": ["14 ft", "100 ft"]}, "stock.splices.front: 100' 0\" is not on"),
    "one splice twice": (
        {"stock.splices.front": ["14 ft", "14 ft"]}, "stock.splices.front: leaves a part of 0\""),
    "splice in the last inch": (
        {"stock.splices.back": ["1 in"]}, "stock.splices.back: leaves a part of 1\""),
    "first pour over the hole": (
        {"stock.concrete.holding_height": "20 ft"}, "stock.concrete.holding_height: 20' 0\" is"),
    "kerf of a yard": ({"stock.pipe.kerf": "3 ft"}, "stock.pipe.kerf: \"3 ft\" is beyond 2 in"),
    "stick for nothing": (
        {"stock.rail.prices": [0.0]}, "stock.rail.prices: value 1 of the list: 0.0 will not do"),
    "array in the sky": (
        {"array.low_edge_clearance": "100 ft"}, "array.low_edge_clearance: the array reaches"),
    "site far below the sea": (
        {"site.elevation": "-2000 ft"}, "site.elevation: \"-2000 ft\" will not do"),
    "module of a furlong": ({"module.length": "660 ft"}, "module.length: \"660 ft\" is beyond"),
    "module of a hair": ({"module.width": "1 mm"}, "module.width: \"1 mm\" will not do"),
    "sleeve wider than the beam": (
        {"frame.splice.sleeve": "NPS 4 STD", "frame.splice.sleeve_insertion": "9 in"},
        "frame.splice.sleeve: NPS 4 STD is 4 1/2\" thick"),
    "brace drawn twice": (
        {"frame.brace": "NPS 1-1/2 STD", "frame.braces": [BRACE, BRACE]},
        "frame.braces[2]: stands in the same"),
    "tube of wire": (
        {"frame.tubes": {"T": {"outside_diameter": "0.1 in", "design_wall": "0.01 in",
                               "weight": "0.1 lb/ft"}}}, "it must be at least 1/2 in"),
    "tube of foil": (
        {"frame.tubes": {"T": {"outside_diameter": "20 in", "design_wall": "0.001 in",
                               "weight": "9 lb/ft"}}}, "design_wall is under 1/500"),
    "laser on a tower": ({"setout.laser_height": "900 ft"}, "setout.laser_height: \"900 ft\" is"),
    "name with an escape": ({"job.name": "a\x1b[31m"}, "job.name: the text holds a line break"),
    "name without end": ({"job.name": "x" * 500}, "job.name: \"xxx"),
    "tilt outside its band": (
        {"array.tilt": "20 deg"}, "tilt is 20 deg and tilt_band runs from 30 deg to 35 deg"),
    "clamp zone reversed": (
        {"module.clamp_zone": ["30 %", "15 %"]}, "clamp_zone runs from 30 % to 15 %"),
    "tilt beyond the figure": (
        {"array.tilt": "46 deg", "array.tilt_band": ["46 deg", "46 deg"]}, "array.tilt: in deg"),
    "concrete of sand": (
        {"piers.strength": "250 psi"}, "piers.strength: is under 2500 psi (17 MPa)"),
    "wind of a breath": ({"site.wind_speed": "1 mph"}, "site.wind_speed: in mph is 1, outside 40"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_refused_with_field_line_and_advice(tmp_path, capsys, case):
    changes, words = REFUSED[case]
    path = write(tmp_path, changes)
    assert main(["check", str(path)]) == 2
    said = told(capsys)
    assert words in said and "plan.toml: 1 thing to mend line " in said, said

    assert main(["check", str(path), "--json"]) == 2
    report = json.loads(capsys.readouterr().out)
    assert report["source"] == str(path)
    assert all(p["line"] and p["path"] for p in report["problems"])


def test_levels_without_end(tmp_path, capsys):
    """5000 dotted names are one slip, not a fault of the program."""
    path = tmp_path / "plan.toml"
    for text in ("a." * 5000 + "b = 1\n", "a = " + "[" * 300 + "]" * 300 + "\n"):
        path.write_text(text, encoding="utf-8")
        assert main(["check", str(path)]) == 2
        assert "nested too deeply" in told(capsys)


def test_the_book_asks_for_its_files_first(tmp_path, capsys, monkeypatch):
    """Minutes of work were thrown away at the very end."""
    monkeypatch.setattr("plumbrail.cli.book.book_job", lambda *_: pytest.fail("it was begun"))
    path = str(write(tmp_path, {}))
    for given in ([path, "none.csv"], [path, "--tests", "none.csv"], [path, str(tmp_path)]):
        assert main(["book", *given]) == 2
        assert "check its name" in told(capsys) or given[1] == str(tmp_path)


def test_no_minus_before_nothing(tmp_path, capsys):
    """A share of -0.0 stood in the JSON, and corrections of -0.00 in on the screen."""
    path = write(tmp_path, {"module.weight": "200 kg"})
    assert main(["check", str(path), "--json"]) == 1
    assert not any(str(c["ratio"]) == "-0.0" for c in json.loads(capsys.readouterr().out)["checks"])
    assert {_fine(x, u) for x in (-1e-9, 0.0) for u in ("us", "metric")} == {"+0.00 in", "+0.0 mm"}


WIRED = {
    "a run that cannot reach": ({"wiring.run.length": "6 ft"}, 1, "run.length"),
    "wire like hair": (
        {"wiring.conductors.array_diameter": "0.01 in"}, 2, "it must be at least 0.05 in"),
    "fuse under the sun": (
        {"module.max_series_fuse": "5 A"}, 2, "module.max_series_fuse: is 5 A, no more than isc"),
    "a desert of fire": (
        {"site.hottest": "69 degC"}, 2, "site.hottest: the air about the wires comes to 85.67"),
}  # fmt: skip


@pytest.mark.parametrize("case", WIRED)
def test_wires_refused(tmp_path, capsys, case):
    changes, code, words = WIRED[case]
    document = tomlkit.parse(demo_text(BASE))
    for place, value in changes.items():
        *sections, key = place.split(".")
        holder: Any = document
        for section in sections:
            holder = holder[section]
        holder[key] = value
    path = tmp_path / "plan.toml"
    path.write_text(tomlkit.dumps(document), encoding="utf-8")
    assert main(["wire", str(path), "--json"]) == code
    out = json.loads(capsys.readouterr().out)
    if code == 2:
        assert any(words in f"{p['path']}: {p['message']}" for p in out["problems"]), out
        assert all(p["line"] for p in out["problems"])
    else:
        found = {c["id"]: c for c in out["checks"]}[words]
        assert found["status"] == "fail" and "straight line" in found["note"]


def test_cut_refuses_what_check_refuses(tmp_path, capsys):
    """A splice beyond the beam was left out of the cut list without a word."""
    path = write(tmp_path, {"stock.splices.front": ["14 ft", "100 ft"]})
    assert main(["cut", str(path)]) == 2
    assert "is not on the front beam" in told(capsys)


def test_a_list_is_not_called_too_short_when_its_items_are_bad(tmp_path, capsys):
    points = [[0.0, 0.0], [1.0, 1.0, 0.0], [2.0, 3.0, 0.0]]
    changes = {"site.ground.points": points, "site.ground.points_unit": "ft"}
    assert main(["check", str(write(tmp_path, changes, POINTS))]) == 2
    assert "1 thing to mend" in told(capsys)


@pytest.mark.parametrize(
    ("pins", "words"),
    [
        (["0 ft", "0 ft"], 'setout.pin_1: stands 0" from the centre of hole F1'),
        (["32.99 ft", "-8 ft"], "setout.pin_1: setout.pin_1 and setout.pin_2 are"),
    ],
)
def test_pins_are_refused_in_the_units_of_the_plan(tmp_path, capsys, pins, words):
    changes = {"setout.pin_1": pins, "setout.pin_2": ["33 ft", "-8 ft"]}
    assert main(["stake", str(write(tmp_path, changes))]) == 2
    said = told(capsys)
    assert words in said and " m " not in said


def test_pins_too_far_for_a_drawing(tmp_path, capsys):
    changes = {"setout.pin_1": ["-900 ft", "0 ft"], "setout.pin_2": ["900 ft", "-900 ft"]}
    path = write(tmp_path, changes)
    assert main(["stake", str(path)]) == 0
    assert main(["stake", str(path), "--out", str(tmp_path / "out")]) == 2
    assert "setout.pin_1" in told(capsys)


def test_demo_never_overwrites_a_changed_plan(tmp_path, capsys):
    assert main(["demo", "--out", str(tmp_path)]) == 0
    assert main(["demo", "--out", str(tmp_path)]) == 0
    plan = tmp_path / f"{BASE}.toml"
    mine = plan.read_text("utf-8") + "# mine\n"
    plan.write_text(mine, encoding="utf-8")

    assert main(["demo", "--out", str(tmp_path)]) == 2
    assert "name another --out" in told(capsys)
    assert plan.read_text("utf-8") == mine


def test_suggested_commands_can_be_pasted(tmp_path, capsys):
    folder = tmp_path / "my barn"
    folder.mkdir()
    path = folder / "große Scheune.toml"
    path.write_text(demo_text(BASE).replace("\n", "\r\n"), encoding="utf-8", newline="")
    assert main(["check", str(path)]) == 0
    assert f"plumbrail check '{path}' --explain " in capsys.readouterr().out
    assert main(["new", str(folder / "a b.toml")]) == 0
    assert f"plumbrail check '{folder / 'a b.toml'}'" in capsys.readouterr().out


@pytest.mark.parametrize("command", ["cut", "stake", "demo"])
def test_a_file_in_place_of_the_folder(tmp_path, capsys, command):
    path = write(tmp_path, {})
    given = [command] if command == "demo" else [command, str(path)]
    assert main([*given, "--out", str(path)]) == 2
    said = told(capsys)
    assert "this is a file, not a folder" in said and "Errno" not in said


def test_new_in_no_folder_and_on_a_folder(tmp_path, capsys):
    assert main(["new", str(tmp_path / "none" / "x.toml")]) == 2
    assert "there is no such folder" in told(capsys)
    assert main(["new", str(tmp_path)]) == 2
    assert "is a folder; name a file" in told(capsys)


@pytest.mark.parametrize("code", [errno.EACCES, errno.ENOSPC, errno.EROFS, errno.EIO])
@pytest.mark.parametrize("flags", [[], ["--json"]])
def test_disk_trouble_is_told_in_words(tmp_path, capsys, monkeypatch, code, flags):
    def broken(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code), "drawings")

    monkeypatch.setattr(Path, "mkdir", broken)
    assert main(["cut", str(write(tmp_path, {})), "--out", "drawings", *flags]) == 2
    said = capsys.readouterr()
    assert "drawings: " in said.out + said.err and "Errno" not in said.out + said.err


def run(folder: Path, *given: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "plumbrail", *given], cwd=folder, capture_output=True, check=False,
        env={**os.environ, **environment},
    )  # fmt: skip


def test_a_terminal_without_these_letters(tmp_path):
    """Centred dots, cubes and box lines are not ASCII; the output is poorer, never a crash."""
    write(tmp_path, {"job.name": "Große Scheune"})
    shown = run(tmp_path, "cut", "plan.toml", PYTHONIOENCODING="ascii")
    assert (shown.returncode, shown.stderr) == (0, b"")
    assert b"Gro?e Scheune" in shown.stdout
    report = run(tmp_path, "cut", "plan.toml", "--json", PYTHONIOENCODING="ascii")
    assert json.loads(report.stdout)["job"] == "Große Scheune"


def test_a_file_name_that_is_not_utf8(tmp_path):
    name = os.fsdecode(b"a\xff.toml")
    try:
        (tmp_path / name).write_text(demo_text(BASE), encoding="utf-8")
    except (OSError, UnicodeError):
        pytest.skip("this file system takes only UTF-8 names")
    report = run(tmp_path, "check", name, "--json")
    assert report.returncode == 0
    assert json.loads(report.stdout)["run"]["source"] == "a\ufffd.toml"
    assert json.loads(run(tmp_path, "new", f"b{name}", "--json").stdout)["schema"]


@pytest.mark.parametrize("flags", [[], ["--json"]])
@pytest.mark.skipif(not hasattr(os, "pipe"), reason="needs pipes")
def test_a_closed_pipe_keeps_the_exit_code(tmp_path, flags):
    write(tmp_path, {})
    read, end = os.pipe()
    os.close(read)
    with os.fdopen(end, "wb") as closed:
        done = subprocess.run(
            [sys.executable, "-m", "plumbrail", "check", "plan.toml", *flags], cwd=tmp_path,
            stdout=closed, stderr=subprocess.PIPE, check=False,
        )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a full device")
@pytest.mark.parametrize("flags", [[], ["--json"]])
def test_a_full_disk_behind_the_output(tmp_path, flags):
    write(tmp_path, {})
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "plumbrail", "check", "plan.toml", *flags], cwd=tmp_path,
            stdout=full, stderr=subprocess.PIPE, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert b"the disk is full" in done.stderr and b"Traceback" not in done.stderr


@pytest.mark.parametrize("width", ["40", "60", "80", "100"])
@pytest.mark.parametrize("command", ["check", "cut", "stake"])
def test_nothing_is_cut_off_on_a_narrow_terminal(tmp_path, capsys, monkeypatch, width, command):
    changes = {"frame.deflection": {}, "frame.connections": {}, "frame.splice": {}}
    path = write(tmp_path, changes)
    monkeypatch.setenv("COLUMNS", width)
    assert main([command, str(path)]) in (0, 1)
    assert "…" not in capsys.readouterr().out


def test_narrow_tables_hold_every_number(tmp_path, capsys, monkeypatch):
    path = write(tmp_path, {})
    monkeypatch.setenv("COLUMNS", "40")
    main(["check", str(path)])
    narrow = " ".join(capsys.readouterr().out.split())
    made = design(load_plan(path)).checks
    assert "- bending: Where front post F3; Demand " in narrow
    for word in ("Capacity", "Used", "Result pass"):
        assert word in narrow
    assert all(name in narrow for name in {c.title for c in made.checks})


def test_sum_without_what_cannot_be_cut_says_so(tmp_path, capsys):
    path = write(tmp_path, {"stock.splices.shortest_piece": "25 ft"})
    assert main(["cut", str(path)]) == 1
    first = " ".join(capsys.readouterr().out.split("Buying list")[0].split())
    assert "NOT COMPLETE, without NPS 3 STD (beams): it cannot be cut" in first


def test_one_splice_is_not_called_splices(tmp_path, capsys):
    main(["cut", str(write(tmp_path, {}))])
    said = " ".join(capsys.readouterr().out.split())
    assert "Front beam: splice at 12' 7\" from its left end" in said
    assert said.index("rail R2,") < said.index("rail R10")


def test_metric_plan_orders_concrete_in_both_units(tmp_path, capsys):
    main(["cut", str(write(tmp_path, {"job.units": "metric"}))])
    assert " m³) for the holding set" in " ".join(capsys.readouterr().out.split())


def test_empty_and_odd_arguments(tmp_path, capsys, monkeypatch):
    path = write(tmp_path, {})
    assert main(["check", str(path), "--explain", ""]) == 2
    assert "there is no check ''" in told(capsys)
    assert main(["check", str(path), "--explain", "f3.BENDING"]) == 0
    assert "F3.bending: " in capsys.readouterr().out
    monkeypatch.chdir(tmp_path)
    assert main(["stake", "plan.toml", "--out", ""]) == 0
    assert list(tmp_path.glob("setting-out*.svg"))


def test_every_brace_across_is_drawn(tmp_path):
    changes = {"frame.brace": "NPS 1-1/2 STD", "frame.braces": [BRACE]}
    made = design(load_plan(write(tmp_path, changes)))
    assert [d.name for d in frame_sheets(made)] == ["elevations", "section", "section-at-station-3"]


def test_words_for_shares():
    assert share_used(0.974) == "97 % used"
    assert share_used(1.0001) == "101 % used"
    assert share_used(40.0) == "over 10 times what it can bear"
    assert used(None) == ""
    assert balance(2e-12) == "a millionth"
    assert balance(0.03) == "0.03"


def test_ctrl_c_says_so(tmp_path, capsys, monkeypatch):
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("plumbrail.cli.check.design", stop)
    assert main(["check", str(write(tmp_path, {}))]) == 130
    assert capsys.readouterr().err == "stopped\n"
