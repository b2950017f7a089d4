"""Clock, sun, shadow, swing and compass: days that change the clocks, far places, wrong input."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import date, datetime, time
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans import model_with, plan_with
from plumbrail.errors import PlanError, PlumbrailError, RangeError
from plumbrail.jobs.finding import answer, direction_of, read_clock, read_day
from plumbrail.papers.direction_sheet import from_line
from plumbrail.plan.models import SetOut
from plumbrail.plan.zones import time_zone
from plumbrail.setout import clock as cl
from plumbrail.setout.base import base_line
from plumbrail.setout.compass import FIRST, LAST, decimal_year, field_at, field_on
from plumbrail.setout.shadow import (
    CARE,
    clockwise_side,
    errors_of,
    legs,
    shadow_bearing,
    turned,
)
from plumbrail.setout.sides import sides
from plumbrail.setout.swing import swing
from plumbrail.site.sun import Place, sun_at

FOOT = 0.3048
OREGON = Place(float(np.radians(44.1)), float(np.radians(-120.6)), 1280.0)
PACIFIC = time_zone("America/Los_Angeles")
MAY = date(2026, 5, 4)


def moment(zone, *parts):
    return np.array([datetime(*parts, tzinfo=time_zone(zone)).timestamp()])


@cache
def facing(azimuth):
    return model_with({"array.azimuth": f"{azimuth} deg"})


def line(one=(-6.0, -6.0), two=(33.0, -6.0), azimuth=178.0):
    model = facing(azimuth)
    scaled = [tuple(FOOT * v for v in pin) for pin in (one, two)]
    return base_line(model, SetOut.model_construct(pin_1=scaled[0], pin_2=scaled[1]))


def found(changes=None, day=MAY):
    plan = plan_with(changes or {})
    model = model_with(changes or {})
    return direction_of(plan, model, base_line(model, plan.setout), day)


# ---- clock ----


def test_clocks_forward_leaves_the_hour_out():
    day = cl.through_the_day(date(2026, 3, 8), PACIFIC, 30)
    assert "01:30" in day.clock and "03:00" in day.clock
    assert not {"02:00", "02:30"} & set(day.clock)
    assert len(day.clock) == 46
    np.testing.assert_allclose(np.diff(day.seconds), 1800)
    with pytest.raises(RangeError, match=r"never shows 02:30 on 2026-03-08"):
        cl.at_clock(date(2026, 3, 8), time(2, 30), PACIFIC)


def test_clocks_back_shows_the_hour_twice():
    fall = date(2026, 11, 1)
    day = cl.through_the_day(fall, PACIFIC, 30)
    assert len(day.clock) == 50
    assert day.clock[2:6] == ("01:00", "01:30", "01:00 again", "01:30 again")
    np.testing.assert_allclose(np.diff(day.seconds), 1800)
    assert cl.twice(fall, time(1, 30), PACIFIC) and not cl.twice(fall, time(3, 0), PACIFIC)
    assert cl.at_clock(fall, time(1, 30), PACIFIC).seconds[0] == day.seconds[3]


def test_words_say_which_clock():
    assert cl.clock_words(MAY, PACIFIC) == "PDT, UTC-7:00"
    assert cl.clock_words(date(2026, 12, 21), PACIFIC) == "PST, UTC-8:00"
    assert cl.clock_words(MAY, time_zone("Asia/Kathmandu")) == "UTC+5:45"
    assert "the clocks change on this day" in cl.clock_words(date(2026, 3, 8), PACIFIC)


def test_a_skipped_day_has_no_times():
    assert cl.through_the_day(date(2011, 12, 30), time_zone("Pacific/Apia"), 30).clock == ()


@pytest.mark.parametrize(
    ("name", "near"),
    [("America/Los_Angles", "America/Los_Angeles"), ("america/denver", "America/Denver"),
     ("Denver", "America/Denver"), ("America", "America/"), ("PacificTime", "")],
)  # fmt: skip
def test_unknown_zones_name_near_ones(name, near):
    with pytest.raises(PlanError) as refused:
        plan_with({"site.timezone": name})
    (problem,) = refused.value.problems
    assert problem.path == "site.timezone"
    assert "time zone database" in problem.message and near in problem.message
    with pytest.raises(RangeError, match=r"^site\.timezone "):
        cl.zone_of(name)


@pytest.mark.parametrize("day", [date(1999, 12, 31), date(2101, 1, 1), date.min, date.max])
def test_days_too_far_off_are_refused(day):
    with pytest.raises(RangeError, match=r"setout\.day .* 2000 to 2100"):
        found(day=day)


# ---- sun ----


def test_noon_in_the_north_and_in_the_south():
    north = sun_at(OREGON, moment("America/Los_Angeles", 2026, 5, 4, 13, 0))
    assert np.degrees(north.bearing[0]) == pytest.approx(180, abs=1)
    capetown = Place(float(np.radians(-33.9)), float(np.radians(18.4)), 0.0)
    south = sun_at(capetown, moment("Africa/Johannesburg", 2026, 6, 21, 12, 48))
    assert abs(turned(south.bearing, 0.0)[0]) < np.radians(1)
    assert np.degrees(south.height[0]) == pytest.approx(90 - 33.9 - 23.44, abs=0.05)
    assert np.degrees(shadow_bearing(south)[0]) == pytest.approx(180, abs=1)
    assert north.rate[0] > 0 > south.rate[0]  # the other way round, south of the equator


def test_the_sign_of_the_longitude_matters_and_is_questioned():
    assert found().warnings == ()
    (words,) = found({"site.longitude": "120.60 deg"}).warnings
    assert "sign of site.longitude" in words


@given(st.floats(-66, 66), st.floats(-180, 180), st.integers(0, 8759))
def test_rate_and_latitude_agree_with_differences(latitude, longitude, hour):
    at = Place(float(np.radians(latitude)), float(np.radians(longitude)), 100.0)
    seconds = moment("UTC", 2026, 1, 1)[0] + 3600.0 * hour + np.array([-30.0, 0.0, 30.0])
    sun = sun_at(at, seconds)
    if not np.radians(10) < sun.height[1] < np.radians(75):
        return
    step = turned(sun.bearing[2:], float(sun.bearing[0]))[0]
    # the sun's own motion, at most 0.4 deg a day, is left out of the formula
    assert step / 60 == pytest.approx(sun.rate[1], abs=np.radians(2.0) / 86400)
    other = sun_at(replace(at, latitude=at.latitude + 1e-5), seconds)
    by = turned(other.bearing[1:2], float(sun.bearing[1]))[0] / 1e-5
    assert by == pytest.approx(sun.by_latitude[1], abs=2e-3)


# ---- shadow ----


def test_legs_lie_on_the_square_and_on_the_shadow():
    base = line(one=(-6, -6), two=(20, 9))
    bearings = np.radians(np.arange(0.0, 360.0, 7.0))
    at = legs(base, bearings, 3.0)
    np.testing.assert_allclose(np.abs(at).max(axis=1), 3.0)
    plan = at[:, :1] * base.along + at[:, 1:] * base.across
    # x runs along the row, whose bearing is known; bearings turn clockwise
    seen = base.row_bearing - np.arctan2(plan[:, 1], plan[:, 0])
    np.testing.assert_allclose(turned(seen - bearings, 0.0), 0.0, atol=1e-12)


@pytest.mark.parametrize(
    ("one", "two", "words"),
    [((-6, -6), (33, -6), (("right", "left"), ("back", "front"))),
     ((33, -6), (-6, -6), (("left", "right"), ("back", "front"))),
     ((-6, -6), (-6, 30), (("back", "front"), ("right", "left"))),
     ((-6, 30), (-6, -6), (("front", "back"), ("right", "left")))],
)  # fmt: skip
def test_sides_are_those_of_the_row(one, two, words):
    base = line(one, two)
    named = sides(base)
    assert (named.along, named.across) == words
    ways = {"right": (1, 0), "left": (-1, 0), "back": (0, 1), "front": (0, -1)}
    assert base.along == pytest.approx(ways[named.along[0]], abs=1e-9)
    assert base.across == pytest.approx(ways[named.across[0]], abs=1e-9)


def test_a_midday_shadow_falls_to_the_back_of_an_array_that_faces_south():
    s = found().shadows
    noon = s.clock.index("13:00")
    assert np.degrees(s.bearing[noon]) == pytest.approx(0.4, abs=0.5)
    assert from_line(float(s.from_row[noon])).endswith("back")
    assert s.legs[noon, 1] == pytest.approx(10 * FOOT)
    morning, evening = s.clock.index("08:30"), s.clock.index("17:00")
    assert s.legs[morning, 0] < 0 < s.legs[evening, 0]  # away from the sun: west, then east
    assert s.use[noon] == "poor" and s.use[morning] == "best"


@pytest.mark.parametrize(
    ("turn", "words"),
    [(0.0, "right, 0.0° back"), (30, "right, 30.0° front"), (-30, "right, 30.0° back"),
     (150, "left, 30.0° front"), (-150, "left, 30.0° back"), (180, "left, 0.0° front")],
)  # fmt: skip
def test_angle_off_the_nearer_end_of_the_row(turn, words):
    assert from_line(float(np.radians(turn))) == words


def test_every_error_counts_and_far_pins_count_less():
    sun = sun_at(OREGON, moment("America/Los_Angeles", 2026, 5, 4, 9, 0))
    near, far = line(two=(-4, -6)), line(two=(400, -6))
    one = np.array([3.0])
    parts = errors_of(sun, near, one)
    for name in ("clock", "position", "mark", "blur", "pins"):
        assert getattr(parts, name)[0] > 0
    assert parts.total[0] ** 2 == pytest.approx(
        sum(getattr(parts, n)[0] ** 2 for n in ("clock", "position", "mark", "blur", "pins"))
    )
    assert errors_of(sun, far, one).pins[0] < 0.01 * parts.pins[0]
    assert errors_of(sun, near, 2 * one).mark[0] == pytest.approx(parts.mark[0] / 2)
    exact = replace(CARE, clock=0.0, position=0.0, mark=0.0, edge=0.0)
    assert errors_of(sun, near, one, exact).total[0] == 0


def test_stated_error_is_the_scatter_of_marks():
    """Marks, clock and place drawn at random scatter the bearing as the table says."""
    rng = np.random.default_rng(7)
    base, n, reach = line(), 4000, 3.0
    start = moment("America/Los_Angeles", 2026, 5, 4, 15, 0)
    sun = sun_at(OREGON, start)
    stated = errors_of(sun, base, np.array([reach])).total[0]
    late = sun_at(OREGON, start + rng.normal(0, CARE.clock, n)).bearing
    place = replace(OREGON, latitude=OREGON.latitude + CARE.position)
    aside = rng.normal(0, 1, n) * (sun_at(place, start).bearing[0] - sun.bearing[0])
    place = replace(OREGON, longitude=OREGON.longitude + CARE.position)
    aside += rng.normal(0, 1, n) * (sun_at(place, start).bearing[0] - sun.bearing[0])
    wide = 2 * np.tan(np.radians(0.533) / 2) / np.cos(sun.height[0])  # seen from the mark, flat
    aside += rng.normal(0, CARE.edge * wide, n)
    ends = rng.normal(0, CARE.mark, (4, n))
    aside += (ends[0] - ends[1]) / reach + (ends[2] - ends[3]) / base.length
    scatter = float(np.std(late + aside))
    assert scatter == pytest.approx(stated, rel=0.05)


# ---- back from a mark ----


@given(st.floats(-14, 14), st.sampled_from([(33, -6), (-40, -6), (-6, 40), (20, 9)]))
def test_a_mark_gives_back_how_the_base_line_lies(wrong, two):
    base = line(two=two)
    sun = sun_at(OREGON, moment("America/Los_Angeles", 2026, 5, 4, 10, 40))
    lies = base.bearing + np.radians(wrong)
    seen = legs(replace(base, bearing=float(lies)), shadow_bearing(sun), 3.0)[0]
    found = swing(base, sun, seen)
    assert turned(np.array(found.bearing), lies) == pytest.approx(0, abs=1e-12)
    assert found.turn == pytest.approx(-np.radians(wrong), abs=1e-12)
    assert found.move == pytest.approx(2 * base.length * np.sin(abs(np.radians(wrong)) / 2))
    # swung clockwise, pin 2 goes to the side that lies clockwise of the line
    assert found.across * clockwise_side(base) * -wrong >= -1e-9


def test_small_differences_are_told_from_none_and_large_ones_are_doubted():
    base = line()
    sun = sun_at(OREGON, moment("America/Los_Angeles", 2026, 5, 4, 9, 0))
    right = legs(base, shadow_bearing(sun), 3.0)[0]
    assert not swing(base, sun, right).told
    off = swing(base, sun, right + np.array([0.0, 0.1]))
    assert off.told and not off.large
    assert swing(base, sun, right * np.array([-1.0, 1.0])).large
    with pytest.raises(RangeError, match="too near"):
        swing(base, sun, np.array([0.1, 0.1]))


# ---- a whole day ----


def test_a_long_day_near_the_polar_circle():
    changes = {"site.latitude": "66 deg", "site.longitude": "-18 deg",
               "site.timezone": "Atlantic/Reykjavik", "array.azimuth": "180 deg"}  # fmt: skip
    summer = found(changes, date(2026, 6, 21)).shadows
    assert len(summer.clock) > 24 and "best" in summer.use
    winter = found(changes, date(2026, 12, 21))
    assert winter.shadows.clock == ()
    with pytest.raises(RangeError, match="no shadow"):
        answer(winter, "12:00", None, None)


def test_the_sun_overhead_is_left_out():
    changes = {"site.latitude": "20 deg", "site.longitude": "-105 deg",
               "site.timezone": "America/Mexico_City"}  # fmt: skip
    s = found(changes, date(2026, 5, 20)).shadows
    assert np.degrees(s.sun.height.max()) <= 75
    assert "12:00" not in s.clock and "09:00" in s.clock


# ---- compass ----


def test_compass_reads_true_less_declination():
    field = field_on(OREGON, MAY)
    assert 10 < np.degrees(field.declination) < 18 and field.yearly < 0
    assert 0.3 < np.degrees(field.sd) < 0.5
    assert field.compass(0.0) == pytest.approx(2 * np.pi - field.declination)


@pytest.mark.parametrize("day", [date(2024, 12, 31), date(2030, 1, 2), date(2031, 6, 1)])
def test_no_declination_outside_the_years_of_the_model(day):
    with pytest.raises(RangeError, match=r"2025\.0 to 2030\.0"):
        field_on(OREGON, day)
    of = found(day=day)
    assert of.field is None and "no declination" in of.no_field and of.shadows.clock


def test_ends_of_the_model_and_of_the_years():
    assert decimal_year(date(2030, 1, 1)) == LAST and decimal_year(date(2025, 1, 1)) == FIRST
    last, before = field_at(OREGON, LAST), field_at(OREGON, LAST - 1)
    assert last.declination - before.declination == pytest.approx(last.yearly, rel=0.05)


def test_no_compass_at_a_magnetic_pole():
    with pytest.raises(RangeError, match="of no use"):
        field_on(Place(float(np.radians(-64)), float(np.radians(136)), 0.0), MAY)
    assert field_on(Place(float(np.radians(-66)), float(np.radians(125)), 0.0), MAY).weak


# ---- what people write ----


@pytest.mark.parametrize("text", ["25:00", "10.40", "1040", "noon", "", "10:60", "10:4"])
def test_clock_times_in_words(text):
    with pytest.raises(PlumbrailError, match="--clock"):
        read_clock(text)
    assert read_clock("7:05") == time(7, 5) and read_clock(" 16:05:30 ") == time(16, 5, 30)


@pytest.mark.parametrize("text", ["4 May", "2026-13-01", "2026-02-30", "", "05/04/2026"])
def test_days_in_words(text):
    with pytest.raises(PlumbrailError, match="--day"):
        read_day(text)
    assert read_day("2026-05-04") == MAY


@pytest.mark.parametrize(
    ("shadow", "over", "words"),
    [("3 ft 2 in back", None, "go together"), (None, "10 ft", "go together"),
     ("3 ft 2 in", "10 ft", "which side, back or front"), ("3 ft left", "10 ft", "no way square"),
     ("3 ft back", "10 ft back", "no way along"), ("3 back", "10 ft", "--shadow: 3 has no unit"),
     ("back", "10 ft", "--shadow"), ("-3 ft back", "10 ft", "not negative"),
     ("0 in back", "0 in", "too near")],
)  # fmt: skip
def test_marks_in_words(shadow, over, words):
    with pytest.raises(PlumbrailError, match=words):
        answer(found(), "10:40", shadow, over)


def test_a_mark_to_either_side_of_pin_1():
    of = found()
    s = answer(of, "10:30", None, None).shadow
    along, across = s.legs[0]
    assert along < 0 < across
    told = answer(of, "10:30", f"{across} m to the back", f"{-along} m left").swing
    assert told is not None and told.turn == pytest.approx(0, abs=1e-9) and not told.told
    astray = answer(of, "10:30", f"{across} m back", f"{-along} m").swing
    assert astray is not None and astray.large


def test_help_and_check_load_no_sun_and_no_compass():
    code = (
        "import sys; from plumbrail.cli.main import parser; parser(); import plumbrail.cli.check; "
        "heavy = ('pvlib', 'pandas', 'h5py', 'pygeomag', 'requests'); "
        "print([m for m in heavy if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
    code = (
        "import sys, numpy as np; from plumbrail.site.sun import *; "
        "sun_at(Place(0.7, -2.0, 0.0), np.array([1.8e9])); print('pandas' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
