"""Shortest ways round obstacles and over two kinds of ground, against printed lengths."""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.trench import planar
from plumbrail.trench.field import Field, Obstacle
from trenches import box, patch, way

WORLD = "extremitypathfinder 2.7, tests/test_cases.py (MIT), grid world of 19 by 10 cells"
BLOCKED = [
    (0, 1),
    (1, 1),
    (2, 1),
    (3, 1),
    (17, 9),
    (17, 8),
    (17, 7),
    (17, 5),
    (17, 4),
    (17, 3),
    (17, 2),
    (17, 1),
    (17, 0),
    (5, 5),
    (5, 6),
    (6, 6),
    (6, 7),
    (7, 7),
    (7, 5),
]
PRINTED = [
    ((0.5, 6), (18.5, 0.5), 23.187837875),
    ((0.5, 6), (9, 5.5), 8.727806217),
    ((0.5, 6), (18.5, 9), 19.869364069),
    ((0.5, 0.5), (0.5, 2.5), 8.071067812),
    ((16.5, 0.5), (18.5, 0.5), 12.045361017),
]
HAIRS = 1e-5
"""Routes keep a hair (1e-6 m) off every corner that they turn at."""


@pytest.fixture(scope="module")
def world():
    cells = [box(x, y, 1, 1, 0.0, f"{x},{y}") for x, y in BLOCKED]
    outside = planar.without(
        planar.frame([[0, 0], [19, 10]], 5.0), planar.area([[0, 0], [19, 0], [19, 10], [0, 10]])
    )
    return Field((*cells, Obstacle("edge", "boundary", outside, 0.0)))


@pytest.mark.parametrize(("start", "end", "length"), PRINTED)
def test_lengths_in_the_grid_world(published, world, start, end, length):
    published(WORLD, f"{start} to {end}", length, way(world, start, end).cost, HAIRS, "m")


def test_a_trench_does_not_squeeze_through_where_two_cells_touch_at_a_corner(world):
    # printed 5.830925564 by way of (7, 6), where the free ground is no wider than nothing
    assert way(world, (6.9, 4), (7, 9)).cost > 5.830925564 + 0.05


def test_round_a_hole_with_slanting_sides(published):
    hole = Field(
        (Obstacle("hole", "building", planar.area([[3, 7], [5, 9], [4.6, 7], [5, 4]]), 0.0),)
    )
    published(
        WORLD,
        "hole (3,7)(5,9)(4.6,7)(5,4), (4,4.5) to (6,4.5)",
        2.236067977,
        way(hole, (4, 4.5), (6, 4.5)).cost,
        HAIRS,
        "m",
    )


def test_round_a_square(published):
    published(
        "Closed form",
        "square of 2 between places 10 apart: 2 sqrt 17 + 2",
        2 * np.sqrt(17) + 2,
        way(Field((box(4, -1, 2, 2),)), (0, 0), (10, 0)).cost,
        HAIRS,
        "m",
        "derived",
    )


def test_round_a_circle(published):
    disc = Field((Obstacle("disc", "stem", planar.disc((0, 0), 1.0, 64), 0.0),))
    printed = 2 * np.sqrt(24) + np.pi - 2 * np.arccos(0.2)
    published(
        "Closed form",
        "unit circle between places 10 apart",
        printed,
        way(disc, (-5, 0), (5, 0)).cost,
        1e-4,
        "m",
        "derived",
    )


@pytest.mark.parametrize("end", [(10, 10), (30, 8), (2, 25)])
def test_two_kinds_of_ground_bend_it_as_glass_bends_light(published, end):
    field = Field((), (patch([[-90, 5], [90, 5], [90, 90], [-90, 90]], 2.0),))
    x = np.linspace(0, end[0], 2_000_001)
    exact = (np.hypot(x, 5) + 2 * np.hypot(end[0] - x, end[1] - 5)).min()
    found = way(field, (0, 0), end)
    published(
        "Snell's law, by search along the border",
        f"factors 1 and 2, (0,0) to {end}",
        exact,
        found.cost,
        1e-5,
        "-",
        "derived",
    )
    ((px, py),) = found.points[1:-1]
    ratio = (px / np.hypot(px, py)) / ((end[0] - px) / np.hypot(end[0] - px, end[1] - py))
    published("Snell's law", f"ratio of sines, to {end}", 2.0, ratio, 1e-3, "-", "derived")


def test_the_printed_two_media_example(published):
    field = Field((), (patch([[-90, 5], [90, 5], [90, 90], [-90, 90]], 2.0),))
    found = way(field, (0, 0), (10, 10))
    published(
        "Snell's law", "cost of (0,0) to (10,10)", 20.188216, found.cost, 1e-5, "-", "derived"
    )
    published(
        "Snell's law", "place of the bend", 7.691321, found.points[1][0], 1e-3, "m", "derived"
    )


def test_along_a_border_that_is_cheaper_than_straight_on(published):
    # past the critical angle the way runs along the edge of ground three times as dear
    field = Field((), (patch([[-90, 0], [90, 0], [90, 90], [-90, 90]], 3.0),))
    critical = np.arcsin(1 / 3)
    exact = 20 - 2 * 2 * np.tan(critical) + 2 * 3 * 2 / np.cos(critical)
    published(
        "Critical refraction",
        "two places 2 m inside, 20 m apart",
        exact,
        way(field, (0, 2), (20, 2)).cost,
        1e-3,
        "-",
        "derived",
    )
