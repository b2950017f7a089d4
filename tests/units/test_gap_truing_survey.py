"""From a notebook to positions, sizes and words: what is set aside stays aside, and by how much."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frames import (
    INCH,
    alder_points,
    changed,
    crooked,
    index_of,
    notebook,
    reading,
    rows_for,
    truth_of,
)
from plumbrail.notebook.entries import Axis, Kind, Moved
from plumbrail.plan.truing import Truing
from plumbrail.truing.scheme import field_readings
from plumbrail.truing.survey import survey

POINTS = alder_points()
XYZ = crooked(POINTS)
FOOT = 12 * INCH


def test_a_wrong_move_stays_aside_though_a_rod_on_the_ground_is_wrong_too():
    """Readings without error: every point comes out where it stands, nothing is enlarged."""
    after = [reading(400 + i, Kind.ROD, p, setup="C")
             for i, p in enumerate(("pin 1", "F1", "F2", "F3", "F4", "B1", "F3"))]  # fmt: skip
    moved = (Moved(300, "", "F3", Axis.UP, 2 * INCH),)
    rows = [*rows_for(field_readings(POINTS)), *after]
    book = notebook(truth_of(POINTS, rows, XYZ, Truing(), moved),
                    (replace(moved[0], amount=-INCH),))  # fmt: skip
    i = index_of(book, Kind.ROD, "F2 base")
    found, _ = survey(POINTS, changed(book, i, 2 * FOOT), Truing())
    assert np.flatnonzero(found.suspect).tolist() == [i] and len(found.doubts) == 1
    assert found.enlarged == 1.0 and found.statistic < 1.0
    head = POINTS.index("F3")
    assert found.positions.xyz[head, 2] == pytest.approx(XYZ[head, 2], abs=INCH / 100)
