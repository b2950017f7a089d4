"""From the plan to points and pieces, and the refusals with their reasons."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from plans import FOOT, INCH, model_with, plan_with, tilted
from plumbrail.errors import GeometryError, PlanError
from plumbrail.model.build import build

SURVEY = {"site.ground.points_unit": "m"}
NO_SLOPES = ["site.ground.slope_across", "site.ground.slope_along"]
LEVEL = {"site.ground.slope_across": "0 %", "site.ground.slope_along": "0 %"}


def test_names_and_order() -> None:
    m = model_with()
    assert m.posts.ids == ("F1", "F2", "F3", "F4", "B1", "B2", "B3", "B4")
    assert m.rails.ids[0] == "R1"
    assert len(m.rails.ids) == 12
    assert m.modules.ids[0] == "M1-1"
    assert m.modules.ids[-1] == "M4-6"
    assert m.beams.ids == ("front beam", "back beam")


@pytest.mark.parametrize("slope", ["-1 %", "6 %"])
def test_posts_along_a_sloping_row_get_their_own_lengths(slope: str) -> None:
    """Level beams over sloping ground: each bay of 9 ft changes a post by slope x 9 ft."""
    m = model_with({"site.ground.slope_along": slope})
    step = float(slope.split()[0]) / 100 * 9 * FOOT
    for row in (slice(0, 4), slice(4, 8)):
        np.testing.assert_allclose(np.diff(m.posts.length[row]), -step, atol=1e-12)
        np.testing.assert_allclose(np.ptp(m.posts.top[row]), 0.0, atol=1e-12)
    in_ground = (m.posts.ground - m.posts.foot)[:4]
    np.testing.assert_allclose(in_ground, 7 * FOOT - 3 * INCH, atol=1e-12)


def test_post_length_by_hand_on_level_ground() -> None:
    """Low edge + rise to the beam - rail and half a beam - saddle, + depth - cover."""
    m = model_with(LEVEL)
    tilt, slope = np.radians(32), 4 * 1.134 + 0.06
    below = 0.100 + 1.75 * INCH
    for p, (share, depth) in {0: (0.21, 7), 4: (0.79, 6)}.items():
        centre = 30 * INCH + share * slope * np.sin(tilt) - below * np.cos(tilt)
        hand = centre - 1.75 * INCH + depth * FOOT - 3 * INCH
        assert m.posts.length[p] == pytest.approx(hand, abs=1e-9)


def test_front_posts_stand_on_the_axis_plumb_under_the_beam() -> None:
    m = model_with()
    assert m.posts.xy[0] == pytest.approx([0.0, 0.0], abs=1e-12)
    np.testing.assert_allclose(m.posts.xy[:4, 1], m.beams.start[0, 1], atol=1e-12)
    np.testing.assert_allclose(m.posts.xy[4:, 1], m.beams.start[1, 1], atol=1e-12)


@pytest.mark.parametrize(("orientation", "along", "up"),
                         [("landscape", 1.722, 1.134), ("portrait", 1.134, 1.722)])  # fmt: skip
def test_orientation(orientation: str, along: float, up: float) -> None:
    m = model_with({"array.orientation": orientation, "array.columns": 9, "array.rows": 3})
    low_left, low_right, high_right, _ = m.modules.corners[0]
    assert np.linalg.norm(low_right - low_left) == pytest.approx(along)
    assert np.linalg.norm(high_right - low_right) == pytest.approx(up)
    assert m.plane.slope_length == pytest.approx(3 * up + 2 * 0.020)
    assert m.plane.row_length == pytest.approx(9 * along + 8 * 0.020)
    rise = m.modules.corners[..., 2].max() - m.modules.corners[..., 2].min()
    assert rise == pytest.approx(m.plane.slope_length * np.sin(np.radians(32)))


@pytest.mark.parametrize(("rows", "columns"), [(1, 8), (2, 6), (6, 7), (12, 6)])
def test_any_rows_and_columns(rows: int, columns: int) -> None:
    m = model_with({"array.rows": rows, "array.columns": columns, "piers.diameter": "12 in"})
    assert len(m.modules.ids) == rows * columns
    total = m.rails.tributary.sum()
    assert total == pytest.approx(columns * 1.722), "every strip of module is carried once"


@pytest.mark.parametrize("posts", [2, 3, 12, 40])
def test_two_to_forty_posts(posts: int) -> None:
    m = model_with({"frame.posts": posts, "array.columns": max(2, round(posts * 2.75 / 1.742))})
    assert m.stations == posts
    assert m.beams.supports.shape[1] == posts
    middle = 0.5 * (m.beams.start[0, 0] + m.beams.end[0, 0])
    assert middle == pytest.approx(0.5 * (posts - 1) * 9 * FOOT), "centred on its posts"


def test_bays_of_their_own() -> None:
    m = model_with({"frame.spacing": ["9 ft", "10 ft", "8 ft 6 in"]})
    np.testing.assert_allclose(np.diff(m.posts.xy[:4, 0]), np.array([9, 10, 8.5]) * FOOT)


@pytest.mark.parametrize("n", [2, 3, 4, 6])
def test_rails_per_column_share_the_width(n: int) -> None:
    m = model_with({"frame.rails_per_column": n})
    one = m.rails.tributary[:n]
    assert one.sum() == pytest.approx(1.722)
    np.testing.assert_allclose(one, one[::-1])
    assert m.rails.x[0] - m.plane.x_left == pytest.approx(0.22 * 1.722)
    assert m.rails.length == pytest.approx(m.plane.slope_length)


def test_overhangs_follow_from_the_beam_length() -> None:
    m = model_with({"frame.beam_length": "36 ft"})
    assert m.beams.length == pytest.approx(36 * FOOT)
    assert m.beams.supports[0, 0] == pytest.approx(4.5 * FOOT)
    assert m.beams.length - m.beams.supports[0, -1] == pytest.approx(4.5 * FOOT)


def test_braces_run_between_their_posts() -> None:
    m = model_with({
        "frame.brace": "NPS 1-1/2 STD",
        "frame.braces": [
            {"direction": "across", "stations": [2], "low": "6 in", "high": "9 in"},
            {"direction": "along", "stations": [3, 2], "row": "back", "low": "1 ft",
             "high": "2 ft"},
        ],
    })  # fmt: skip
    assert m.braces.ids == ("D1", "D2")
    assert [m.posts.ids[i] for i in m.braces.low_post] == ["F2", "B3"]
    assert [m.posts.ids[i] for i in m.braces.high_post] == ["B2", "B2"]
    assert m.braces.ends[0, 0, 2] == pytest.approx(m.posts.ground[1] + 6 * INCH)
    assert m.braces.ends[0, 1, 2] == pytest.approx(m.posts.beam_centre[5] - 9 * INCH)
    assert m.braces.length[1] == pytest.approx(np.linalg.norm(np.diff(m.braces.ends[1], axis=0)))


def test_clearance_is_met_at_the_worst_place_of_the_low_edge() -> None:
    m = model_with({"site.ground.slope_along": "7 %"})
    assert m.clearance == pytest.approx(30 * INCH, abs=1e-9)
    right = m.modules.corners[5, 1]
    assert right[2] - m.terrain.height(right[0], right[1]) == pytest.approx(30 * INCH, abs=1e-9)


def test_a_hump_under_the_plane_shows_in_the_clearance() -> None:
    flat = [[x, y, 0] for x in range(-6, 17) for y in (-6, -1, 0.2, 2.9, 9)]
    hump = [*flat, [4.1, 1.5, 1.8]]
    m = model_with(SURVEY | {"site.ground.points": hump}, drop=NO_SLOPES)
    top = m.plane.point(4.1, (1.5 - m.plane.low_y) / np.cos(m.plane.tilt))[2]
    assert m.clearance == pytest.approx(top - 1.8, abs=0.1)
    assert 0 < m.clearance < 30 * INCH


REFUSED: dict[str, tuple[dict[str, Any], str, str]] = {
    "rails off the clamp zone": ({"frame.rail_inset": "35 %"}, "frame.rail_inset", "clamp zone"),
    "rows on each other": ({"array.rows": 1, "piers.diameter": "24 in"}, "frame.beam_inset",
                           "holes run into each other"),
    "insets that meet": ({"frame.beam_inset": ["48 %", "48 %"]}, "frame.beam_inset",
                         "at or behind the back beam"),
    "a beam under the edge": ({"frame.beam_inset": ["0 %", "21 %"]}, "frame.beam_inset",
                              "under the very edge"),
    "bays shorter than a hole": ({"frame.posts": 8, "frame.spacing": "20 in"}, "frame.spacing",
                                 "share one"),
    "posts beyond the beam": ({"frame.spacing": "13 ft"}, "frame.spacing", "beyond the ends"),
    "a beam shorter than the array": ({"frame.beam_length": "30 ft"}, "frame.beam_length",
                                      "outermost rails"),
    "a hole no wider than the post": ({"piers.diameter": "4 in"}, "piers.diameter", "no wider"),
    "fixed below the pier": ({"frame.fixity_depth": "6 ft"}, "frame.fixity_depth", "deeper"),
    "a brace above its post": (
        {"frame.brace": "NPS 1-1/2 STD", "frame.braces": [
            {"direction": "across", "stations": [1], "low": "9 ft", "high": "6 in"}]},
        "frame.braces[1].low", "above the top"),
    "a brace into the ground": (
        {"frame.brace": "NPS 1-1/2 STD", "frame.braces": [
            {"direction": "across", "stations": [1], "low": "6 in", "high": "12 ft"}]},
        "frame.braces[1].high", "below the ground"),
    "an unknown pipe": ({"frame.post": "NPS 4 STB"}, "frame.post", "NPS 4 STD"),
    "the low beam in the ground": ({"array.low_edge_clearance": "0 in",
                                    "frame.beam_inset": ["3 %", "21 %"]},
                                   "array.low_edge_clearance", "touches the ground"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_field_and_reason(name: str) -> None:
    changes, field, words = REFUSED[name]
    with pytest.raises(GeometryError) as caught:
        model_with(changes)
    found = [p for p in caught.value.problems if p.path == field and words in p.message]
    assert found, [str(p) for p in caught.value.problems]


def test_ground_that_rises_faster_than_the_array_is_refused() -> None:
    with pytest.raises(GeometryError, match="under the ground"):
        model_with(tilted(10) | {"site.ground.slope_across": "40 %"})


def test_every_reason_is_given_at_once() -> None:
    with pytest.raises(GeometryError) as caught:
        model_with({"frame.beam_length": "24 ft", "piers.diameter": "4 in"})
    assert {"frame.beam_length", "piers.diameter"} <= {p.path for p in caught.value.problems}


@pytest.mark.parametrize("posts", [1, 41])
def test_posts_outside_two_to_forty_are_refused(posts: int) -> None:
    with pytest.raises(PlanError, match=r"frame\.posts"):
        plan_with({"frame.posts": posts})


def test_own_tube() -> None:
    tube = {"outside_diameter": "3 in", "design_wall": "0.12 in", "weight": "4 lb/ft"}
    plan = plan_with({"frame.beam": "My tube", "frame.tubes": {"My tube": tube}})
    section = build(plan).beams.section
    assert pytest.approx(3 * INCH) == section.OD
    assert np.pi / 4 * (3**2 - 2.76**2) * INCH**2 == pytest.approx(section.A, rel=1e-6)
    assert section.mass == pytest.approx(4 * 0.45359237 / FOOT)
