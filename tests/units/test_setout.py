"""Setting out: stakes, base line, check distances, rod readings."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plans import model_with
from plumbrail.errors import RangeError
from plumbrail.plan.models import SetOut
from plumbrail.setout.stakes import stake
from plumbrail.site.bearings import row_bearing
from plumbrail.site.terrain import Plane, survey
from plumbrail.units import show

FOOT = 0.3048


@pytest.fixture(scope="module")
def model():
    return model_with()


def pins(one=(-6, -6), two=(33, -6), height=0.0, laser=4.5):
    return SetOut.model_construct(
        pin_1=tuple(v * FOOT for v in one), pin_2=two and tuple(v * FOOT for v in two),
        pin_height=height * FOOT, laser_height=laser * FOOT,
    )  # fmt: skip


def on_ground(model, along, across):
    """The same frame with the ground under its posts and pins on another plane."""
    ground = Plane(along, across)
    z = ground.height(model.posts.xy[:, 0], model.posts.xy[:, 1])
    posts = replace(model.posts, ground=z)
    piers = replace(model.piers, bottom=z - model.piers.depth)
    return replace(model, terrain=ground, posts=posts, piers=piers)


def test_first_hole_is_a_diagonal_of_a_square_from_pin_1(model):
    s = stake(model, pins())
    assert s.ids[:4] == ("F1", "F2", "F3", "F4")
    assert (s.along[0], s.across[0]) == pytest.approx((6 * FOOT, 6 * FOOT))
    assert s.tapes.level[0, 0] == pytest.approx(6 * FOOT * np.sqrt(2))
    assert show(s.tapes.level[0, 0], "length") == "8' 5 13/16\""
    assert s.tapes.level[0, 1] == pytest.approx(np.hypot(33, 6) * FOOT)


def test_second_pin_follows_the_row_when_left_out(model):
    assert stake(model, pins(two=None)).base.pins[1] == pytest.approx((33 * FOOT, -6 * FOOT))


@pytest.mark.parametrize(("azimuth", "row"), [(180, 90), (178, 88), (90, 0), (0, 270), (270, 180)])
def test_bearing_of_the_row(azimuth, row):
    """An array that faces south has its right hand, seen from the south, in the east."""
    assert np.degrees(row_bearing(np.radians(azimuth))) == pytest.approx(row, abs=1e-9)


def test_bearing_of_a_turned_base_line(model):
    # Turning from the row toward the back turns toward north: bearings fall.
    south = replace(model, plane=replace(model.plane, azimuth=np.pi))
    base = stake(south, pins(one=(-6, -6), two=(-6, 30))).base
    assert np.degrees(base.bearing) == pytest.approx(0.0, abs=1e-9)
    assert base.across == pytest.approx((1.0, 0.0))  # no side is toward the back: to the right
    slanted = stake(south, pins(one=(-6, -6), two=(4, 4))).base
    assert np.degrees(slanted.bearing) == pytest.approx(45.0)


def test_across_points_to_the_back_whichever_pin_is_first(model):
    there, back = stake(model, pins()), stake(model, pins(one=(33, -6), two=(-6, -6)))
    assert there.across == pytest.approx(back.across)
    assert there.along + back.along == pytest.approx(39 * FOOT)
    assert np.mod(there.base.bearing - back.base.bearing, 2 * np.pi) == pytest.approx(np.pi)


def test_slope_distance_needs_the_ground_at_both_ends(model):
    s = stake(on_ground(model, 0.1, 0.0), pins())
    rise = 0.1 * 6 * FOOT
    assert s.tapes.slope[0, 0] == pytest.approx(np.hypot(s.tapes.level[0, 0], rise))
    assert not s.tapes.same[0, 0]
    level = stake(on_ground(model, 0.0, 0.0), pins())
    assert level.tapes.same.all()
    assert level.tapes.slope == pytest.approx(level.tapes.level)


def test_flat_crossing_tapes_are_marked_with_their_error(model):
    s = stake(model, pins())
    weak = np.array(s.tapes.fix) == "poor"
    outside = (np.degrees(s.tapes.angle) < 40) | (np.degrees(s.tapes.angle) > 140)
    assert (weak == outside).all()
    assert weak.any()
    assert not weak.all()
    assert any("F2, F3" in w and "140°" in w for w in s.warnings)
    right = np.argmin(np.abs(s.tapes.angle - np.pi / 2))
    sixteenth = 0.0254 / 16
    assert s.tapes.error[right] == pytest.approx(np.sqrt(2) * sixteenth, rel=0.02)


def test_holes_on_the_line_of_the_pins_have_no_fix(model):
    s = stake(model, pins(one=(-6, 0), two=(33, 0)))
    assert s.tapes.fix[:4] == ("none",) * 4
    assert np.isinf(s.tapes.error[:4]).all()
    assert np.isfinite(s.tapes.error[4:]).all()
    assert s.along[:4] == pytest.approx(np.array([6, 15, 24, 33]) * FOOT)
    assert any("cannot fix F1, F2, F3, F4" in w for w in s.warnings)


def test_pins_that_cannot_be_are_refused(model):
    with pytest.raises(RangeError, match=r"setout.pin_1 and setout.pin_2 are 0.000 m apart"):
        stake(model, pins(one=(-6, -6), two=(-6, -6)))
    with pytest.raises(RangeError, match=r"setout.pin_2 stands .* of hole F4"):
        stake(model, pins(two=(27.5, 0)))


def test_pin_within_reach_of_the_digging_is_named(model):
    beside = 0.5 * model.piers.diameter / FOOT + 0.5
    s = stake(model, pins(one=(-beside, 0)))
    assert any("F1: digging may disturb it" in w for w in s.warnings)


def test_heights_start_at_the_top_of_pin_1(model):
    s = stake(on_ground(model, 0.0, 0.05), pins(height=0.5))
    pin = 0.05 * -6 * FOOT + 0.5 * FOOT
    assert s.levels.pin_ground[0] == pytest.approx(-0.5 * FOOT)
    assert s.levels.ground.height[0] == pytest.approx(0.0 - pin)
    assert s.levels.ground.reading[0] == pytest.approx(4.5 * FOOT + pin)
    assert s.levels.hole_bottom.height == pytest.approx(
        s.levels.ground.height - s.levels.hole_depth
    )
    assert s.levels.pin_2_top.reading == pytest.approx([4.5 * FOOT])


def test_a_point_over_the_laser_is_measured_up(model):
    v = stake(model, pins()).levels
    assert v.post_top.up[4:].all()
    assert not v.ground.up.any()
    assert (v.post_top.reading >= 0).all()
    signed = np.where(v.post_top.up, -v.post_top.reading, v.post_top.reading)
    assert v.post_top.height + signed == pytest.approx(np.full(8, v.laser))
    high = stake(model, pins(laser=20.0)).levels
    assert not high.post_top.up.any()


def test_laser_plane_below_the_ground_is_named(model):
    s = stake(on_ground(model, 0.3, 0.0), pins(laser=2.0))
    assert s.levels.ground.up[3]
    assert any("laser plane is below the ground" in w and "F4" in w for w in s.warnings)


def test_pins_beyond_the_survey_are_named(model):
    points = [(-1, -1, 0), (12, -1, 0), (12, 5, 0.2), (-1, 5, 0.2)]
    s = stake(replace(model, terrain=survey(points)), pins())
    assert any("pin 1 and pin 2 lies beyond" in w for w in s.warnings)


def test_check_distances_of_a_rectangle(model):
    c = stake(model, pins()).lines
    assert c.rectangular
    assert c.ids[:4] == ("F1–F4", "B1–B4", "F1–B4", "F4–B1")
    a, b = 27 * FOOT, model.posts.xy[4, 1]
    assert c.level[:4] == pytest.approx([a, a, np.hypot(a, b), np.hypot(a, b)])
    assert len(c.of("front to back")) == 4
    assert [c.ids[i] for i in c.of("bay diagonal")[:2]] == ["F1–B2", "F2–B1"]
    assert (c.twin[c.twin[c.of("diagonal")]] == c.of("diagonal")).all()
    assert not (c.twin == np.arange(len(c.ids))).any()


def test_diagonals_on_the_ground_differ_on_a_cross_fall_though_the_layout_is_square(model):
    c = stake(on_ground(model, 0.05, 0.2), pins()).lines
    first = c.of("diagonal")[0]
    assert abs(c.level_difference[first]) < 1e-9
    a, b = 27 * FOOT, model.posts.xy[4, 1]
    D = np.hypot(a, b)
    expected = np.hypot(D, 0.05 * a + 0.2 * b) - np.hypot(D, 0.05 * a - 0.2 * b)
    assert c.slope_difference[first] == pytest.approx(expected)
    assert expected > 0.01


def test_a_layout_out_of_square_shows(model):
    xy = model.posts.xy.copy()
    xy[4:, 0] += 0.01
    c = stake(replace(model, posts=replace(model.posts, xy=xy)), pins()).lines
    assert not c.rectangular
    assert c.level_difference[c.of("diagonal")[0]] > 0.005


def test_a_slid_row_is_found_from_its_diagonals(model):
    c = stake(model, pins()).lines
    xy = model.posts.xy.copy()
    xy[4:, 0] += 0.004
    slid = stake(replace(model, posts=replace(model.posts, xy=xy)), pins()).lines
    difference = slid.level_difference[slid.of("diagonal")[0]]
    assert c.slide * difference == pytest.approx(0.004, rel=1e-4)


def test_two_stations_have_no_bay_diagonals_besides_the_overall_ones(model):
    keep = np.array([0, 3, 4, 7])
    posts = replace(
        model.posts, ids=("F1", "F2", "B1", "B2"), xy=model.posts.xy[keep],
        ground=model.posts.ground[keep], top=model.posts.top[keep], foot=model.posts.foot[keep],
    )  # fmt: skip
    piers = replace(model.piers, depth=model.piers.depth[keep], bottom=model.piers.bottom[keep])
    s = stake(replace(model, posts=posts, piers=piers), pins())
    assert s.lines.kind.count("bay diagonal") == 0
    assert s.lines.kind.count("diagonal") == 2
    assert s.lines.rectangular
