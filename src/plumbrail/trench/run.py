"""From the plan to the whole trench: route, profile, pull, amounts, checks."""

from __future__ import annotations

import numpy as np

from plumbrail.check import Check
from plumbrail.errors import GeometryError, PlanError, Problem
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan, Trench
from plumbrail.trench import safety
from plumbrail.trench.along import pieces, reach, round_the_end, turns
from plumbrail.trench.amounts import amounts, hours
from plumbrail.trench.checking import depth_checks, place_checks, pull_checks
from plumbrail.trench.ground import Scene, scene
from plumbrail.trench.legs import boxes, elements, legs
from plumbrail.trench.options import options
from plumbrail.trench.parts import Bend, Crossing, Option, Piece, Profile, Trenched, Wires
from plumbrail.trench.planar import Array
from plumbrail.trench.profile import Depths, crossings, kicks, outer_width, settled
from plumbrail.trench.stakes import stations
from plumbrail.trench.wires import cable

DIRECT = "direct burial"


def trenched(plan: Plan, model: Model, wires: Wires) -> Trenched:
    """The trench of a plan.

    Raises PlanError where the plan lacks what it needs, GeometryError where no route exists or an
    end lies where nobody digs, RangeError where the code has no cover for the run.
    """
    trench, wall = needed(plan)
    ground = scene(plan, trench, model, wires, wall)
    option, others, way = options(ground, trench, plan.job.units)
    points = option.points
    stretches = pieces(points, ground.field)
    depths = Depths(plan, trench, wires, outer_width(wires), stretches)
    _wide_enough(trench, depths.outer)
    passed, line = settled(
        points, model, crossings(points, ground.grounds.services, depths), depths
    )
    bends = _bends(points, line)
    down, up = _risers(wires, line, trench)
    parts = elements(line, bends, down, up)
    rope = cable(plan, trench, wires)
    named = (wires.box_name, "equipment")
    found, cuts, whys = legs(parts, None if isinstance(rope, str) else rope, trench.pull.sidewall,
                             named)  # fmt: skip
    put = boxes(parts, cuts, whys, points, stretches, wires)
    conduit = sum(leg.length for leg in found)
    checks: list[Check] = [
        *place_checks(plan, trench, ground.grounds, ground.guessed, conduit, wires),
        *depth_checks(line, passed, plan), *pull_checks(found, rope, trench, wires.fill, plan),
    ]  # fmt: skip
    flat = np.array([b.angle for b in bends])
    deep = float(line.bottom.max())
    return Trenched(
        option, others, way.spacing, way.bound, stretches, passed, bends, line,
        stations(points, model, line, passed, stretches, put, ground.row_bearing), found, put,
        amounts(option, stretches, passed, line, put, flat, conduit, depths.outer, wires, trench),
        tuple(checks), safety.checklist(trench, ground.grounds, passed), safety.cautions(deep),
        safety.separations(passed, stretches), _notes(plan, ground, option, stretches, line, passed,
                                                      trench),
        hours(stretches, passed, option, trench), depths.outer, conduit,
    )  # fmt: skip


def needed(plan: Plan) -> tuple[Trench, Array]:
    """The section and the place of the equipment (2,); PlanError names what is missing."""
    problems = []
    if plan.trench is None:
        problems.append(Problem("trench", "the plan has no [trench] section; write one with "
                                "clearance, pier_clearance and roots, field by field as in "
                                "docs/plan-file.md"))  # fmt: skip
    if plan.wiring is None:
        problems.append(Problem("wiring", "the trench needs a [wiring] section: boxes, run and "
                                "equipment"))  # fmt: skip
    elif plan.wiring.equipment.at is None:
        problems.append(
            Problem(
                "wiring.equipment.at",
                "missing: where the trench ends, on the "
                "outer wall, as [along the row, to the back] from hole F1",
            )
        )
    elif plan.wiring.basis.code == "IEC":
        problems.append(Problem("wiring.basis.code", "no depths of burial are at hand for IEC; the "
                                "trench cannot be worked out"))  # fmt: skip
    if problems or plan.trench is None or plan.wiring is None:
        raise PlanError(problems)
    return plan.trench, np.array(plan.wiring.equipment.at, dtype=float)


def _wide_enough(trench: Trench, outer: float) -> None:
    if trench.width < outer:
        raise GeometryError([Problem("trench.width", "the conduit is wider than the trench: write "
                                     "the width of the bucket")])  # fmt: skip


def _bends(points: Array, line: Profile) -> tuple[Bend, ...]:
    """To the sides and up and down, in order."""
    at, angle = turns(points)
    along = reach(points)
    sides = [Bend(float(along[k]), float(abs(a)), "left" if a > 0 else "right")
             for k, a in zip(at.tolist(), angle, strict=True)]  # fmt: skip
    return tuple(sorted([*sides, *kicks(line)], key=lambda b: b.at))


def _risers(wires: Wires, line: Profile, trench: Trench) -> tuple[float, float]:
    """Upright lengths at the box and at the wall [m]."""
    down = float(wires.box[2] - line.ground[0] + line.top[0])
    return down, trench.wall_height + float(line.top[-1])


def _notes(
    plan: Plan, ground: Scene, option: Option, stretches: tuple[Piece, ...], line: Profile,
    passed: tuple[Crossing, ...], trench: Trench,
) -> tuple[str, ...]:  # fmt: skip
    found = [
        "The route is the one with the fewest hours of work by the plan's rates; left out, those "
        "are common practice.",
        "Hours: digging, crossings, bends, conduit with its bedding; filling the trench is a task "
        "of the works.",
    ]  # fmt: skip
    if line.guessed:
        found.append("Some of the ground is beyond the survey points: its height is a guess.")
    if any("paving" in p.kinds for p in stretches) and trench.paved_as is None:
        found.append("The route runs under paving, counted as a road: trench.paved_as says what "
                     "it is.")  # fmt: skip
    for name in round_the_end(option.points, ground.field):
        found.append(f"The route passes just beyond the known end of {name}: make sure that it "
                     "ends there.")  # fmt: skip
    flat = [c.number for c in passed if c.angle < trench.least_angle - 1e-9]
    if flat:
        found.append(f"Flatter than trench.least_angle: {', '.join(flat)}.")
    if not ground.field.crossed:
        found.append("The plan names no buried service. That clears nothing: have the ground "
                     "located.")  # fmt: skip
    return tuple(found)
