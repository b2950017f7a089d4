"""What stands around the array: axes on the map, turns, heights over sloping ground, horizon."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.energy.parts import SunYear
from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.site.bearings import axes_bearing, bearing_of, flat_direction, row_bearing
from plumbrail.site.horizon import Horizon, horizon
from plumbrail.site.surroundings import HORIZON, Kind, surroundings
from plumbrail.site.terrain import Plane, survey

LEVEL = Plane(0.0, 0.0)


def rad(degrees):
    return float(np.radians(degrees))


@pytest.mark.parametrize(
    ("azimuth", "right", "back"),
    # Who stands south of a south-facing array looks north: east is right, north is the back. Who
    # stands east of an east-facing one looks west: north is right, west is the back.
    [(180, 90, 0), (90, 0, 270), (0, 270, 180), (270, 180, 90), (178, 88, 358)],
)
def test_right_and_back_on_the_map(azimuth, right, back):
    x = row_bearing(rad(azimuth))
    assert np.degrees(x) == pytest.approx(right)
    assert flat_direction(rad(right), x) == pytest.approx([1, 0])
    assert flat_direction(rad(back), x) == pytest.approx([0, 1], abs=1e-12)
    assert flat_direction(rad(azimuth), x) == pytest.approx([0, -1], abs=1e-12)


def test_bearings_come_back_and_agree_with_the_sun():
    bearing = np.radians(np.arange(0.0, 360.0, 7.0))
    x = row_bearing(rad(137.0))
    assert bearing_of(flat_direction(bearing, x), x) == pytest.approx(bearing)
    n = len(bearing)
    sun = SunYear(np.full(n, 0.5), bearing, np.ones(n, bool), np.ones(n), np.ones(n))
    assert sun.toward(x)[:, :2] / np.cos(0.5) == pytest.approx(flat_direction(bearing, x))
    assert bearing_of(sun.toward(x), x) == pytest.approx(bearing)


def test_a_row_askew_in_the_axes_leaves_the_axes_where_they_are():
    # Built 2° counter-clockwise of its axes, the array faces 2° less; the axes have not moved.
    row = np.array([np.cos(rad(2)), np.sin(rad(2)), 0.0])
    assert axes_bearing(rad(178), row) == pytest.approx(rad(90))
    assert axes_bearing(rad(180), np.array([1.0, 0, 0])) == pytest.approx(rad(90))


def test_a_box_turns_clockwise_and_stands_on_the_ground():
    shade = Shade(
        boxes=(Box(name="b", at=("10 m", "5 m"), size=("4 m", "2 m"), turn="90 deg",
                   height="3 m"),)
    )  # fmt: skip
    found = surroundings(shade, Plane(0.1, -0.2, 7.0), 0.0)
    assert found.boxes.axis[0] == pytest.approx([0, -1], abs=1e-12)
    assert found.top(0) == pytest.approx(7 + 1 - 1 + 3)
    corners = found.footprint(0)
    assert corners.min(axis=0) == pytest.approx([9, 3])
    assert corners.max(axis=0) == pytest.approx([11, 7])
    shade = Shade(
        boxes=(Box(name="b", at=("0 m", "0 m"), size=("4 m", "2 m"), turn="30 deg", height="3 m"),)
    )
    first = surroundings(shade, LEVEL, 0.0).boxes.axis[0]
    assert first == pytest.approx([np.cos(rad(30)), -np.sin(rad(30))])


def test_a_tree_has_its_crown_over_the_ground_and_its_months():
    shade = Shade(
        trees=(
            Tree(name="oak", at=("-3 m", "4 m"), height="9 m", crown_from="2 m", radius="3 m",
                 crown="round", light_through="10 %", light_through_bare="60 %",
                 bare_months=(12, 1)),
            Tree(name="fir", at=("1 m", "0 m"), height="12 m", radius="2 m"),
        )
    )  # fmt: skip
    found = surroundings(shade, Plane(0.0, 0.5, 1.0), 0.0)
    assert found.crowns.bottom == pytest.approx([5.0, 1.0])
    assert found.crowns.top == pytest.approx([12.0, 13.0])
    assert found.crowns.round.tolist() == [True, False]
    assert found.light[0] == pytest.approx([0.6, *[0.1] * 10, 0.6])
    assert found.light[1] == pytest.approx(np.zeros(12))
    reach = np.hypot(*(found.footprint(0) - found.crowns.stem[0]).T)
    assert (reach >= 3.0).all() and (reach < 3.1).all()


def test_an_array_that_faces_the_same_way_lies_along_the_row():
    other = OtherArray(
        name="old", at=("5 m", "-20 m"), row_length="8 m", slope_length="4 m", tilt="30 deg",
        azimuth="178 deg", low_edge="1 m",
    )  # fmt: skip
    found = surroundings(Shade(arrays=(other,)), Plane(0.0, 0.1), row_bearing(rad(178)))
    assert found.sheets.corner[0] == pytest.approx([1, -20, -1])
    assert found.sheets.along[0] == pytest.approx([8, 0, 0], abs=1e-12)
    assert found.sheets.up[0] == pytest.approx([0, 4 * np.cos(rad(30)), 2.0], abs=1e-12)
    assert found.top(0) == pytest.approx(1.0)


def test_an_array_that_faces_west_beside_one_that_faces_south():
    other = OtherArray(
        name="west", at=("5 m", "0 m"), row_length="8 m", slope_length="4 m", tilt="60 deg",
        azimuth="270 deg", low_edge="0 m",
    )  # fmt: skip
    sheet = surroundings(Shade(arrays=(other,)), LEVEL, row_bearing(rad(180))).sheets
    # x is east, y is north. It faces west, so its right hand (seen from the west) is south and its
    # slope rises to the east.
    assert sheet.along[0] == pytest.approx([0, -8, 0], abs=1e-12)
    assert sheet.up[0] == pytest.approx([2, 0, 4 * np.sin(rad(60))], abs=1e-12)
    assert sheet.corner[0] == pytest.approx([5, 4, 0], abs=1e-12)


def test_the_horizon_runs_on_around_north():
    skyline = horizon([(rad(90), rad(4)), (rad(270), rad(8))])
    assert np.degrees(skyline.at(np.radians([90, 180, 270, 0, 360, 315, 45, -45]))) == (
        pytest.approx([4, 6, 8, 6, 6, 7, 5, 7])
    )


def test_one_point_of_horizon_holds_all_around_and_none_is_none():
    assert horizon([(rad(40), rad(3))]).at([0.0, 2.0, 6.0]) == pytest.approx([rad(3)] * 3)
    assert horizon(None) is None
    assert horizon(()) is None


def test_a_horizon_written_to_360_degrees_starts_at_north():
    skyline = horizon([(rad(90), rad(4)), (rad(360), rad(2))])
    assert isinstance(skyline, Horizon)
    assert skyline.bearing == pytest.approx([0, rad(90)])
    assert np.degrees(skyline.at(rad(45))) == pytest.approx(3)


def test_names_kinds_and_places_go_together():
    shade = Shade(
        horizon=(("0 deg", "1 deg"),),
        boxes=(Box(name="b", at=("10 m", "5 m"), size=("4 m", "2 m"), height="3 m"),),
        trees=(Tree(name="t", at=("-9 m", "5 m"), height="3 m", radius="1 m"),),
    )
    found = surroundings(shade, LEVEL, 0.0)
    assert found.names == ("b", "t", HORIZON)
    assert found.kinds == (Kind.BOX, Kind.TREE, Kind.HORIZON)
    assert found.light.shape == (3, 12)
    for wrong in (3, -1):
        with pytest.raises(IndexError, match="3 things shade"):
            found.place(wrong)


def test_nothing_said_is_said():
    nothing = surroundings(None, LEVEL, 0.0)
    assert nothing.names == ()
    assert "no shade at all" in nothing.notes[0]
    assert "taken as level" in surroundings(Shade(), LEVEL, 0.0).notes[0]
    assert surroundings(Shade(horizon=(("0 deg", "1 deg"),)), LEVEL, 0.0).notes == ()


def test_a_thing_beyond_the_survey_is_named():
    ground = survey([[0, 0, 0], [10, 0, 0], [0, 10, 1], [10, 10, 1]])
    shade = Shade(
        horizon=(("0 deg", "1 deg"),),
        trees=(Tree(name="near", at=("5 m", "5 m"), height="3 m", radius="1 m"),
               Tree(name="far", at=("50 m", "5 m"), height="3 m", radius="1 m")),
    )  # fmt: skip
    (note,) = surroundings(shade, ground, 0.0).notes
    assert "far" in note and "near" not in note
