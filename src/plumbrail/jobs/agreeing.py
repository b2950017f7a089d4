"""What sections of a plan must agree on before anything is computed from them together."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from plumbrail.errors import GeometryError, Problem
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.tables.sections import pipe
from plumbrail.units import parse, show

HIGHEST = parse("60 ft", "length")
"""Wind pressure on a free-standing plane is computed up to this height."""
_HAIR = 1e-9


def refuse_disagreement(plan: Plan, model: Model) -> None:
    """Raise a GeometryError with every place where the sections contradict one another."""
    problems = [
        *_height(plan, model), *_holding(plan), *_splices(plan, model), *_sleeve(plan, model),
        *_braces(plan),
    ]  # fmt: skip
    if problems:
        raise GeometryError(problems)


def _said(plan: Plan, length: float) -> str:
    return show(length, "length", plan.job.units)


def _height(plan: Plan, model: Model) -> list[Problem]:
    """The highest corner over the ground under it."""
    corners = model.modules.corners.reshape(-1, 3)
    over = corners[:, 2] - model.terrain.height(corners[:, 0], corners[:, 1])
    high = float(np.max(over))
    if high <= HIGHEST:
        return []
    return [Problem(
        "array.low_edge_clearance", f"the array reaches {_said(plan, high)} over the ground; "
        f"wind is known up to {_said(plan, HIGHEST)}. Write a smaller low_edge_clearance, or mend "
        "the heights in site.ground and their unit",
    )]  # fmt: skip


def _holding(plan: Plan) -> list[Problem]:
    depths = plan.piers.depth if isinstance(plan.piers.depth, tuple) else (plan.piers.depth,)
    first, least = plan.stock.concrete.holding_height, min(depths)
    if first <= least + _HAIR:
        return []
    return [Problem(
        "stock.concrete.holding_height", f"{_said(plan, first)} is higher than the hole is deep "
        f"({_said(plan, least)}); write less, for example \"12 in\"",
    )]  # fmt: skip


def _braces(plan: Plan) -> list[Problem]:
    """Braces in the same place: the frame would count both."""
    places = [(b.direction, b.stations, b.row) for b in plan.frame.braces]
    return [
        Problem(
            f"frame.braces[{i + 1}]",
            f"stands in the same place as brace {places.index(place) + 1}; keep one of them",
        )
        for i, place in enumerate(places)
        if place in places[:i]
    ]


def _sleeve(plan: Plan, model: Model) -> list[Problem]:
    """A sleeve that does not enter the bore of the beam."""
    name, bore = plan.frame.splice.sleeve, model.beams.section.bore
    if name is None or bore > pipe(name).OD:
        return []
    return [Problem(
        "frame.splice.sleeve", f"{name} is {_said(plan, pipe(name).OD)} thick and does not enter "
        f"{model.beams.section.name}, whose bore is {_said(plan, bore)}; write a smaller pipe",
    )]  # fmt: skip


def _splices(plan: Plan, model: Model) -> list[Problem]:
    """Splices that the plan decides on: on the beam, and no part too short to be joined."""
    length, shortest = model.beams.length, plan.stock.splices.shortest_piece
    found = []
    for row in ("front", "back"):
        decided = sorted(getattr(plan.stock.splices, row) or ())
        path = f"stock.splices.{row}"
        beyond = [_said(plan, x) for x in decided if x >= length - _HAIR]
        if beyond:
            found.append(Problem(
                path, f"{', '.join(beyond)} is not on the {row} beam, which is "
                f"{_said(plan, length)} long from its left end; write less or leave it out",
            ))  # fmt: skip
            continue
        parts = [b - a for a, b in pairwise([0.0, *decided, length])]
        if decided and min(parts) < shortest - _HAIR:
            found.append(Problem(
                path, f"leaves a part of {_said(plan, min(parts))}; "
                f"stock.splices.shortest_piece wants at least {_said(plan, shortest)}",
            ))  # fmt: skip
    return found
