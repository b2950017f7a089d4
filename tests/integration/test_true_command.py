"""``plumbrail true`` as a crew uses it: verdict, papers, record of the gate, as-built plan."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from notebooks import misread, readings_on, written
from plans import plan_text
from plumbrail.cli.main import main
from plumbrail.jobs.true_output import GateRecord, TrueReport
from plumbrail.jobs.truing import truing
from plumbrail.notebook.reader import load_notebook
from plumbrail.plan.demos import demo_notebooks, demo_text
from plumbrail.plan.reader import load_plan

DEMO = "alder-creek"
FIRST, AFTER = demo_notebooks(DEMO)


@pytest.fixture
def plan(tmp_path: Path) -> str:
    path = tmp_path / "plan.toml"
    path.write_text(demo_text(DEMO), encoding="utf-8")
    for name, text in demo_notebooks(DEMO).items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return str(path)


@pytest.fixture
def book(plan: str) -> str:
    return str(Path(plan).with_name(FIRST))


@pytest.fixture
def after(plan: str) -> str:
    return str(Path(plan).with_name(AFTER))


@pytest.fixture
def good(plan: str) -> str:
    """A frame that stands as planned, measured once."""
    return written(Path(plan).with_name("good.csv"), readings_on(demo_text(DEMO)))


def said(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().out.split())


def refused(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().err.split())


def report(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


def in_its_own_process(folder: Path, *given: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "plumbrail", "true", *given], cwd=folder, capture_output=True,
        check=False, env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip


# ---- the demo's two notebooks ------------------------------------------------------------


def test_first_notebook_names_the_slip_and_what_to_do(plan, book, capsys):
    assert main(["true", plan, book]) == 1
    told = said(capsys)
    assert told.startswith("Alder Creek cold store: NOT READY TO POUR")
    assert "12 in long: was a foot misread?" in told and "1 set aside until" in told
    assert " 1. " in told and 'ote each as a "moved" row' in told
    for words in ("As built against plan", "footing inspection", "Weather", "caustic",
                  "never an approval"):  # fmt: skip
        assert words.lower() in told.lower(), words


def test_second_notebook_is_ready(plan, after, capsys):
    assert main(["true", plan, after]) == 0
    told = said(capsys)
    assert told.startswith("Alder Creek cold store: READY TO POUR")
    assert "OUTSIDE" not in told and "at 95 % confidence" in told
    assert "[ ] Footing inspection" in told


def test_the_numbers_of_the_first_notebook(plan, book, capsys):
    assert main(["true", plan, book, "--json"]) == 1
    made = report(capsys)
    (slip,) = [s for s in made["suspicions"] if "12 in long" in s["words"]]
    assert slip["size"] == pytest.approx(0.3048, abs=0.006)
    assert len(made["mending"]["moves"]) >= 1
    assert made["gate"]["ready"] == "not ready"
    after = [v for v in made["values"] if v["verdict"] == "outside"]
    assert after and all(v["low"] <= v["after"] <= v["high"] for v in after)


def test_json_is_the_documented_shape(plan, book, after, capsys):
    for notebook, code in ((book, 1), (after, 0)):
        assert main(["true", plan, notebook, "--json"]) == code
        text = capsys.readouterr().out
        read = TrueReport.model_validate_json(text, by_alias=True)
        assert (read.schema_name, read.schema_version) == ("plumbrail.true", 1)
        assert read.notebook.sha256 == hashlib.sha256(Path(notebook).read_bytes()).hexdigest()
        assert read.notebook.used + read.notebook.set_aside == len(read.readings)
        assert sum(r.set_aside for r in read.readings) == read.notebook.set_aside
        assert "NaN" not in text and "Infinity" not in text
        checks = sum(r.redundancy for r in read.readings if not r.set_aside)
        assert 0 < checks <= read.redundant + 1e-6
        assert {"F1", "B4", "F1 base", "front left", "pin 1", "pin 2"} <= {
            p.id for p in read.points
        }


def test_directions_are_words_everywhere(plan, book, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "230")
    main(["true", plan, book, "--all"])
    told = capsys.readouterr().out
    table = told.partition("As built against plan")[2].partition("Readings")[0]
    assert re.search(r"0\.\d° to the (front|back|left|right)", table)
    assert re.search(r'\d" (high|low) ', table)
    assert not re.search(r"\s-\d", table.replace("±", "")), table
    proven = truing(load_plan(plan), book).trued.mending.sizes_proven
    assert ("smallest at that number" in told) == proven


def test_readings_to_take_are_put_together(plan, tmp_path, capsys):
    empty = tmp_path / "empty.csv"
    empty.write_text("kind,from,value\n", encoding="utf-8")
    main(["true", plan, str(empty)])
    told = capsys.readouterr().out.partition("fewest that settle it:")[2].partition("A blank")[0]
    main(["true", plan, str(empty), "--json"])
    every = report(capsys)["missing"]
    assert "tape along the front beam, bay by bay: F1 to F4" in told
    assert "tape from beam to beam: stations 1 to 4" in told
    assert len(told.strip().splitlines()) < 0.5 * len(every)


def test_all_shows_every_place_and_every_reading(plan, book, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "190")
    main(["true", plan, book])
    short = capsys.readouterr().out
    assert main(["true", plan, book, "--all"]) == 1
    long = capsys.readouterr().out
    main(["true", plan, book, "--json"])
    made = report(capsys)
    assert len(long.splitlines()) > len(short.splitlines()) + len(made["readings"])
    assert "--all" in short and "--all" not in long
    shown = re.split(r"\nReadings *\n", long)[1]
    for r in made["readings"]:
        assert f"\n {r['line']} " in shown or f"  {r['line']} " in shown, r
    assert shown.count("set aside") == made["notebook"]["set_aside"]


def test_a_run_in_its_own_process(plan, book, after):
    folder = Path(plan).parent
    for notebook, code in ((book, 1), (after, 0)):
        done = in_its_own_process(folder, "plan.toml", Path(notebook).name)
        assert (done.returncode, done.stderr) == (code, b"")
        assert b"TO POUR" in done.stdout
    done = in_its_own_process(folder, "plan.toml", "none.csv", "--json")
    assert done.returncode == 2 and json.loads(done.stdout)["schema"] == "plumbrail.problems"


# ---- blank field sheet -------------------------------------------------------------------


def test_sheet_writes_drawings_and_a_blank_notebook(plan, tmp_path, capsys):
    out = tmp_path / "field"
    assert main(["true", plan, "--sheet", "--out", str(out)]) == 0
    told = capsys.readouterr().out
    blank = out / "readings.csv"
    assert f"plumbrail true {plan} {blank}" in told.replace("\n", "")
    assert len(list(out.glob("field-sheet*.svg"))) >= 2
    read = load_notebook(blank, 4)
    assert read.problems == () and read.readings == ()
    rows = blank.read_text("utf-8").splitlines()
    assert read.blank == len([r for r in rows if not r.startswith("#")]) - 1 > 50

    before = {p: p.read_bytes() for p in out.iterdir()}
    assert main(["true", plan, "--sheet", "--out", str(out)]) == 2
    assert "not overwritten" in refused(capsys)
    assert {p: p.read_bytes() for p in out.iterdir()} == before


def test_the_blank_sheet_is_a_notebook_with_nothing_in_it(plan, tmp_path, capsys):
    main(["true", plan, "--sheet", "--out", str(tmp_path)])
    capsys.readouterr()
    assert main(["true", plan, str(tmp_path / "readings.csv"), "--json"]) == 1
    made = report(capsys)
    assert made["notebook"]["used"] == 0 and made["notebook"]["blank"] > 50
    assert made["missing"] and made["gate"]["ready"] != "ready to pour"
    assert all(v["value"] is None for v in made["values"])


def test_sheet_without_a_folder_writes_here(plan, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["true", "plan.toml", "--sheet"]) == 0
    assert (tmp_path / "readings.csv").exists() and (tmp_path / "field-sheet-1.svg").exists()


@pytest.mark.parametrize("more", [["--json"], ["--as-built", "x.toml"]])
def test_sheet_takes_nothing_else(plan, capsys, more):
    assert main(["true", plan, "--sheet", *more]) == 2
    seen = capsys.readouterr()
    assert "--sheet writes a blank field sheet" in " ".join((seen.out + seen.err).split())


# ---- papers and the record of the gate ---------------------------------------------------


def test_out_writes_pictures_and_adds_a_line_to_the_record(plan, book, after, tmp_path, capsys):
    out = tmp_path / "papers"
    for notebook in (book, after, after):
        main(["true", plan, notebook, "--out", str(out)])
        assert "pour-gate.jsonl" in said(capsys)
    assert len(list(out.glob("truing*.svg"))) >= 2
    lines = (out / "pour-gate.jsonl").read_text("utf-8").splitlines()
    kept = [GateRecord.model_validate_json(line, by_alias=True) for line in lines]
    assert [k.gate.ready for k in kept] == ["not ready", "ready to pour", "ready to pour"]
    sums = [hashlib.sha256(Path(n).read_bytes()).hexdigest() for n in (book, after, after)]
    assert [k.notebook.sha256 for k in kept] == sums
    assert kept[0].moves and kept[0].suspicions and not kept[1].moves
    plan_sum = hashlib.sha256(Path(plan).read_bytes()).hexdigest()
    assert {k.run.plan_sha256 for k in kept} == {plan_sum}
    assert all(k.gate.hold_points and k.gate.cautions and k.gate.reasons for k in kept)


def test_json_and_out_together_keep_standard_output_clean(plan, after, tmp_path, capsys):
    assert main(["true", plan, after, "--json", "--out", str(tmp_path / "o")]) == 0
    assert report(capsys)["schema"] == "plumbrail.true"
    assert (tmp_path / "o" / "pour-gate.jsonl").exists()


def test_a_file_in_place_of_the_folder(plan, after, capsys):
    assert main(["true", plan, after, "--out", plan]) == 2
    assert "this is a file, not a folder" in refused(capsys)


# ---- after the pour ----------------------------------------------------------------------


def test_as_built_plan_is_a_plan_with_the_posts_where_they_stand(plan, after, tmp_path, capsys):
    target = tmp_path / "as-built.toml"
    assert main(["true", plan, after, "--as-built", str(target)]) == 0
    assert "as-built.toml" in said(capsys).partition("Wrote:")[2]
    read = load_plan(target).plan
    assert read.as_built is not None
    assert read.as_built.readings == hashlib.sha256(Path(after).read_bytes()).hexdigest()
    assert target.read_text("utf-8").startswith(demo_text(DEMO).rstrip())

    assert main(["check", str(target), "--json"]) in (0, 1)
    checks = report(capsys)
    assert checks["schema"] == "plumbrail.check" and checks["passed"] > 200

    main(["true", plan, after, "--json"])
    heads = {p["id"]: p["xyz"] for p in report(capsys)["points"]}
    for id, post in read.as_built.posts.items():
        assert list(post.head) == pytest.approx(heads[id], abs=2e-6)


def test_as_built_plan_never_overwrites(plan, after, capsys):
    before = Path(plan).read_bytes()
    assert main(["true", plan, after, "--as-built", plan]) == 2
    assert "not overwritten" in refused(capsys)
    assert Path(plan).read_bytes() == before


def test_as_built_plan_waits_for_open_questions(plan, book, good, tmp_path, capsys):
    target, out = tmp_path / "x.toml", tmp_path / "o"
    asked = ["--as-built", str(target), "--out", str(out)]
    assert main(["true", plan, book, *asked]) == 2
    seen = capsys.readouterr()
    assert "mend or strike them out" in " ".join(seen.err.split())
    assert "was a foot misread?" in seen.out  # what to mend is on the screen

    rows = Path(good).read_text("utf-8")
    bad = tmp_path / "bad.csv"
    bad.write_text(rows + ",rod,F1,,,4,,A,\n", encoding="utf-8")
    assert main(["true", plan, str(bad), *asked]) == 2
    assert "mend or strike them out" in refused(capsys)

    rods = [r for r in readings_on(demo_text(DEMO)) if r.kind == "rod"]
    assert main(["true", plan, written(tmp_path / "rods.csv", rods), *asked]) == 2
    assert "do not fix all posts" in refused(capsys)
    assert not target.exists() and not out.exists()


# ---- what is missing or wrong in the command itself --------------------------------------


def test_readings_that_are_not_there(plan, tmp_path, capsys):
    assert main(["true", plan]) == 2
    told = refused(capsys)
    assert "the readings are missing" in told and f"plumbrail true {plan} --sheet" in told
    assert main(["true", plan, "none.csv"]) == 2
    assert "there is no such file" in refused(capsys)
    assert main(["true", plan, str(tmp_path)]) == 2
    assert "this is a folder" in refused(capsys)


def test_a_bad_plan(plan, good, tmp_path, capsys):
    broken = tmp_path / "broken.toml"
    broken.write_text(plan_text({"frame.posts": 0}, [], DEMO), encoding="utf-8")
    assert main(["true", str(broken), good]) == 2
    assert "frame.posts" in refused(capsys)
    assert main(["true", str(tmp_path / "none.toml"), good]) == 2
    assert main(["true", str(broken), good, "--json"]) == 2
    capsys.readouterr()


def test_plan_and_readings_swapped(plan, good, capsys):
    assert main(["true", good, plan]) == 2
    assert "name the plan first" in refused(capsys)


@pytest.mark.parametrize("name", ["plan.toml", "plan-as.csv"])
def test_the_plan_in_place_of_the_readings(plan, capsys, name):
    given = Path(plan).with_name(name)
    given.write_text(demo_text(DEMO), encoding="utf-8")
    assert main(["true", plan, str(given)]) == 2
    told = refused(capsys)
    assert "this is a plan and no notebook of readings; name the plan first" in told
    assert "1 thing to mend" in told


def test_options_may_stand_between_plan_and_readings(plan, after, capsys):
    assert main(["true", plan, "--json", after]) == 0


@pytest.mark.parametrize("name", ["book.xlsx", "photo.csv", "latin.csv"])
def test_wrong_kinds_of_file(plan, tmp_path, capsys, name):
    latin = "kind,from,value,note\nrod,F1,4 ft,Böschung\n".encode("latin-1")
    raw = {"book.xlsx": b"PK\x03\x04 sheet", "photo.csv": b"\x89PNG\r\n\xff\xd8\x00",
           "latin.csv": latin}[name]  # fmt: skip
    (tmp_path / name).write_bytes(raw)
    assert main(["true", plan, str(tmp_path / name)]) == 2
    assert "save" in refused(capsys)


def test_a_misread_foot_is_named_with_its_line(plan, tmp_path, capsys):
    rows = misread(readings_on(demo_text(DEMO)), "tape", "F3", "F4", 12.0)
    line = 2 + [(r.kind, r.start, r.end) for r in rows].index(("tape", "F3", "F4"))
    assert main(["true", plan, written(tmp_path / "r.csv", rows)]) == 1
    told = said(capsys)
    assert f"tape F3–F4 (line {line}) reads 12 in long: was a foot misread?" in told
    assert "1 set aside until somebody looks again" in told
