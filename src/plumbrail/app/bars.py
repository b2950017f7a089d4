"""The members of a model as straight bars to draw, each with an id that checks refer to."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan

Array = NDArray[np.float64]
_SIDES = ("front", "back")


@dataclass(frozen=True)
class Member:
    """A bar without its checks."""

    id: str
    part: Literal["post", "beam", "rail", "brace", "pier"]
    words: str
    start: Array
    end: Array
    size: float
    wide: float
    station: int = 0
    """Of a post or pier; 0 for all others."""


def members(plan: Plan, model: Model) -> list[Member]:
    """Posts, piers, pieces of the beams, rails and braces."""
    return [*_posts(plan, model), *_piers(plan, model), *_beams(plan, model),
            *_rails(plan, model), *_braces(plan, model)]  # fmt: skip


def pier_id(post: str) -> str:
    """Posts and their piers have ids of their own: F3 and pier-F3."""
    return f"pier-{post}"


def _posts(plan: Plan, model: Model) -> list[Member]:
    posts = model.posts
    OD = float(posts.section.OD)
    every = np.arange(len(posts.ids))
    foot, top = posts.at_height(every, posts.foot), posts.at_height(every, posts.top)
    return [
        Member(name, "post", f"{_SIDES[posts.row[i]].title()} post {name}, {plan.frame.post}",
               foot[i], top[i], OD, OD, int(posts.station[i]))
        for i, name in enumerate(posts.ids)
    ]  # fmt: skip


def _piers(plan: Plan, model: Model) -> list[Member]:
    posts, piers = model.posts, model.piers
    size = float(piers.diameter)
    found = []
    for i, name in enumerate(posts.ids):
        low = np.array([*posts.xy[i], piers.bottom[i]])
        high = np.array([*posts.xy[i], posts.ground[i] + piers.above_grade])
        found.append(Member(pier_id(name), "pier", f"Pier {name}, concrete", low, high, size, size,
                            int(posts.station[i])))  # fmt: skip
    return found


def _beams(plan: Plan, model: Model) -> list[Member]:
    """Pieces between posts and the two overhangs, with the ids of their checks."""
    beams, OD = model.beams, float(model.beams.section.OD)
    found = []
    for row, name in enumerate(beams.ids):
        posts = [p for p, r in zip(model.posts.ids, model.posts.row, strict=True) if r == row]
        knots = np.vstack([beams.start[row], beams.heads[row], beams.end[row]])
        between = [f"{a}-{b}" for a, b in pairwise(posts)]
        for k, piece in enumerate(("left-end", *between, "right-end")):
            if np.allclose(knots[k], knots[k + 1]):
                continue
            where = piece.replace("-end", " end") if k in (0, len(posts)) else piece
            words = f"{name.capitalize()}, {where}, {plan.frame.beam}"
            found.append(Member(f"{name.replace(' ', '-')}.{piece}", "beam", words, knots[k],
                                knots[k + 1], OD, OD))  # fmt: skip
    return found


def _rails(plan: Plan, model: Model) -> list[Member]:
    rails, rail = model.rails, plan.frame.rail
    tall = float(rail.height)
    return [
        Member(name, "rail", f"Rail {name}, {rail.name}", rails.start[i], rails.end[i], tall,
               0.45 * tall)
        for i, name in enumerate(rails.ids)
    ]  # fmt: skip


def _braces(plan: Plan, model: Model) -> list[Member]:
    braces = model.braces
    if braces.section is None:
        return []
    OD = float(braces.section.OD)
    return [
        Member(name, "brace", f"Brace {name}, {plan.frame.brace}", braces.ends[i, 0],
               braces.ends[i, 1], OD, OD)
        for i, name in enumerate(braces.ids)
    ]  # fmt: skip
