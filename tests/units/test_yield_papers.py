"""The sheets of the yield: legible, true to the numbers, and lines of equal light."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans import plan_text
from plumbrail.jobs.yielding import yielding
from plumbrail.papers import boxes, yield_words
from plumbrail.papers.angle_map_lines import level_lines
from plumbrail.papers.shade_chart import module_point
from plumbrail.papers.shade_chart_outlines import outlines
from plumbrail.papers.shade_chart_table import lost_table
from plumbrail.papers.sheet import SMALLEST_TEXT, page
from plumbrail.papers.svg import svg
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.yield_axes import above, nice_step, nice_ticks
from plumbrail.papers.yield_papers import yield_papers
from plumbrail.plan.reader import LoadedPlan, read_plan

KWH = 3.6e6
SUN = [f"{v} kWh/m2" for v in (1.7, 2.6, 3.9, 5.2, 6.3, 7.0, 7.5, 6.5, 5.0, 3.3, 1.9, 1.5)]
AIR = [f"{v} degC" for v in (-2, 0, 3, 6, 11, 15, 19, 19, 14, 8, 2, -2)]
MEANS = {"module.cells": 54, "energy.weather.sun": SUN, "energy.weather.air": AIR}
SPRUCE = {"name": "Spruce", "at": ["20 ft", "-25 ft"], "height": "40 ft", "radius": "9 ft"}
WALL = {"name": "A wall with quite a long name", "at": ["60 ft", "-10 ft"],
        "size": ["4 ft", "60 ft"], "height": "18 ft", "turn": "12 deg"}  # fmt: skip
HORIZON = [["60 deg", "3 deg"], ["150 deg", "1 deg"], ["240 deg", "6 deg"], ["320 deg", "4 deg"]]
CROWD = [SPRUCE | {"name": f"Tree number {k}", "at": [f"{24 * k - 40} ft", "-60 ft"]}
         for k in range(5)]  # fmt: skip
ISLAND = {"energy.off_grid.daily": ["12 kWh"], "energy.off_grid.usable": "30 kWh",
          "energy.off_grid.generator.power": "3 kW"}  # fmt: skip
PLANS = {
    "nothing stated": {"module.cells": 54},
    "things": MEANS | ISLAND | {"site.shade.trees": [SPRUCE], "site.shade.boxes": [WALL],
                                "site.shade.horizon": HORIZON},
    "crowd": MEANS | {"site.shade.trees": CROWD},
    "large": MEANS | {"array.columns": 22, "frame.posts": 14, "site.shade.horizon": HORIZON},
    "east": MEANS | {"array.azimuth": "95 deg", "site.shade.trees": [SPRUCE]},
    "away from the sun": MEANS | {"array.azimuth": "10 deg"},
    "southern": {"module.cells": 54, "site.latitude": "-33 deg", "site.longitude": "151 deg",
                 "site.timezone": "Australia/Sydney", "array.azimuth": "2 deg",
                 "site.shade.trees": [SPRUCE]},
    "hopeless": MEANS | ISLAND | {"energy.off_grid.daily": ["600 kWh"],
                                  "energy.off_grid.usable": "3 kWh"},
}  # fmt: skip
PAPERS = {"Letter": "us", "A4": "metric"}


def text_of(changes):
    """A demo plan that says just what a test says about shade, energy and wiring."""
    here = read_plan(plan_text({}, (), "alder-creek"))
    there = (here.site.shade, here.energy, here.wiring)
    gone = [s for s, has in zip(("site.shade", "energy", "wiring"), there, strict=True) if has]
    return plan_text(changes, gone, "alder-creek")


@cache
def facts(name):
    text = text_of(PLANS[name])
    return yielding(LoadedPlan(read_plan(text), text, "0" * 64, "plan.toml")).facts


@cache
def drawings(name, paper):
    job = JobInfo("Alder Creek cold store", PAPERS[paper], "3f9a1c07", "0.1.0")
    return yield_papers(facts(name), job, page(paper))


def sheets(name, paper):
    return [s for _, made in drawings(name, paper) for s in made]


every = pytest.mark.parametrize(
    ("name", "paper"), [(n, p) for n in PLANS for p in PAPERS if p == "Letter" or n == "things"]
)


@every
def test_no_text_overlaps_runs_off_or_is_too_small(name, paper):
    for sheet in sheets(name, paper):
        assert boxes.overlaps(sheet) == []
        assert boxes.off_page(sheet) == []
        assert min(t.height for t in boxes.texts(sheet)) >= SMALLEST_TEXT
        assert not any(t.text.endswith("…") for t in boxes.texts(sheet))


@every
def test_the_svg_is_well_formed_black_and_alone(name, paper):
    for sheet in sheets(name, paper):
        text = svg(sheet)
        ElementTree.fromstring(text)
        assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
        assert set(re.findall(r"#[0-9a-f]{3,6}\b", text)) <= {"#000", "#fff", "#e4e4e4"}
        assert "nan" not in text


def test_what_is_drawn_follows_from_what_is_known():
    assert [n for n, _ in drawings("nothing stated", "Letter")] == ["yield", "angle-map"]
    names = [n for n, _ in drawings("things", "Letter")]
    assert names == ["yield", "angle-map", "shade", "off-grid"]


def test_the_numbers_on_the_sheets_are_those_of_the_yield():
    f = facts("things")
    said = {t.text for s in sheets("things", "Letter") for t in boxes.texts(s)}
    assert {f"{m / KWH:,.0f}" for m in f.months} <= said
    assert f"Yield: {f.energy / KWH:,.0f} kWh a year" in said
    assert {f"{100 * x.share:.1f} %" for x in f.found.losses if x.share >= 0.001} <= said


def test_outlines_are_where_geometry_has_them():
    """A cone's tip, and the ends of a wall, seen from a module, by plane trigonometry."""
    f = facts("things")
    eye = module_point(f, 0)
    found = {o.name: o for o in outlines(f, eye, 60.0, 300.0, 80.0)}
    crown = f.around.crowns
    way = np.array([*crown.stem[0], crown.top[0]]) - eye
    height = np.degrees(np.arctan2(way[2], np.hypot(way[0], way[1])))
    bearing = np.degrees(f.around.row_bearing - np.arctan2(way[1], way[0])) % 360
    seen = found["Spruce"].top
    assert seen[1] == pytest.approx(height, abs=0.6)  # the tip is thinner than a step
    assert seen[0] == pytest.approx(bearing, abs=0.5)
    corners = f.around.boxes.footprint(0) - eye[:2]
    around = np.degrees(f.around.row_bearing - np.arctan2(corners[:, 1], corners[:, 0])) % 360
    wall = found[WALL["name"]].corners[:, 0]
    assert wall.min() == pytest.approx(around.min(), abs=0.6)
    assert wall.max() == pytest.approx(around.max(), abs=0.6)


def test_the_table_of_lost_light_sums_to_the_year():
    """Weighed with the light of its hours it is what the module loses."""
    f = facts("things")
    lost = lost_table(f, None)
    assert np.nanmin(lost) >= 0
    assert np.nanmax(lost) <= 1
    light = f.light.total
    clock = (np.tile(np.arange(24), 365) + np.round(f.ahead / 3600).astype(int)) % 24
    month = np.repeat(
        np.arange(12), 24 * np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    )
    total = np.nansum(np.nan_to_num(lost)[clock, month] * light) / light.sum()
    assert total == pytest.approx(float(f.shade.module.mean()), rel=0.01)


def test_a_circle_is_one_closed_line():
    """x² + y² = 1/4 on a grid: every place on it, and its length 2 π r."""
    axis = np.linspace(-1, 1, 201)
    x, y = np.meshgrid(axis, axis)
    (line,) = level_lines(axis, axis, x**2 + y**2, 0.25)
    assert np.hypot(line[:, 0], line[:, 1]) == pytest.approx(0.5, abs=1e-4)
    assert (line[0] == line[-1]).all()
    assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(np.pi, rel=1e-3)


def test_a_slope_is_one_straight_line_and_a_saddle_two():
    axis = np.linspace(-1.0, 1.0, 8)
    x, y = np.meshgrid(axis, axis)
    (line,) = level_lines(axis, axis, x + 2 * y, 0.3)
    assert line[:, 0] + 2 * line[:, 1] == pytest.approx(0.3, abs=1e-12)
    assert len(level_lines(axis, axis, x * y, 0.1)) == 2
    assert level_lines(axis, axis, x, 5.0) == []


@given(st.integers(0, 10_000), st.floats(-0.8, 0.8))
def test_lines_lie_at_their_level_and_end_at_the_rim(seed, level):
    rng = np.random.default_rng(seed)
    axis = np.arange(7.0)
    values = rng.normal(size=(7, 7))
    for line in level_lines(axis, axis, values, level):
        closed = bool((line[0] == line[-1]).all()) and len(line) > 2
        rim = np.isin(line[[0, -1]], [0.0, 6.0]).any(axis=1).all()
        assert closed or rim
        for px, py in line:
            c, r = min(int(px), 5), min(int(py), 5)
            u, v = px - c, py - r
            q = values[r : r + 2, c : c + 2]
            here = (q[0, 0] * (1 - u) * (1 - v) + q[0, 1] * u * (1 - v) + q[1, 0] * (1 - u) * v
                    + q[1, 1] * u * v)  # fmt: skip
            assert here == pytest.approx(level, abs=1e-9)


@pytest.mark.parametrize(
    ("span", "most", "step"), [(10, 5, 2), (1, 4, 0.5), (95, 8, 20), (7, 7, 1)]
)
def test_steps_are_round(span, most, step):
    assert nice_step(span, most) == pytest.approx(step)
    assert nice_ticks(0.0, span, most)[-1] <= span + 1e-9
    assert above(span, most) >= span


@pytest.mark.parametrize(
    ("months", "words"),
    [
        ([9, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1], "mostly in January"),
        ([4, 3, 0, 0, 0, 0, 0, 0, 0, 0, 0, 5], "mostly in December and January"),
        ([3, 2, 0, 0, 0, 0, 0, 0, 1, 1, 2, 3], "mostly in December, January and February"),
        ([1] * 12, "spread over the year"),
        ([0] * 12, ""),
    ],
)  # fmt: skip
def test_when_something_falls_is_told_in_the_order_of_the_year(months, words):
    found = yield_words.when_words(np.array(months, dtype=float))
    assert found == words or (words.count(",") and found.startswith("mostly in"))


def test_the_sentence_on_tilts_rounds_inward():
    """Every whole degree that it names costs less than it says."""
    f = facts("things")
    low, high = (int(v) for v in re.findall(r"(\d+)°", yield_words.tilt_words(f)[0]))
    assert np.degrees(f.band.flat.low) <= low < high <= np.degrees(f.band.flat.high)


def test_small_shares_and_energies_never_read_as_nothing():
    assert yield_words.percent(0.0001) == "under 1 %"
    assert yield_words.percent(0.0) == "0 %"
    assert yield_words.kwh(0.3 * KWH) == "0.3 kWh"
    assert yield_words.kwh(1234.4 * KWH) == "1,234 kWh"


def test_a_measured_year_has_no_words_on_made_days():
    f = facts("things")
    assert "made, not measured" in yield_words.battery_weather(f.year)
    from plumbrail.weather.year import Origin

    assert yield_words.battery_weather(replace(f.year, origin=Origin.FILE)) == ""
