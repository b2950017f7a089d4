"""Distances in plan, each worked by hand."""

from math import pi, sqrt

import numpy as np
import pytest

from plumbrail.site.flat import (
    closed,
    inset,
    inside,
    lines_apart,
    outline_room,
    outlines_apart,
    room_inside,
    to_line,
)

SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]
ELL = [(0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10)]
"""An L whose inner corner is at (4, 4)."""


def test_a_point_is_as_far_from_a_line_as_from_its_nearest_place():
    line = [(0, 0), (4, 0), (4, 3)]
    points = [(2, 5), (-3, -4), (4, 7), (7, 1), (2, 0)]
    # beside both pieces (2 from the second), beyond the start (3-4-5), beyond the end, beside, on
    assert to_line(points, line) == pytest.approx([sqrt(8), 5, 4, 3, 0])


def test_a_point_beside_a_slanting_line():
    # 3x + 4y = 0 and the point (5, 5): |15 + 20| / 5
    assert to_line([(5, 5)], [(-40, 30), (40, -30)]) == pytest.approx([7])


def test_two_equal_places_count_as_one():
    assert to_line([(3, 4)], [(0, 0), (0, 0)]) == pytest.approx([5])


@pytest.mark.parametrize("way", [1, -1])
def test_inside_holds_for_an_outline_that_reaches_in_whichever_way_it_runs(way):
    points = [(1, 1), (9, 1), (1, 9), (9, 9), (5, 5), (-1, 5), (11, 2)]
    assert inside(points, ELL[::way]).tolist() == [True, True, True, False, False, False, False]


def test_room_is_below_nothing_outside():
    assert room_inside([(1, 2), (5, 6), (12, 2)], ELL) == pytest.approx([1, -1, -2])


def test_lines_that_cross_are_not_apart_and_say_where():
    found = lines_apart([(0, 0), (10, 10)], [(0, 8), (8, 0)])
    assert found.distance == 0
    assert found.here == pytest.approx([4, 4])


def test_lines_that_miss():
    found = lines_apart([(0, 0), (10, 0)], [(4, 3), (4, 9)])
    assert (found.distance, *found.here, *found.there) == pytest.approx((3, 4, 0, 4, 3))


def test_outlines_apart():
    other = [(13, 14), (15, 14), (15, 16), (13, 16)]
    found = outlines_apart(SQUARE, other)
    assert (found.distance, *found.here, *found.there) == pytest.approx((5, 10, 10, 13, 14))


@pytest.mark.parametrize(
    "other", [[(2, 2), (3, 2), (3, 3)], [(-5, -5), (20, -5), (20, 20), (-5, 20)],
              [(8, 4), (15, 4), (15, 6), (8, 6)], [(10, 2), (12, 2), (12, 4)]]
)  # fmt: skip
def test_outlines_that_share_ground_or_touch_are_not_apart(other):
    assert outlines_apart(SQUARE, other).distance == 0
    assert outlines_apart(other, SQUARE).distance == 0


def test_room_of_an_outline_in_another():
    inner = [(1, 2), (3, 2), (3, 3.5), (1, 3.5)]
    assert outline_room(inner, ELL).distance == pytest.approx(1)
    beyond = outline_room([(1, 1), (3, 1), (3, 12), (1, 12)], ELL)
    assert beyond.distance == pytest.approx(-2)
    assert beyond.here[1] == 12
    # both ends inside, the middle over the corner that reaches in: the sides cross
    bridge = [(9, 1), (9.5, 1), (1.5, 9), (1, 9)]
    assert outline_room(bridge, ELL).distance == 0


def test_the_inner_line_of_a_square_is_a_square():
    pieces = inset(SQUARE, 2.0)
    assert sum(np.hypot(*(p[1] - p[0])) for p in pieces) == pytest.approx(4 * 6)
    assert np.concatenate(pieces).min() == pytest.approx(2)
    assert np.concatenate(pieces).max() == pytest.approx(8)


def test_the_inner_line_goes_round_a_corner_that_reaches_in():
    pieces = inset(ELL, 1.0)
    # foot, right, top of the foot, a quarter about (4, 4), right of the stem, top, left
    straight, arc = 8 + 2 + 5 + 5 + 2 + 8, pi / 2
    long = sum(np.hypot(*(p[1] - p[0])) for p in pieces)
    assert straight + arc < long < straight + 1.02 * arc
    middles = np.array([p.mean(axis=0) for p in pieces])
    assert room_inside(middles, ELL).min() >= 1.0 - 1e-9


def test_there_is_no_inner_line_in_too_narrow_an_outline():
    assert inset([(0, 0), (50, 0), (50, 3), (0, 3)], 2.0) == []


def test_an_outline_comes_back_to_its_start():
    assert closed(SQUARE)[0].tolist() == closed(SQUARE)[-1].tolist()
