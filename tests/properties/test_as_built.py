"""As built: text to plan to model and back; equilibrium; moving the whole frame changes nothing."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from plans import INCH, alder, plan_text
from plumbrail.checks.response import response_of
from plumbrail.model.build import build, build_planned
from plumbrail.plan.as_built_writer import StandingPosts, with_as_built
from plumbrail.plan.reader import read_plan

seeds = st.integers(0, 2**31)


def crooked(seed: int, size: float) -> tuple[np.ndarray, np.ndarray]:
    head, base = np.random.default_rng(seed).uniform(-size, size, (2, 8, 3))
    posts = alder()[1].posts
    return posts.head + head, posts.base + base


@settings(max_examples=25, deadline=None)
@given(seeds, st.sampled_from(["us", "metric"]))
def test_round_trip(seed: int, units: str) -> None:
    head, base = crooked(seed, 2 * INCH)
    text = plan_text({"job.units": units}, (), "alder-creek")
    posts = StandingPosts(alder()[1].posts.ids, head, base)
    written = with_as_built(text, posts, "readings", pins_tie=bool(seed % 2))
    model = build(read_plan(written))
    np.testing.assert_allclose(model.posts.head, head, rtol=0, atol=1e-5)
    np.testing.assert_allclose(model.posts.base, base, rtol=0, atol=1e-5)
    again = StandingPosts(model.posts.ids, model.posts.head, model.posts.base)
    assert with_as_built(written, again, "readings", pins_tie=bool(seed % 2)) == written


@settings(max_examples=12, deadline=None)
@given(seeds, st.sampled_from(["pinned", "rigid"]))
def test_every_crooked_frame_balances(seed: int, top: str) -> None:
    """Own weight too: what is cut keeps its weight, posts reach from the foot to the head."""
    head, base = crooked(seed, 1.5 * INCH)
    text = plan_text({"frame.post_top": top}, (), "alder-creek")
    _, planned, before = alder()
    plan = read_plan(with_as_built(text, StandingPosts(planned.posts.ids, head, base), "readings"))
    response = response_of(plan, build(plan))
    assert response.residual <= 1e-9
    dead = [c.id for c in response.actions.cases].index("D")
    now, was = (r.solution.reactions[0, dead, r.framing.base, 2].sum() for r in (response, before))
    longer = sum(
        np.linalg.norm(r.framing.frame.xyz[r.framing.top] - r.framing.frame.xyz[r.framing.base],
                       axis=1).sum() * sign
        for r, sign in ((response, 1), (before, -1))
    )  # fmt: skip
    assert abs(now - was - longer * planned.posts.section.mass * 9.80665) < 1e-3 * was


@settings(max_examples=12, deadline=None)
@given(*[st.floats(-0.2, 0.2)] * 3)
def test_a_frame_that_moved_as_one_keeps_its_shape(x: float, y: float, z: float) -> None:
    """On level ground; along the row beams stay where they were planned and the posts do not."""
    level = {"site.ground.slope_across": "0 %", "site.ground.slope_along": "0 %"}
    text = plan_text(level, (), "alder-creek")
    planned = build_planned(read_plan(text))
    off = np.array([x, y, z])
    posts = StandingPosts(planned.posts.ids, planned.posts.head + off, planned.posts.base + off)
    model = build(read_plan(with_as_built(text, posts, "readings")))
    assert abs(model.plane.tilt - planned.plane.tilt) < 5e-6
    assert abs(model.clearance - planned.clearance) < 2e-5
    np.testing.assert_allclose(model.rails.crossing, planned.rails.crossing, atol=2e-5)
    np.testing.assert_allclose(model.beams.supports, planned.beams.supports + x, atol=2e-5)
