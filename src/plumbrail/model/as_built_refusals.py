"""What is refused of a frame as it was measured to stand: slips, and what cannot be judged."""

from __future__ import annotations

from difflib import get_close_matches

import numpy as np

from plumbrail.errors import GeometryError, Problem
from plumbrail.model.parts import Model
from plumbrail.plan.models import AsBuilt, Plan
from plumbrail.units import show

FAR = 0.3048
"""A post further than this [m] from its planned place is taken for a slip."""
STEEPEST = np.radians(10.0)
"""So is a post that leans more."""
PARTS = {"head": "the beam's centre over it", "base": "its base"}


def refuse_places(plan: Plan, stands: AsBuilt, planned: Model) -> None:
    """Refuse posts that are missing, unknown, far from their place or steep."""
    ids = planned.posts.ids
    problems = [
        Problem(f"as_built.posts.{name}", f"the plan has no post {name}; {_near(name, ids)}")
        for name in stands.posts
        if name not in ids
    ]
    missing = [name for name in ids if name not in stands.posts]
    if missing:
        problems.append(Problem(
            "as_built.posts", f"{', '.join(missing)} {'is' if len(missing) == 1 else 'are'} "
            "missing; a frame is judged as built only when head and base of every post are known",
        ))  # fmt: skip
    for i, name in enumerate(ids):
        if name in stands.posts:
            problems += _far(plan, stands, planned, i)
    if problems:
        raise GeometryError(problems)


def _near(name: str, ids: tuple[str, ...]) -> str:
    same = [k for k in ids if k.lower() == name.lower()] or get_close_matches(name, ids, 1, 0.6)
    n = len(ids) // 2
    known = f"its posts are {ids[0]} to {ids[n - 1]} and {ids[n]} to {ids[-1]}"
    return f"did you mean {same[0]}?" if same else known


def _far(plan: Plan, stands: AsBuilt, planned: Model, i: int) -> list[Problem]:
    name, posts = planned.posts.ids[i], planned.posts
    post, path = stands.posts[name], f"as_built.posts.{name}"
    found = []
    for part, wanted in (("head", posts.head[i]), ("base", posts.base[i])):
        off = np.array(getattr(post, part)) - wanted
        for words, gap in (("from its planned place in plan", float(np.hypot(off[0], off[1]))),
                           ("off its planned height", abs(float(off[2])))):  # fmt: skip
            if gap > FAR:
                found.append(Problem(path, (
                    f"{PARTS[part]} is {_len(plan, gap)} {words}, and more than "
                    f"{_len(plan, FAR)} is taken for a slip: along, across, up are counted from "
                    f"the planned hole {posts.ids[0]}. If it really stands there, change the plan "
                    "itself"
                )))  # fmt: skip
    rise = post.head[2] - post.base[2]
    aside = float(np.hypot(post.head[0] - post.base[0], post.head[1] - post.base[1]))
    if not found and rise <= 0.0:
        found.append(Problem(path, "the head is not above the base; are they swapped?"))
    elif not found and np.arctan2(aside, rise) > STEEPEST:
        lean = show(float(np.arctan2(aside, rise)), "angle", plan.job.units)
        found.append(Problem(path, f"the post would lean {lean}, and more than "
                             f"{show(float(STEEPEST), 'angle', plan.job.units)} is taken for a "
                             "slip; check head and base"))  # fmt: skip
    return found


def refuse_standing(plan: Plan, model: Model) -> None:
    """Refuse a frame as built that the checks cannot be made for."""
    problems = [*_ground(plan, model), *_beams(plan, model), *_posts(plan, model)]
    if problems:
        raise GeometryError(problems)


def _ground(plan: Plan, model: Model) -> list[Problem]:
    found = []
    if model.clearance < -1e-9:
        found.append(Problem(
            "as_built.posts", f"as built the modules reach {_len(plan, -model.clearance)} under "
            "the ground; check the heights, or grade the site",
        ))  # fmt: skip
    for row, name in enumerate(model.beams.ids):
        p = model.beams.point(row, np.linspace(0.0, model.beams.length, 201))
        over = p[:, 2] - 0.5 * model.beams.section.OD - model.terrain.height(p[:, 0], p[:, 1])
        if over.min() <= 0.0:
            found.append(Problem(
                "as_built.posts", f"as built the {name} touches the ground "
                f"({_len(plan, -float(over.min()))} under it); check the heights, or grade the "
                "site",
            ))  # fmt: skip
    return found


def _beams(plan: Plan, model: Model) -> list[Problem]:
    beams, rails, half = model.beams, model.rails, 0.5 * model.beams.section.OD
    found = []
    short = np.minimum(beams.supports[:, 0], beams.length - beams.supports[:, -1])
    for row, name in enumerate(beams.ids):
        if short[row] < 0.5 * model.posts.section.OD:
            found.append(Problem(
                "as_built.posts", f"as built an outer post stands beyond the end of the {name}, "
                f"which is {_len(plan, beams.length)} long; check the places along the row",
            ))  # fmt: skip
    held = min(float(rails.crossing[0].min()), float((rails.length - rails.crossing[1]).min()))
    if held < half:
        found.append(Problem(
            "as_built.posts", "as built a beam lies under the very edge, where a rail has no end "
            "left to hold; check the places across the row",
        ))  # fmt: skip
    return found


def _posts(plan: Plan, model: Model) -> list[Problem]:
    posts, path = model.posts, "as_built.posts.{}"
    found = []
    for i in np.flatnonzero(posts.ground - posts.foot < max(plan.frame.fixity_depth, 1e-9)):
        deep = _len(plan, float(posts.ground[i] - posts.foot[i]))
        found.append(Problem(path.format(posts.ids[i]), (
            f"as built the post, {_len(plan, float(posts.length[i]))} long, reaches {deep} into "
            f"the pier and frame.fixity_depth is {_len(plan, plan.frame.fixity_depth)}; check the "
            "heights"
        )))  # fmt: skip
    for i in np.flatnonzero(model.piers.depth <= 0.0):
        found.append(Problem(path.format(posts.ids[i]), "as built the ground lies under the "
                             "planned bottom of the hole; check the heights"))  # fmt: skip
    for ends, low, high, name in zip(model.braces.ends, model.braces.low_post,
                                     model.braces.high_post, model.braces.ids,
                                     strict=True):  # fmt: skip
        if ends[0, 2] >= posts.top[low] or ends[1, 2] <= posts.ground[high]:
            found.append(Problem("as_built.posts", f"as built brace {name} does not meet its "
                                 "posts; check the heights"))  # fmt: skip
    return found


def _len(plan: Plan, value: float) -> str:
    return show(value, "length", plan.job.units)
