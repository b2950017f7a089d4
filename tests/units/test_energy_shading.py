"""Shade on points: each kind of thing against plane geometry done by hand, and the bookkeeping."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from plans import model_with, plan_with
from plumbrail.energy.blame import culprits, shade_without
from plumbrail.energy.culling import may_meet
from plumbrail.energy.dome import SUN_WIDTH, disc_above, dome
from plumbrail.energy.patches import patches
from plumbrail.energy.rays import blocked, refuse_inside
from plumbrail.energy.shading import shade, trace
from plumbrail.errors import GeometryError, RangeError
from plumbrail.plan.shade import Box, OtherArray, Shade, Tree
from plumbrail.site.horizon import Horizon
from plumbrail.site.surroundings import HORIZON, surroundings
from plumbrail.site.terrain import Plane

UP = np.array([0.0, 0.0, 1.0])
LEVEL = Plane(0.0, 0.0)


def around(ground=LEVEL, bearing=0.0, **kinds):
    """Surroundings of things given as numbers, in SI."""
    made = {"boxes": Box, "trees": Tree, "arrays": OtherArray}
    kinds = {
        key: tuple(made[key].model_construct(**{"name": f"{key} {i}", **thing})
                   for i, thing in enumerate(value)) if key in made else value
        for key, value in kinds.items()
    }  # fmt: skip
    return surroundings(Shade.model_construct(**kinds), ground, bearing)


def light(height, bearing_from_x=0.0):
    """(1, 3) toward a light at some height, turned counter-clockwise from x [deg]."""
    h, b = np.radians(height), np.radians(bearing_from_x)
    return np.array([[np.cos(h) * np.cos(b), np.cos(h) * np.sin(b), np.sin(h)]])


def on_x(*places):
    return np.array([[x, 0.0, 0.0] for x in places])


@pytest.mark.parametrize("height", [5.0, 17.0, 45.0, 80.0])
def test_the_shadow_of_a_wall_is_its_height_over_the_tangent(height):
    # A wall 3 m high whose near face stands at x = 10 and whose light comes along x.
    wall = around(boxes=[{"at": (10.5, 0.0), "size": (1.0, 50.0), "height": 3.0}])
    tip = 10.0 - 3.0 / np.tan(np.radians(height))
    points = on_x(tip - 1e-6, tip + 1e-6, 9.999, 11.001, 30.0)
    assert blocked(wall, 0, points, light(height))[0].tolist() == [False, True, True, False, False]


def test_a_turned_wall_casts_its_shadow_from_the_turned_corner():
    # A square of 2 m turned by 45° has its corner sqrt(2) from the middle.
    for turn in (45.0, -45.0, 135.0):
        post = around(boxes=[{"at": (10.0, 0.0), "size": (2.0, 2.0), "height": 5.0,
                              "turn": np.radians(turn)}])  # fmt: skip
        tip = 10.0 - np.sqrt(2) - 5.0
        hit = blocked(post, 0, on_x(tip - 1e-4, tip + 1e-2), light(45.0))[0]
        assert hit.tolist() == [False, True]


def test_a_turned_plank_stands_as_turned():
    # Long side along the row, turned 30° clockwise: seen along its own length it is thin.
    plank = around(boxes=[{"at": (0.0, 0.0), "size": (20.0, 0.2), "height": 5.0,
                           "turn": np.radians(30)}])  # fmt: skip
    ahead = np.array([[-15 * np.cos(np.radians(30)), 15 * np.sin(np.radians(30)), 0.0]])
    beside = ahead + np.array([0.0, 0.5, 0.0])
    way = light(5.0, -30.0)
    assert blocked(plank, 0, np.vstack([ahead, beside]), way)[0].tolist() == [True, False]


def test_light_that_falls_past_the_top_of_a_box_from_above_is_not_hidden():
    low = around(boxes=[{"at": (0.0, 0.0), "size": (4.0, 4.0), "height": 1.0}])
    over = np.array([[0.0, 0.0, 1.01], [0.0, 0.0, 0.99]])
    assert blocked(low, 0, over, light(90.0))[0].tolist() == [False, True]


@pytest.mark.parametrize("height", [20.0, 40.0, 55.0])
def test_the_shadow_of_a_cone_ends_at_the_tip_and_in_its_tangents(height):
    # Cone 6 m high, radius 2 m at the ground: the shadow is the circle and the triangle of the
    # tangents from the shadow of the tip, whose half angle has the sine 2 over the shadow's length.
    spruce = around(trees=[{"at": (0.0, 0.0), "height": 6.0, "radius": 2.0}])
    length = 6.0 / np.tan(np.radians(height))
    assert length > 2.0
    points = on_x(-length - 1e-6, -length + 1e-6, -2.001, 2.001)
    assert blocked(spruce, 0, points, light(height))[0].tolist() == [False, True, True, False]
    half = (length - 3.0) * np.tan(np.arcsin(2.0 / length)) if length > 3 else None
    if half is not None:
        side = np.array([[-3.0, s * half * f, 0.0] for s in (1, -1) for f in (0.9999, 1.0001)])
        assert blocked(spruce, 0, side, light(height))[0].tolist() == [True, False] * 2


def test_under_a_crown_the_light_comes_in_low():
    # The crown begins at 3 m and has 2 m radius: from 10 m off its lower edge stands at
    # atan(3 / 8) nearest, and the stem hides nothing.
    for shape in ("cone", "round"):
        apple = around(trees=[{"at": (0.0, 0.0), "height": 7.0, "crown_from": 3.0, "radius": 2.0,
                               "crown": shape}])  # fmt: skip
        assert not blocked(apple, 0, on_x(-10.0), light(10.0)).any()
        assert blocked(apple, 0, on_x(-10.0), light(25.0)).all()
    flat = np.degrees(np.arctan2(3.0, 12.0))  # the far edge of the cone's bottom is seen lowest
    cone = around(trees=[{"at": (0.0, 0.0), "height": 7.0, "crown_from": 3.0, "radius": 2.0}])
    assert not blocked(cone, 0, on_x(-10.0), light(flat - 1e-4)).any()
    assert blocked(cone, 0, on_x(-10.0), light(flat + 1e-4)).all()


def test_a_ball_shows_its_angle():
    # A ball of radius 2 m whose middle is 10 m away fills asin(0.2) each way.
    ball = around(trees=[{"at": (10.0, 0.0), "height": 7.0, "crown_from": 3.0, "radius": 2.0,
                          "crown": "round"}])  # fmt: skip
    eye = np.array([[0.0, 0.0, 5.0]])
    edge = np.degrees(np.arcsin(0.2))
    for way in (light(edge - 1e-4), light(0.0, edge - 1e-4)):
        assert blocked(ball, 0, eye, way).all()
    for way in (light(edge + 1e-4), light(0.0, -edge - 1e-4), -light(0.0)):
        assert not blocked(ball, 0, eye, way).any()


def test_light_comes_in_under_another_array_and_over_it():
    # Faces -y like ours; low edge at y = -10, 1 m up; high edge at y = -10 + 3 cos 30, 2.5 m up.
    old = around(bearing=np.radians(90), arrays=[{
        "at": (0.0, -10.0), "row_length": 8.0, "slope_length": 3.0, "tilt": np.radians(30),
        "azimuth": np.radians(180), "low_edge": 1.0}])  # fmt: skip
    eye = np.array([[0.0, 0.0, 0.0]])
    low = np.degrees(np.arctan2(1.0, 10.0))
    high = np.degrees(np.arctan2(2.5, 10.0 - 3.0 * np.cos(np.radians(30))))
    heights = np.array([low - 0.01, low + 0.01, high - 0.01, high + 0.01])
    ways = np.vstack([light(h, -90.0) for h in heights])
    assert blocked(old, 0, eye, ways)[:, 0].tolist() == [False, True, True, False]
    for side in (1, -1):  # aimed at places 1 m up the slope, just inside and outside the side edge
        aim = np.array([[side * x, -10.0 + np.cos(np.radians(30)), 1.5] for x in (3.999, 4.001)])
        ways = aim / np.linalg.norm(aim, axis=1, keepdims=True)
        assert blocked(old, 0, eye, ways)[:, 0].tolist() == [True, False]
        assert not blocked(old, 0, 2.0 * aim[:1], ways[:1]).any()  # from beyond it


def test_the_horizon_hides_the_sun_by_its_disc():
    skyline = Horizon(np.array([0.0]), np.array([np.radians(10.0)]))
    off = np.array([-1.0, -0.5, -0.25, 0.0, 0.25, 0.5, 1.0]) * np.degrees(SUN_WIDTH)
    seen = disc_above(np.vstack([light(10.0 + o) for o in off]), skyline, 0.3)
    # Half a radius from the middle a circle is cut at 0.1955 of its area (plane geometry).
    assert seen == pytest.approx([0, 0, 0.19550, 0.5, 0.80450, 1, 1], abs=1e-5)


def test_the_horizon_is_looked_up_on_the_map():
    # Hills of 20° in the east only; x points south, so the east lies on y.
    hills = around(bearing=np.radians(180), horizon=tuple(
        (np.radians(b), np.radians(h)) for b, h in ((0, 0), (60, 20), (120, 20), (180, 0))
    ))  # fmt: skip
    ways = np.vstack([light(10.0, turn) for turn in (90.0, -90.0, 180.0, 0.0)])
    found = shade(on_x(0.0), UP, hills, ways, np.ones(4, int), np.ones(4, bool))
    assert found.through[:, 0] == pytest.approx([0, 1, 1, 1])


def test_trees_one_behind_the_other_multiply():
    wood = around(trees=[
        {"at": (x, 0.0), "height": 9.0, "radius": 1.0, "light_through": s, "light_through_bare": b,
         "bare_months": (1,)} for x, s, b in ((5.0, 0.5, 0.8), (9.0, 0.2, 0.9))
    ])  # fmt: skip
    ways = np.repeat(light(20.0), 2, axis=0)
    found = shade(on_x(0.0), UP, wood, ways, np.array([1, 6]), np.ones(2, bool))
    assert found.through[:, 0] == pytest.approx([0.72, 0.1])
    assert found.dome_month[0, 0] > found.dome_month[5, 0]
    assert found.dome == pytest.approx(found.dome_month.mean(axis=0))
    assert found.skyline_month[1:] == pytest.approx(np.repeat(found.skyline_month[5:6], 11, axis=0))


def test_night_and_sun_behind_the_plane_are_left_alone():
    wall = around(boxes=[{"at": (5.0, 0.0), "size": (1.0, 50.0), "height": 30.0}])
    ways = np.vstack([light(10.0), light(10.0), light(10.0, 180.0)])
    normal = np.array([np.sin(0.6), 0.0, np.cos(0.6)])
    up = np.array([True, False, True])
    found = shade(on_x(0.0), normal, wall, ways, np.ones(3, int), up)
    assert found.through[:, 0].tolist() == [0, 1, 1]
    assert found.through.dtype == np.float32
    turned = shade(on_x(0.0), normal * [-1, 1, 1], wall, ways[:1], np.ones(1, int), up[:1])
    assert turned.through[0, 0] == 1.0


def test_nothing_around_hides_nothing():
    points = on_x(0.0, 1.0)
    found = shade(points, UP, around(), light(30.0), np.ones(1, int), np.ones(1, bool))
    assert found.through == pytest.approx(np.ones((1, 2)))
    assert found.dome == pytest.approx(np.ones(2))
    assert found.skyline == pytest.approx(np.ones(2))


def many():
    """Something of each kind around a few points, and a day of light."""
    things = around(
        bearing=1.0,
        boxes=[{"at": (8.0, -6.0), "size": (4.0, 3.0), "height": 5.0, "turn": 0.4}],
        trees=[{"at": (-6.0, -5.0), "height": 9.0, "radius": 2.0, "light_through": 0.1},
               {"at": (3.0, -9.0), "height": 6.0, "crown_from": 1.0, "radius": 2.5,
                "crown": "round", "light_through": 0.3, "light_through_bare": 0.8,
                "bare_months": (1, 2)}],
        arrays=[{"at": (0.0, -5.0), "row_length": 6.0, "slope_length": 3.0, "tilt": 0.6,
                 "azimuth": 2.5, "low_edge": 0.5}],
        horizon=((0.0, 0.1), (2.0, 0.2), (4.0, 0.05)),
    )  # fmt: skip
    rng = np.random.default_rng(5)
    points = np.column_stack([rng.uniform(-3, 3, 11), rng.uniform(-1, 1, 11), np.full(11, 0.5)])
    ways = np.vstack([light(h, b) for h in range(2, 90, 6) for b in range(0, 360, 9)])
    month = np.arange(len(ways)) % 12 + 1
    return things, points, ways, month


def test_leaving_one_out_is_the_same_as_never_having_it():
    things, points, ways, month = many()
    up = np.ones(len(ways), bool)
    traced = trace(points, UP, things, ways, month, up)
    assert traced.names[-1] == HORIZON and len(traced.names) == 5
    for k in range(5):
        alone = traced.without(*[j for j in range(5) if j != k]).through
        assert alone.min() < 1.0, traced.names[k]
        shares = traced.without(k)
        slow = np.ones_like(shares.through)
        for j in range(4):
            if j != k:
                hit = blocked(things, j, points, ways)
                slow *= np.where(hit, things.light[j, month - 1][:, None], 1.0)
        if k != 4:
            slow *= disc_above(ways, things.horizon, 1.0)[:, None]
        assert shares.through == pytest.approx(slow, abs=1e-6)
        assert (shares.dome >= traced.all().dome).all()
    assert traced.open().through.min() == 1.0
    assert traced.open().dome == pytest.approx(np.ones(11))
    with pytest.raises(IndexError, match="no number 5"):
        traced.without(5)


def test_the_product_of_all_is_the_product_of_each_alone():
    things, points, ways, month = many()
    traced = trace(points, UP, things, ways, month, np.ones(len(ways), bool))
    product = np.ones_like(traced.all().through)
    for k in range(5):
        product *= traced.without(*[j for j in range(5) if j != k]).through
    assert traced.all().through == pytest.approx(product, abs=1e-6)


def test_the_worst_comes_first_and_costs_its_light():
    things, points, ways, month = many()
    traced = trace(points, UP, things, ways, month, np.ones(len(ways), bool))

    def energy(shading):
        means = shading.through.mean(axis=1)
        return np.array([means[month == m].sum() for m in range(1, 13)], dtype=float)

    found = culprits(traced, energy)
    assert sorted(c.name for c in found) == sorted(traced.names)
    costs = [c.energy for c in found]
    assert costs == sorted(costs, reverse=True) and costs[-1] > 0
    whole = energy(traced.open()) - energy(traced.all())
    assert sum(costs) < whole.sum()  # what two hide alike, neither costs alone
    for c in found:
        assert c.energy == pytest.approx(c.month.sum())
    again = culprits(traced, energy, energy(traced.all()))
    assert [c.energy for c in again] == pytest.approx(costs)
    assert [name for name, _ in shade_without(traced)] == list(traced.names)


def test_what_stands_in_the_modules_is_refused_by_name():
    spots = np.array([[0.0, 0.0, 1.5], [3.0, 0.0, 1.5]])
    shed = {"at": (3.0, 0.0), "size": (2.0, 2.0), "height": 4.0}
    fir = {"at": (0.5, 0.0), "height": 8.0, "radius": 2.0}
    oak = {**fir, "crown": "round", "crown_from": 0.0}
    things = around(boxes=[shed], trees=[fir, oak, {**oak, "crown_from": 2.0}])
    with pytest.raises(GeometryError) as caught:
        refuse_inside(things, spots)
    assert [p.path for p in caught.value.problems] == [
        "site.shade.boxes[0]", "site.shade.trees[0]", "site.shade.trees[1]"
    ]  # fmt: skip
    assert '"boxes 0" reaches into the modules' in str(caught.value)
    with pytest.raises(GeometryError):
        shade(spots, UP, things, light(30.0), np.ones(1, int), np.ones(1, bool))
    refuse_inside(around(boxes=[{**shed, "height": 1.0}]), spots)  # a tank under them
    refuse_inside(around(boxes=[{**shed, "at": (8.0, 0.0)}]), spots)
    refuse_inside(around(arrays=[{
        "at": (0.0, -3.0), "row_length": 6.0, "slope_length": 3.0, "tilt": 0.5, "azimuth": 0.3,
        "low_edge": 0.5}]), spots)  # fmt: skip


def test_the_dome_weighs_what_a_tilted_plane_sees():
    for tilt in (0.0, 20.0, 45.0, 80.0):
        t = np.radians(tilt)
        sky = dome(np.array([0.3 * np.sin(t), -np.sqrt(0.91) * np.sin(t), np.cos(t)]))
        assert sky.weight.sum() == pytest.approx(np.pi * (1 + np.cos(t)) / 2, rel=2e-3)
        assert np.linalg.norm(sky.toward, axis=1) == pytest.approx(np.ones(len(sky.weight)))
        assert np.degrees(np.arcsin(sky.toward[sky.skyline, 2].max())) < 6.5


@pytest.mark.parametrize("orientation", ["landscape", "portrait"])
@pytest.mark.parametrize("each", [1, 2, 3, 4])
def test_patches_lie_on_their_strips(orientation, each):
    changes = {"array.orientation": orientation, "module.bypass": 3, "module.halves": 2}
    if orientation == "portrait":
        changes |= {"array.rows": 2, "array.columns": 9}
    plan, model = plan_with(changes), model_with(changes)
    found = patches(model, plan, each)
    modules = len(model.modules.ids)
    assert len(found.module) == modules * 6 and len(found.xyz) == modules * 6 * each
    assert found.each == each
    plane, m = model.plane, plan.module
    above = (found.xyz - plane.point(0.0, 0.0)) @ plane.normal
    assert above == pytest.approx(np.full(len(above), m.thickness))
    long_way, short_way = (
        (plane.row, plane.up_slope) if orientation == "landscape" else (plane.up_slope, plane.row)
    )
    off = found.xyz - model.modules.corners[found.module[found.patch], 0]
    strip = off @ short_way / (m.width / 3)
    half = off @ long_way / (m.length / 2)
    assert np.floor(strip) == pytest.approx(found.strip[found.patch])
    assert np.floor(half) == pytest.approx(found.half[found.patch])
    # Their mean is the middle of the module, and each patch's mean its own middle.
    middle = found.mean(found.xyz.T).T
    assert middle.reshape(modules, 6, 3).mean(axis=1) == pytest.approx(
        model.modules.corners.mean(axis=1) + m.thickness * plane.normal
    )
    assert found.mean(strip) == pytest.approx(found.strip + 0.5)
    assert np.bincount(found.patch, found.weight) == pytest.approx(np.ones(modules * 6))


def test_patches_of_an_uncut_module_and_of_many():
    changes = {"module.bypass": 2, "module.halves": 1, "module.cells": 60}
    found = patches(model_with(changes), plan_with(changes))
    assert found.half.max() == 0 and found.strip.max() == 1 and found.each == 2
    for wrong in (0, 5):
        with pytest.raises(RangeError, match="1 to 4"):
            patches(model_with(), plan_with(), wrong)
    model = model_with()
    many_modules = SimpleNamespace(
        modules=SimpleNamespace(ids=("M",) * 240, corners=np.repeat(
            model.modules.corners, 10, axis=0)), plane=model.plane)  # fmt: skip
    assert patches(many_modules, plan_with()).each == 1


def test_straight_up_and_straight_down():
    # Over and under a crown from 3 to 7 m of radius 2 m, and a block 5 m high.
    up, down = light(90.0), -light(90.0)
    eyes = np.array([[x, 0.0, z] for x in (0.5, 2.5) for z in (1.0, 9.0)])
    crown = {"at": (0.0, 0.0), "height": 7.0, "crown_from": 3.0, "radius": 2.0}
    for shape in ("cone", "round"):
        tree = around(trees=[{**crown, "crown": shape}])
        assert blocked(tree, 0, eyes, up)[0].tolist() == [True, False, False, False]
        assert blocked(tree, 0, eyes, down)[0].tolist() == [False, True, False, False]
    block = around(boxes=[{"at": (0.0, 0.0), "size": (4.0, 4.0), "height": 5.0}])
    assert blocked(block, 0, eyes, up)[0].tolist() == [True, False, False, False]
    assert blocked(block, 0, eyes, down)[0].tolist() == [True, True, False, False]


def test_down_a_slope_past_a_block_and_into_it():
    # From 9 m up at 10 m off, the near top edge (5 m up, 8 m off) lies at atan(4 / 8) down, the far
    # one at atan(4 / 12): between them the line comes down on the top.
    block = around(boxes=[{"at": (0.0, 0.0), "size": (4.0, 4.0), "height": 5.0}])
    eye = np.array([[-10.0, 0.0, 9.0]])
    far = np.degrees(np.arctan2(4.0, 12.0))
    ways = np.vstack([light(-far + 0.01), light(-far - 0.01), light(-45.0)])
    assert blocked(block, 0, eye, ways)[:, 0].tolist() == [False, True, True]


def test_a_crown_over_a_corner_of_the_array_is_tried_from_all_sides():
    # In plan it overlaps the points, so that no window of bearings holds it.
    tree = around(trees=[{"at": (0.0, 0.0), "height": 9.0, "crown_from": 4.0, "radius": 3.0}])
    points = np.array([[x, y, 1.0] for x in (-8.0, 1.0) for y in (-1.0, 6.0)])
    ways = np.vstack([light(h, b) for h in (20.0, 40.0, 85.0) for b in range(0, 360, 15)])
    kept = may_meet(tree, 0, points, ways)
    hit = blocked(tree, 0, points, ways)
    assert not hit[~kept].any()
    from_east_and_west = hit[:24].any(axis=1)
    assert from_east_and_west[:6].any() and hit[48:].any()
    found = shade(points, UP, tree, ways, np.ones(len(ways), int), np.ones(len(ways), bool))
    assert np.array_equal(found.through == 0.0, hit)
