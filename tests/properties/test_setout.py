"""Setting out: what must hold for any pins, any row and any ground."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plans import model_with
from plumbrail.plan.models import SetOut
from plumbrail.setout import tapes
from plumbrail.setout.stakes import stake
from plumbrail.site.terrain import Plane

slopes = st.floats(-0.3, 0.3)
spacings = st.lists(st.floats(1.0, 4.0), min_size=1, max_size=12)
outside = st.tuples(st.floats(-20.0, -2.0), st.floats(-20.0, -2.0))


@lru_cache(maxsize=1)
def demo():
    return model_with()


def frame(bays, along=0.0, across=0.0, level=0.0, turn=0.0, shift=(0.0, 0.0)):
    """The demo frame with other bays on another plane, turned and shifted in plan."""
    model = demo()
    x = np.concatenate([[0.0], np.cumsum(bays)])
    n = len(x)
    xy = np.column_stack([np.tile(x, 2), np.repeat([0.0, model.posts.xy[-1, 1]], n)])
    xy = turned(xy, turn) + shift
    row = np.repeat([0, 1], n)
    take = np.where(row == 0, 0, model.stations)
    ground = Plane(along, across, level)
    z = ground.height(xy[:, 0], xy[:, 1])
    depth = model.piers.depth[take]
    posts = replace(
        model.posts, ids=tuple(f"{'FB'[r]}{i % n + 1}" for i, r in enumerate(row)), row=row, xy=xy,
        station=np.tile(np.arange(n) + 1, 2), ground=z, beam_centre=model.posts.beam_centre[take],
        top=model.posts.top[take] + level, foot=z - depth,
    )  # fmt: skip
    return replace(model, terrain=ground, posts=posts,
                   piers=replace(model.piers, depth=depth, bottom=z - depth))  # fmt: skip


def turned(xy, angle):
    c, s = np.cos(angle), np.sin(angle)
    return np.asarray(xy) @ np.array([[c, s], [-s, c]])


def pins(one, two, laser=1.5, height=0.1):
    return SetOut.model_construct(
        pin_1=tuple(one), pin_2=tuple(two), pin_height=height, laser_height=laser
    )


def right_of(bays, corner):
    return (sum(bays) - corner[0], corner[1])


@given(spacings, outside, outside)
def test_two_tapes_lead_back_to_the_hole(bays, left, right):
    model = frame(bays)
    s = stake(model, pins(left, right_of(bays, right)))
    assume((np.abs(s.across) > 0.05).all())
    x = tapes.along_from_tapes(s.tapes.level[:, 0], s.tapes.level[:, 1], np.array(s.base.length))
    y = np.sign(s.across) * tapes.across_from_tapes(s.tapes.level[:, 0], x)
    found = s.base.pins[0] + x[:, None] * s.base.along + y[:, None] * s.base.across
    np.testing.assert_allclose(found, model.posts.xy, atol=1e-9, rtol=0)


@given(spacings, outside, st.floats(-3.1, 3.1), st.tuples(st.floats(-50, 50), st.floats(-50, 50)))
def test_turning_and_shifting_all_of_it_changes_no_distance(bays, left, turn, shift):
    right = right_of(bays, left)
    here = stake(frame(bays), pins(left, right))
    moved = turned([left, right], turn) + shift
    there = stake(frame(bays, turn=turn, shift=shift), pins(*moved))
    for name in ("level", "slope", "angle"):
        np.testing.assert_allclose(
            getattr(there.tapes, name), getattr(here.tapes, name), atol=1e-6, rtol=1e-9
        )
    np.testing.assert_allclose(there.along, here.along, atol=1e-9)
    np.testing.assert_allclose(np.abs(there.across), np.abs(here.across), atol=1e-9)
    np.testing.assert_allclose(there.lines.level, here.lines.level, atol=1e-9)


@given(spacings, slopes, slopes, outside)
def test_every_rectangle_has_equal_level_diagonals(bays, along, across, left):
    c = stake(frame(bays, along, across), pins(left, right_of(bays, left))).lines
    pair = c.of("diagonal")
    assert abs(c.level[pair[0]] - c.level[pair[1]]) < 1e-9
    bays_pairs = c.of("bay diagonal").reshape(-1, 2)
    np.testing.assert_allclose(c.level[bays_pairs[:, 0]], c.level[bays_pairs[:, 1]], atol=1e-9)
    assert (c.slope >= c.level).all()
    if along == 0.0 or across == 0.0:  # on one fall the diagonals stay equal on the ground too
        assert abs(c.slope[pair[0]] - c.slope[pair[1]]) < 1e-9


@given(spacings, outside)
def test_mirrored_pins_read_mirrored_distances(bays, left):
    even = bays + bays[::-1]
    s = stake(frame(even), pins(left, right_of(even, left)))
    n = len(even) + 1
    mirror = np.concatenate([np.arange(n)[::-1], n + np.arange(n)[::-1]])
    np.testing.assert_allclose(s.tapes.level[:, 0], s.tapes.level[mirror, 1], atol=1e-9)
    np.testing.assert_allclose(s.tapes.angle, s.tapes.angle[mirror], atol=1e-9)


@given(spacings, slopes, slopes, st.floats(-100, 100), st.floats(0.5, 4.0))
def test_rod_and_height_make_up_the_laser_and_forget_the_datum(bays, along, across, level, laser):
    where = pins((-2.0, -2.0), (sum(bays) + 2.0, -2.0), laser)
    s, t = stake(frame(bays, along, across), where), stake(frame(bays, along, across, level), where)
    for name in ("ground", "hole_bottom", "post_top", "pin_2_top"):
        point, same = getattr(s.levels, name), getattr(t.levels, name)
        signed = np.where(point.up, -point.reading, point.reading)
        np.testing.assert_allclose(point.height + signed, laser, atol=1e-9)
        assert (point.reading >= 0).all()
        np.testing.assert_allclose(same.height, point.height, atol=1e-9)


@settings(max_examples=50)
@given(st.floats(0.5, 30), st.floats(0.5, 30), st.floats(2, 40))
def test_radial_error_is_what_the_inverse_of_the_tape_directions_gives(x, y, c):
    """The covariance of the point by linear algebra, an independent way to the same number."""
    to = np.array([[x, y], [x - c, y]])
    rows = to / np.linalg.norm(to, axis=1)[:, None]
    gamma = np.arctan2(abs(np.linalg.det(to)), to[0] @ to[1])
    assume(np.sin(gamma) > 1e-3)
    sd = np.array([0.001, 0.002])
    inverse = np.linalg.inv(rows)
    covariance = inverse @ np.diag(sd**2) @ inverse.T
    ours = tapes.radial_rms(np.array(sd[0]), np.array(sd[1]), np.array(gamma))
    np.testing.assert_allclose(ours, np.sqrt(np.trace(covariance)), rtol=1e-6)
