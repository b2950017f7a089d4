"""Every value of the frame's shape against plain geometry, with its limits and words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frames import alder_points
from plumbrail.plan.truing import Tolerances
from plumbrail.truing.asbuilt import built
from plumbrail.truing.parts import Positions
from plumbrail.truing.points import Place
from plumbrail.truing.standing import off_plane

POINTS = alder_points()
OWN = Tolerances.model_construct(
    straight=1.0, level=2.0, parallel=3.0, plumb=4.0, plane=5.0, spacing=6.0, square=7.0,
    height=8.0,
)  # fmt: skip
"""Each family a tolerance of its own [m, rad]."""
SKEWED = POINTS.planned.copy()
SKEWED[POINTS.index("B2"), :2] += [0.3, 0.2]
POINTS = replace(POINTS, planned=SKEWED)  # a plan need not have its back posts straight behind
XYZ = POINTS.planned + np.random.default_rng(4).uniform(-0.05, 0.05, POINTS.planned.shape)
XYZ[POINTS.index("pin 1"), 2] = POINTS.planned[POINTS.index("pin 1"), 2] + 0.02


def judged(xyz=XYZ, loose=None):
    n = xyz.size
    cov, loose = np.zeros((n, n)), np.zeros((n, 0)) if loose is None else loose
    return built(Positions(POINTS, xyz, cov, loose), OWN, (0.1, 0.9), 0.95)


FOUND = judged()
VALUE = dict(zip(FOUND.ids, FOUND.value, strict=True))


def p(id, xyz=XYZ):
    return xyz[POINTS.index(id)]


def chord(row, xyz=XYZ):
    """Unit vectors along a row and square to it, level; to the right and to the back."""
    d = (p(f"{row}4", xyz) - p(f"{row}1", xyz))[:2]
    u = d / np.sqrt(d @ d)
    return u, np.array([-u[1], u[0]])


def level(a, b, xyz=XYZ):
    d = (p(b, xyz) - p(a, xyz))[:2]
    return float(np.sqrt(d @ d))


def straight_distance(a, b, xyz=XYZ):
    d = p(b, xyz) - p(a, xyz)
    return float(np.sqrt(d @ d))


@pytest.mark.parametrize(("row", "name"), [("F", "front"), ("B", "back")])
def test_a_beam_by_itself(row, name):
    """Off the line from the first to the last head, off the mean height, off the planned bays."""
    u, n = chord(row)
    first, last = p(f"{row}1"), p(f"{row}4")
    grade = (last - first)[2] / ((last - first)[:2] @ u)
    places = {"left": f"{name} left", "right": f"{name} right"} | {
        f"{row}{k}": f"{row}{k}" for k in (2, 3)}  # fmt: skip
    for place, point in places.items():
        d = p(point) - first
        assert VALUE[f"{name}.straight.side.{place}"] == pytest.approx(d[:2] @ n)
        up = d[2] - grade * (d[:2] @ u)
        assert VALUE[f"{name}.straight.height.{place}"] == pytest.approx(up)
    z = np.array([p(f"{row}{k}")[2] for k in range(1, 5)])
    got = [VALUE[f"{name}.level.{row}{k}"] for k in range(1, 5)]
    assert got == pytest.approx(z - z.mean())
    for k in range(1, 4):
        a, b = f"{row}{k}", f"{row}{k + 1}"
        longer = straight_distance(a, b) - straight_distance(a, b, POINTS.planned)
        assert VALUE[f"{name}.spacing.{a}-{b}"] == pytest.approx(longer)
    assert not {i for i in VALUE if i.endswith((f".{row}1", f".{row}4")) and "straight" in i}


def test_the_beams_against_each_other():
    """Rise, way behind and distance less their means; tilt, level distance and offset."""
    u, n = chord("F")
    plan = POINTS.planned
    rise, behind, far = [], [], []
    for k in range(1, 5):
        f, b = f"F{k}", f"B{k}"
        d = p(b) - p(f)
        rise.append(d[2])
        behind.append(d[:2] @ n)
        far.append(straight_distance(f, b))
        assert VALUE[f"tilt.{k}"] == pytest.approx(np.arctan2(d[2], level(f, b)))
        assert VALUE[f"spacing.across.{k}"] == pytest.approx(level(f, b) - level(f, b, plan))
        wanted = (p(b, plan) - p(f, plan))[:2] @ chord("F", plan)[0]
        assert VALUE[f"square.{k}"] == pytest.approx(d[:2] @ u - wanted)
    for kind, values in (("height", rise), ("plan", behind), ("distance", far)):
        got = [VALUE[f"parallel.{kind}.{k}"] for k in range(1, 5)]
        assert got == pytest.approx(np.array(values) - np.mean(values), abs=1e-12)


def test_the_posts_and_their_heads():
    """Lean along and across the own row, height over pin 1, plane by a general least squares."""
    plan = POINTS.planned
    heads = np.array([p(f"{row}{k}") for row in "FB" for k in range(1, 5)])
    X = np.column_stack([np.ones(8), heads[:, :2]])
    a, b, c = np.linalg.lstsq(X, heads[:, 2], rcond=None)[0]
    off = (heads[:, 2] - X @ [a, b, c]) / np.sqrt(1 + b**2 + c**2)
    for i, post in enumerate(f"{row}{k}" for row in "FB" for k in range(1, 5)):
        d = p(post) - p(f"{post} base")
        u, n = chord(post[0])
        assert VALUE[f"{post}.plumb.along"] == pytest.approx(np.arctan(d[:2] @ u / d[2]))
        assert VALUE[f"{post}.plumb.across"] == pytest.approx(np.arctan(d[:2] @ n / d[2]))
        over = (p(post) - p("pin 1"))[2] - (p(post, plan) - p("pin 1", plan))[2]
        assert VALUE[f"height.{post}"] == pytest.approx(over)
        assert VALUE[f"plane.{post}"] == pytest.approx(off[i], abs=1e-12)


def test_slopes_are_those_of_differences():
    """Central differences along eight random ways; 1e-5 m off, so exact to some 1e-9."""
    for way in np.random.default_rng(6).normal(size=(8, XYZ.size)):
        step = 1e-5 * way.reshape(XYZ.shape)
        change = judged(XYZ + step).value - judged(XYZ - step).value
        assert FOUND.slope @ way == pytest.approx(change / 2e-5, abs=1e-8)


def test_each_family_has_its_own_tolerance_and_unit():
    """The tolerance of its name to both sides, angles where it is one; the band for the tilt."""
    for i, family in enumerate(FOUND.family):
        most = 0.9 if family == "tilt" else getattr(OWN, family)
        low = 0.1 if family == "tilt" else -most
        assert (FOUND.low[i], FOUND.high[i]) == (low, most)
        assert FOUND.angle[i] == (family in ("tilt", "plumb"))
        word = FOUND.ids[i].split(".")
        assert family in word, FOUND.ids[i]


def test_subjects_and_words_of_the_site():
    """One of each kind, as a person reads it."""
    said = dict(zip(FOUND.ids, zip(FOUND.subject, FOUND.what, strict=True), strict=True))
    line = "the straight line from B1 to B4"
    assert said["back.straight.side.B2"] == ("back beam at B2", f"behind {line}, seen from above")
    assert said["back.straight.height.B2"] == ("back beam at B2", f"above {line}")
    assert said["back.straight.side.left"][0] == "back beam, left end"
    assert said["front.straight.height.right"] == (
        "front beam, right end", "above the straight line from F1 to F4")  # fmt: skip
    assert said["front.level.F3"] == ("front beam at F3", "above the mean height of the front beam")
    assert said["back.spacing.B2-B3"] == ("back beam from B2 to B3", "longer than planned")
    rise = "rise from the front to the back beam, more than its mean over the row"
    assert said["parallel.height.3"] == ("station 3", rise)
    assert said["parallel.plan.3"][1].startswith("back beam behind the front beam")
    assert said["parallel.distance.3"][1].startswith("straight from beam to beam")
    assert said["tilt.4"] == ("station 4", "slope of a rail laid across both beams")
    assert said["spacing.across.1"] == (
        "station 1", "longer than planned, level from beam to beam")  # fmt: skip
    assert said["square.2"] == ("station 2", "back post too far to the right of its front post")
    assert said["F2.plumb.along"] == ("post F2", "leaning to the right, along the row")
    assert said["B3.plumb.across"] == ("post B3", "leaning to the back, across the row")
    assert said["plane.B1"][0] == said["height.B1"][0] == "beam over B1"
    assert said["height.B1"][1] == "above its planned height over pin 1"


def test_only_the_ends_of_the_beams_may_be_left_out():
    """With nothing known at all, every value but those of the ends is listed as not measured."""
    known = [i for i in FOUND.ids if not i.endswith(("left", "right"))]
    found = judged(loose=np.eye(XYZ.size))
    assert list(found.ids) == known and np.isinf(found.sd).all()


def test_a_plane_through_three_points_fits_them():
    """Three points: nothing is off, and nothing moves them off; a fourth by hand."""
    three = np.array([[0.0, 0, 1], [4, 0, 3], [0, 2, 0]])
    off = off_plane(three)
    np.testing.assert_allclose(off.value, 0.0, atol=1e-12)
    np.testing.assert_allclose(off.slope, 0.0, atol=1e-12)
    # a square with one corner 4 mm up: each is 1 mm off, in turn above and below
    square = np.array([[0.0, 0, 0.004], [1, 0, 0], [1, 1, 0], [0, 1, 0]])
    expected = np.array([1, -1, 1, -1]) * 0.001 / np.sqrt(1 + 2 * 0.002**2)
    np.testing.assert_allclose(off_plane(square).value, expected, atol=1e-12)


def test_the_plane_is_the_same_wherever_the_axes_start():
    """Moved 100 km aside, where squares of coordinates lose eleven of their digits."""
    heads = XYZ[POINTS.of(Place.HEAD)]
    near, far = off_plane(heads), off_plane(heads + np.array([1e5, -1e5, 0]))
    np.testing.assert_allclose(far.value, near.value, atol=1e-9)
    np.testing.assert_allclose(far.slope, near.slope, atol=1e-7)
