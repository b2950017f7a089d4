"""As built against plan: definitions, slopes, invariance, verdicts."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans import FOOT, INCH, model_with
from plumbrail.errors import RangeError
from plumbrail.plan.truing import Tolerances
from plumbrail.setout.tapes import slide_from_diagonals
from plumbrail.truing.asbuilt import built
from plumbrail.truing.parts import Positions, Verdict
from plumbrail.truing.points import Place, points_of

FULL = Tolerances(
    straight="1/4 in", level="1/4 in", parallel="1/4 in", plumb="0.5 deg", plane="3/8 in",
    spacing="1/2 in", square="1/2 in", height="1 in",
)  # fmt: skip
BAND = (np.radians(30), np.radians(35))
UNEVEN = ["9 ft", "7 ft", "10 ft 6 in"]


@cache
def points(posts=4):
    changes = {"frame.spacing": UNEVEN} if posts == 4 else {
        "frame.posts": posts, "frame.spacing": "9 ft" if posts > 2 else "20 ft",
        "array.columns": {2: 5, 40: 62}[posts],
    }  # fmt: skip
    model = model_with(changes)
    x = model.posts.xy[:, 0]
    pins = np.array([[-2.0, -2.0, 0.1], [x.max() + 2.0, -2.0, 0.2]])
    return points_of(model, pins, ("mark kerb",))


def at(off=0.0, posts=4, sd=1e-4, loose=None):
    p = points(posts)
    n = 3 * len(p.ids)
    none = np.zeros((n, 0)) if loose is None else loose
    return Positions(p, p.planned + off, sd**2 * np.eye(n), none)


def free_datum(p):
    """Three translations and the rotation about the vertical, orthonormal."""
    n = len(p)
    basis = np.zeros((n, 3, 4))
    basis[:, :, :3] = np.eye(3)
    basis[:, 0, 3], basis[:, 1, 3] = -p[:, 1], p[:, 0]
    return np.linalg.qr(basis.reshape(3 * n, 4))[0]


def wobble(seed, size=0.03, posts=4):
    return np.random.default_rng(seed).uniform(-size, size, points(posts).planned.shape)


def run(positions, tolerances=FULL, confidence=0.95):
    return built(positions, tolerances, BAND, confidence)


def of(result, id):
    return result.ids.index(id)


def by_family(result, family):
    return np.array([f == family for f in result.family])


def turned(xyz, angle, shift):
    c, s = np.cos(angle), np.sin(angle)
    return xyz @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) + shift


@pytest.mark.parametrize("posts", [2, 4, 40])
def test_the_frame_as_planned_has_no_deviation_and_is_inside(posts):
    result = run(at(posts=posts))
    tilts = by_family(result, "tilt")
    assert np.abs(result.value[~tilts]).max() < 1e-9
    assert np.degrees(result.value[tilts]) == pytest.approx(32.0, abs=1e-9)
    assert set(result.verdict) == {Verdict.INSIDE}
    assert len(set(result.ids)) == len(result.ids) == len(result.subject) == len(result.what)
    assert set(result.family) == {
        "straight", "level", "parallel", "plumb", "plane", "tilt", "spacing", "square", "height"
    }  # fmt: skip


def test_every_value_is_there_once_with_its_id():
    ids = run(at()).ids
    for id in (
        "front.straight.side.F2", "back.straight.height.B3", "front.straight.side.left",
        "front.level.F1", "parallel.height.3", "parallel.plan.1", "parallel.distance.4",
        "F2.plumb.across", "B4.plumb.along", "plane.F2", "tilt.3", "front.spacing.F1-F2",
        "spacing.across.3", "square.3", "height.B2",
    ):  # fmt: skip
        assert ids.count(id) == 1
    n = 4
    inner, ends = 2 * 2 * (n - 2), 2 * 2 * 2
    assert (
        len(ids) == inner + ends + 2 * n + 3 * n + 4 * n + 2 * n + n + 2 * (n - 1) + n + n + 2 * n
    )


def test_two_posts_make_their_own_straight_line():
    ids = run(at(posts=2)).ids
    straight = [id for id in ids if ".straight." in id]
    assert straight
    assert all(id.endswith(("left", "right")) for id in straight)


@pytest.mark.parametrize("seed", range(4))
def test_slopes_agree_with_finite_differences(seed):
    here = at(wobble(seed))
    result = run(here)
    step = 1e-6
    for k in range(here.xyz.size):
        shift = np.zeros(here.xyz.size)
        shift[k] = step
        shift = shift.reshape(here.xyz.shape)
        up, down = (run(replace(here, xyz=here.xyz + s * shift)).value for s in (1, -1))
        assert result.slope[:, k] == pytest.approx((up - down) / (2 * step), abs=2e-8)


@given(
    seed=st.integers(0, 50), angle=st.floats(-3.1, 3.1),
    shift=st.tuples(*[st.floats(-50.0, 50.0)] * 3),
)  # fmt: skip
def test_nothing_depends_on_where_the_axes_lie(seed, angle, shift):
    """Pins move along with the frame, so that even the heights over pin 1 stay."""
    here = at(wobble(seed))
    there = replace(here, xyz=turned(here.xyz, angle, np.array(shift)))
    assert run(there).value == pytest.approx(run(here).value, abs=1e-9)


@given(lift=st.floats(-0.3, 0.3), angle=st.floats(-0.5, 0.5), seed=st.integers(0, 50))
def test_a_move_of_the_whole_frame_past_its_pins_shows_in_height_only(lift, angle, seed):
    here = at(wobble(seed))
    frame = np.isin(here.points.place, [Place.HEAD, Place.BASE, Place.END])[:, None]
    moved = turned(here.xyz, angle, np.array([0.4, -0.2, lift]))
    before, after = run(here), run(replace(here, xyz=np.where(frame, moved, here.xyz)))
    heights = by_family(before, "height")
    assert after.value[~heights] == pytest.approx(before.value[~heights], abs=1e-9)
    assert after.value[heights] - before.value[heights] == pytest.approx(lift, abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_a_free_datum_leaves_every_value_settled(seed):
    """The free directions are taken where the points stand, so the lean of the posts counts too."""
    here = at(wobble(seed))
    loose = free_datum(here.xyz)
    result = run(replace(here, loose=loose))
    assert np.abs(result.slope @ loose).max() < 1e-12
    assert Verdict.UNMEASURED not in result.verdict
    assert result.sd == pytest.approx(run(here).sd, rel=1e-9)


def heads_off(amounts, axis):
    """Points moved: ``{"F2": 0.01}``."""
    off = np.zeros_like(points().planned)
    for id, amount in amounts.items():
        off[points().index(id), axis] = amount
    return off


def shown(result, size=1e-4):
    """Families in which something is off by more than ``size``."""
    planned = run(at()).value
    return {
        f for f, v, p in zip(result.family, result.value, planned, strict=True) if abs(v - p) > size
    }  # fmt: skip


def test_back_row_slid_along_itself_shows_in_square_only():
    """1 mm: the level distance and the tilt change by 1e-4 of it, being of second order."""
    back = (points().row == 1)[:, None]
    result = run(at(np.where(back, [0.001, 0, 0], 0)), FULL)
    assert shown(result, 1e-6) == {"square"}
    assert result.value[by_family(result, "square")] == pytest.approx(0.001)


def test_squareness_of_a_sheared_rectangle_shows_in_its_diagonals():
    """40 by 12 ft slid by 1/8 in: diagonals differ by .239 in (plane geometry, D1-D2 = 2 a s/D)."""
    a, b, s = 40 * FOOT, 12 * FOOT, INCH / 8
    heads = [points(2).index(id) for id in ("F1", "F2", "B1", "B2")]
    here = at(posts=2)
    corners = np.array([[0, 0], [a, 0], [s, b], [a + s, b]])
    xyz = here.xyz.copy()
    xyz[heads, :2] = corners
    result = run(replace(here, xyz=xyz))
    square = result.value[of(result, "square.1")]
    difference = np.hypot(*(corners[3] - corners[0])) - np.hypot(*(corners[2] - corners[1]))
    assert square == pytest.approx(s)
    assert difference / INCH == pytest.approx(0.239, abs=0.0006)
    assert slide_from_diagonals(np.hypot(a, b), difference, a) == pytest.approx(square, rel=1e-4)


def test_a_post_too_high_by_hand():
    """F2 up 10 mm, with F1-F2 9 ft, F2-F3 7 ft, F3-F4 10 ft 6 in."""
    result = run(at(heads_off({"F2": 0.010}, 2)))
    value = dict(zip(result.ids, result.value, strict=True))
    assert value["front.straight.height.F2"] == pytest.approx(0.010)
    assert value["front.straight.height.F3"] == pytest.approx(0)
    assert value["front.level.F2"] == pytest.approx(0.0075)
    assert value["front.level.F4"] == pytest.approx(-0.0025)
    assert value["parallel.height.2"] == pytest.approx(-0.0075)
    assert value["height.F2"] == pytest.approx(0.010)
    assert value["back.level.B2"] == pytest.approx(0, abs=1e-12)
    assert value["tilt.2"] < np.radians(32) == pytest.approx(value["tilt.1"])


def test_a_high_end_post_tilts_the_straight_line():
    result = run(at(heads_off({"F1": 0.010}, 2)))
    value = dict(zip(result.ids, result.value, strict=True))
    assert value["front.straight.height.F2"] == pytest.approx(-0.010 * 17.5 / 26.5)
    p = points()
    out = (p.planned[p.index("F1")] - p.planned[p.index("front left")])[0] / (26.5 * FOOT)
    assert value["front.straight.height.left"] == pytest.approx(-0.010 * (1 + out))


def test_a_post_to_the_back_by_hand():
    result = run(at(heads_off({"F2": 0.010}, 1)))
    value = dict(zip(result.ids, result.value, strict=True))
    p = points()
    rise = p.planned[p.index("F2"), 2] - p.planned[p.index("F2 base"), 2]
    assert value["front.straight.side.F2"] == pytest.approx(0.010)
    assert value["parallel.plan.2"] == pytest.approx(-0.0075)
    assert value["spacing.across.2"] == pytest.approx(-0.010)
    assert value["F2.plumb.across"] == pytest.approx(np.arctan(0.010 / rise))
    assert value["F2.plumb.along"] == pytest.approx(0, abs=1e-12)
    assert value["square.2"] == pytest.approx(0, abs=1e-12)


def test_plumb_of_one_in_500_over_6_ft():
    """AISC 303-16, 7.13.1.1: 1/500 of the height between working points; of 6 ft, .144 in."""
    p, xyz = points(), points().planned.copy()
    head, base = p.index("B3"), p.index("B3 base")
    xyz[head] = xyz[base] + [0.144 * INCH, 0, 6 * FOOT]
    result = run(replace(at(), xyz=xyz))
    assert np.tan(result.value[of(result, "B3.plumb.along")]) == pytest.approx(1 / 500)


@given(st.integers(0, 200))
def test_plane_is_that_of_an_independent_least_squares(seed):
    here = at(wobble(seed))
    heads = here.xyz[here.points.of(Place.HEAD)]
    X = np.column_stack([np.ones(len(heads)), heads[:, :2]])
    beta = np.linalg.lstsq(X, heads[:, 2], rcond=None)[0]
    normal = np.array([-beta[1], -beta[2], 1]) / np.sqrt(1 + beta[1] ** 2 + beta[2] ** 2)
    off = (heads - [0, 0, beta[0]]) @ normal
    result = run(here)
    assert result.value[by_family(result, "plane")] == pytest.approx(off, abs=1e-12)


def test_a_twisted_plane_leaves_both_beams_straight():
    """The front beam rises to the right, the back beam to the left."""
    p = points()
    tip = 0.004 * (p.planned[:, 0] - 4.0) * np.where(p.row == 0, 1, -1)
    result = run(at(np.outer(tip * (p.row >= 0), [0, 0, 1])))
    assert np.abs(result.value[by_family(result, "straight")]).max() < 1e-12
    assert np.abs(result.value[by_family(result, "plane")]).max() > 0.003


def test_standard_deviation_by_simulation():
    """First-order propagation against 1,000 random frames; 4 standard errors of an estimate."""
    rng = np.random.default_rng(1)
    here = at(wobble(3, 0.01), sd=0.001)
    n = here.xyz.size
    L = rng.normal(size=(n, n)) * 0.001 / np.sqrt(n)
    here = replace(here, cov=L @ L.T)
    result = run(here)
    shifts = (rng.normal(size=(1000, n)) @ L.T).reshape(1000, -1, 3)
    sample = np.array([run(replace(here, xyz=here.xyz + s)).value for s in shifts])
    assert sample.std(axis=0) == pytest.approx(result.sd, rel=4 / np.sqrt(2 * 1000))


def test_verdicts_at_the_limits():
    """Level of F2: 7.5 mm of 10 mm; tolerance 1/4 in = 6.35 mm; its own deviation as given."""
    off = heads_off({"F2": 0.010}, 2)
    sd_of_level = np.sqrt(0.75)
    gap = 0.0075 - 0.00635
    for share, verdict in ((0.9, Verdict.OUTSIDE), (1.1, Verdict.UNSURE)):
        result = run(at(off, sd=share * gap / 1.959964 / sd_of_level))
        assert result.verdict[of(result, "front.level.F2")] is verdict
    room = 0.00635 - 0.0025
    for share, verdict in ((0.9, Verdict.INSIDE), (1.1, Verdict.UNSURE)):
        result = run(at(off, sd=share * room / 1.959964 / sd_of_level))
        assert result.verdict[of(result, "front.level.F4")] is verdict


@pytest.mark.parametrize(("confidence", "factor"), [(0.95, 1.959964), (0.99, 2.575829)])
def test_factor_is_the_two_sided_normal_quantile(confidence, factor):
    """Tables of the normal distribution, every handbook: 1.960 and 2.576."""
    assert run(at(), confidence=confidence).factor == pytest.approx(factor, abs=1e-6)


@pytest.mark.parametrize("confidence", [0.0, 0.4, 1.0, 95.0, np.nan])
def test_a_confidence_that_is_none_is_refused(confidence):
    with pytest.raises(RangeError, match=r"truing\.confidence"):
        run(at(), confidence=confidence)


@given(seed=st.integers(0, 100), times=st.floats(1.0, 1e4))
def test_larger_uncertainty_never_turns_inside_to_outside(seed, times):
    here = at(wobble(seed, 0.01), sd=3e-4)
    before = run(here).verdict
    after = run(replace(here, cov=here.cov * times)).verdict
    for old, new in zip(before, after, strict=True):
        assert new in (old, Verdict.UNSURE)


def test_without_a_tolerance_nothing_is_said():
    some = FULL.model_copy(update={"spacing": None, "square": None, "height": None})
    result = run(at(0.5 * wobble(1)), some)
    none = np.isin(result.family, ["spacing", "square", "height"])
    assert np.array_equal(result.has(Verdict.UNSTATED), none)
    assert np.isinf(result.low[none]).all() and np.isinf(result.high[none]).all()
    assert np.isfinite(result.low[~none]).all()


def coordinates(*picks):
    """Loose directions: single coordinates, ``("F2", 2)``."""
    p = points()
    loose = np.zeros((3 * len(p.ids), len(picks)))
    for column, (id, axis) in enumerate(picks):
        loose[3 * p.index(id) + axis, column] = 1.0
    return loose


def test_a_head_whose_height_nobody_read():
    result = run(at(wobble(2, 0.001), loose=coordinates(("F2", 2))))
    unmeasured = {i for i, v in zip(result.ids, result.verdict, strict=True)
                  if v is Verdict.UNMEASURED}  # fmt: skip
    for id in ("front.straight.height.F2", "front.level.F1", "parallel.height.2", "plane.F2",
               "tilt.2", "height.F2"):  # fmt: skip
        assert id in unmeasured
        assert np.isinf(result.sd[of(result, id)])
    for id in ("front.straight.side.F2", "back.level.B1", "tilt.1", "height.F3", "square.2",
               "F3.plumb.along", "F2.plumb.along"):  # fmt: skip
        assert id not in unmeasured


def test_heights_need_pin_1():
    result = run(at(loose=coordinates(("pin 1", 2))))
    heights = by_family(result, "height")
    assert np.array_equal(result.has(Verdict.UNMEASURED), heights)


def test_ends_are_left_out_where_nobody_measured_them():
    result = run(at(loose=coordinates(("front left", 2), ("front left", 1))))
    assert "front.straight.height.left" not in result.ids
    assert "front.straight.side.left" not in result.ids
    assert "front.straight.side.right" in result.ids
    assert result.slope.shape == (len(result.ids), 3 * len(points().ids))
    assert Verdict.UNMEASURED not in result.verdict


def test_what_is_almost_settled_carries_the_rest_in_its_uncertainty():
    """The lean of a post hangs a little on the height of its base, known to about 0.1 m."""
    off = heads_off({"F2": 0.01}, 1)
    sure = run(at(off))
    less = run(at(off, loose=coordinates(("F2 base", 2))))
    i = of(sure, "F2.plumb.across")
    assert less.verdict[i] is not Verdict.UNMEASURED
    assert less.sd[i] > sure.sd[i]
    assert less.sd[i] == pytest.approx(
        np.hypot(sure.sd[i], 0.1 * sure.slope[i, 3 * points().index("F2 base") + 2])
    )
