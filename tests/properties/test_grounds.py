"""Distances in plan keep their order, whatever lies where."""

from datetime import date
from functools import cache
from itertools import pairwise
from math import inf

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from plans import plan_with
from plumbrail.check import Status
from plumbrail.checks.ground import ground_cautions, ground_checks
from plumbrail.model.build import build_planned
from plumbrail.plan.models import Boundary, Locate, Region, Service
from plumbrail.plan.polygons import crossing
from plumbrail.site.flat import (
    closed,
    inset,
    lines_apart,
    outline_room,
    outlines_apart,
    room_inside,
    to_line,
)

number = st.floats(-50, 50).map(lambda v: round(v, 3))
place = st.tuples(number, number)
line = st.lists(place, min_size=2, max_size=6).filter(lambda p: all(a != b for a, b in pairwise(p)))


@st.composite
def star(draw):
    """Outlines that do not cross themselves, many of which reach in."""
    count = draw(st.integers(3, 9))
    radii = draw(st.lists(st.floats(2, 30), min_size=count, max_size=count))
    x, y = draw(place)
    around = 2 * np.pi * np.arange(count) / count
    return np.array([x, y]) + np.array(radii)[:, None] * np.stack(
        [np.cos(around), np.sin(around)], axis=-1
    )


def sampled(points, each=60):
    """Many places along a joined line."""
    at, share = np.asarray(points, dtype=float), np.linspace(0, 1, each)[:, None]
    return np.concatenate([a + share * (b - a) for a, b in pairwise(at)])


@given(place, line)
def test_no_place_of_a_line_is_nearer_than_its_distance(point, points):
    away = to_line([point], points)[0]
    samples = np.hypot(*(sampled(points) - np.array(point)).T)
    step = max(np.hypot(*np.subtract(b, a)) for a, b in pairwise(points)) / 59
    assert samples.min() - step <= away <= samples.min() + 1e-9


@given(line, line)
def test_two_lines_are_as_far_from_each_other_either_way(one, other):
    there, back = lines_apart(one, other), lines_apart(other, one)
    assert np.isclose(there.distance, back.distance, atol=1e-9)
    assert np.isclose(np.hypot(*(there.here - there.there)), there.distance, atol=1e-9)
    assert to_line(sampled(one), other).min() >= there.distance - 1e-9


@given(star(), star())
def test_outlines_that_share_ground_are_not_apart(one, other):
    apart = outlines_apart(one, other).distance
    shared = (room_inside(sampled(closed(one)), other) > 1e-6).any()
    assert apart >= 0
    assert not (shared and apart > 0)
    if apart > 0:
        assert to_line(sampled(closed(one)), closed(other)).min() >= apart - 1e-9


@given(star(), st.floats(-40, 40), st.floats(-40, 40), st.floats(0.1, 3))
def test_room_in_an_outline_is_what_its_edge_leaves(outer, x, y, half):
    inner = np.array([x, y]) + half * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    room = outline_room(inner, outer).distance
    least = room_inside(sampled(closed(inner)), outer).min()
    assert room <= least + 1e-6 or least < 0
    assert (least < -1e-6) <= (room <= 0)


@settings(max_examples=60, deadline=None)
@given(star(), st.floats(0.2, 8))
def test_an_inner_line_keeps_its_distance_all_along(outline, by):
    for piece in inset(outline, by):
        room = room_inside(sampled(piece, 9), outline)
        assert room.min() >= by * (1 - 1e-6) - 1e-6
        assert room.max() <= by * 1.02 + 1e-6  # straight pieces about a corner stand off a little


@given(star())
def test_outlines_that_go_round_once_are_taken(outline):
    assert crossing([tuple(p) for p in outline.tolist()]) is None


@given(st.lists(place, min_size=4, max_size=7, unique=True), st.data())
def test_a_swapped_corner_is_found_when_sides_cross(points, data):
    """Two sides that cross, by solving for where they meet."""
    i = data.draw(st.integers(0, len(points) - 3))
    a, b = np.array(points[i]), np.array(points[i + 1])
    j = data.draw(st.integers(i + 2, len(points) - 1))
    c, d = np.array(points[j]), np.array(points[(j + 1) % len(points)])
    assume((j + 1) % len(points) != i)
    matrix = np.stack([b - a, c - d], axis=-1)
    assume(abs(np.linalg.det(matrix)) > 1e-3)
    s, t = np.linalg.solve(matrix, c - a)
    if 1e-6 < s < 1 - 1e-6 and 1e-6 < t < 1 - 1e-6:
        assert crossing(points) is not None


@cache
def alder():
    plan = plan_with()
    return plan, build_planned(plan)


def checked(service=None, setback=6.0, boundary=None):
    plan, model = alder()
    far = ((-90.0, -90.0), (90.0, -90.0), (90.0, 90.0), (-90.0, 90.0))
    site = plan.site.model_copy(update={
        "services": () if service is None else (service,), "easements": (), "regions": (),
        "locate": Locate.model_construct(answered=date(2026, 4, 27), ticket=None, own_lines=True),
        "boundary": Boundary.model_construct(
            points=boundary or far, known_by="survey", setback=setback, easements_read=True),
    })  # fmt: skip
    plan = plan.model_copy(update={"site": site})
    return {c.id: c for c in ground_checks(plan, model)}, ground_cautions(plan, model)


def service(points, **more):
    said = {"name": "Line", "kind": "gas", "points": tuple(points), "located_by": "locator",
            "uncertainty": None, "tolerance": None, "diameter": None, "depth": None,
            "state": "unknown", **more}  # fmt: skip
    return Service.model_construct(**said)


@settings(max_examples=40, deadline=None)
@given(st.floats(-60, -1), st.floats(0.01, 30), st.floats(0, 2))
def test_moving_a_service_away_never_uses_more_of_the_clearance(back, further, diameter):
    """A level line in front of the row, then further in front."""
    near, _ = checked(service([(-60, back), (60, back)], diameter=diameter))
    far, _ = checked(service([(-60, back - further), (60, back - further)], diameter=diameter))
    for post in alder()[1].posts.ids:
        assert reach(far[f"{post}.services"]) <= reach(near[f"{post}.services"]) + 1e-12
        assert far[f"{post}.services"].capacity >= near[f"{post}.services"].capacity - 1e-12


def reach(check):
    """Its ratio; without end for a line that runs over the hole, which fails without a number."""
    if check.ratio is None:
        assert check.status is Status.FAIL
        assert "runs over the hole" in check.note
        return inf
    return check.ratio


@settings(max_examples=40, deadline=None)
@given(line, st.floats(0, 2), st.floats(0.01, 2))
def test_more_doubt_never_frees_a_hole(points, doubt, more):
    sure, few = checked(service(points, uncertainty=doubt))
    unsure, many = checked(service(points, uncertainty=doubt + more))
    for post, small, large in zip(alder()[1].posts.ids, few, many, strict=True):
        assert reach(unsure[f"{post}.services"]) >= reach(sure[f"{post}.services"])
        assert len(large) >= len(small)


@settings(max_examples=40, deadline=None)
@given(line)
def test_a_hole_fails_just_where_it_is_dug_by_hand(points):
    found, cautions = checked(service(points))
    for post, said in zip(alder()[1].posts.ids, cautions, strict=True):
        ratio = reach(found[f"{post}.services"])
        assume(abs(ratio - 1) > 1e-6)
        assert (ratio > 1) == bool(said)


@settings(max_examples=40, deadline=None)
@given(st.floats(-30, 30), st.floats(0, 20))
def test_a_boundary_further_out_never_fails_what_passed(low, setback):
    def of(y):
        edge = ((-90.0, y), (90.0, y), (90.0, 90.0), (-90.0, 90.0))
        return checked(setback=setback, boundary=edge)[0]["array.setback"].status.value

    order = ["fail", "pass"]
    assert order.index(of(low - 5)) >= order.index(of(low))


def test_regions_read_back_from_their_own_dump():
    region = {"name": "Drive", "kind": "rock", "dig_factor": 2.0,
              "points": [["0 m", "0 m"], ["1 m", "0 m"], ["0 m", "1 m"]]}  # fmt: skip
    made = TypeAdapter(Region).validate_python(region)
    assert TypeAdapter(Region).validate_python(made.model_dump(mode="json")) == made
