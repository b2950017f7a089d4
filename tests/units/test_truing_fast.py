"""Batched and rank-one ways of truing against the plain ones."""

from __future__ import annotations

import numpy as np
import pytest

from frames import INCH, alder_points, crooked, measured, reading, rows_for
from networks import frame
from plumbrail.notebook.entries import Axis, Kind, Moved
from plumbrail.plan.truing import Truing
from plumbrail.truing.candidates import candidate_rows, usual
from plumbrail.truing.determined import null_space
from plumbrail.truing.gather import gather
from plumbrail.truing.network import Network, normal, positive
from plumbrail.truing.observe import Reader, read_off
from plumbrail.truing.posed import posed
from plumbrail.truing.rows import make_rows
from plumbrail.truing.scheme import covariance, field_readings
from plumbrail.truing.sharper import sharper
from plumbrail.truing.shifts import Shifts
from plumbrail.truing.versions import versions_of

POINTS = alder_points()
MOVED = (Moved(30, "", "F2", Axis.UP, INCH), Moved(60, "", "F2", Axis.ACROSS, -INCH))


def network_of(moved=()):
    book = measured(POINTS, crooked(POINTS))
    network, problems = gather(POINTS, book.readings, moved, Truing())
    assert not problems
    return network


def test_reader_against_read_off():
    points = alder_points(["mark stone"])
    extra = [reading(900, Kind.LEVEL_TAPE, "F1", "B3"),
             reading(901, Kind.STRING_HEIGHT, "F1", "F4", "F2"),
             reading(902, Kind.STRING_SIDE, "B1", "F1", "F2"),
             reading(903, Kind.ROD, "mark stone", setup="C"),
             reading(904, Kind.ROD, "F3 top", setup="C")]  # fmt: skip
    readings = rows_for(field_readings(points)) + extra
    made, problems = make_rows(points, versions_of(points, ())[0], readings, Truing())
    assert not problems
    rows, xyz = made.rows, crooked(points)
    assert set(rows.formula) == set(range(7))
    full = np.append(xyz.ravel(), [2.1, 1.8, 2.5])
    unknown = np.flatnonzero(np.arange(len(full)) % 7 != 3)
    below = np.arange(2.0 * len(unknown)).reshape(2, -1)
    reader = Reader.of(rows, xyz.size, unknown, len(full), below)
    places = full + np.random.default_rng(2).normal(0.0, 0.05, (4, len(full)))
    many = reader.values(places)
    for place, values in zip(places, many, strict=True):
        f, A = read_off(rows, place[: xyz.size].reshape(-1, 3), place[xyz.size :])
        g, B = reader.slopes(place)
        np.testing.assert_allclose(g, f, rtol=0, atol=1e-14)
        np.testing.assert_allclose(values, f, rtol=0, atol=1e-13)
        np.testing.assert_allclose(B, np.vstack([A[:, unknown], below]), rtol=0, atol=1e-14)


@pytest.mark.parametrize("moved", [(), MOVED])
def test_posed_network_looks_at_many_places(moved):
    problem = posed(network_of(moved))
    places = problem.start + np.random.default_rng(3).normal(0.0, 0.03, (3, len(problem.start)))
    many = problem.observe.values(places)
    assert many.shape == (3, len(problem.sd))
    for place, values in zip(places, many, strict=True):
        full, spots = problem.full(place), problem.network.places.size
        f, A = read_off(problem.network.rows, full[:spots].reshape(-1, 3), full[spots:])
        g, B = problem.observe(place)
        np.testing.assert_allclose(g, np.append(f, problem.pseudo.matrix @ full), atol=1e-12)
        np.testing.assert_allclose(values, g, atol=1e-12)
        plain = np.vstack([A, problem.pseudo.matrix])[:, problem.network.unknown]
        np.testing.assert_allclose(B, plain, atol=1e-14)


def test_spectrum_is_the_same_with_and_without_many_places():
    problem = posed(network_of())
    given = problem.observed, problem.sd, problem.start
    fast = Network.of(problem.observe, *given, None)
    slow = Network.of(lambda x: problem.observe(x), *given, None)
    kept = np.ones(len(problem.sd), dtype=bool)
    a, b = (n.spectrum(n.at(problem.start), kept) for n in (fast, slow))
    assert a.rank == b.rank and a.loose.shape == b.loose.shape
    np.testing.assert_allclose(a.s, b.s, rtol=1e-12)


def test_versions_seen_by_rows():
    network = network_of(MOVED)
    for i, taken in enumerate(network.readings):
        for p in network.rows.points[i]:
            point = int(network.versions.point[p])
            assert network.versions.at(point, taken.line) == p
    assert (network.rows.points >= len(POINTS.ids)).any()


def test_normal_equations_by_one_triangle():
    rng = np.random.default_rng(4)
    B, weight, right = rng.normal(size=(12, 5)), rng.random(12), rng.normal(size=(5, 2))
    K = B.T @ np.diag(weight) @ B
    np.testing.assert_allclose(np.tril(normal(B, weight)), np.tril(K), atol=1e-13)
    np.testing.assert_allclose(K @ positive(normal(B, weight), right), right, atol=1e-11)
    with pytest.raises(np.linalg.LinAlgError):
        positive(np.diag([1.0, -1.0]), np.ones((2, 1)))


def test_shifts_without_their_projector():
    f = frame(np.random.default_rng(5))
    network = Network.of(f.observe, f.values, f.sd, f.start, None)
    shifts = Shifts.at(network, network.at(f.start))
    np.testing.assert_allclose(shifts.R.diagonal(), shifts.free, atol=1e-12)
    np.testing.assert_allclose(shifts.R @ shifts.off, shifts.e, rtol=1e-9, atol=1e-9)


def test_null_space_where_there_is_none_and_where_there_is():
    rows = np.random.default_rng(6).normal(size=(9, 4))
    assert null_space(rows).shape == (4, 0)
    rows[:, 3] = rows[:, 0] + rows[:, 1]
    found = null_space(rows)
    assert found.shape == (4, 1) and np.abs(rows @ found).max() < 1e-12


def plain_sharper(network, slopes, need, candidates, enlarged, most):
    """Every candidate tried with a covariance of all unknowns."""
    rows = candidate_rows(network, candidates)
    n, k = len(network.unknown), rows.new
    cov = np.zeros((n + k, n + k))
    cov[:n, :n] = covariance(network) * enlarged**2
    cov[np.arange(n, n + k), np.arange(n, n + k)] = 100.0
    values = np.pad(network.from_current(slopes), ((0, 0), (0, k)))
    taken = []

    def after(cov, choice):
        A, sd = rows.pattern[choice], enlarged * rows.sd[choice]
        return cov - cov @ A.T @ np.linalg.solve(A @ cov @ A.T + np.diag(sd**2), A @ cov)

    def excess(cov):
        return np.maximum(np.diag(values @ cov @ values.T) / need**2 - 1.0, 0.0).sum()

    while len(taken) < most and excess(cov) > 0:
        tied, options = {rows.setup[i] for i in taken}, []
        for i in set(range(len(rows.wanted))) - set(taken):
            choice = [i]
            if rows.setup[i] and rows.setup[i] not in tied:
                same = [j for j, name in enumerate(rows.setup) if name == rows.setup[i]]
                at = rows.pattern[same, :n]
                known = np.diag(at @ cov[:n, :n] @ at.T) + rows.sd[same] ** 2
                choice = [same[int(known.argmin())], i]
            if len(set(choice)) == len(choice):
                use = (excess(cov) - excess(after(cov, choice))) / excess(cov) / len(choice)
                options.append((round(use, 9), -i, choice))
        use, _, choice = max(options)
        if use <= 0.005:
            break
        cov, taken = after(cov, choice), taken + choice
    return [rows.wanted[i] for i in taken], np.sqrt(np.diag(values @ cov @ values.T))


@pytest.mark.parametrize("seed", range(4))
def test_sharper_against_trying_each(seed):
    network = network_of()
    slopes = np.random.default_rng(seed).normal(size=(3, 3 * len(POINTS.ids)))
    slopes[:, 24:] = 0.0
    slopes[0, np.arange(slopes.shape[1]) % 3 != 2] = 0.0  # heights alone: rods of a new set-up
    now = sharper(network, slopes, np.full(3, 10.0), [])
    need, wanted = now.sd[0] * [0.7, 0.8, 0.9], usual(network)
    fast = sharper(network, slopes, need, wanted, enlarged=1.3, most=8)
    slow, sd = plain_sharper(network, slopes, need, wanted, 1.3, 8)
    assert fast.wanted and list(fast.wanted) == slow
    np.testing.assert_allclose(fast.sd[-1], sd, rtol=1e-6)
