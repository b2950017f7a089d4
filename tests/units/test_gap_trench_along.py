"""Bends of a route, and the stretch of it that is dug by hand about a service; geometry by hand."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from plumbrail.trench.along import turns, zone_about
from plumbrail.trench.parts import Piece


def test_a_route_bends_to_the_left_above_nothing_and_to_the_right_below() -> None:
    """East, then 30 degrees to the left, straight on, then 90 to the right."""
    c, s = 3**0.5 / 2, 0.5
    steps = np.array([[4.0, 0.0], [5 * c, 5 * s], [2 * c, 2 * s], [3 * s, -3 * c]])
    points = np.concatenate([[[0.0, 0.0]], np.cumsum(steps, axis=0)])
    at, angle = turns(points)
    assert at.tolist() == [1, 3]
    assert angle == pytest.approx([pi / 6, -pi / 2])


def stretch(start: float, end: float, *names: str) -> Piece:
    return Piece(start, end, 1.0, bool(names), names, ("service zone",) * len(names))


def test_the_zone_of_a_crossing_is_the_stretch_that_holds_it() -> None:
    """Gas from 4 to 9 m in three pieces, and again from 15 to 16 m: another crossing."""
    found = (
        stretch(0, 4), stretch(4, 6, "Gas"), stretch(6, 7, "Gas", "Water"), stretch(7, 9, "Gas"),
        stretch(9, 15, "Water"), stretch(15, 16, "Gas"),
    )  # fmt: skip
    assert zone_about(found, 6.5, "Gas") == (4, 9)
    assert zone_about(found, 4.5, "Gas") == (4, 9)
    assert zone_about(found, 8.5, "Gas") == (4, 9)
    assert zone_about(found, 15.5, "Gas") == (15, 16)
    for edge in (4.0, 9.0):
        assert zone_about(found, edge, "Gas") == (4, 9)
    assert zone_about(found, 6.5, "Water") == (6, 7)
    assert zone_about(found, 12.0, "Sewer") == (12.0, 12.0)
