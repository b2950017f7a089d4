"""Properties of the model: mirrors, shifts, scales."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plans import FOOT, model_with, plan_with, tilted
from plumbrail.model.build import build
from plumbrail.site.terrain import survey

slopes = st.integers(-8, 8)
layouts = st.fixed_dictionaries({
    "array.orientation": st.sampled_from(["landscape", "portrait"]),
    "array.rows": st.integers(2, 5),
    "array.columns": st.integers(8, 14),
    "frame.rails_per_column": st.integers(2, 4),
    "site.ground.slope_across": st.integers(-5, 8).map(lambda s: f"{s} %"),
    "site.ground.slope_along": slopes.map(lambda s: f"{s} %"),
    "piers.diameter": st.just("12 in"),
})  # fmt: skip
tilts = st.integers(10, 45)


def built(layout: dict[str, Any], tilt: int) -> Any:
    return model_with(layout | tilted(tilt))


@settings(max_examples=30, deadline=None)
@given(layouts, tilts)
def test_pieces_meet(layout: dict[str, Any], tilt: int) -> None:
    """Posts end at the beams, rails lie on both, modules on the rails, everything in one plane."""
    m = built(layout, tilt)
    n = m.stations
    np.testing.assert_allclose(m.posts.xy[:n, 1], m.beams.start[0, 1], atol=1e-9)
    np.testing.assert_allclose(m.posts.beam_centre[n:], m.beams.start[1, 2], atol=1e-9)
    normal = m.plane.normal
    flat = (m.modules.corners @ normal).ravel()
    np.testing.assert_allclose(flat, flat[0], atol=1e-9)
    half = 0.5 * 0.100
    np.testing.assert_allclose(m.rails.start @ normal, flat[0] - half, atol=1e-9)
    np.testing.assert_allclose(
        m.beams.start @ normal, flat[0] - 0.100 - 0.5 * m.beams.section.OD, atol=1e-9
    )
    along, height = m.plane.row_length, m.plane.slope_length
    gaps = (layout["array.columns"] - 1) * 0.020
    assert m.rails.tributary.sum() == pytest.approx(along - gaps)
    sides = np.linalg.norm(m.modules.corners[-1, 2] - m.modules.corners[0, 0])
    assert sides == pytest.approx(np.hypot(along, height))


@settings(max_examples=20, deadline=None)
@given(layouts, tilts)
def test_mirrored_ground_gives_mirrored_posts(layout: dict[str, Any], tilt: int) -> None:
    m = built(layout, tilt)
    slope = -int(layout["site.ground.slope_along"].split()[0])
    other = built(layout | {"site.ground.slope_along": f"{slope} %"}, tilt)
    n = m.stations
    for row in (slice(0, n), slice(n, 2 * n)):
        np.testing.assert_allclose(
            other.posts.out_of_ground[row], m.posts.out_of_ground[row][::-1], atol=1e-9
        )
        np.testing.assert_allclose(other.posts.length[row], m.posts.length[row][::-1], atol=1e-9)
    assert other.clearance == pytest.approx(m.clearance)


@settings(max_examples=20, deadline=None)
@given(layouts, tilts, st.integers(1, 40))
def test_a_higher_edge_lengthens_every_post_alike(
    layout: dict[str, Any], tilt: int, inches: int
) -> None:
    low = built(layout, tilt)
    high = built(layout | {"array.low_edge_clearance": f"{30 + inches} in"}, tilt)
    np.testing.assert_allclose(high.posts.length - low.posts.length, inches * 0.0254, atol=1e-9)


@settings(max_examples=15, deadline=None)
@given(slopes, st.integers(-5, 8), st.integers(0, 2**31))
def test_survey_points_on_a_plane_give_the_model_of_that_plane(
    along: int, across: int, seed: int
) -> None:
    rng = np.random.default_rng(seed)
    xy = np.vstack([rng.uniform(-8, 20, (40, 2)), [[-9, -9], [21, -9], [21, 21], [-9, 21]]])
    points = np.column_stack([xy, 0.01 * along * xy[:, 0] + 0.01 * across * xy[:, 1]])
    surveyed = plan_with(
        {"site.ground.points": points.tolist(), "site.ground.points_unit": "m"},
        drop=["site.ground.slope_across", "site.ground.slope_along"],
    )
    stated = plan_with({"site.ground.slope_along": f"{along} %",
                        "site.ground.slope_across": f"{across} %"})  # fmt: skip
    a, b = build(surveyed), build(stated)
    np.testing.assert_allclose(a.posts.length, b.posts.length, atol=1e-6)
    assert a.warnings == ()


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**31), st.floats(-3, 3), st.floats(-50, 50), st.floats(-50, 50))
def test_terrain_turns_and_shifts_with_its_points(
    seed: int, angle: float, dx: float, dy: float
) -> None:
    rng = np.random.default_rng(seed)
    points = rng.uniform(0, 10, (25, 3))
    spots = rng.uniform(0, 10, (60, 2))
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

    def moved(xy: np.ndarray) -> np.ndarray:
        return xy @ turn.T + [dx, dy]

    here = survey(points)
    there = survey(np.column_stack([moved(points[:, :2]), points[:, 2]]))
    p, q = moved(spots).T
    np.testing.assert_allclose(there.height(p, q), here.height(*spots.T), atol=1e-6)


def test_spacing_scales_the_row() -> None:
    narrow, wide = (model_with({"frame.spacing": f"{s} ft", "array.columns": 8}) for s in (8, 10))
    assert np.ptp(wide.posts.xy[:, 0]) - np.ptp(narrow.posts.xy[:, 0]) == pytest.approx(6 * FOOT)
    assert wide.beams.length == pytest.approx(narrow.beams.length)
