"""``plumbrail yield`` as somebody uses it: numbers, refusals, papers, steps.

What the numbers themselves are held against stands in tests/validation/test_energy_*.py.
"""

from __future__ import annotations

import argparse
import csv
import itertools
import json
import shutil
from functools import cache
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest

import typical_years
from plans import plan_text
from plumbrail.errors import PlanError, PlumbrailError
from plumbrail.jobs.weather import clock_ahead, standard_offset, weather_of
from plumbrail.jobs.yield_explaining import explain_yield
from plumbrail.jobs.yield_output import YieldExplainReport, YieldReport, yield_report
from plumbrail.jobs.yielding import array_steps, battery_steps, module_shade, yielding
from plumbrail.plan.reader import LoadedPlan, load_plan, read_plan

KWH = 3.6e6
SUN = [f"{v} kWh/m2" for v in (1.7, 2.6, 3.9, 5.2, 6.3, 7.0, 7.5, 6.5, 5.0, 3.3, 1.9, 1.5)]
AIR = [f"{v} degC" for v in (-2, 0, 3, 6, 11, 15, 19, 19, 14, 8, 2, -2)]
MODULE = {"module.cells": 54}
MEANS = MODULE | {"energy.weather.sun": SUN, "energy.weather.air": AIR}
SPRUCE = {"name": "Spruce", "at": ["20 ft", "-25 ft"], "height": "40 ft", "radius": "9 ft"}
APPLE = {"name": "Apple", "at": ["5 ft", "-20 ft"], "height": "16 ft", "radius": "7 ft",
         "crown_from": "4 ft", "crown": "round", "light_through": "20 %"}  # fmt: skip
SHADED = MEANS | {"site.shade.trees": [SPRUCE, APPLE]}
ISLAND = SHADED | {
    "energy.off_grid.daily": ["12 kWh"], "energy.off_grid.usable": "30 kWh",
    "energy.off_grid.generator.power": "3 kW",
}  # fmt: skip
SECTIONS = ("site.shade", "energy", "wiring")


def text_of(changes, drop=()):
    """A demo plan that says just what a test says about shade, energy and wiring."""
    bare = plan_text({}, (), "alder-creek")
    here = read_plan(bare)
    gone = [s for s, there in zip(
        SECTIONS, (here.site.shade, here.energy, here.wiring), strict=True) if there]  # fmt: skip
    return plan_text(dict(changes), (*gone, *drop), "alder-creek")


@cache
def _made(text):
    return yielding(LoadedPlan(read_plan(text), text, "0" * 64, "plan.toml"))


def made(changes, drop=()):
    return _made(text_of(changes, drop))


@pytest.fixture
def written(tmp_path):
    def write(changes, drop=()):
        path = tmp_path / "plan.toml"
        path.write_text(text_of(changes, drop), encoding="utf-8")
        return str(path)

    return write


def run(plan, **more):
    given = {"json": False, "hours": None, "all": False, "explain": None, "out": None} | more
    return import_module("plumbrail.cli.energy").run(argparse.Namespace(plan=plan, **given))


def test_the_json_is_the_documented_one_and_its_sums_close(written, capsys):
    code = run(written(ISLAND), json=True, all=True)
    report = YieldReport.model_validate_json(capsys.readouterr().out)
    assert code == 1  # no wiring in this plan
    assert not report.complete
    assert sum(m.delivered for m in report.months) == pytest.approx(report.energy, rel=1e-12)
    assert sum(m.lost_to_shade for m in report.months) == pytest.approx(report.lost_to_shade)
    chain = report.light_at_rated - sum(x.energy for x in report.losses)
    assert chain == pytest.approx(report.energy, rel=1e-9)
    assert all(sum(x.months) == pytest.approx(x.energy, abs=1.0) for x in report.losses)
    assert sum(report.hours.delivered) * 3600 == pytest.approx(report.energy, rel=1e-12)
    assert sum(len(s.modules) for s in report.strings) == report.modules == len(report.shade)
    off = report.off_grid
    books = report.energy + off.generator - (off.load - off.unmet) - off.spilled
    assert books == pytest.approx(off.lost_in_battery, abs=30 * KWH)  # and the change of charge
    assert len(off.met_each) == len(off.short_hours_each) == 20
    assert (off.met_each[0], off.short_hours_each[0]) == (
        pytest.approx(off.met, abs=1e-12), off.short_hours_alone)  # fmt: skip
    lasts = sum(m >= off.reliability - 1e-12 for m in off.met_each)
    assert off.reliable == (lasts >= off.years_share * 20 - 1e-9)


def test_the_words_on_the_screen_are_those_numbers(written, capsys):
    plan = written(ISLAND)
    run(plan)
    said = " ".join(capsys.readouterr().out.split())
    report = yield_report(yielding(load_plan(plan)))
    assert f"Yield: {report.energy / KWH:,.0f} kWh a year" in said
    assert f"{report.lost_to_shade / KWH:,.0f} kWh a year" in said
    for m in report.months:
        assert f"{m.delivered / KWH:,.0f} {m.daily / KWH:.1f}" in said
    for c in report.culprits:
        assert f"{c.name} costs {c.energy / KWH:,.0f} kWh a year" in said
    assert all(line in said for line in report.angles.words)
    assert f"{report.off_grid.generator_hours} hours" in said
    assert "Conversion 4.0 %" in said
    assert "not stated" in said
    assert "NOT CHECKED" not in said
    assert "wiring: give [wiring]" in said


def test_a_plan_that_says_nothing_of_energy_gets_an_upper_bound_said_plainly(written, capsys):
    assert run(written(MODULE)) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "Yield: at most" in said
    assert "UPPER BOUND" in said
    assert "no [energy] section" in said
    assert "Lost to shade: not checked" in said


def test_the_upper_bound_is_one():
    assert made(MODULE).facts.energy > made(MEANS).facts.energy


def test_a_battery_is_not_checked_under_a_sky_without_clouds(written, capsys):
    off = {k: v for k, v in ISLAND.items() if "weather" not in k}
    assert run(written(off)) == 1
    assert "Off the grid: NOT CHECKED" in capsys.readouterr().out
    report = yield_report(made(off))
    assert report.off_grid is None
    assert "dull" in report.off_grid_not_checked


def test_complete_means_that_nothing_is_left_open():
    stated = {"energy.losses.wiring": "1.5 %", "energy.losses.snow_depth": ["0 in"] * 12}
    found = made(SHADED | stated)
    assert found.facts.unchecked == (
        "limits of the equipment: no max_current or max_power of the equipment is stated",
    )
    assert not found.complete


@pytest.mark.parametrize("name", ["pmax", "voc", "vmp", "imp", "isc_coefficient"])
def test_a_data_sheet_that_lacks_a_value_is_refused_by_its_name(name):
    with pytest.raises(PlanError, match=f"module.{name}: the yield needs"):
        made(MEANS, (f"module.{name}",))


def test_a_weather_file_that_is_not_there_is_refused_at_its_line(written):
    path = written(MODULE | {"energy.weather.file": "none.epw"})
    with pytest.raises(PlanError) as error:
        yielding(load_plan(path))
    (problem,) = error.value.problems
    assert problem.path == "energy.weather.file"
    line = Path(path).read_text(encoding="utf-8").splitlines()[problem.line - 1]
    assert "none.epw" in line
    assert error.value.source == path


def test_a_weather_file_that_is_none_is_refused(written):
    path = written(MODULE | {"energy.weather.file": "cake.csv"})
    Path(path).with_name("cake.csv").write_text("flour,eggs\n1,2\n", encoding="utf-8")
    with pytest.raises(PlanError, match=r"cake\.csv"):
        yielding(load_plan(path))


def test_monthly_means_that_cannot_be_are_refused_at_their_line():
    with pytest.raises(PlanError, match="January") as error:
        made(MEANS | {"energy.weather.sun": ["9 kWh/m2", *SUN[1:]]})
    assert error.value.problems[0].path == "energy.weather.sun"


@pytest.fixture
def greensboro(written):
    """Greensboro's typical year, open data that ships with pvlib, beside a plan in Oregon."""
    path = written(MODULE | {"energy.weather.file": "greensboro.csv"})
    shutil.copy(typical_years.path("Greensboro"), Path(path).with_name("greensboro.csv"))
    return path


def test_a_far_station_is_named_on_top(greensboro, capsys):
    run(greensboro)
    said = " ".join(capsys.readouterr().out.split())
    assert "Greensboro" in said
    warning = said.index("The weather was measured")
    assert warning < said.index("By month")
    assert "away from the site" in said[warning : warning + 200]


def test_the_file_decides_the_weather_and_its_own_albedo_gives_way(greensboro):
    found = weather_of(load_plan(greensboro))
    assert np.array_equal(found.ghi, typical_years.year("Greensboro").ghi)
    text = Path(greensboro).read_text(encoding="utf-8")
    Path(greensboro).write_text(
        text.replace('file = "greensboro.csv"',
                     'file = "greensboro.csv"\nalbedo = ["60 %", ' + '"30 %", ' * 11 + "]"),
        encoding="utf-8",
    )  # fmt: skip
    again = weather_of(load_plan(greensboro))
    assert set(again.albedo) == {0.6, 0.3}
    assert any("in place of the file's" in n for n in again.notes)
    assert not any(n.startswith("Albedo:") for n in again.notes)


@pytest.mark.parametrize(
    ("zone", "hours", "summer"),
    [("America/Los_Angeles", -8, 8), ("Europe/Dublin", 0, 8), ("Asia/Kolkata", 5.5, 0),
     ("Australia/Sydney", 10, 6), ("America/Phoenix", -7, 0)],
)  # fmt: skip
def test_standard_time_and_summer_time(zone, hours, summer):
    """Standard offsets and months of summer time by the public time zone database, 2025."""
    text = text_of(MEANS | {"site.timezone": zone})
    loaded = LoadedPlan(read_plan(text), text, "", "plan.toml")
    assert standard_offset(loaded.plan) == 3600 * hours
    year = weather_of(loaded)
    ahead = clock_ahead(loaded.plan, year)
    assert set(ahead) <= {0.0, 3600.0}
    assert round(float((ahead > 0).sum()) / 730) == pytest.approx(summer, abs=1)


def test_more_trees_never_give_more():
    """Through the whole job, month by month."""
    trees = [SPRUCE, APPLE, SPRUCE | {"name": "Third", "at": ["-20 ft", "-20 ft"]}]
    found = [made(MEANS | {"site.shade.trees": trees[:n]}).facts for n in range(1, 4)]
    found.insert(0, made(MEANS).facts)
    for less, more in itertools.pairwise(found):
        assert (more.months <= less.months * (1 + 1e-9)).all()
        assert more.energy < less.energy
        assert (more.shade.module >= less.shade.module - 1e-9).all()


def test_shade_falls_where_the_tree_stands():
    """A tree before the left end shades the left columns more than the right ones."""
    left = SPRUCE | {"at": ["-6 ft", "-18 ft"]}
    text = text_of(MEANS | {"site.shade.trees": [left]})
    lost = module_shade(LoadedPlan(read_plan(text), text, "", "plan.toml"))
    columns = np.asarray(made(MEANS).model.modules.column)
    mean = [lost[columns == c].mean() for c in np.unique(columns)]
    assert mean[0] > 1.2 * mean[-1]
    assert (lost > 0).all()


def test_a_battery_too_small_is_told_and_ends_in_one(written, capsys):
    few = ISLAND | {"energy.off_grid.daily": ["60 kWh"], "energy.off_grid.usable": "5 kWh"}
    assert run(written(few)) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "Reliability NOT MET" in said


def test_sizes_that_are_offered_do_and_one_step_less_does_not():
    sizes = made(ISLAND).facts.island.sizing
    ok = sizes.enough
    assert len(sizes.corners)
    for a, b in sizes.corners:
        assert ok[a, b]
        assert a == 0 or not ok[a - 1, b]
        assert b == 0 or not ok[a, b - 1]


@pytest.mark.parametrize("count", [1, 2, 7, 24, 100])
def test_the_grid_of_sizes_rises_and_holds_the_plan(count):
    steps = array_steps(count)
    assert count in steps
    assert (np.diff(steps) > 0).all()
    assert steps[0] > 0
    batteries = battery_steps(count * 1.7 * KWH)
    assert np.isclose(batteries, count * 1.7 * KWH).any()
    assert (np.diff(batteries) > 0).all()
    assert len(batteries) <= 16


@pytest.mark.parametrize(
    "id", ["module", "light", "light.12-21.10", "reflection", "cell-temperature", "wiring"]
)
def test_every_step_of_an_explanation_holds(id):
    found = explain_yield(made(MEANS | {"energy.losses.wiring": "2 %"}), id)
    record = found.record
    assert len(record.steps) > 4
    assert all(s.holds() for s in record.steps)
    assert record.misfits() == []
    assert all(s.residual < 1e-6 for s in record.steps if s.residual is not None)
    assert all(s.value.size == 1 for s in record.steps)


def test_the_light_explained_is_the_light_of_the_yield():
    job = made(MEANS)
    steps = {s.provision.symbol: s for s in explain_yield(job, "light.06-21.12").record.steps}
    hour = 24 * (31 + 28 + 31 + 30 + 31 + 20) + 12
    assert float(steps["G"].value) == job.found.plane[hour]
    assert float(steps["G"].residual) < 1e-9


def test_explanations_as_json(written, capsys):
    run(written(MEANS), json=True, explain="module")
    report = YieldExplainReport.model_validate_json(capsys.readouterr().out)
    assert report.id == "module"
    power = next(s for s in report.steps if s.symbol == "P_mp")
    assert power.value[0] == pytest.approx(430.32, abs=0.05)  # vmp times imp of the data sheet


@pytest.mark.parametrize("id", ["moon", "module.06-21.12", "light.13-01.12", "light.01-01.02"])
def test_what_cannot_be_explained_is_refused_in_words(id):
    with pytest.raises(PlumbrailError) as error:
        explain_yield(made(MEANS), id)
    assert "light" in str(error.value) or "hour" in str(error.value)


def test_hours_and_drawings_are_written(written, tmp_path, capsys):
    table, folder = tmp_path / "hours.csv", tmp_path / "papers"
    run(written(ISLAND), hours=str(table), out=str(folder))
    rows = list(csv.reader(table.read_text(encoding="utf-8").splitlines()))
    assert len(rows) == 8761
    assert rows[1][:3] == ["1", "1", "0"]
    assert rows[-1][:3] == ["12", "31", "23"]
    power = sum(float(r[5]) for r in rows[1:]) / 1000
    assert power == pytest.approx(made(ISLAND).facts.energy / KWH, abs=0.01)
    names = {p.name.rstrip(".svg").rstrip("-0123456789") for p in folder.iterdir()}
    assert names == {"yield", "angle-map", "shade", "off-grid"}
    assert "Wrote:" in capsys.readouterr().out


def test_the_same_plan_gives_the_same_numbers():
    first, text = made(MEANS), text_of(MEANS)
    again = yielding(LoadedPlan(read_plan(text), text, "0" * 64, "plan.toml"))
    assert json.loads(yield_report(first).model_dump_json()) == json.loads(
        yield_report(again).model_dump_json()
    )
