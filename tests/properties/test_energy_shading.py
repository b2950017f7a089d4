"""Shade: what must hold for any things, any sun and any array."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.energy.rays import blocked
from plumbrail.energy.shading import shade, trace
from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.site.surroundings import surroundings
from plumbrail.site.terrain import Plane

ahead = st.tuples(st.floats(-30.0, 30.0), st.floats(-30.0, -6.0))
sizes, turns = st.floats(0.5, 5.0), st.floats(-3.1, 3.1)
shares = st.floats(0.0, 1.0)

boxes = st.builds(Box.model_construct, name=st.just("b"), at=ahead, size=st.tuples(sizes, sizes),
                  turn=turns, height=st.floats(0.5, 15.0))  # fmt: skip
trees = st.builds(
    Tree.model_construct, name=st.just("t"), at=ahead, height=st.floats(3.0, 15.0),
    crown_from=st.floats(0.0, 2.5), radius=sizes, crown=st.sampled_from(["cone", "round"]),
    light_through=shares, light_through_bare=shares,
    bare_months=st.lists(st.integers(1, 12), max_size=12, unique=True).map(tuple),
)  # fmt: skip
arrays = st.builds(
    OtherArray.model_construct, name=st.just("a"), at=ahead.map(lambda p: (p[0], p[1] - 6.0)),
    row_length=sizes, slope_length=sizes, tilt=st.floats(0.0, 1.4),
    azimuth=st.floats(0.0, 6.2), low_edge=st.floats(0.0, 2.0),
)  # fmt: skip
things = st.one_of(boxes, trees, arrays)
horizons = st.lists(
    st.tuples(st.floats(0.0, 6.2), st.floats(0.0, 0.5)), min_size=1, max_size=6,
    unique_by=lambda p: round(p[0], 2),
).map(lambda points: tuple(sorted(points)))  # fmt: skip

POINTS = np.column_stack([
    np.tile(np.linspace(-2, 4, 4), 2), np.repeat([-0.8, 0.8], 4), np.repeat([0.7, 1.7], 4)
])  # fmt: skip
NORMAL = np.array([0.0, -np.sin(0.55), np.cos(0.55)])
HEIGHT, TURN = (
    np.radians(g.ravel())
    for g in np.meshgrid(np.arange(1.0, 80.0, 7.0), np.arange(-175.0, 180.0, 11.0))
)
SUN = np.stack([np.cos(HEIGHT) * np.cos(TURN), np.cos(HEIGHT) * np.sin(TURN), np.sin(HEIGHT)],
               axis=-1)  # fmt: skip
MONTH = np.arange(len(SUN)) % 12 + 1
UP = np.ones(len(SUN), bool)


def world(some, horizon=None, bearing=1.5, ground=None):
    kinds = {"boxes": Box, "trees": Tree, "arrays": OtherArray}
    parts = {key: tuple(t for t in some if type(t) is kind) for key, kind in kinds.items()}
    shade_ = Shade.model_construct(horizon=horizon, **parts)
    return surroundings(shade_, ground or Plane(0.02, -0.03), bearing)


def shaded(around):
    return shade(POINTS, NORMAL, around, SUN, MONTH, UP)


def no_more_light(with_more, with_less):
    assert (with_more.through <= with_less.through + 1e-6).all()
    assert (with_more.dome_month <= with_less.dome_month + 1e-9).all()
    assert (with_more.skyline_month <= with_less.skyline_month + 1e-9).all()


@settings(max_examples=40, deadline=None)
@given(st.lists(things, max_size=4), things, horizons)
def test_one_thing_more_never_lets_more_through(some, more, horizon):
    without, whole = shaded(world(some, horizon)), shaded(world([*some, more], horizon))
    no_more_light(whole, without)
    no_more_light(without, shaded(world(some)))
    for part in (whole.through, whole.dome, whole.skyline):
        assert (part >= -1e-9).all() and (part <= 1 + 1e-6).all()


@settings(max_examples=40, deadline=None)
@given(things, st.floats(1.0, 3.0))
def test_a_taller_thing_never_lets_more_through(thing, taller):
    # Of a sheet the slope grows, its low edge stays. A taller ball does not hold the lower one
    # (both are narrow at the bottom), a taller cone does.
    if isinstance(thing, Tree):
        thing = thing.model_copy(update={"crown": "cone"})
    size = "slope_length" if isinstance(thing, OtherArray) else "height"
    grown = thing.model_copy(update={size: getattr(thing, size) * taller})
    no_more_light(shaded(world([grown])), shaded(world([thing])))


@settings(max_examples=40, deadline=None)
@given(trees, st.floats(1.0, 2.0))
def test_a_wider_crown_never_lets_more_through(tree, wider):
    grown = tree.model_copy(update={"radius": tree.radius * wider})
    at = (tree.at[0], tree.at[1] - 12.0)
    both = [t.model_copy(update={"at": at}) for t in (grown, tree)]
    no_more_light(*(shaded(world([t])) for t in both))


@settings(max_examples=40, deadline=None)
@given(things)
def test_behind_the_plane_nothing_touches_the_beam(thing):
    # The plane rises to the back; a thing behind it and below its extension is never sunward of a
    # point while the sun is before the plane.
    x, y = thing.at
    back = 40.0 - y
    low = thing.model_copy(update={"at": (x, back)})
    around = world([low], ground=Plane(0.0, 0.0))
    reach = around.footprint(0)[:, 1].min()
    top = around.top(0)
    plane_height = 0.7 + (reach + 0.8) * np.tan(0.55)
    assert top < plane_height
    found = shaded(around)
    assert (found.through == 1.0).all()
    assert (found.dome > 1 - 1e-9).all()


@settings(max_examples=40, deadline=None)
@given(st.lists(things, min_size=1, max_size=4), horizons, st.floats(-3.0, 3.0))
def test_turning_the_whole_world_changes_nothing(some, horizon, angle):
    one = world(some, horizon, ground=Plane(0.0, 0.0))
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])  # rows, counter-clockwise
    flat = turn[:2, :2]
    other = replace(
        one,
        boxes=replace(one.boxes, middle=one.boxes.middle @ flat, axis=one.boxes.axis @ flat),
        crowns=replace(one.crowns, stem=one.crowns.stem @ flat),
        sheets=replace(one.sheets, corner=one.sheets.corner @ turn, along=one.sheets.along @ turn,
                       up=one.sheets.up @ turn),
        row_bearing=one.row_bearing + angle,
    )  # fmt: skip
    same = shaded(one)
    turned = shade(POINTS @ turn, NORMAL @ turn, other, SUN @ turn, MONTH, UP)
    # Lines that graze an edge may fall to either side.
    assert (np.abs(same.through - turned.through) > 1e-4).mean() < 2e-3
    # The cells of the sky do not turn with it.
    assert np.abs(same.dome - turned.dome).max() < 3e-3
    assert np.abs(same.skyline - turned.skyline).max() < 4e-2


@settings(max_examples=30, deadline=None)
@given(st.lists(things, max_size=3), trees)
def test_a_crown_that_lets_all_through_is_none(some, tree):
    glass = tree.model_copy(update={"light_through": 1.0, "light_through_bare": 1.0})
    with_it, without = shaded(world([*some, glass])), shaded(world(some))
    assert np.array_equal(with_it.through, without.through)
    assert np.abs(with_it.dome_month - without.dome_month).max() < 1e-12


@settings(max_examples=30, deadline=None)
@given(st.lists(things, min_size=1, max_size=4), horizons, st.data())
def test_leaving_out_is_not_having(some, horizon, data):
    around = world(some, horizon)
    traced = trace(POINTS, NORMAL, around, SUN, MONTH, UP)
    k = data.draw(st.integers(0, len(some) - 1))
    order = [t for kind in (Box, Tree, OtherArray) for t in some if type(t) is kind]
    never = shaded(world([t for i, t in enumerate(order) if i != k], horizon))
    left_out = traced.without(k)
    assert np.array_equal(left_out.through, never.through)
    assert np.abs(left_out.dome_month - never.dome_month).max() < 1e-12
    assert np.abs(left_out.skyline_month - never.skyline_month).max() < 1e-12


@settings(max_examples=60, deadline=None)
@given(things, st.tuples(*[st.floats(-20.0, 20.0)] * 2, st.floats(0.0, 10.0)), st.floats(0.1, 5.0))
def test_further_toward_the_light_no_more_is_in_the_way(thing, place, step):
    # What hides a point's light from some place on along the ray hides it from before that, too.
    around = world([thing])
    here = np.array([place])
    for way in SUN[::9]:
        later = blocked(around, 0, here + step * way, way[None])
        sooner = blocked(around, 0, here, way[None])
        nearly = blocked(around, 0, here, (way + np.array([1e-7, 1e-7, 0.0]))[None])
        assert sooner[0, 0] or nearly[0, 0] or not later[0, 0]
