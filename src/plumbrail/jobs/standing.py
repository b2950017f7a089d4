"""How the frame stands, for the hand-over: from the readings, else from the plan's [as_built]."""

from __future__ import annotations

import numpy as np

from plumbrail.jobs.truing import Truing, last_day
from plumbrail.model.build import build_planned
from plumbrail.plan.models import Plan
from plumbrail.proving.parts import BuiltFrame, StandingPost
from plumbrail.truing.parts import Verdict
from plumbrail.truing.points import Place
from plumbrail.truing.run import heads_determined

_NOT_FIXED = "not measured: where the posts stand; the readings do not fix all of them yet"
_OFF = {
    Verdict.OUTSIDE: "fail: {n} values of the frame are out of tolerance; see plumbrail true",
    Verdict.UNSURE: "too uncertain to say: {n} values of the frame; see plumbrail true",
    Verdict.UNMEASURED: "not measured: {n} values of the frame; see plumbrail true",
}  # fmt: skip
_DOUBT = "in doubt: where the posts stand; {n} readings look wrong or cannot be used"


def built_frame(plan: Plan, read: Truing | None) -> BuiltFrame | None:
    """Posts as they stand; None where nothing was measured."""
    if read is not None:
        return _by_readings(read)
    if plan.as_built is None:
        return None
    day = plan.as_built.measured
    posts = plan.as_built.posts
    model = build_planned(plan).posts
    made = [
        StandingPost(id, np.array(posts[id].head), np.array(posts[id].base), head, base)
        for id, head, base in zip(model.ids, model.head, model.base, strict=True) if id in posts
    ]  # fmt: skip
    return BuiltFrame(plan.as_built.readings, "" if day is None else day.isoformat(), tuple(made))


def _by_readings(read: Truing) -> BuiltFrame:
    trued, known = read.trued, read.notebook.sha256
    day = last_day(read.notebook)
    said = "" if day is None else day.isoformat()
    doubts = len(trued.problems) + len(trued.survey.suspicions)
    left = [_DOUBT.format(n=doubts)] if doubts else []
    if not heads_determined(trued.survey):
        return BuiltFrame(known, said, (), (_NOT_FIXED, *left))
    where, model = trued.survey.positions, read.model.posts
    heads, bases = where.xyz[where.points.of(Place.HEAD)], where.xyz[where.points.of(Place.BASE)]
    posts = tuple(
        StandingPost(*row)
        for row in zip(model.ids, heads, bases, model.head, model.base, strict=True)
    )
    for verdict, words in _OFF.items():
        count = sum(v is verdict for v in trued.built.verdict)
        left += [words.format(n=count)] if count else []
    return BuiltFrame(known, said, posts, tuple(left))
