"""``plumbrail stake`` with a day: table, one clock time, a measured shadow, no day."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest

from plans import plan_text
from plumbrail.cli.main import main

FOOT = 0.3048


@pytest.fixture
def write(tmp_path: Path):
    def written(changes=None, drop=()):
        path = tmp_path / "plan.toml"
        path.write_text(plan_text(changes or {}, drop, "alder-creek"), encoding="utf-8")
        return str(path)

    return written


def told(capsys):
    return " ".join(capsys.readouterr().out.split())


def report(capsys):
    return json.loads(capsys.readouterr().out)


def sheets(folder: Path):
    found = sorted(folder.glob("setting-out*.svg"))
    return [" ".join(re.findall(r"<text[^>]*>([^<]*)</text>", p.read_text("utf-8"))) for p in found]


def test_the_plans_day_makes_the_table_on_screen_and_on_paper(write, tmp_path, capsys):
    assert main(["stake", write(), "--out", str(tmp_path / "out")]) == 0
    said = told(capsys)
    for words in (
        "2026-05-04, PDT, UTC-7:00", "Never look into the sun", "hang still", "bucket of water",
        "A compass well away from steel should read 074.2°",
    ):  # fmt: skip
        assert words in said, words
    drawn = " ".join(sheets(tmp_path / "out"))
    for words in (
        "Setting out: direction by the sun", "Shadow of a plumb line over pin 1", "07:00", "19:00",
        "best", "poor", "back left", "pin 2", "Never look",
    ):  # fmt: skip
        assert words in drawn, words


def test_without_a_day_it_says_so(write, tmp_path, capsys):
    path = write(drop=["setout.day"])
    assert main(["stake", path, "--out", str(tmp_path / "out")]) == 0
    line = "not worked out: no day is stated; add setout.day or --day"
    assert line in told(capsys)
    assert line in " ".join(sheets(tmp_path / "out"))
    assert main(["stake", path, "--json"]) == 0
    assert report(capsys)["direction"] is None
    assert main(["stake", path, "--clock", "10:40"]) == 2
    assert "no day is stated" in capsys.readouterr().err


def test_a_day_on_the_command_line_goes_before_the_plans(write, capsys):
    assert main(["stake", write(), "--day", "2026-12-21", "--json"]) == 0
    made = report(capsys)["direction"]
    assert made["day"] == "2026-12-21" and made["clock"] == "PST, UTC-8:00"
    assert made["shadows"][0]["clock"] == "09:00"
    assert made["asked"] is None and made["swing"] is None
    assert made["compass"]["model"] == "WMM2025"


def test_one_clock_time(write, capsys):
    assert main(["stake", write(), "--clock", "10:30"]) == 0
    said = told(capsys)
    assert "points to 299.7°, clockwise from true north" in said
    assert "left, 31.7° back" in said and "Hole" not in said


def test_a_measured_shadow_swings_the_base_line(write, capsys):
    """By hand: at 10 ft the shadow passes 6' 2 1/4" back of the string; it was found at 6' 6"."""
    path = write()
    measured = ["--clock", "10:30", "--shadow", "6 ft 6 in back", "--over", "10 ft left"]
    assert main(["stake", path, *measured, "--json"]) == 0
    made = report(capsys)
    asked, swing = made["direction"]["asked"], made["direction"]["swing"]
    should = np.arctan2(asked["off_base"], -asked["along_base"])
    found = np.arctan2(6.5, 10)  # steeper to the back, clockwise seen from the left end
    assert swing["base_bearing"] == pytest.approx(made["base_bearing"] - (found - should))
    assert swing["turn"] == pytest.approx(found - should)
    assert swing["move_pin_2"] == pytest.approx(made["base_length"] * (found - should), rel=1e-3)
    assert swing["told"] and not swing["large"]
    assert main(["stake", path, *measured]) == 0
    said = told(capsys)
    assert re.search(r"base line lies at 086\.\d\d° ± 0\.\d\d°; the plan has 088\.00°", said)
    assert re.search(r"clockwise: pin 1 stays, pin 2 goes .* to the front", said)


def test_a_shadow_that_fits_leaves_the_pins(write, capsys):
    given = ["--clock", "10:30", "--shadow", "6 ft 2 1/4 in back", "--over", "10 ft left"]
    assert main(["stake", write(), *given]) == 0
    assert "They agree" in told(capsys)


def test_the_wrong_side_is_doubted(write, capsys):
    given = ["--clock", "10:30", "--shadow", "6 ft 2 in back", "--over", "10 ft"]
    assert main(["stake", write(), *given]) == 0
    assert "more than pins are usually off: check the clock" in told(capsys)


@pytest.mark.parametrize(
    ("given", "words"),
    [(["--day", "May 4"], "year-month-day"), (["--day", "1776-07-04"], "2000 to 2100"),
     (["--clock", "26:00"], "not a clock time"), (["--clock", "23:00"], "no shadow"),
     (["--shadow", "3 ft back"], "need --clock"), (["--over", "3 ft"], "need --clock"),
     (["--clock", "10:00", "--over", "3 ft"], "go together"),
     (["--day", "2026-03-08", "--clock", "02:30"], "never shows 02:30")],
)  # fmt: skip
def test_wrong_input_is_refused_in_words(write, capsys, given, words):
    assert main(["stake", write(), *given]) == 2
    said = capsys.readouterr()
    assert words in said.err and "Traceback" not in said.err


def test_a_day_beyond_the_magnetic_model_still_has_shadows(write, capsys):
    assert main(["stake", write({"setout.day": "2031-05-04"})]) == 0
    said = told(capsys)
    assert "Compass: not worked out: the magnetic model WMM2025 holds from 2025.0 to 2030.0" in said
    assert "10:30" in said


def test_a_day_without_a_useful_sun(write, tmp_path, capsys):
    dark = {"site.latitude": "66 deg", "site.longitude": "-18 deg", "setout.day": "2026-12-21",
            "site.timezone": "Atlantic/Reykjavik"}  # fmt: skip
    assert main(["stake", write(dark), "--out", str(tmp_path / "out")]) == 0
    assert "there is no shadow to use" in told(capsys)
    assert "there is no shadow to use" in " ".join(sheets(tmp_path / "out"))


def test_metric_plans_speak_metric(write, capsys):
    assert main(["stake", write({"job.units": "metric"}), "--clock", "10:30"]) == 0
    assert re.search(r"passes 3000.mm left, 185\d.mm back", told(capsys))


def test_poor_tapes_and_slope_are_still_told(write, capsys):
    assert main(["stake", write({"setout.pin_1": ["-6 ft", "-1 ft"],
                                 "setout.pin_2": ["33 ft", "-1 ft"]})]) == 0  # fmt: skip
    said = told(capsys)
    assert "The tapes cross too flat or too steep" in said and "poor" in said
    assert "on ground" in said and "same" in said
