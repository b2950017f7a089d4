"""Sunrise and sunset where the sun does not set, and where clocks are changed at night."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from plumbrail.site.sun import Place
from plumbrail.works.daylight import _edges, daylight

DENVER = Place(float(np.radians(39.74)), float(np.radians(-105.18)), 1830.0)
FAR_NORTH = Place(float(np.radians(78.2)), float(np.radians(15.6)), 0.0)


@pytest.mark.parametrize(
    ("day", "edges"),
    [  # common knowledge: above the polar circle the sun stays up at midsummer, down at midwinter
        (date(2026, 6, 21), (0.0, 24.0)), (date(2026, 12, 21), (12.0, 12.0)),
    ],
)  # fmt: skip
def test_a_day_without_sunrise_or_without_sunset(day, edges):
    up, down = daylight(FAR_NORTH, "Etc/GMT-1", [day])
    assert (up[0], down[0]) == edges


def test_the_clock_on_the_wall_moves_with_the_clocks():
    # Colorado sets its clocks an hour ahead on 2026-03-08 and back on 2026-11-01, Arizona does not
    days = [date(2026, 3, 7), date(2026, 3, 8), date(2026, 10, 31), date(2026, 11, 1)]
    there = daylight(DENVER, "America/Denver", days)
    still = daylight(DENVER, "America/Phoenix", days)
    for ours, other in zip(there, still, strict=True):
        assert ours - other == pytest.approx([0.0, 1.0, 1.0, 0.0], abs=0.02)
        assert (ours > 5.0).all() and (ours < 19.5).all()


def test_edges_lie_where_the_height_crosses_nothing():
    # derived, by straight lines between 300 s steps: from -1 to 3 after a quarter of a step
    grid = 300.0 * np.arange(6)
    assert _edges(np.array([-5.0, -1.0, 3.0, 4.0, 1.0, -3.0]), grid) == (375.0, 1275.0)
    assert _edges(np.array([1.0, 1.0, 1.0, -1.0, -1.0, -1.0]), grid) == (0.0, 750.0)
    assert _edges(np.array([-1.0, -1.0, -1.0, 1.0, 1.0, 1.0]), grid) == (750.0, 86400.0)
