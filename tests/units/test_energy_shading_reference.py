"""Shade against slow references with other mathematics.

A convex body hides a point when the point falls inside the body's outline, both projected along the
light: corners go through a convex hull, and no line is ever intersected with a face. The sky is
summed over random directions, or by a general quadrature, in place of cells.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import dblquad
from scipy.spatial import ConvexHull

from plumbrail.energy.culling import may_meet
from plumbrail.energy.rays import blocked
from plumbrail.energy.shading import shade
from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.site.surroundings import surroundings
from plumbrail.site.terrain import Plane

SIDES = 120
ROUND = 2.0 * np.pi * np.arange(SIDES) / SIDES
EDGE = 5e-3
"""Places this close [m] to an outline are left out: round outlines are polygons here."""


def world(**things):
    return surroundings(Shade.model_construct(**things), Plane(0.0, 0.0), np.radians(90.0))


def rotated(xy, clockwise):
    c, s = np.cos(clockwise), np.sin(clockwise)
    return np.asarray(xy) @ np.array([[c, -s], [s, c]])


def box(rng):
    at, size = rng.uniform([-15, -25], [15, -8]), rng.uniform(1.0, 8.0, 2)
    turn, height = rng.uniform(-3, 3), rng.uniform(1, 12)
    made = Box.model_construct(name="b", at=tuple(at), size=tuple(size), turn=turn, height=height)
    flat = at + rotated(np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * 0.5 * size, turn)
    # It goes down without end; 50 m do for points above the ground.
    corners = np.vstack([np.column_stack([flat, np.full(4, z)]) for z in (-50.0, height)])
    return {"boxes": (made,)}, corners


def tree(rng, crown):
    at = rng.uniform([-15, -25], [15, -8])
    height, radius = rng.uniform(4, 15), rng.uniform(1, 4)
    start = rng.uniform(0, 0.6) * height
    made = Tree.model_construct(
        name="t", at=tuple(at), height=height, crown_from=start, radius=radius, crown=crown,
        light_through=0.0, bare_months=None, light_through_bare=0.0,
    )  # fmt: skip
    ring = np.column_stack([np.cos(ROUND), np.sin(ROUND), np.zeros(SIDES)])
    if crown == "cone":
        corners = np.vstack([ring * radius + [*at, start], [[*at, height]]])
    else:
        middle, half = 0.5 * (height + start), 0.5 * (height - start)
        v = np.linspace(-np.pi / 2, np.pi / 2, 61)
        corners = np.concatenate([
            ring * radius * np.cos(a) + [*at, middle + half * np.sin(a)] for a in v
        ])  # fmt: skip
    return {"trees": (made,)}, corners


def sheet(rng):
    at = rng.uniform([-10, -25], [10, -8])
    length, slope, low = rng.uniform(2, 10), rng.uniform(1, 5), rng.uniform(0.2, 2)
    tilt, azimuth = rng.uniform(0.05, 1.2), rng.uniform(0, 2 * np.pi)
    made = OtherArray.model_construct(
        name="s", at=tuple(at), row_length=length, slope_length=slope, tilt=tilt, azimuth=azimuth,
        low_edge=low,
    )  # fmt: skip
    # The x axis points east: compass to plane angle is 90° less the bearing.
    face = np.array([np.sin(azimuth), np.cos(azimuth)])
    right = np.array(
        [-face[1], face[0]]
    )  # facing it, the right hand lies counter-clockwise of face
    ends = at + np.outer([-0.5, 0.5], right) * length
    high = ends - face * slope * np.cos(tilt)
    corners = np.vstack([
        np.column_stack([ends, [low] * 2]),
        np.column_stack([high, [low + slope * np.sin(tilt)] * 2]),
    ])  # fmt: skip
    return {"arrays": (made,)}, corners


def outline_hides(corners, points, way):
    """(p,) -1 outside the outline or behind the body, 1 inside, 0 too close to tell."""
    side = np.cross(way, [0.3, 0.5, -0.8])
    side /= np.linalg.norm(side)
    flat = np.stack([side, np.cross(way, side)], axis=-1)
    hull = ConvexHull(corners @ flat)
    off = (points @ flat @ hull.equations[:, :2].T + hull.equations[:, 2]).max(axis=1)
    ahead = (corners @ way).min() - points @ way
    gone = (corners @ way).max() - points @ way
    found = np.where(off < 0, 1, -1)
    found[(np.abs(off) < EDGE) | ((ahead <= 0) & (gone >= 0) & (off < EDGE))] = 0
    found[gone < 0] = -1
    return found


MADE = {
    "box": box, "cone": lambda r: tree(r, "cone"), "round": lambda r: tree(r, "round"),
    "sheet": sheet,
}  # fmt: skip


@pytest.mark.parametrize("kind", sorted(MADE))
def test_outlines_agree(kind):
    rng = np.random.default_rng(len(kind))
    told = hidden = 0
    for _ in range(40):
        things, corners = MADE[kind](rng)
        around = world(**things)
        points = rng.uniform([-3, -1, 0.5], [9, 2, 3], (60, 3))
        towards = rng.normal(size=(12, 3)) * [0.6, 0.3, 0.25] + [0, -0.8, 0.35]
        aimed = corners[rng.integers(0, len(corners), 12)] * [1, 1, 0] + [0, 0, 2.0] - points[:12]
        ways = np.vstack([towards, aimed])
        ways[:, 2] = np.abs(ways[:, 2]) + 0.02
        ways /= np.linalg.norm(ways, axis=1, keepdims=True)
        ours = blocked(around, 0, points, ways)
        kept = may_meet(around, 0, points, ways)
        assert not ours[~kept].any()
        for way, got in zip(ways, ours, strict=True):
            want = outline_hides(corners, points, way)
            sure = want != 0
            assert (got[sure] == (want[sure] > 0)).all()
            told += sure.sum()
            hidden += (want > 0).sum()
    assert told > 0.8 * 40 * 24 * 60  # the comparison is not empty
    assert hidden > 500


def test_windows_of_bearings_do_skip():
    rng = np.random.default_rng(3)
    points = rng.uniform([-3, -1, 0.5], [9, 2, 3], (60, 3))
    ways = rng.normal(size=(4000, 3))
    ways[:, 2] = np.abs(ways[:, 2])
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    shares = []
    for make in MADE.values():
        for _ in range(10):
            things, _ = make(rng)
            around = world(**things)
            kept = may_meet(around, 0, points, ways)
            assert not blocked(around, 0, points, ways)[~kept].any()
            shares.append(kept.mean())
    assert np.mean(shares) < 0.25


def test_the_sky_past_a_crowd_agrees_with_random_directions():
    rng = np.random.default_rng(11)
    made = [MADE[k](rng) for k in ("box", "cone", "round", "sheet", "cone")]
    things = {"boxes": [], "trees": [], "arrays": []}
    for thing, _ in made:
        for key, value in thing.items():
            things[key] += [value[0].model_copy(update={"name": f"{len(things[key])}{key}"})]
    around = world(**{k: tuple(v) for k, v in things.items()})
    tilt = np.radians(35.0)
    normal = np.array([0.0, -np.sin(tilt), np.cos(tilt)])
    point = np.array([[1.0, 0.0, 1.0]])
    n = 40_000
    # Directions with the density of the cosine: a uniform disc, lifted onto the half sphere.
    r, a = np.sqrt(rng.uniform(size=n)), rng.uniform(0, 2 * np.pi, n)
    x = np.array([1.0, 0.0, 0.0])
    ways = (np.outer(r * np.cos(a), x) + np.outer(r * np.sin(a), np.cross(normal, x))
            + np.outer(np.sqrt(1 - r * r), normal))  # fmt: skip
    ways = ways[ways[:, 2] > 0]
    free = np.ones(len(ways), bool)
    for _, corners in made:
        side = corners - point
        toward = side / np.linalg.norm(side, axis=1, keepdims=True)
        # Seen from one point the outline is a convex cone about the middle of what is seen.
        middle = toward.mean(axis=0)
        ahead = ways @ middle > 0.05
        assert (toward @ middle > 0.05).all()
        u = np.cross(middle, [0.0, 0.0, 1.0])
        frame = np.stack([u, np.cross(u, middle)], axis=-1)
        hull = ConvexHull(toward @ frame / (toward @ middle)[:, None])
        spot = ways[ahead] @ frame / (ways[ahead] @ middle)[:, None]
        off = (spot @ hull.equations[:, :2].T + hull.equations[:, 2]).max(axis=1)
        free[np.flatnonzero(ahead)[off < 0]] = False
    got = shade(point, normal, around, np.zeros((0, 3)), np.zeros(0, int), np.zeros(0, bool))
    assert got.dome[0] == pytest.approx(free.mean(), abs=0.006)  # 3 standard errors and our cells
    low = ways[:, 2] < np.sin(np.radians(6.5))
    assert got.skyline[0] == pytest.approx(free[low].mean(), abs=0.05)
    assert free.mean() < 0.97 and free[low].mean() < 0.8


@pytest.mark.parametrize("tilt", [15.0, 40.0, 70.0])
def test_a_bowl_before_a_tilted_plane_agrees_with_quadrature(tilt):
    t, e = np.radians(tilt), np.radians(12.0)

    def light(height, bearing):
        cosine = np.sin(height) * np.cos(t) + np.cos(height) * np.sin(t) * np.cos(bearing)
        return max(0.0, cosine) * np.cos(height)

    above = dblquad(light, 0, np.pi, e, np.pi / 2, epsabs=1e-6)[0]
    whole = dblquad(light, 0, np.pi, 0, np.pi / 2, epsabs=1e-6)[0]
    normal = np.array([0.0, -np.sin(t), np.cos(t)])
    bowl = world(horizon=((0.0, e),))
    got = shade(np.zeros((1, 3)), normal, bowl, np.zeros((0, 3)), np.zeros(0, int),
                np.zeros(0, bool))  # fmt: skip
    assert got.dome[0] == pytest.approx(above / whole, abs=1e-3)
    assert got.skyline[0] == 0.0
