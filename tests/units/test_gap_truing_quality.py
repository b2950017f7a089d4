"""Limits of the global test and of what counts as determined, met exactly and just missed."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from scipy.stats import chi2, norm

from plumbrail.truing import quality
from plumbrail.truing.determined import null_space, open_ratio, span, unit_rows


def test_limits_are_those_of_the_distributions():
    """Against scipy.stats, one and both sides."""
    for alpha in (0.05, 0.001):
        assert quality.critical(alpha) == pytest.approx(norm.isf(alpha / 2))
        shift = norm.isf(alpha / 2) + norm.ppf(0.9)
        assert quality.noncentrality(alpha, 0.9) == pytest.approx(shift)
    assert quality.noncentrality() == pytest.approx(4.1321, abs=1e-4)
    for freedom in (1, 7, 300):
        assert quality.test_limit(freedom) == pytest.approx(chi2.ppf(0.95, freedom))
        assert quality.test_limit(freedom, 0.5) == pytest.approx(chi2.ppf(0.5, freedom))
    assert quality.test_limit(0) == 0.0


def result(freedom, statistic):
    return SimpleNamespace(freedom=freedom, statistic=statistic)


def test_the_global_test_is_passed_when_its_limit_is_just_met():
    """Nothing is enlarged then; a hair above, everything is."""
    limit = quality.test_limit(4)
    for level in (0.95, 0.5):
        limit = quality.test_limit(4, level)
        assert quality.passes(result(4, limit), level)
        assert quality.enlargement(result(4, limit), level) == 1.0
        above = np.nextafter(limit, np.inf)
        assert not quality.passes(result(4, above), level)
    assert quality.enlargement(result(4, 9.5)) == pytest.approx(np.sqrt(9.5 / 4))


def test_nothing_is_ever_made_smaller():
    """A limit under f, at a low level, between limit and f; and no redundancy at all."""
    assert quality.test_limit(4, 0.05) < 1.0  # 0.711 in the tables
    assert quality.enlargement(result(4, 3.9), 0.05) == 1.0
    assert quality.enlargement(result(4, 4.4), 0.05) == pytest.approx(np.sqrt(1.1))
    assert quality.passes(result(0, 1e-20)) and quality.enlargement(result(0, 1e-20)) == 1.0


def test_reliability_by_hand():
    """A reading of 2 mm whose adjusted value is good to 1.6: r = 0.36, so w and sizes by 0.6."""
    s, s_f, v = np.array([2.0]), np.array([1.6]), np.array([-3.6])
    r = quality.redundancy_number(s_f, s)
    assert r == pytest.approx(0.36)
    assert quality.normalised_residual(v, s, r) == pytest.approx(-3.0)
    assert quality.estimated_blunder(v, r) == pytest.approx(10.0)
    assert quality.least_detectable(np.array([4.2]), s, r) == pytest.approx(14.0)
    assert quality.unit_error(np.array([18.0]), np.array([2.0])) == pytest.approx(3.0)


def test_rows_of_length_one():
    """3, 4 is 5 long; a row of nothing stays nothing."""
    found = unit_rows(np.array([[3.0, -4.0], [0.0, 0.0]]))
    np.testing.assert_allclose(found, [[0.6, -0.8], [0.0, 0.0]])


@pytest.mark.parametrize("times", [1, 2])
def test_directions_that_are_hardly_told_are_loose(times):
    """Two rows t apart: singular values of sqrt(2) and t / sqrt(2), a ratio of t / 2 to 1e-8; with
    each row once (as many as unknowns) or twice."""
    for t, d in ((1.9e-8, 1), (2.1e-8, 0), (1e-3, 0), (0.0, 1)):
        rows = np.array([[1.0, 0.0], [1.0, t]] * times)
        assert null_space(rows * 7.0).shape == (2, d)
    loose = null_space(np.array([[1.0, 0.0], [1.0, 1e-9]] * times))
    np.testing.assert_allclose(np.abs(loose), [[0.0], [1.0]], atol=1e-8)


def test_directions_of_no_rows_and_of_rows_of_nothing():
    """All are loose; fewer rows than unknowns leave the rest, square to them."""
    np.testing.assert_array_equal(null_space(np.zeros((0, 3))), np.eye(3))
    assert null_space(np.zeros((2, 3))).shape == null_space(np.zeros((5, 3))).shape == (3, 3)
    rows = np.array([[1.0, 1, 0, 0], [0, 0, 1, -2]])
    loose = null_space(rows)
    assert loose.shape == (4, 2)
    np.testing.assert_allclose(rows @ loose, 0.0, atol=1e-12)
    np.testing.assert_allclose(loose.T @ loose, np.eye(2), atol=1e-12)
    # as many rows as unknowns, or fewer, are no triangle: what stands under the diagonal counts
    assert null_space(np.ones((2, 2))).shape == (2, 1)
    assert null_space(np.array([[1.0, 1, 0], [0, 1, 1], [1, 2, 1]])).shape == (3, 1)
    one = null_space(np.array([[1.0, 0.0]]))
    assert one.shape == (2, 1) and one[0, 0] == 0.0


def test_what_columns_span():
    """Orthonormal, each direction once; columns under 1e-8 are nothing beside a unit or their
    largest."""
    for columns, d in (([[1, 2], [1, 2], [0, 0]], 1), ([[1, 0], [1, 1], [0, 1]], 2),
                       ([[0.9e-8], [0], [0]], 0), ([[1.1e-8], [0], [0]], 1),
                       ([[100, 0], [0, 0.9e-6], [0, 0]], 1),
                       ([[100, 0], [0, 1.1e-6], [0, 0]], 2)):  # fmt: skip
        matrix = np.array(columns, dtype=float)
        basis = span(matrix)
        assert basis.shape == (3, d)
        np.testing.assert_allclose(basis.T @ basis, np.eye(d), atol=1e-12)
        if d == matrix.shape[1]:
            np.testing.assert_allclose(basis @ (basis.T @ matrix), matrix, atol=1e-12)
    assert span(np.zeros((3, 0))).shape == span(np.zeros((3, 2))).shape == (3, 0)
    assert span(np.zeros((0, 2))).shape == (0, 0)


def test_rounding_does_not_tie_what_is_loose_to_the_rest():
    """A part under 1e-12 is nothing, one above stays."""
    near, far = (span(np.array([[1.0], [x]]))[1, 0] for x in (0.9e-12, -1.1e-12))
    assert near == 0.0 and far != 0.0


def test_how_much_a_value_leans_on_what_is_loose():
    """Projections by hand: |P s|² over the largest of |P s| and the largest of |s|."""
    slopes = np.array([[1.0, 0.5], [-1.0, 0.0], [0.0, 0.0], [0.0, -2.0]])
    np.testing.assert_allclose(open_ratio(slopes, np.array([[0.0], [1.0]])), [0.5, 0, 0, 1])
    slant = np.array([[0.6], [0.8]])
    # (1, 0.5) is 1.0 along it: P s is (0.6, 0.8); (-1, 0): 0.6 along, (0.36, 0.48)
    np.testing.assert_allclose(open_ratio(slopes, slant), [1 / 0.8, 0.36 / 0.48, 0, 2.56 / 2.56])
    assert open_ratio(slopes, np.zeros((2, 0))).tolist() == [0.0] * 4
