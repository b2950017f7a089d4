"""Site plans stay legible, and setbacks true, wherever things stand."""

from functools import cache
from itertools import pairwise
from math import hypot

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from plans import plan_with
from plumbrail.model.build import build
from plumbrail.papers import boxes
from plumbrail.papers.sheet import page
from plumbrail.papers.site_plan import site_plan
from plumbrail.papers.site_plan_parts import Service, Site, TrenchLine
from plumbrail.papers.wording import JobInfo
from plumbrail.plan.models import Shade
from plumbrail.plan.shade import Box, Tree
from plumbrail.site.surroundings import surroundings

JOB = {"us": JobInfo("Anywhere", "us", "0", "0"), "metric": JobInfo("Anywhere", "metric", "0", "0")}
place = st.tuples(st.floats(-40, 50), st.floats(-40, 50))
trees = st.lists(st.tuples(place, st.floats(1, 6), st.floats(7, 20)), max_size=4)
houses = st.lists(st.tuples(place, st.floats(2, 20), st.floats(2, 20), st.floats(0, 1.5)),
                  max_size=3)  # fmt: skip
lines = st.lists(st.tuples(st.sampled_from(["power", "water", "sewer"]), place, place),
                 max_size=3)  # fmt: skip


@cache
def model():
    return build(plan_with())


ways = st.one_of(
    st.none(),
    st.tuples(st.lists(place, min_size=3, max_size=5, unique=True), st.integers(0, 4)),
)


def trench_line(way):
    """Stretches in turn by machine and by hand, and a crossing in the middle of some."""
    if way is None:
        return None
    points, crossed = way
    pairs = list(pairwise(points))
    dots = tuple((f"X{i + 1}", (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])))
                 for i, (a, b) in enumerate(pairs[:crossed]))  # fmt: skip
    return TrenchLine(tuple(pairs[::2]), tuple(pairs[1::2]), dots, 30.0, 10.0)


def site_with(grown, built, buried, way=None):
    shade = Shade.model_construct(
        horizon=None, arrays=(),
        trees=tuple(
            Tree.model_construct(name=f"Tree {i}", at=at, height=high, crown_from=0.0, radius=r,
                                 crown="cone", light_through=0.0, bare_months=None,
                                 light_through_bare=0.0)
            for i, (at, r, high) in enumerate(grown)
        ),
        boxes=tuple(
            Box.model_construct(name=f"House {i}", at=at, size=(a, b), turn=turn, height=5.0)
            for i, (at, a, b, turn) in enumerate(built)
        ),
    )  # fmt: skip
    services = tuple(
        Service(f"Line {i}", kind, (a, (b[0], b[1] + 0.5 if a == b else b[1])), 0.6)
        for i, (kind, a, b) in enumerate(buried)
    )
    return Site(model(), surroundings(shade, model().terrain, 1.5), (), services,
                trench=trench_line(way))  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(trees, houses, lines, ways, st.sampled_from(["us", "metric"]), st.booleans())
def test_words_never_overlap(grown, built, buried, way, units, upright):
    size = "Letter" if units == "us" else "A3"
    paper = page(size, "portrait" if upright else "landscape")
    for sheet in site_plan(site_with(grown, built, buried, way), JOB[units], paper):
        assert boxes.overlaps(sheet) == []
        assert boxes.off_page(sheet) == []


@settings(max_examples=40, deadline=None)
@given(trees, houses)
def test_a_setback_is_no_more_than_any_distance_between_outlines(grown, built):
    site = site_with(grown, built, ())
    for thing in site.things:
        ends = thing.corners if not thing.radius else np.array([thing.centre])
        apart = site.outline[:, None] - ends[None]
        least = np.hypot(apart[..., 0], apart[..., 1]).min() - thing.radius
        assert thing.distance <= max(least, 0.0) + 1e-9
        if thing.distance > 0:
            a, b = thing.from_array, thing.near
            assert abs(hypot(b[0] - a[0], b[1] - a[1]) - thing.distance) < 1e-9
