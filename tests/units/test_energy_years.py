"""More made years than one: the quick way against the full chain, and what is told of them."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from plumbrail.energy.battery import cycle, load_year
from plumbrail.energy.run import plant, yielded
from plumbrail.energy.sizing import smallest, through
from plumbrail.energy.sky import plane_light
from plumbrail.energy.synthesis import battery_year, battery_years
from plumbrail.energy.years import other_years as power_of_years
from plumbrail.jobs import yielding
from plumbrail.jobs.weather import MADE, SEED, other_years
from plumbrail.papers.yield_words import island_lines, sizing_lines
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import LoadedPlan, read_plan
from plumbrail.site.sun import Place


@cache
def made():
    text = demo_text("alder-creek")
    return yielding.yielding(LoadedPlan(read_plan(text), text, "", "plan"), blame=False)


@cache
def quick():
    job = made()
    facts, years = job.facts, other_years(job.plan)[:3]
    power = power_of_years(job.ready, facts.sun, facts.shading, job.found.power, years)
    return years, power


def test_each_seed_gives_the_year_it_gives_alone():
    sun12, air12 = np.linspace(5e6, 9e6, 12), np.full(12, 283.0)
    place = Place(0.7, 0.1, 100.0)
    for seed, year in zip((3, 8), battery_years(place, 0.0, sun12, air12, 2.0, None, (3, 8)),
                          strict=True):  # fmt: skip
        alone = battery_year(place, 0.0, sun12, air12, 2.0, None, seed)
        assert np.array_equal(year.ghi, alone.ghi)
        assert year.notes == alone.notes


def test_the_first_year_is_itself_and_no_other_year_is_the_same():
    job = made()
    years = other_years(job.plan)
    assert len(years) == MADE - 1
    assert all(f"(seed {SEED})" not in n for y in years for n in y.notes)
    again = power_of_years(
        job.ready, job.facts.sun, job.facts.shading, job.found.power, (job.year,)
    )
    assert again[0].sum() == pytest.approx(job.found.power.sum(), rel=1e-3)
    assert np.abs(quick()[1][0] - job.found.power).max() > 1000.0


def test_a_quick_year_is_within_half_a_per_cent_of_the_full_chain():
    """Energy of the year, share of load met and short hours, for the same year both ways."""
    job = made()
    facts, spots = job.facts, job.facts.patches
    asked = job.plan.energy.off_grid.model_copy(update={"generator": None})
    load = load_year(asked, facts.ahead)
    string = np.full(len(job.model.modules.ids), -1)
    for k, s in enumerate(facts.strings):
        string[[job.model.modules.ids.index(m) for m in s.modules]] = k
    plane = job.model.plane
    for year, power in zip(*quick(), strict=True):
        light = plane_light(facts.sun, year, plane.tilt, plane.azimuth)
        ready = plant(job.ready.plan, year, light, spots, string, job.ready.wiring,
                      job.ready.inputs)  # fmt: skip
        full = yielded(ready, facts.shading).power
        assert power.sum() == pytest.approx(full.sum(), rel=0.005)
        a, b = cycle(0.8 * full, load, asked), cycle(0.8 * power, load, asked)
        assert b.short_share == pytest.approx(a.short_share, abs=1e-3)
        assert b.short_hours == pytest.approx(a.short_hours, abs=12)


def test_many_years_at_once_are_each_year_by_itself():
    job = made()
    asked, load = job.plan.energy.off_grid, made().facts.island.load
    per_watt = np.vstack([job.found.power, quick()[1]]) / job.found.rated
    arrays, batteries = np.array([4e3, 8e3, 12e3]), np.array([1e8, 2e8])
    many = through(per_watt, load, asked, arrays, batteries)
    for k, one in enumerate(per_watt):
        alone = through(one, load, asked, arrays, batteries)
        assert many.each_share[k] == pytest.approx(alone.short_share, abs=1e-15)
        assert np.array_equal(many.each_hours[k], alone.each_hours[0])
    assert many.short_share == pytest.approx(many.each_share.mean(axis=0))


def test_sizes_must_do_in_the_stated_share_of_the_years():
    """Four years of which one lacks half its sun: three of four are 75 %."""
    job = made()
    asked, load = job.plan.energy.off_grid, job.facts.island.load
    good = job.found.power / job.found.rated
    per_watt = np.vstack([good, good, good, 0.3 * good])
    arrays, batteries = np.array([8e3, 16e3, 64e3]), np.array([2e8, 4e8])
    kept = {}
    for share in (0.75, 0.76):
        plan = asked.model_copy(update={"years_share": share})
        kept[share] = smallest(per_watt, load, plan, arrays, batteries, weather=job.year,
                               daily_sequence=True)  # fmt: skip
    assert set(np.unique(kept[0.75].met_years)) <= {0.0, 0.25, 0.75, 1.0}
    assert (kept[0.75].enough == (kept[0.75].met_years >= 0.75)).all()
    assert kept[0.75].enough.sum() > kept[0.76].enough.sum()


def test_mean_and_spread_are_told():
    island = made().facts.island
    met, hours = island.met_each, island.hours_each
    assert len(met) == MADE
    assert met[0] == pytest.approx(island.met, abs=1e-12)
    assert hours[0] == island.alone.short_hours
    flat = " ".join(island_lines(island))
    assert f"in {island.met_years} of {MADE} made years" in flat
    assert f"{hours.mean():.0f} hours are short in the mean, {hours.min()} to {hours.max()}" in flat
    assert f"standard deviation {hours.std(ddof=1):.0f})" in flat
    assert "in at least 18 of 20 made years" in " ".join(sizing_lines(island))
    a, b = island.own
    assert island.reliable == bool(island.sizing.enough[a, b])


def test_a_file_is_one_year():
    plan = made().plan
    weather = plan.energy.weather.model_copy(update={"file": "a.epw", "sun": None, "air": None})
    energy = plan.energy.model_copy(update={"weather": weather})
    assert other_years(plan.model_copy(update={"energy": energy})) == ()
