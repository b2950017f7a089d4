"""Ground from a plane or from survey points."""

from __future__ import annotations

import numpy as np
import pytest

from plans import FOOT, model_with, plan_with
from plumbrail.errors import GeometryError
from plumbrail.site.terrain import Plane, Survey, survey, terrain

RIDGE = [[x, y, 1.0 - abs(y) / 5.0] for x in (0.0, 6.0, 12.0) for y in (-5.0, 0.0, 5.0)]


def test_plane_rises_to_the_back_and_to_the_right() -> None:
    plane = Plane(slope_along=-0.01, slope_across=0.04)
    assert plane.height(10.0, 0.0) == pytest.approx(-0.1)
    assert plane.height(0.0, 10.0) == pytest.approx(0.4)
    assert plane.height(np.zeros((3, 1)), np.zeros(4)).shape == (3, 4)
    assert not plane.outside(1e6, [0.0, 1e6]).any()


def test_survey_passes_through_its_points_and_is_straight_between_them() -> None:
    ground = survey(RIDGE)
    points = np.array(RIDGE)
    np.testing.assert_allclose(ground.height(points[:, 0], points[:, 1]), points[:, 2], atol=1e-12)
    assert not ground.outside(points[:, 0], points[:, 1]).any(), "a survey point is inside"
    assert ground.height(3.0, 0.0) == pytest.approx(1.0), "along the ridge"
    assert ground.height(3.0, 2.5) == pytest.approx(0.5)
    assert ground.height(np.full((2, 1), 3.0), np.zeros(5)).shape == (2, 5)


def test_survey_of_a_plane_is_that_plane_inside_and_outside() -> None:
    rng = np.random.default_rng(4)
    xy = rng.uniform(0, 20, (60, 2))
    ground = survey(np.column_stack([xy, 3.0 + 0.05 * xy[:, 0] - 0.02 * xy[:, 1]]))
    x, y = rng.uniform(-20, 40, (2, 200))
    np.testing.assert_allclose(ground.height(x, y), 3.0 + 0.05 * x - 0.02 * y, atol=1e-9)
    far = ground.outside(x, y)
    assert far.any()
    assert not far.all()


def test_beyond_the_points_the_fitted_plane_holds() -> None:
    """Least squares over the ridge: symmetric, so level at the mean height of the points."""
    ground = survey(RIDGE)
    assert ground.outside(3.0, 6.0)
    assert ground.height(3.0, 6.0) == pytest.approx(np.mean([p[2] for p in RIDGE]))


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.1])
def test_a_surveyed_grid_has_no_holes(angle: float) -> None:
    """Points in straight lines give sliver triangles at the rim; every place stays covered."""
    x, y = (g.ravel() for g in np.meshgrid(np.linspace(0, 27.3, 7), np.linspace(0, 9.7, 5)))
    u, v = np.cos(angle) * x - np.sin(angle) * y, np.sin(angle) * x + np.cos(angle) * y
    ground = survey(np.column_stack([u, v, 0.04 * u - 0.01 * v]))
    p, q = (g.ravel() for g in np.meshgrid(np.linspace(0, 27.3, 40), np.linspace(0, 9.7, 40)))
    s, t = np.cos(angle) * p - np.sin(angle) * q, np.sin(angle) * p + np.cos(angle) * q
    inner = (p > 1e-6) & (p < 27.3 - 1e-6) & (q > 1e-6) & (q < 9.7 - 1e-6)
    assert not ground.outside(s, t)[inner].any()
    np.testing.assert_allclose(ground.height(s, t), 0.04 * s - 0.01 * t, atol=1e-9)


def test_many_points_stay_small_in_memory() -> None:
    """10,000 points, the most a plan takes, at 8,000 places."""
    rng = np.random.default_rng(1)
    xy = rng.uniform(0, 100, (10_000, 2))
    ground = survey(np.column_stack([xy, 0.02 * xy[:, 0]]))
    x = rng.uniform(5, 95, 8_000)
    np.testing.assert_allclose(ground.height(x, x), 0.02 * x, atol=1e-9)


@pytest.mark.parametrize(
    "points",
    [[[0, 0, 0], [1, 0, 0], [2, 0, 1]], [[0, 0, 0], [1, 1, 0], [2, 2, 1], [3, 3, 3]],
     [[1, 1, 0]] * 3],
)  # fmt: skip
def test_points_on_a_line_are_refused(points: list[list[float]]) -> None:
    with pytest.raises(GeometryError, match="on one line") as caught:
        survey(points)
    assert caught.value.problems[0].path == "site.ground.points"


def test_two_heights_at_one_place_are_refused() -> None:
    with pytest.raises(GeometryError, match=r"x = 0\.00 m, y = 1\.00 m have different heights"):
        survey([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 1, 5]])
    assert len(survey([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 1, 0]]).points) == 3


def test_points_of_a_plan_are_read_in_their_unit() -> None:
    points = [[-10, -20, 0], [40, -20, 0], [40, 30, 2], [-10, 30, 2]]
    plan = plan_with(
        {"site.ground.points": points, "site.ground.points_unit": "ft"},
        drop=["site.ground.slope_across", "site.ground.slope_along"],
    )
    ground = terrain(plan.site.ground)
    assert isinstance(ground, Survey)
    assert ground.height(0.0, 5 * FOOT) == pytest.approx(1.0 * FOOT)


def test_a_survey_too_small_for_the_array_warns() -> None:
    points = [[0, 0, 0.0], [8, 0, 0.0], [8, 3, 0.1], [0, 3, 0.1]]
    drop = ["site.ground.slope_across", "site.ground.slope_along"]
    inside = {"site.ground.points": points, "site.ground.points_unit": "m"}
    (warning,) = model_with(inside, drop=drop).warnings
    assert "lie beyond the survey points" in warning
    wide = [[-5, -5, 0.0], [15, -5, 0.0], [15, 9, 0.0], [-5, 9, 0.0]]
    assert model_with(inside | {"site.ground.points": wide}, drop=drop).warnings == ()
