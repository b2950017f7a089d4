"""After the pour: the section of the plan, the model on real places, and the frame on it."""

from __future__ import annotations

from datetime import date
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import tomlkit

from plans import FOOT, INCH, alder, plan_text, plan_with, response_with
from plumbrail.checks.foundations import grade_forces
from plumbrail.checks.framing import SNAP, Kind
from plumbrail.checks.run import run_checks
from plumbrail.errors import GeometryError, PlanError
from plumbrail.frame.element import local_axes
from plumbrail.model.build import build, build_planned
from plumbrail.model.parts import Model
from plumbrail.plan.as_built_writer import StandingPosts, with_as_built
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import read_plan
from plumbrail.plan.starter import starter_text

SHA = "1a2b3c4d" * 8
DAY = date(2026, 5, 20)
BRACED: dict[str, Any] = {
    "frame.brace": "NPS 1-1/2 STD",
    "frame.braces": [
        {"direction": "across", "stations": [2], "low": "6 in", "high": "6 in"},
        {"direction": "along", "row": "back", "stations": [1, 2], "low": "6 in", "high": "9 in"},
    ],
}
SMALL: dict[str, Any] = {
    "frame.posts": 2, "frame.spacing": "5 ft", "frame.post": "NPS 3 STD", "array.rows": 1,
    "array.columns": 2, "array.orientation": "portrait", "site.ground.slope_across": "0 %",
    "site.ground.slope_along": "0 %",
}  # fmt: skip
SPLICES = ((3.0,), (3.5,))


def exactly(plan: Plan, head: np.ndarray, base: np.ndarray, **more: Any) -> Plan:
    """The plan with its posts at these places, not rounded by any text."""
    model = build_planned(plan)
    posts = {
        name: {"head": [f"{v!r} m" for v in map(float, head[i])],
               "base": [f"{v!r} m" for v in map(float, base[i])]}
        for i, name in enumerate(model.posts.ids)
    }  # fmt: skip
    data = plan.model_dump(mode="json", exclude_none=True)
    data["as_built"] = {"readings": SHA, "posts": posts} | more
    return Plan.model_validate(data)


def stood(plan: Plan, head: Any = 0.0, base: Any = 0.0, **more: Any) -> tuple[Plan, Model]:
    """The plan as built with heads and bases off their places by some amounts, and its model."""
    posts = build_planned(plan).posts
    made = exactly(plan, posts.head + head, posts.base + base, **more)
    return made, build(made)


def one(model: Model, name: str, *amount: float) -> np.ndarray:
    """Nothing but one post moved."""
    off = np.zeros((len(model.posts.ids), 3))
    off[model.posts.ids.index(name)] = amount
    return off


@cache
def level() -> Plan:
    return plan_with({"site.ground.slope_across": "0 %", "site.ground.slope_along": "0 %"})


# ---- the plan ------------------------------------------------------------------------------


def written(changes: dict[str, Any], head: Any = 0.0, base: Any = 0.0, **more: Any) -> str:
    text = plan_text(changes, (), "alder-creek")
    posts = build_planned(read_plan(text)).posts
    return with_as_built(
        text, StandingPosts(posts.ids, posts.head + head, posts.base + base), SHA, DAY, **more
    )


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_text_reads_back_to_a_hundredth_of_a_millimetre(units: str) -> None:
    rng = np.random.default_rng(7)
    off = rng.uniform(-0.02, 0.02, (2, 8, 3))
    plan = read_plan(written({"job.units": units}, off[0], off[1]))
    posts, real = build_planned(plan).posts, build(plan).posts
    assert plan.as_built is not None
    assert plan.as_built.readings == SHA
    assert plan.as_built.measured == DAY
    np.testing.assert_allclose(real.head, posts.head + off[0], rtol=0, atol=1e-5)
    np.testing.assert_allclose(real.base, posts.base + off[1], rtol=0, atol=1e-5)


def test_comments_stay_and_writing_twice_is_writing_once() -> None:
    text = plan_text({}, (), "alder-creek")
    first = written({})
    assert first.startswith(text.rstrip()), "nothing else is touched"
    posts = build_planned(read_plan(text)).posts
    again = with_as_built(first, StandingPosts(posts.ids, posts.head, posts.base), SHA, DAY)
    assert again == first
    later = with_as_built(first, StandingPosts(posts.ids, posts.head, posts.base), "by hand")
    plan = read_plan(later)
    assert plan.as_built is not None
    assert (plan.as_built.readings, plan.as_built.measured) == ("by hand", None)
    assert later.count("[as_built]") == 1


def test_a_section_in_the_middle_of_the_plan_is_replaced() -> None:
    first = written({})
    head, _, tail = first.partition("[tolerances]")
    cut = tail.index("[as_built]")
    moved = f"{head}{tail[cut:]}\n# what is good enough\n[tolerances]{tail[:cut]}"
    posts = build_planned(read_plan(moved)).posts
    text = with_as_built(moved, StandingPosts(posts.ids, posts.head, posts.base), SHA, DAY)
    assert "# what is good enough" in text
    assert text.count("[as_built]") == 1
    assert tomlkit.parse(text).unwrap() == tomlkit.parse(first).unwrap()


def test_the_starter_plan_does_not_ask_for_it() -> None:
    assert "as_built" not in starter_text()


def test_arrays_of_another_shape_are_an_error() -> None:
    with pytest.raises(ValueError, match="need heads and bases"):
        with_as_built(plan_text({}, (), "alder-creek"),
                      StandingPosts(("F1",), np.zeros((2, 3)), np.zeros((1, 3))), SHA)  # fmt: skip


def told(plan: Plan) -> str:
    with pytest.raises(GeometryError) as caught:
        build(plan)
    return "\n".join(str(p) for p in caught.value.problems)


def test_missing_and_unknown_posts_are_named() -> None:
    plan, _ = stood(alder()[0])
    assert plan.as_built is not None
    posts = dict(plan.as_built.posts)
    posts["f3"] = posts.pop("F3")
    posts["C1"] = posts.pop("B4")
    words = told(plan.model_copy(update={"as_built": plan.as_built.model_copy(
        update={"posts": posts})}))  # fmt: skip
    assert "as_built.posts: F3, B4 are missing" in words
    assert "as_built.posts.f3: the plan has no post f3; did you mean F3?" in words
    assert "its posts are F1 to F4 and B1 to B4" in words or "did you mean" in words


@pytest.mark.parametrize(
    ("part", "off", "words"),
    [
        ("head", (13 * INCH, 0, 0), "F3: the beam's centre over it is 1' 1\" from its planned"),
        ("base", (0, -13 * INCH, 0), "F3: its base is 1' 1\" from its planned place in plan"),
        ("base", (0, 0, 13 * INCH), "F3: its base is 1' 1\" off its planned height"),
        ("head", (0, 10 * INCH, 0), "the post would lean"),
    ],
)
def test_slips_are_refused(part: str, off: tuple[float, ...], words: str) -> None:
    plan, model, _ = alder()
    made = exactly(plan, *(getattr(model.posts, p) + (one(model, "F3", *off) if p == part else 0.0)
                           for p in ("head", "base")))  # fmt: skip
    assert words in told(made)


LOW = {"array.low_edge_clearance": "8 in", "site.ground.slope_across": "0 %"}


def test_swapped_head_and_base() -> None:
    low = plan_with(LOW)
    posts = build_planned(low).posts
    down = one(build_planned(low), "F1", 0, 0, 11.95 * INCH)
    assert "F1: the head is not above the base; are they swapped?" in told(
        exactly(low, posts.head - down, posts.base + down)
    )


def test_a_frame_that_sank_into_the_ground_is_refused() -> None:
    low = plan_with(LOW)
    posts = build_planned(low).posts
    words = told(exactly(low, posts.head - np.array([0, 0, 10 * INCH]), posts.base))
    assert "as built the modules reach" in words
    assert "under the ground" in words


def test_a_post_lifted_out_of_its_depth_of_fixity_is_refused() -> None:
    deep = plan_with({"frame.fixity_depth": "5 ft 6 in"})
    posts = build_planned(deep).posts
    words = told(exactly(deep, posts.head + np.array([0, 0, 8 * INCH]), posts.base))
    assert "B1: as built the post," in words
    assert "frame.fixity_depth is 5' 6\"" in words


def test_a_beam_pulled_off_its_end_posts_is_refused() -> None:
    right = np.array([11.5 * INCH, 0.0, 0.0])
    tight = plan_with({"frame.spacing": "10 ft 3 in"})
    posts = build_planned(tight).posts
    words = told(exactly(tight, posts.head + right, posts.base + right))
    assert "an outer post stands beyond the end of the front beam" in words


def test_bad_text_says_where() -> None:
    text = written({}).replace('measured = "2026-05-20"', 'measured = "yesterday"')
    with pytest.raises(PlanError, match=r"as_built\.measured"):
        read_plan(text)


# ---- the model -----------------------------------------------------------------------------


@pytest.mark.parametrize("changes", [{}, BRACED, SMALL])
@pytest.mark.parametrize("base", ["alder-creek", "dry-gulch"])
def test_built_as_planned_is_the_planned_model(changes: dict[str, Any], base: str) -> None:
    plan = plan_with(changes, base=base)
    planned, (_, real) = build(plan), stood(plan)
    for part in ("plane", "posts", "piers", "beams", "rails", "modules", "braces"):
        a, b = getattr(planned, part), getattr(real, part)
        for name in a.__dataclass_fields__:
            x, y = getattr(a, name), getattr(b, name)
            if isinstance(x, np.ndarray | float):
                np.testing.assert_allclose(y, x * np.ones_like(y), rtol=0, atol=1e-9,
                                           err_msg=f"{part}.{name}")  # fmt: skip
    assert real.clearance == pytest.approx(planned.clearance, abs=1e-9)


def test_setting_out_and_truing_still_see_the_plan() -> None:
    plan, model, _ = alder()
    made, _ = stood(plan, head=0.01)
    np.testing.assert_array_equal(build_planned(made).posts.head, model.posts.head)


def test_what_is_cut_keeps_its_length() -> None:
    plan, model, _ = alder()
    rng = np.random.default_rng(3)
    _, real = stood(plan, *rng.uniform(-0.03, 0.03, (2, 8, 3)))
    np.testing.assert_allclose(real.posts.length, model.posts.length, atol=1e-12)
    assert real.rails.length == pytest.approx(model.rails.length)
    for row in (0, 1):
        ends = [real.beams.start[row], *real.beams.heads[row], real.beams.end[row]]
        long = sum(np.linalg.norm(b - a) for a, b in pairwise(ends))
        assert long == pytest.approx(model.beams.length)
        np.testing.assert_allclose(real.beams.point(row, real.beams.supports[row]),
                                   real.beams.heads[row], atol=1e-12)  # fmt: skip


def test_rails_stand_square_off_both_real_beams() -> None:
    plan, _, _ = alder()
    rng = np.random.default_rng(4)
    _, real = stood(plan, *rng.uniform(-0.03, 0.03, (2, 8, 3)))
    way = (real.rails.end - real.rails.start) / real.rails.length
    for row in (0, 1):
        on_rail = real.rails.start + real.rails.crossing[row][:, None] * way
        on_beam = np.array([real.beams.point(row, d) for d in real.rails.on_beam[row]])
        off = on_rail - on_beam
        np.testing.assert_allclose(np.linalg.norm(off, axis=1), 0.05 + 1.75 * INCH, atol=1e-12)
        np.testing.assert_allclose((off * way).sum(axis=1), 0.0, atol=1e-12)


def test_a_higher_back_row_is_a_steeper_plane() -> None:
    """Hand: rise and reach from beam to beam; the low edge drops as the plane turns."""
    plan, model, _ = alder()
    up = np.repeat([0.0, 2 * INCH], 4)
    made, real = stood(plan, head=np.column_stack([0 * up, 0 * up, up]))
    rise, reach = np.diff(model.beams.start[:, 2])[0], np.diff(model.beams.start[:, 1])[0]
    assert real.plane.tilt == pytest.approx(np.arctan2(rise + 2 * INCH, reach), abs=1e-9)
    assert real.clearance < model.clearance
    notes = run_checks(*[made, real], response_with(made)[1], ((), ())).notes
    assert f"The tilt is {np.degrees(real.plane.tilt):.2f}°, planned 32.00°." in notes[0]
    assert "readings 1a2b3c4d" in notes[0]
    assert "OUTSIDE" not in notes[0]


def test_a_tilt_outside_its_band_is_said() -> None:
    up = np.repeat([0.0, 8 * INCH], 4)
    made, real = stood(alder()[0], head=np.column_stack([0 * up, 0 * up, up]))
    notes = run_checks(made, real, response_with(made)[1], ((), ())).notes
    assert "OUTSIDE array.tilt_band" in notes[0]


@pytest.mark.parametrize("tied", [False, True])
def test_a_turned_row_faces_elsewhere_when_pins_tie_it(tied: bool) -> None:
    """One degree counter-clockwise seen from above: the modules face a degree further left."""
    plan, model, _ = alder()
    a, m = np.radians(1.0), model.posts.head.mean(axis=0)
    turn = np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1]])
    head, base = (m + (p - m) @ turn.T for p in (model.posts.head, model.posts.base))
    real = build(exactly(plan, head, base, pins_tie=tied))
    assert np.degrees(model.plane.azimuth - real.plane.azimuth) == pytest.approx(float(tied))
    assert real.plane.tilt == pytest.approx(model.plane.tilt, abs=1e-9)
    np.testing.assert_allclose(real.modules.corners, m + (model.modules.corners - m) @ turn.T,
                               atol=1e-9)  # fmt: skip


def test_ground_and_holes_follow_the_real_grade() -> None:
    plan, model, _ = alder()
    _, low = stood(plan, base=[0.0, 0.0, -2 * INCH])
    np.testing.assert_allclose(low.piers.depth, model.piers.depth - 2 * INCH)
    np.testing.assert_allclose(low.piers.bottom, model.piers.bottom)
    assert low.clearance == pytest.approx(model.clearance + 2 * INCH)
    _, high = stood(plan, base=[0.0, 0.0, 2 * INCH])
    np.testing.assert_allclose(high.piers.depth, model.piers.depth)
    assert high.clearance == pytest.approx(model.clearance - 2 * INCH)


# ---- the frame -----------------------------------------------------------------------------


@pytest.mark.parametrize("changes", [{}, BRACED])
def test_built_as_planned_gives_the_same_ratios(changes: dict[str, Any]) -> None:
    plan = plan_with(changes)
    model, response = response_with(plan)
    made, real = stood(plan)
    a = run_checks(plan, model, response, SPLICES).checks
    b = run_checks(made, real, response_with(made)[1], SPLICES).checks
    assert [c.id for c in a] == [c.id for c in b]
    for x, y in zip(a, b, strict=True):
        assert x.status is y.status
        if x.ratio is not None:
            assert y.ratio == pytest.approx(x.ratio, rel=1e-9, abs=1e-9), x.id


def lean(plan: Plan, degrees: float, posts: slice = slice(None)) -> tuple[Plan, np.ndarray]:
    """Posts leaning to the right: heads where planned, bases further left; horizontal offsets."""
    p = build_planned(plan).posts
    e = np.zeros(len(p.ids))
    e[posts] = ((p.beam_centre - p.ground) * np.tan(np.radians(degrees)))[posts]
    base = p.base - np.column_stack([e, 0 * e, 0 * e])
    return exactly(plan, p.head, base), e


def test_a_leaning_post_carries_its_load_times_its_offset() -> None:
    """All posts 2 deg out of plumb along the row, own weight: statics at grade.

    A pinned top hands over force only: M = P e + H h with the post's own weight at e / 2; the
    thrusts of a row cancel, so the moments of a row add up to P e alone.
    """
    plan, e = lean(level(), 2.0)
    model, response = response_with(plan)
    dead = [c.id for c in response.actions.cases].index("D")
    R = response.solution.reactions[0, dead, response.framing.base]
    h = model.posts.beam_centre - model.posts.ground
    deep = plan.frame.fixity_depth
    reach = e * (h + deep) / h  # from the foot, on the same line
    own = model.posts.section.mass * 9.80665 * (h + deep) / np.cos(np.radians(2.0))
    # a head to the right under a load downwards turns the post about +y
    push = (R[:, 2] - own) * reach + own * reach / 2
    np.testing.assert_allclose(-R[:, 4], push - R[:, 0] * (h + deep), rtol=1e-6, atol=1e-3)
    assert abs(R[:, 0].sum()) < 1e-6 * R[:, 2].sum()
    for row in (slice(0, 4), slice(4, 8)):
        assert abs(R[row, 0].sum()) < 0.02 * R[row, 2].sum() * np.tan(np.radians(2.0))
        assert -R[row, 4].sum() == pytest.approx(push[row].sum(), rel=0.02)


def test_forces_on_the_pier_of_a_leaning_post_are_global() -> None:
    """At grade, with the post below it: equilibrium of the piece between grade and the foot."""
    plan, _ = lean(level(), 2.0)
    model, response = response_with(plan)
    force, moment = grade_forces(response, response.service)
    solved = np.einsum("kc,cpd->pkd", response.service.matrix,
                       response.solution.reactions[0][:, response.framing.base])  # fmt: skip
    down = response.framing.frame.xyz[response.framing.grade]
    arm = down - response.framing.frame.xyz[response.framing.base]
    weight = model.posts.section.mass * 9.80665 * np.linalg.norm(arm, axis=1)
    dead = response.service.factors.array[:, response.service.factors.cases.index("D")]
    lift = response.service.factors.array[:, response.service.factors.cases.index("E-down")]
    g = dead + lift * 0.2 * 0.4  # 0.2 S_DS
    own = np.zeros_like(force)
    own[..., 2] = -weight[:, None] * g
    shaken = np.abs(force + solved[..., :3] + own)[:, lift == 0.0]
    quiet = [k for k, name in enumerate(np.array(response.service.ids)[lift == 0.0])
             if "E-" not in name]  # fmt: skip
    assert shaken[:, quiet].max() < 1e-6 * np.abs(solved).max()
    turned = moment + solved[..., 3:] + np.cross(arm[:, None], force + 0.5 * own)
    assert np.abs(turned[:, lift == 0.0][:, quiet]).max() < 1e-6 * np.abs(solved).max()


def test_one_post_out_of_plumb_works_harder() -> None:
    """4 deg to the front or the back, where wind bends posts most: the worse way beats plumb."""
    plan = level()
    model, response = response_with(plan)

    def ratios(p: Plan, m: Model, r: Any) -> dict[str, float]:
        checks = run_checks(p, m, r, ((), ())).checks
        return {c.id: c.ratio for c in checks if c.ratio is not None}

    before, after = ratios(plan, model, response), []
    e = float((model.posts.beam_centre - model.posts.ground)[1] * np.tan(np.radians(4.0)))
    for way in (-e, e):
        off = one(model, "F2", 0.0, way, 0.0)
        made, real = stood(plan, base=off)
        after.append(ratios(made, real, response_with(made)[1]))
    for name in ("all-together", "sideways-hold-in-the-soil"):
        worse = {f: max(a[f"{f}.{name}"] for a in after) / before[f"{f}.{name}"]
                 for f in ("F2", "F4")}  # fmt: skip
        assert worse["F2"] > 1.002
        assert worse["F2"] > worse["F4"]
        assert worse["F4"] == pytest.approx(1.0, abs=0.05)


def test_a_wider_bay_bends_the_beam_more() -> None:
    """Two posts a row, moved 3 in apart each: midspan moment grows by reaction times shift.

    From equilibrium of one half of the beam; 3 % because rails hand over a little more or less.
    """
    plan = plan_with(SMALL)
    model, response = response_with(plan)
    out = np.zeros((4, 3))
    out[:, 0] = 3 * INCH * np.array([-1, 1, -1, 1])
    made, real = stood(plan, out, out)
    stands = response_with(made)[1]
    dead = [c.id for c in response.actions.cases].index("D")

    def middle(m: Model, r: Any, row: int) -> float:
        members = r.framing.members(Kind.BEAM, row)
        at, M = r.places(members).ravel(), -r.internal.M_y[0, dead][members].ravel()
        return float(np.interp(0.5 * m.beams.length, at, M))

    for row, posts in ((0, slice(0, 2)), (1, slice(2, 4))):
        reaction = response.solution.reactions[0, dead, response.framing.base[posts], 2]
        h = (model.posts.beam_centre - model.posts.ground)[posts] + plan.frame.fixity_depth
        carried = reaction - model.posts.section.mass * 9.80665 * h
        grown = middle(real, stands, row) - middle(model, response, row)
        assert grown == pytest.approx(carried.mean() * 3 * INCH, rel=0.03)


def test_the_moment_of_a_widened_bay_is_that_of_a_simple_beam() -> None:
    """A row 2 % longer, own weight: between its supports a bay hangs w L² / 8 and P a / 2 below the
    line of its support moments (beam formulas of any handbook), with L the real one.
    """
    plan = plan_with({"frame.beam_length": "37 ft"})
    posts = build_planned(plan).posts
    wide = (posts.xy[:, 0] - posts.xy[:, 0].mean()) * 0.02
    out = np.column_stack([wide, 0 * wide, 0 * wide])
    made, real = stood(plan, out, out)
    L = 9 * FOOT * 1.02
    np.testing.assert_allclose(np.diff(real.beams.supports), L, rtol=1e-9)
    _, response = response_with(made)
    framing, dead = response.framing, [c.id for c in response.actions.cases].index("D")
    members = framing.members(Kind.BEAM, 0)
    at, M = (
        a.ravel() for a in (response.places(members), -response.internal.M_y[0, dead][members])
    )
    w = real.beams.section.mass * 9.80665
    stubs = np.flatnonzero((framing.kind == Kind.STUB) & (framing.stub_row == 0))
    axes = local_axes(framing.frame)[0][0, stubs]
    P = np.einsum("ml,mlc->mc", response.solution.end_forces[0, dead, stubs, :3], axes)[:, 2]
    assert P.min() > 0.0
    for bay in range(3):
        s = real.beams.supports[0, bay : bay + 2]
        a = np.minimum(real.rails.on_beam[0] - s[0], s[1] - real.rails.on_beam[0])
        hand = w * L**2 / 8 + (P * np.where(a > SNAP, a, 0.0)).sum() / 2
        ours = np.interp(s.mean(), at, M) - np.interp(s, at, M).mean()
        assert ours == pytest.approx(hand, rel=2e-3)


@pytest.mark.parametrize("top", ["pinned", "rigid"])
def test_a_crooked_frame_balances(top: str) -> None:
    rng = np.random.default_rng(11)
    plan = plan_with(BRACED | {"frame.post_top": top})
    made, _ = stood(plan, *rng.uniform(-0.05, 0.05, (2, 8, 3)))
    _, response = response_with(made)
    assert response.residual <= 1e-9


def test_fixed_at_grade_leaning_posts() -> None:
    made, _ = lean(plan_with({"frame.fixity_depth": "0 in"}), 2.0)
    model, response = response_with(made)
    np.testing.assert_allclose(response.framing.frame.xyz[response.framing.base],
                               model.posts.base)  # fmt: skip
    assert response.residual <= 1e-9
