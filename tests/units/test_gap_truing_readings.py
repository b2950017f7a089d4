"""Computed readings by hand, with and without slopes, and rows taken out of others."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from plumbrail.truing import observe
from plumbrail.truing.observe import FORMULAS, VALUES, Reader, Rows, read_off

ORIGIN, FAR = (0.0, 0.0, 0.0), (3.0, 4.0, 12.0)


def one(formula, *, axis=0, sign=1.0, curve=0.0, scale=1.0, rise=(0.0, 0.0, 0.0), setup=-1):
    """A reading on points 0, 1 and 2."""
    values = ([formula], [[0, 1, 2]], [rise], [setup], [axis], [sign], [curve], [scale])
    return Rows(*(np.array(v) for v in values))


@pytest.mark.parametrize(
    ("row", "start", "end", "at", "value"),
    [
        (one(observe.DISTANCE), ORIGIN, FAR, FAR, 13.0),
        (one(observe.DISTANCE, scale=0.5), FAR, ORIGIN, FAR, 6.5),
        (one(observe.LEVEL_DISTANCE), ORIGIN, FAR, FAR, 5.0),
        (one(observe.LEVEL_DISTANCE, scale=2.0), FAR, ORIGIN, FAR, 10.0),
        (one(observe.ROD), FAR, FAR, FAR, -12.0),
        # left of a string of 5 m along 3, 4: (-4, 3)/5 · (1, 2)
        (one(observe.SIDE), ORIGIN, FAR, (1.0, 2.0, 9.0), 0.4),
        (one(observe.SIDE, sign=-1.0), ORIGIN, FAR, (1.0, 2.0, 9.0), -0.4),
        (one(observe.SIDE), FAR, ORIGIN, (1.0, 2.0, 9.0), -0.4),
        # a fifth along it, 3, 4 · (1, 0.5)/25; the chord is there 12/5 up
        (one(observe.HEIGHT), ORIGIN, FAR, (1.0, 0.5, 3.0), 3.0 - 2.4),
        (one(observe.HEIGHT, curve=0.1), ORIGIN, FAR, (1.0, 0.5, 3.0), 0.6 + 0.1 * 25 * 0.16),
        (one(observe.HEIGHT, curve=0.1), FAR, ORIGIN, (1.0, 0.5, 3.0), 0.6 + 0.1 * 25 * 0.16),
        (one(observe.LEAN, axis=0), ORIGIN, FAR, FAR, np.arctan(3 / 12)),
        (one(observe.LEAN, axis=1), ORIGIN, FAR, FAR, np.arctan(4 / 12)),
        (one(observe.LEAN, axis=1), ORIGIN, (3.0, -4.0, 12.0), FAR, -np.arctan(4 / 12)),
        (one(observe.TILT), ORIGIN, FAR, FAR, np.arctan(12 / 5)),
        (one(observe.TILT), ORIGIN, (3.0, 4.0, -12.0), FAR, -np.arctan(12 / 5)),
    ],
)
def test_readings_by_hand(row, start, end, at, value):
    """Right-angled triangles 3-4-5 and 5-12-13; slopes against differences of the value."""
    code = int(row.formula[0])
    p = np.array([[start, end, at]])
    assert VALUES[code](row, p) == pytest.approx(value)
    found, slopes = FORMULAS[code](row, p)
    assert found == pytest.approx(value)
    aside = p + np.array([7.0, -3.0, 2.0])  # where the axes start does not matter but to a rod
    lower = 2.0 if code == observe.ROD else 0.0
    assert VALUES[code](row, aside) == pytest.approx(value - lower)
    assert FORMULAS[code](row, aside)[0] == pytest.approx(value - lower)
    for place in range(3):
        for axis in range(3):
            step = np.zeros((1, 3, 3))
            step[0, place, axis] = 1e-6
            change = (VALUES[code](row, p + step) - VALUES[code](row, p - step)) / 2e-6
            assert slopes[0, place, axis] == pytest.approx(change[0], abs=1e-8)


XYZ = np.array([ORIGIN, FAR, (1.0, 0.5, 3.0)])
ROD = one(observe.ROD, rise=(0.25, 0.0, 0.0), setup=1)
TAPE = one(observe.DISTANCE, rise=(1.0, 1.0, 7.0))
UNEVEN = one(observe.HEIGHT, rise=(0.5, 0.5, 0.25))


def test_the_first_laser_plane_counts_too():
    """Set-up 0 is one, -1 is none."""
    f, A = read_off(one(observe.ROD, setup=0), XYZ, np.array([9.0, 2.0]))
    assert f == pytest.approx([9.0]) and A[0, 9:].tolist() == [1.0, 0.0]


@pytest.mark.parametrize(("row", "value"), [(ROD, 2.0 - 0.25), (TAPE, 13.0), (UNEVEN, 0.6 - 0.25)])
def test_places_above_points_and_laser_planes(row, value):
    """The rise is added to each place; a rod reads from the plane of its own set-up."""
    f, A = read_off(row, XYZ, np.array([9.0, 2.0]))
    assert f == pytest.approx([value])
    assert A.shape == (1, 11)
    assert A[0, 9:].tolist() == [0.0, float(row is ROD)]
    assert A[0, 2::3][:3].sum() == pytest.approx({True: -1.0}.get(row is ROD, 0.0))


def rows_of(*rows):
    return Rows(*(np.concatenate([getattr(r, f.name) for r in rows]) for f in fields(Rows)))


def test_rows_taken_keep_every_field():
    """By index and by mask, in the order asked."""
    many = rows_of(ROD, TAPE, one(observe.SIDE, axis=1, sign=-1.0, curve=3.0, scale=4.0), UNEVEN)
    assert len(many) == 4
    for picks in (np.array([2, 0]), np.array([True, False, True, False])):
        taken = many.take(picks)
        for field in fields(Rows):
            whole = getattr(many, field.name)
            np.testing.assert_array_equal(getattr(taken, field.name), whole[picks])


@pytest.mark.parametrize("shape", [(), (4,), (2, 3)])
def test_a_reader_at_one_place_or_many(shape):
    """The same as each place by itself; coordinates that are known have no slope."""
    many = rows_of(ROD, TAPE, UNEVEN, one(observe.TILT), one(observe.ROD, setup=0))
    full = np.append(XYZ.ravel(), [9.0, 2.0])
    places = full + np.random.default_rng(1).normal(0.0, 0.1, (*shape, 11))
    unknown = np.array([2, 10, 4, 9])
    reader = Reader.of(many, 9, unknown, 11)
    found = reader.values(places)
    assert found.shape == (*shape, 5)
    for index in np.ndindex(*shape):
        f, A = read_off(many, places[index][:9].reshape(3, 3), places[index][9:])
        np.testing.assert_allclose(found[index], f, atol=1e-14)
        g, B = reader.slopes(places[index])
        np.testing.assert_allclose(g, f, atol=1e-14)
        np.testing.assert_allclose(B, A[:, unknown], atol=1e-14)
        assert B.shape == (5, 4)
