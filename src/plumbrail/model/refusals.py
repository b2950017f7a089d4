"""Reasons why a plan cannot be built, each with its field and what to write instead."""

from __future__ import annotations

import numpy as np

from plumbrail.errors import GeometryError, Problem
from plumbrail.model.names import unknown_names
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.units import show


def before(plan: Plan) -> None:
    """Refuse unknown names and what would make the geometry itself meaningless."""
    problems = unknown_names(plan)
    low, high = plan.frame.beam_inset
    if low + high >= 0.95:
        problems.append(Problem(
            "frame.beam_inset", f"{low:.0%} and {high:.0%} put the front beam at or behind the "
            'back beam; write for example ["21 %", "21 %"]',
        ))  # fmt: skip
    zone = plan.module.clamp_zone
    if not zone[0] - 1e-9 <= plan.frame.rail_inset <= zone[1] + 1e-9:
        problems.append(Problem(
            "frame.rail_inset", f"{plan.frame.rail_inset:.1%} puts the outer rails off the "
            f"module's clamp zone of {zone[0]:.1%} to {zone[1]:.1%} (module.clamp_zone); write a "
            "share inside it",
        ))  # fmt: skip
    if problems:
        raise GeometryError(problems)


def after(plan: Plan, model: Model) -> list[Problem]:
    """Everything about the finished model that cannot be built; empty when it can."""
    checks = (_ground, _beams, _stations, _piers, _braces)
    return [problem for check in checks for problem in check(plan, model)]


def _len(plan: Plan, value: float) -> str:
    return show(value, "length", plan.job.units)


def _ground(plan: Plan, model: Model) -> list[Problem]:
    found = []
    if model.clearance < -1e-9:
        found.append(Problem(
            "array.low_edge_clearance", f"the modules reach {_len(plan, -model.clearance)} under "
            "the ground; the ground rises faster than the array. Raise low_edge_clearance, turn "
            "the array downhill or grade the site",
        ))  # fmt: skip
    x = np.linspace(model.beams.start[0, 0], model.beams.end[0, 0], 201)
    for i, name in enumerate(model.beams.ids):
        bottom = model.beams.start[i, 2] - 0.5 * model.beams.section.OD
        gap = float((bottom - model.terrain.height(x, model.beams.start[i, 1])).min())
        if gap <= 0.0:
            found.append(Problem(
                "array.low_edge_clearance", f"the {name} touches the ground "
                f"({_len(plan, -gap)} under it); write a larger low_edge_clearance",
            ))  # fmt: skip
    low = [model.posts.ids[i] for i in np.flatnonzero(model.posts.out_of_ground <= 0.0)]
    if low:
        found.append(Problem(
            "array.low_edge_clearance", f"posts {', '.join(low)} would end under the ground; "
            "write a larger low_edge_clearance or a smaller frame.fitting_rise",
        ))  # fmt: skip
    return found


def _beams(plan: Plan, model: Model) -> list[Problem]:
    beams, rails = model.beams, model.rails
    found = []
    over = float(beams.supports[:, 0].min())
    if over < 0.5 * model.posts.section.OD:
        need = _len(plan, float(np.ptp(beams.supports, axis=1).max()) + model.posts.section.OD)
        found.append(Problem(
            "frame.spacing", f"the outer posts stand beyond the ends of the beams, which are "
            f"{_len(plan, beams.length)} long; bring the posts together or write a beam_length of "
            f"at least {need}",
        ))  # fmt: skip
    held = float(min(beams.slope_distance[0], model.plane.slope_length - beams.slope_distance[1]))
    if held < 0.5 * beams.section.OD:
        share = np.ceil(50.0 * beams.section.OD / model.plane.slope_length)
        found.append(Problem(
            "frame.beam_inset", "puts a beam under the very edge, where a rail has no end left to "
            f"hold; write at least {share:.0f} % for both",
        ))  # fmt: skip
    short = max(beams.start[0, 0] - rails.x.min(), rails.x.max() - beams.end[0, 0])
    if short > 1e-9:
        found.append(Problem(
            "frame.beam_length", f"{_len(plan, beams.length)} leaves the outermost rails "
            f"{_len(plan, float(short))} beyond the beams; write at least "
            f"{_len(plan, beams.length + 2 * float(short))}",
        ))  # fmt: skip
    return found


def _stations(plan: Plan, model: Model) -> list[Problem]:
    found = []
    apart = float(model.beams.start[1, 1] - model.beams.start[0, 1])
    d = model.piers.diameter
    if apart <= d:
        found.append(Problem(
            "frame.beam_inset", f"front and back posts stand {_len(plan, apart)} apart and their "
            f"{_len(plan, d)} holes run into each other; write smaller insets",
        ))  # fmt: skip
    bays = np.diff(model.beams.supports)
    if float(bays.min()) <= d:
        found.append(Problem(
            "frame.spacing", f"posts {_len(plan, float(bays.min()))} apart share one "
            f"{_len(plan, d)} hole; write a larger spacing or fewer posts",
        ))  # fmt: skip
    return found


def _piers(plan: Plan, model: Model) -> list[Problem]:
    found = []
    od = model.posts.section.OD
    if model.piers.diameter <= od:
        found.append(Problem(
            "piers.diameter", f"{_len(plan, model.piers.diameter)} is no wider than the post "
            f"({_len(plan, od)})",
        ))  # fmt: skip
    embedded = float((model.posts.ground - model.posts.foot).min())
    if embedded <= 0.0:
        found.append(Problem(
            "piers.cover_below_post", "leaves no post inside the concrete; write less than the "
            "depth of the hole, for example \"3 in\"",
        ))  # fmt: skip
    elif plan.frame.fixity_depth > embedded:
        found.append(Problem(
            "frame.fixity_depth", f"{_len(plan, plan.frame.fixity_depth)} is deeper than the post "
            f"reaches into the pier ({_len(plan, embedded)}); write less, or a deeper pier",
        ))  # fmt: skip
    return found


def _braces(plan: Plan, model: Model) -> list[Problem]:
    found = []
    braces, posts = model.braces, model.posts
    for i in range(len(braces.ids)):
        low, high = braces.low_post[i], braces.high_post[i]
        name = f"frame.braces[{i + 1}]"
        if braces.ends[i, 0, 2] >= posts.top[low]:
            found.append(Problem(f"{name}.low", f"is above the top of post {posts.ids[low]}"))
        if braces.ends[i, 1, 2] <= posts.ground[high]:
            found.append(Problem(f"{name}.high", f"is below the ground at post {posts.ids[high]}"))
    return found
