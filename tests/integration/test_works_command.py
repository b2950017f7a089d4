"""plan-works from the plan file to papers and calendar."""

from __future__ import annotations

import json
from datetime import date, datetime

import icalendar
import numpy as np
import pytest
import tomlkit

from plumbrail.cli.main import main
from plumbrail.jobs.trenching import trenching
from plumbrail.jobs.working import works, works_drawings, works_inputs
from plumbrail.jobs.works_calendar import works_ics
from plumbrail.jobs.works_output import works_report
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan
from plumbrail.works.changeover import live
from plumbrail.works.network import Tables
from plumbrail.works.parts import Kind
from plumbrail.works.slack import shifted


def _write(folder, edit=None):
    made = tomlkit.parse(demo_text("alder-creek"))
    if edit is not None:
        edit(made)
    path = folder / "plan.toml"
    path.write_text(tomlkit.dumps(made), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    loaded = load_plan(_write(tmp_path_factory.mktemp("works")))
    got = works_inputs(loaded)
    return works(loaded, got.energy, got.wires, got.trench)


def test_demo_is_proven_and_keeps_the_reserve(made):
    assert made.proven
    assert made.complete
    done, change = made.changed, made.change
    assert done.days.least_charge >= change.battery.least
    assert done.days.total < done.once_days.total
    assert (done.days.modules[: done.days.through + 1] >= change.least_modules).all()
    assert done.once_days.least_charge < change.battery.least  # all at once is what must not be


def test_strings_are_mounted_on_cured_piers_only(made):
    index = made.net.index()
    cured = made.schedule.end[index["cured"]]
    for s in change_ids(made):
        assert made.schedule.start[index[f"mount {s}"]] >= cured
        assert made.schedule.start[index[f"connect {s}"]] >= made.schedule.end[index["hold rough"]]


def change_ids(made):
    return [s.id for s in made.change.new]


def test_the_same_plan_gives_the_same_schedule(made, tmp_path):
    loaded = load_plan(_write(tmp_path))
    got = works_inputs(loaded)
    again = works(loaded, got.energy, got.wires, got.trench)
    assert (again.schedule.start == made.schedule.start).all()
    assert works_ics(again) == works_ics(made)


def test_calendar_reads_back(made):
    book = icalendar.Calendar.from_ical(works_ics(made))
    assert [str(z["TZID"]) for z in book.walk("VTIMEZONE")] == ["America/Los_Angeles"]
    events = book.walk("VEVENT")
    assert all(e.decoded("dtend") > e.decoded("dtstart") for e in events)
    assert len({str(e["uid"]) for e in events}) == len(events)
    report = works_report(made)
    stretches = [p for t in report.tasks for p in t.stretches]
    assert len(events) == len(stretches)
    first = min(e.decoded("dtstart") for e in events)
    assert isinstance(first, datetime)
    assert first.isoformat() == "2026-05-11T07:30:00-07:00"
    assert sum("HOLD POINT" in str(e["summary"]) for e in events) == 4


def test_nothing_is_worked_on_days_off(made):
    report = works_report(made)
    worked = {p.day for t in report.tasks for p in t.stretches}
    assert "2026-05-25" not in worked
    assert all(date.fromisoformat(d).weekday() < 5 for d in worked)
    assert not worked & {d.day for d in report.days if d.weather}


def test_drawings_have_every_task(made):
    bars = works_drawings(made)[0]
    words = {getattr(i, "text", "") for s in bars.sheets for i in s.items}
    for t in made.net.tasks:
        if t.kind is not Kind.MARK:
            assert any(w and t.words.startswith(w.rstrip("…")) for w in words), t.words


def test_json_and_files(tmp_path, capsys):
    path = _write(tmp_path, lambda p: p.pop("old_array"))
    assert main(["plan-works", str(path), "--json", "--out", str(tmp_path / "out")]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["schema"] == "plumbrail.works"
    assert told["proven"] is True
    assert told["changeover"] is None
    assert (tmp_path / "out" / "works.ics").exists()


@pytest.mark.parametrize(("edit", "words"), [
    (lambda p: p.pop("works"), "no [works] section"),
    (lambda p: p["works"].update(crew=1), "helper = true"),
    (lambda p: p["energy"].pop("off_grid"), "[energy.off_grid]"),
    (lambda p: p["old_array"]["reserve"].update(least="39 kWh"), "old array untouched"),
    (lambda p: p["old_array"].update(least_modules=13), "least_modules is 13"),
    (lambda p: p["works"].update(begin="7:30"), '"07:30"'),
])  # fmt: skip
def test_refusals_say_what_to_write(edit, words, tmp_path, capsys):
    assert main(["plan-works", str(_write(tmp_path, edit))]) == 2
    assert words in " ".join(capsys.readouterr().err.split())


def test_module_days_without_energy(tmp_path):
    def edit(p):
        p.pop("energy")
        p["old_array"].pop("reserve")
        p["works"]["air"] = ["12 degC"] * 12

    loaded = load_plan(_write(tmp_path, edit))
    got = works_inputs(loaded)
    found = works(loaded, got.energy, got.wires, got.trench)
    assert found.change.unit == "module-days"
    assert any("module-days" in u for u in found.unchecked)
    assert any("Battery" in u for u in found.unchecked)
    assert not found.complete


def _planned(tmp_path, edit=None):
    loaded = load_plan(_write(tmp_path, edit))
    got = works_inputs(loaded)
    return works(loaded, got.energy, got.wires, got.trench), got


def test_a_planned_trench_is_counted_once(made):
    """Digging and laying of the works are the hours of the route; filling is not among them."""
    tasks = {t.id: t for t in made.net.tasks}
    loaded = load_plan(made.run.source)
    route = trenching(loaded).trench
    dug = tasks["dig by hand"].effort + tasks["dig"].effort + tasks["conduit"].effort
    assert dug == pytest.approx(route.option.hours, rel=1e-5)  # stretches end to a hair
    assert tasks["dig"].people == (1,)  # a machine has one driver
    assert tasks["dig"].after[0].before == "dig by hand"  # services are laid bare first
    assert tasks["conduit"].after[0].before == "dig"


def test_rates_are_told_in_the_units_of_the_plan(made, tmp_path):
    """0.534 m3 at 3 h are 0.698 yd3 (0.764555 m3 each) at 2.29 h; 9.83 m at 0.25 h are 32.2 ft."""
    why = {t.id: t.why for t in made.net.tasks}
    assert why["hole B1"].startswith("0.698 yd³ at 2.29 h of one person")
    assert why["beam back"].startswith("32.2 ft at 0.0762 h of one person")
    assert why["saw"].startswith("24 cuts at 0.2 h")
    metric, _ = _planned(tmp_path, lambda p: (p.pop("old_array"), p["job"].update(units="metric")))
    why = {t.id: t.why for t in metric.net.tasks}
    assert why["hole B1"].startswith("0.534 m³ at 3 h of one person")
    assert not any("yd" in w or " ft " in w for w in why.values())


def test_what_the_end_hangs_on(made):
    report = works_report(made)
    by = {t.id: t for t in report.tasks}
    assert all(t.decided for t in report.tasks)
    assert all(t.critical is (t.critical_by != "no") for t in report.tasks)
    assert by["hand over"].critical_by == by["hold final"].critical_by == "logic"
    assert by["dig"].critical_by == "no"  # the trench can wait, the holes cannot
    assert by["hole F1"].critical
    assert by["pour F1"].cured_day >= by["pour F1"].end_day
    causes = [d.cause for d in report.days]
    assert len(causes) == (made.last + 1)
    assert causes.count("curing") >= 7
    assert {d.cause for d in report.days if d.weather} <= {"weather", "curing"}
    assert report.chain[-1] == "hand over"


def test_room_in_a_changeover_keeps_the_battery(made):
    """Every task later by all of its room: modules and reserve are still there."""
    done, change = made.changed, made.change
    for i in np.flatnonzero(made.schedule.slack > 0)[::4]:
        late = shifted(made.net, made.cal, made.schedule, Tables(made.cal),
                       (int(i), int(made.schedule.slack[i])))  # fmt: skip
        days = live(change, made.net, late, made.cal)
        assert days.least_charge >= change.battery.least
        assert days.through == done.days.through


def test_dry_gulch_has_a_trench_and_works(tmp_path, capsys):
    path = tmp_path / "dry-gulch.toml"
    path.write_text(demo_text("dry-gulch"), encoding="utf-8")
    assert main(["trench", str(path), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [c["service"] for c in told["crossings"]] == ["Pump main"]
    assert told["crossings"][0]["over"] is False
    loaded = load_plan(path)
    got = works_inputs(loaded)
    found = works(loaded, got.energy, got.wires, got.trench)
    assert found.proven
    assert "dig by hand" in found.net.index()
