"""What must hold of every route, and the route against a plain search over a fine grid."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from plumbrail.trench import planar
from plumbrail.trench.field import Field
from plumbrail.trench.search import turned
from trenches import box, busy, cost, patch, rates, service, way

SPOTS = st.floats(3.0, 27.0)
SIZES = st.floats(0.5, 6.0)
BOXES = st.lists(st.tuples(SPOTS, st.floats(-8, 4), SIZES, SIZES), min_size=0, max_size=6)
START, END = (0.0, 0.0), (36.0, 1.0)
HAIRS = 2e-5


@settings(max_examples=40, deadline=None)
@given(BOXES, st.tuples(SPOTS, st.floats(-8, 4), SIZES, SIZES))
def test_another_obstacle_never_shortens_the_route(boxes, more):
    few = way(Field(tuple(box(*b) for b in boxes)), START, END)
    many = way(Field(tuple(box(*b) for b in (*boxes, more))), START, END)
    assert few.cost <= many.cost + HAIRS
    assert few.cost >= np.hypot(36, 1) - HAIRS


@settings(max_examples=40, deadline=None)
@given(BOXES, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_wider_clearance_never_shortens_the_route(boxes, one, two):
    low, high = sorted((one, two))
    near = way(Field(tuple(box(*b, low) for b in boxes)), START, END)
    far = way(Field(tuple(box(*b, high) for b in boxes)), START, END)
    assert near.cost <= far.cost + 1e-3  # round corners are polygons about the circle


@settings(max_examples=30, deadline=None)
@given(BOXES)
def test_the_route_keeps_its_clearance_and_there_is_none_shorter_back(boxes):
    field = Field(tuple(box(*b, 0.5) for b in boxes))
    there, back = way(field, START, END), way(field, END, START)
    assert there.cost == pytest.approx(back.cost, abs=HAIRS)
    line = planar.edge_line(there.points)
    assert all(planar.apart(line, o.shape) >= 0.5 - 1e-6 for o in field.obstacles)


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10_000))
def test_start_and_end_may_be_swapped_over_dear_ground_and_services(seed):
    field = small(seed)
    given = {"square": 3.0, "turn": 0.5}
    there, back = way(field, START, END, **given), way(field, END, START, **given)
    assert there.cost == pytest.approx(back.cost, rel=5e-3)
    assert there.cost == pytest.approx(cost(field, there.points, **given), rel=1e-9)


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10_000))
def test_dearer_crossings_never_make_it_cheaper(seed):
    """Within half a per cent, or what the way itself says that it may be dearer than the best."""
    field = small(seed)
    found = [way(field, START, END, square=s) for s in (0.0, 2.0, 8.0)]
    for one, other in pairwise(found):
        assert one.cost <= other.cost + max(0.005 * other.cost, one.bound)


def small(seed):
    """A few obstacles, two services, rock."""
    rng = np.random.default_rng(seed)
    fixed = [box(*rng.uniform([4, -6], [28, 4]), *rng.uniform(1, 5, 2), 0.3) for _ in range(4)]
    one, zone_1 = service([(rng.uniform(8, 14), -15), (rng.uniform(8, 14), 15)], name="one")
    two, zone_2 = service([(rng.uniform(16, 24), -15), (rng.uniform(22, 30), 6)], name="two")
    x, y = rng.uniform([10, -6], [22, 2])
    rock = patch([[x, y], [x + 6, y + 1], [x + 5, y + 6], [x - 1, y + 5]], rng.uniform(1.5, 5))
    return Field(tuple(fixed), (zone_1, zone_2, rock), (one, two))


def grid_cost(field, step, **given):
    """The cheapest way over a grid whose places are joined to all within five steps: never below
    the best there is, and above it by little."""
    xs, ys = np.arange(-2, 38 + step / 2, step), np.arange(-16, 16 + step / 2, step)
    at = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)
    at = np.concatenate([at, [START, END]])
    free = ~planar.covers(field.barred, at)
    near = [
        (i, j) for i in range(6) for j in range(-5, 6) if np.gcd(i, abs(j)) == 1 and (i, j) > (0, 0)
    ]
    index = np.arange(len(xs) * len(ys)).reshape(len(xs), len(ys))
    u, v = [], []
    for i, j in near:
        a = index[: len(xs) - i, max(0, -j) : len(ys) - max(0, j)]
        b = index[i:, max(0, j) : len(ys) + min(0, j)]
        u.append(a.ravel())
        v.append(b.ravel())
    for end in (len(at) - 2, len(at) - 1):
        close = np.flatnonzero(np.hypot(*(at[:-2] - at[end]).T) < 3 * step)
        u.append(np.full(len(close), end))
        v.append(close)
    u, v = np.concatenate(u), np.concatenate(v)
    keep = free[u] & free[v]
    u, v = u[keep], v[keep]
    keep = ~planar.blocked(at[u], at[v], field.barred)
    u, v = u[keep], v[keep]
    price = rates(field, **given).cost(field.features(at[u], at[v]))
    graph = csr_array((price, (u, v)), shape=(len(at), len(at)))
    return float(dijkstra(graph, directed=False, indices=[len(at) - 2])[0, -1])


@pytest.mark.parametrize("seed", range(6))
def test_against_a_fine_grid(seed):
    """Every way over the grid is a way: ours must not be dearer; and a grid joined so far is
    within a few parts in a hundred of the best, so ours cannot be much cheaper either."""
    field = small(seed)
    ours = way(field, START, END, square=3.0).cost
    theirs = grid_cost(field, 0.5, square=3.0)
    assert ours <= theirs * (1 + 1e-4)
    assert ours >= theirs / 1.06


def test_prices_against_samples_along_the_line():
    """Lengths in each kind of ground, and crossings, without the library: by counting samples."""
    field = small(3)
    rng = np.random.default_rng(5)
    p, q = rng.uniform([-2, -12], [36, 12], (40, 2)), rng.uniform([-2, -12], [36, 12], (40, 2))
    found = field.features(p, q)
    share = (np.arange(4000) + 0.5) / 4000
    for k in range(len(p)):
        at = p[k] + share[:, None] * (q[k] - p[k])
        hand = np.zeros(len(at), dtype=bool)
        for c in field.crossed:
            a, way_ = c.points[0], c.points[1] - c.points[0]
            t = np.clip(((at - a) @ way_) / (way_ @ way_), 0, 1)
            hand |= np.hypot(*(a + t[:, None] * way_ - at).T) < c.zone
        long = np.hypot(*(q[k] - p[k]))
        by_hand = [h for _, h in field.grounds]
        assert found.lengths[k].sum() == pytest.approx(long, abs=1e-9)
        assert found.lengths[k, by_hand].sum() == pytest.approx(long * hand.mean(), abs=0.06)
    flat = field.features(np.array([[0.0, 0.0]]), np.array([[36.0, 0.0]]))
    assert flat.crossings.tolist() in ([[1, 1]], [[1, 0]])


def test_a_crossing_is_counted_once_at_a_corner_of_the_service_and_at_a_bend_of_the_route():
    line, zone = service([(5, -5), (5, 0), (8, 6)])
    field = Field((), (zone,), (line,))
    p, q = (
        np.array([[0.0, 0.0], [0.0, 0.0], [5.0, -2.0], [0.0, -9.0]]),
        np.array([[10.0, 0.0], [5.0, -2.0], [10.0, -2.0], [10.0, -9.0]]),
    )
    for a, b in ((p, q), (q, p)):
        count = field.features(a, b).crossings[:, 0]
        assert count[0] == 1
        assert count[1] + count[2] == 1
        assert count[3] == 0


def test_it_crosses_near_to_square_where_hand_digging_is_dear():
    line, zone = service([(-40, -20), (60, 20)], 1.0)
    field = Field((), (zone,), (line,))
    found = way(field, (0, -8), (20, 16), hand=8.0, square=4.0)
    steps = np.diff(found.points, axis=0)
    inside = int(field.features(found.points[:-1], found.points[1:]).crossings[:, 0].argmax())
    along = np.array([100.0, 40.0]) / np.hypot(100, 40)
    angle = np.arccos(abs(steps[inside] @ along) / np.hypot(*steps[inside]))
    straight = np.arccos(abs(np.array([20.0, 24.0]) @ along) / np.hypot(20, 24))
    assert angle > straight + 0.4
    assert angle > np.radians(75)


def test_bends_cost_what_they_turn():
    field = Field((box(4, -1, 2, 2),))
    free, dear = way(field, (0, 0), (10, 0)), way(field, (0, 0), (10, 0), turn=3.0)
    steps = np.diff(dear.points, axis=0)
    assert dear.cost == pytest.approx(
        free.cost + 3.0 * turned(steps[:-1], steps[1:]).sum(), abs=1e-6
    )


def test_a_crowded_place_has_a_route_and_its_bound_is_small():
    found = way(busy(1), (1, 1), (118, 74), square=5.0, turn=1.0)
    assert found.bound < 0.02 * found.cost
    assert np.isfinite(found.cost)


def test_no_way_is_none():
    ring = [box(-2, -2, 4, 1), box(-2, 1, 4, 1), box(-2, -2, 1, 4), box(1, -2, 1, 4)]
    assert way(Field(tuple(ring)), (0, 0), (10, 0)) is None
