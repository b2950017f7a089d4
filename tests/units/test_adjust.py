"""The general adjustment: against a general least-squares solver, and what must always hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from networks import frame
from plumbrail.errors import SurveyError
from plumbrail.truing import quality
from plumbrail.truing.adjust import adjust
from plumbrail.truing.snoop import snoop


def noisy(rng, net):
    return net.values + rng.normal(size=len(net.sd)) * net.sd


def linear(A, f=0.0):
    A = np.asarray(A, dtype=float)
    return lambda x: (f + A @ x, A)


LINE = np.array([[1.0, 0, 0], [-1, 1, 0], [0, -1, 1], [0, 0, -1]])
"""Levels from a bench mark over three points and back."""


@pytest.mark.parametrize("seed", range(20))
def test_agrees_with_a_general_solver(seed):
    rng = np.random.default_rng(seed)
    net = frame(rng, stations=3 + seed % 4, setups=1 + seed % 3)
    read = noisy(rng, net)
    a = adjust(net.observe, read, net.sd, net.start)
    other = least_squares(
        lambda x: (net.observe(x)[0] - read) / net.sd, net.start, xtol=1e-15, ftol=1e-15,
        gtol=1e-15, jac=lambda x: net.observe(x)[1] / net.sd[:, None],
    )  # fmt: skip
    # It stops where the cost no longer changes in its last digit, some 1e-9 m early; one plain
    # step with its own Jacobian takes it there.
    x = other.x - np.linalg.lstsq(other.jac, other.fun, rcond=None)[0]
    np.testing.assert_allclose(a.x, other.x, rtol=0, atol=1e-8)
    np.testing.assert_allclose(a.x, x, rtol=0, atol=1e-9)
    cov = np.linalg.inv(other.jac.T @ other.jac)
    np.testing.assert_allclose(a.cov, cov, rtol=0, atol=1e-9 * np.abs(cov).max())
    assert a.statistic == pytest.approx(2 * other.cost, rel=1e-9)
    assert a.loose.shape[1] == 0
    assert a.last_step < 1e-9


@pytest.mark.parametrize("seed", range(5))
def test_a_free_network_agrees_with_a_general_solver(seed):
    """Four defects: three shifts and a turn about the plumb line. Solved by scipy in the datum."""
    rng = np.random.default_rng(seed)
    net = frame(rng, stations=4, pinned=False, share=0.8)
    read = noisy(rng, net)
    a = adjust(net.observe, read, net.sd, net.start)
    assert a.loose.shape[1] == 4
    np.testing.assert_allclose(a.loose.T @ (a.x - net.start), 0.0, atol=1e-9)
    N = a.loose

    def residuals(x):
        return np.concatenate([(net.observe(x)[0] - read) / net.sd, N.T @ (x - net.start)])

    other = least_squares(
        residuals, net.start, xtol=1e-15, ftol=1e-15, gtol=1e-15,
        jac=lambda x: np.vstack([net.observe(x)[1] / net.sd[:, None], N.T]),
    )  # fmt: skip
    np.testing.assert_allclose(a.x, other.x, rtol=0, atol=1e-9)
    J = other.jac[: len(read)]
    cov = np.linalg.pinv(J.T @ J, rcond=1e-12)
    np.testing.assert_allclose(a.cov, cov, rtol=0, atol=1e-8 * np.abs(cov).max())


@settings(max_examples=15)
@given(st.integers(0, 10**6), st.booleans())
def test_redundancy_sums_to_the_freedom(seed, pinned):
    rng = np.random.default_rng(seed)
    net = frame(rng, stations=3, pinned=pinned, share=0.7)
    a = adjust(net.observe, noisy(rng, net), net.sd, net.start)
    assert a.redundancy.sum() == pytest.approx(a.freedom, abs=1e-8)
    assert a.freedom == len(net.sd) - len(a.x) + a.loose.shape[1]
    assert ((a.redundancy >= 0) & (a.redundancy <= 1)).all()
    np.testing.assert_allclose(a.loose.T @ a.loose, np.eye(a.loose.shape[1]), atol=1e-12)
    assert np.linalg.eigvalsh(a.cov).min() > -1e-12 * np.abs(a.cov).max()


@settings(max_examples=15)
@given(st.integers(0, 10**6))
def test_what_readings_determine_does_not_depend_on_the_datum(seed):
    rng = np.random.default_rng(seed)
    net = frame(rng, stations=3, pinned=False, share=0.9)
    read = noisy(rng, net)
    weights = np.where(np.arange(len(net.start)) < 12, rng.uniform(0.5, 2.0, len(net.start)), 0.0)
    whole = adjust(net.observe, read, net.sd, net.start)
    part = adjust(net.observe, read, net.sd, net.start, datum=weights)
    (f, A), (g, B) = net.observe(whole.x), net.observe(part.x)
    np.testing.assert_allclose(f, g, rtol=0, atol=1e-8)
    np.testing.assert_allclose(part.residual, whole.residual, rtol=0, atol=1e-8)
    np.testing.assert_allclose(part.redundancy, whole.redundancy, atol=1e-7)
    one, other = (np.sum((D @ C) * D, axis=1) for D, C in ((A, whole.cov), (B, part.cov)))
    np.testing.assert_allclose(one, other, rtol=0, atol=1e-7 * one.max())
    # Least change of the points chosen, and of no others.
    np.testing.assert_allclose((part.loose.T * weights) @ (part.x - net.start), 0.0, atol=1e-9)
    np.testing.assert_allclose((part.loose.T * weights) @ part.cov, 0.0, atol=1e-12)
    assert np.abs(part.loose.T @ (part.x - net.start)).max() > 1e-6


@settings(max_examples=15)
@given(st.integers(0, 10**6))
def test_a_reading_that_agrees_changes_nothing(seed):
    rng = np.random.default_rng(seed)
    net = frame(rng, stations=3, share=0.9)
    read = noisy(rng, net)
    kept = np.ones(len(read), dtype=bool)
    kept[rng.integers(len(net.tapes))] = False
    without = adjust(net.observe, read, net.sd, net.start, kept=kept)
    agreeing = read + np.where(kept, 0.0, without.residual)
    with_it = adjust(net.observe, agreeing, net.sd, net.start)
    np.testing.assert_allclose(with_it.x, without.x, rtol=0, atol=1e-9)
    assert with_it.statistic == pytest.approx(without.statistic, abs=1e-6)
    assert with_it.freedom == without.freedom + 1


def test_a_reading_left_out_is_compared_with_the_rest():
    rng = np.random.default_rng(3)
    A = rng.normal(size=(12, 4))
    sd = rng.uniform(0.5, 2.0, 12)
    read = rng.normal(size=12)
    all_in = adjust(linear(A), read, sd, np.zeros(4))
    for i in range(12):
        kept = np.arange(12) != i
        out = adjust(linear(A), read, sd, np.zeros(4), kept=kept)
        # The residual against the rest, its variance and its share are worked here directly.
        variance = sd[i] ** 2 + A[i] @ out.cov @ A[i]
        assert out.w[i] == pytest.approx(out.residual[i] / np.sqrt(variance))
        assert out.redundancy[i] == pytest.approx(sd[i] ** 2 / variance)
        # and they are those of the network with the reading in (Baarda).
        assert out.w[i] == pytest.approx(all_in.w[i])
        assert out.mdb[i] == pytest.approx(all_in.mdb[i])
        drop = all_in.statistic - out.statistic
        assert drop == pytest.approx(all_in.w[i] ** 2)


def test_a_reading_that_the_rest_does_not_determine():
    # One level line out to a fourth point: in or out, nothing checks it.
    A = np.block([[LINE, np.zeros((4, 1))], [0.0, 0.0, -1.0, 1.0]])
    read = np.array([1.0, 0.1, 0.2, -1.31, 0.5])
    for kept in (np.ones(5, dtype=bool), np.arange(5) < 4):
        a = adjust(linear(A), read, np.ones(5), np.zeros(4), kept=kept)
        assert a.redundancy[4] == pytest.approx(0.0, abs=1e-12)
        assert (a.w[4], a.mdb[4]) == (0.0, np.inf)
        assert a.freedom == 1
        assert a.loose.shape[1] == (0 if kept[4] else 1)
    np.testing.assert_allclose(np.abs(a.loose[:, 0]), [0, 0, 0, 1], atol=1e-12)
    assert a.x[3] == 0.0


def test_level_net_without_a_bench_mark():
    A = np.array([[-1.0, 1, 0], [0, -1, 1], [1, 0, -1]])
    read, start = np.array([1.0, 2.0, -3.03]), np.array([10.0, 11.0, 13.0])
    a = adjust(linear(A), read, np.ones(3), start)
    assert a.x.sum() == pytest.approx(start.sum())
    np.testing.assert_allclose(a.residual, 0.01, atol=1e-12)
    np.testing.assert_allclose(np.abs(a.loose), 3**-0.5, atol=1e-12)
    held = adjust(linear(A), read, np.ones(3), start, datum=np.array([True, False, False]))
    assert held.x[0] == pytest.approx(10.0)
    np.testing.assert_allclose(held.cov[0], 0.0, atol=1e-15)
    assert held.cov[1, 1] == pytest.approx(2 / 3)


def test_two_nets_that_do_not_meet_have_two_defects():
    A = np.zeros((2, 4))
    A[0, :2], A[1, 2:] = (-1, 1), (-1, 1)
    first_two = np.array([1.0, 1.0, 0.0, 0.0])
    a = adjust(linear(A), np.array([1.0, 2.0]), np.ones(2), np.zeros(4), datum=first_two)
    assert (a.loose.shape[1], a.freedom) == (2, 0)
    # The datum does not feel the second net: least change of all there.
    np.testing.assert_allclose(a.x, [-0.5, 0.5, -1.0, 1.0], atol=1e-12)


@pytest.mark.parametrize("off", [0.0, 0.002])
def test_the_side_of_a_straight_row_is_not_determined_by_its_tapes(off):
    """Plane row of points a bay apart; tapes along it only. A few millimetres off line is no fix:
    the tapes then give the side to metres, and least squares alone would run away."""

    def observe(x):
        points = np.vstack([[0.0, 0.0], x.reshape(-1, 2), [8.1, 0.0]])
        i, j = np.array([0, 1, 2, 0, 1]), np.array([1, 2, 3, 2, 3])
        d = points[j] - points[i]
        s = np.hypot(*d.T)
        A = np.zeros((5, 2, 4))
        A[np.arange(5), :, j] += d / s[:, None]
        A[np.arange(5), :, i] -= d / s[:, None]
        return s, A[:, :, 1:3].transpose(0, 2, 1).reshape(5, 4)

    start = np.array([2.7, off, 5.4, -off])
    a = adjust(observe, np.array([2.701, 2.699, 2.7, 5.401, 5.399]), np.full(5, 0.0016), start)
    assert a.loose.shape[1] == 2
    np.testing.assert_allclose(a.loose[[0, 2]], 0.0, atol=1e-2)
    np.testing.assert_allclose(a.x[[1, 3]], start[[1, 3]], atol=1e-4)
    assert np.abs(a.x[[0, 2]] - start[[0, 2]]).max() < 0.002


def test_no_readings_at_all():
    a = adjust(linear(np.zeros((0, 3))), np.zeros(0), np.zeros(0), np.arange(3.0))
    np.testing.assert_allclose(a.x, np.arange(3.0))
    assert (a.freedom, a.statistic, a.loose.shape) == (0, 0.0, (3, 3))
    assert quality.enlargement(a) == 1.0
    nothing_kept = adjust(linear(LINE), np.ones(4), np.ones(4), np.zeros(3),
                          kept=np.zeros(4, dtype=bool))  # fmt: skip
    assert nothing_kept.loose.shape == (3, 3)
    assert np.isinf(nothing_kept.mdb).all()


def test_faults_are_told_in_words():
    with pytest.raises(SurveyError, match="reading 2 has a standard deviation of 0"):
        adjust(linear(LINE), np.ones(4), np.array([1.0, 0, 1, 1]), np.zeros(3))
    with pytest.raises(SurveyError, match="reading 3 is not a number"):
        adjust(linear(LINE), np.array([1.0, 1, np.nan, 1]), np.ones(4), np.zeros(3))
    rng = np.random.default_rng(0)
    net = frame(rng)
    with pytest.raises(SurveyError, match="did not settle in 2 rounds"):
        adjust(net.observe, net.values, net.sd, net.start + 0.1, most=2)

    def at_the_point(x):
        with np.errstate(all="ignore"):
            return np.hypot(x[:1], x[1:]), (x / np.hypot(*x))[None]

    with pytest.raises(SurveyError, match="two points in one place"):
        adjust(at_the_point, np.ones(1), np.ones(1), np.zeros(2))


def test_a_foot_misread_on_a_nine_foot_tape_does_not_break_it():
    rng = np.random.default_rng(5)
    net = frame(rng, stations=5)
    read = noisy(rng, net)
    bay = int(np.argmin(np.abs(read[: len(net.tapes)] - 2.7)))
    read[bay] += 0.3048
    s = snoop(net.observe, read, net.sd, net.start)
    assert list(np.flatnonzero(s.suspect)) == [bay]
    assert s.size[bay] == pytest.approx(0.3048, abs=0.008)
    assert s.groups == ((bay,),)
    assert not s.more
    kept = ~s.suspect
    again = adjust(net.observe, read, net.sd, net.start, kept=kept)
    np.testing.assert_allclose(s.adjusted.x, again.x, rtol=0, atol=1e-9)
    assert quality.passes(s.adjusted)


def test_nothing_is_suspected_in_good_readings():
    net = frame(np.random.default_rng(8), stations=4)
    s = snoop(net.observe, net.values, net.sd, net.start)
    assert not s.suspect.any()
    assert s.groups == ()
    np.testing.assert_allclose(s.adjusted.x, net.true, atol=1e-9)


def test_readings_that_cannot_be_told_apart_are_named_together():
    """A single loop of levels: the loop does not close, and nothing says in which line."""
    read = np.array([1.0, 0.1, 0.2, -1.3 + 0.5])
    s = snoop(linear(LINE), read, np.full(4, 0.01), np.zeros(3))
    assert s.suspect.sum() == 1
    assert sorted(s.groups[0]) == [0, 1, 2, 3]
    assert s.groups[0][0] == np.flatnonzero(s.suspect)[0]
    assert np.abs(s.size).max() == pytest.approx(0.5)


def test_a_reading_that_nothing_checks_is_never_set_aside():
    A = np.block([[LINE, np.zeros((4, 1))], [0.0, 0.0, -1.0, 1.0]])
    read = np.array([1.0, 0.1, 0.2, -1.3, 99.0])
    s = snoop(linear(A), read, np.full(5, 0.01), np.zeros(4))
    assert not s.suspect.any()
    assert s.adjusted.x[3] == pytest.approx(100.3)


def test_the_share_of_suspects_is_limited_and_that_is_said():
    A = np.ones((10, 1))
    read = np.array([0.0, 0, 0, 0, 0, 0, 5, -7, 9, 12])
    s = snoop(linear(A), read, np.ones(10), np.zeros(1))
    assert list(np.flatnonzero(s.suspect)) == [8, 9]
    assert s.more
    assert quality.enlargement(s.adjusted) > 1.0
    s = snoop(linear(A), read, np.ones(10), np.zeros(1), most_share=0.5)
    assert list(np.flatnonzero(s.suspect)) == [6, 7, 8, 9]
    assert not s.more


def test_blunders_that_hide_each_other_are_found():
    """Two large ones pull the mean to themselves; taken singly, a good reading looks worst."""
    read = np.array([0.0, 0.1, -0.1, 0.05, 0.0, 9.0, 9.1])
    s = snoop(linear(np.ones((7, 1))), read, np.full(7, 0.2), np.zeros(1), most_share=0.4)
    assert list(np.flatnonzero(s.suspect)) == [5, 6]


def test_seeded_share_of_blunders_found():
    """Small part of what docs/method/adjustment.md reports; limits well below and above that."""
    found = big = wrong = good = 0
    for seed in range(12):
        rng = np.random.default_rng(seed)
        net = frame(rng, stations=4, share=1.0)
        read = noisy(rng, net)
        clean = adjust(net.observe, read, net.sd, net.start)
        bad = rng.choice(len(read) - 4, round(0.05 * len(read)), replace=False)
        size = rng.choice([-1, 1], len(bad)) * np.where(
            rng.random(len(bad)) < 0.4, 0.3048, rng.uniform(0.008, 0.05, len(bad))
        )
        read[bad] += size
        s = snoop(net.observe, read, net.sd, net.start)
        large = np.abs(size) >= 5.6 * net.sd[bad] / np.sqrt(clean.redundancy[bad])
        found, big = found + s.suspect[bad][large].sum(), big + large.sum()
        wrong, good = wrong + s.suspect.sum() - s.suspect[bad].sum(), good + len(read) - len(bad)
    assert big > 60
    assert found / big >= 0.97
    assert wrong / good <= 0.006
