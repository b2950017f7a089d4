"""Properties of the checks: more load never helps, more steel and depth never harm, mirrors."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plans import checks_of, plan_with, response_with, tilted
from plumbrail.checks.foundations import grade_forces
from plumbrail.checks.run import CheckSet

LEVEL = {"site.ground.slope_across": "0 %", "site.ground.slope_along": "0 %"}


@cache
def found(*changes: tuple[str, Any]) -> CheckSet:
    return checks_of(plan_with(dict(changes)))


def ratios(checks: CheckSet, *families: str) -> dict[str, float]:
    return {c.id: c.ratio for c in checks.checks
            if c.ratio is not None and (not families or c.family in families)}  # fmt: skip


def largest(checks: CheckSet, *families: str) -> float:
    return max(ratios(checks, *families).values())


@pytest.mark.parametrize("method", ["ASD", "LRFD"])
def test_more_wind_never_lowers_the_largest_ratio_of_any_family(method: str) -> None:
    before: dict[str, float] = {}
    for speed in (85, 95, 105, 120, 140, 170):
        checks = found(("site.wind_speed", f"{speed} mph"), ("basis.us.method", method))
        for family in ("post", "beam", "rail", "pier", "module", "joint"):
            now = largest(checks, family)
            assert now >= before.get(family, 0.0) * (1 - 1e-9), (family, speed)
            before[family] = now


def test_more_snow_never_lowers_the_largest_ratio() -> None:
    before = 0.0
    for snow in (0, 20, 40, 70, 120):
        now = largest(found(("site.ground_snow", f"{snow} psf")), "beam")
        assert now >= before * (1 - 1e-9)
        before = now


def test_a_heavier_pipe_of_the_same_size_never_raises_a_post() -> None:
    """The same outside diameter, so the same wind; stiffer posts share the thrust otherwise."""
    for size in ("3", "3-1/2", "4", "5"):
        light, heavy = (found(("frame.post", f"NPS {size} {wall}")) for wall in ("STD", "XS"))
        assert largest(heavy, "post") <= largest(light, "post") * (1 + 1e-9), size


def test_a_larger_post_never_raises_the_largest_post_ratio() -> None:
    sizes = [largest(found(("frame.post", f"NPS {s} STD")), "post") for s in ("3", "4", "5", "6")]
    assert sizes == sorted(sizes, reverse=True)


def test_a_deeper_pier_holds_better_and_never_bears_less_in_uplift() -> None:
    """The embedment needed stays the same; bearing carries the pier's own weight, so it grows."""
    before = {}
    for depth in (6, 7, 8, 10):
        checks = found(("piers.depth", f"{depth} ft"))
        now = ratios(checks, "pier")
        for name, ratio in now.items():
            if not name.endswith(("bearing", "cover")):
                assert ratio <= before.get(name, np.inf) * (1 + 1e-9), name
        before = now
    shallow, deep = found(("piers.depth", "6 ft")), found(("piers.depth", "10 ft"))
    name = "F2.sideways-hold-in-the-soil"
    assert shallow.find(name).demand == pytest.approx(deep.find(name).demand)


def test_a_wider_pier_needs_less_depth() -> None:
    narrow, wide = (found(("piers.diameter", f"{d} in")) for d in (16, 24))
    name = "F2.sideways-hold-in-the-soil"
    assert wide.find(name).demand < narrow.find(name).demand


def mirrored_id(name: str, posts: int = 4, rails: int = 12) -> str:
    """The id of the same check on the other side of the middle of the row."""
    head, _, tail = name.partition(".")
    if head[:1] in "FB" and head[1:].isdigit():
        return f"{head[0]}{posts + 1 - int(head[1:])}.{tail}"
    if head[:1] == "R" and head[1:].isdigit():
        return f"R{rails + 1 - int(head[1:])}.{tail}"
    if head.endswith("-beam"):
        place, _, word = tail.partition(".")
        if place.endswith("-end"):
            place = ("right" if place.startswith("left") else "left") + "-end"
        else:
            i, j = (int(p[1:]) for p in place.split("-"))
            place = f"{place[0]}{posts + 1 - j}-{place[0]}{posts + 1 - i}"
        return f"{head}.{place}.{word}"
    return name


@pytest.mark.parametrize("slope", [0, 3])
def test_a_mirrored_slope_mirrors_the_checks(slope: int) -> None:
    one, other = (found(("site.ground.slope_along", f"{s} %")) for s in (slope, -slope))
    mine, theirs = ratios(one), ratios(other)
    assert len(mine) == len(theirs) > 200
    for name, ratio in mine.items():
        if name.endswith(".services"):
            continue  # what is buried is not mirrored
        assert theirs[mirrored_id(name)] == pytest.approx(ratio, rel=1e-6, abs=1e-9), name


@settings(max_examples=12, deadline=None)
@given(st.integers(8, 45), st.integers(90, 150), st.sampled_from(["clear", "obstructed", "both"]))
def test_wind_at_the_high_edge_lifts_the_back_most(tilt: int, speed: int, flow: str) -> None:
    """On level ground, in every combination of light dead load and wind from the back, case B."""
    plan = plan_with(tilted(tilt) | LEVEL | {"site.wind_speed": f"{speed} mph",
                                             "site.wind_flow": flow})  # fmt: skip
    model, response = response_with(plan)
    assert response.residual <= 1e-9
    lift = grade_forces(response, response.service)[0][..., 2]
    n = model.stations
    for k, name in enumerate(response.service.ids):
        if name.startswith("ASD 7 · W-back") and name.endswith("B"):
            assert lift[n:, k].max() > lift[:n, k].max(), name


@settings(max_examples=8, deadline=None)
@given(st.floats(0.5, 4.0))
def test_forces_are_linear_in_the_pressure(scale: float) -> None:
    """Twice the speed squared is twice the wind force at every post, while drag stays 'small'."""
    a, b = (response_with(plan_with({"site.wind_speed": f"{70 * v:.9f} mph"}))[1]
            for v in (1.0, np.sqrt(scale)))  # fmt: skip
    c = [c.id for c in a.actions.cases].index("W-back-clear-B")
    np.testing.assert_allclose(b.solution.reactions[0, c], scale * a.solution.reactions[0, c],
                               rtol=1e-6, atol=1e-3)  # fmt: skip


@settings(max_examples=8, deadline=None)
@given(st.integers(2, 9), st.integers(2, 4), st.sampled_from(["pinned", "rigid"]),
       st.sampled_from(["landscape", "portrait"]))  # fmt: skip
def test_any_array_is_solved_and_every_check_says_something(
    posts: int, rails: int, top: str, orientation: str
) -> None:
    side = 1.722 if orientation == "landscape" else 1.134
    plan = plan_with({
        "frame.posts": posts, "array.columns": int(np.ceil(posts * 2.75 / side)),
        "frame.rails_per_column": rails, "frame.post_top": top, "array.orientation": orientation,
    })  # fmt: skip
    checks = checks_of(plan)
    assert checks.residual <= 1e-9
    for check in checks.checks:
        assert check.note if check.ratio is None else np.isfinite(check.ratio), check.id
