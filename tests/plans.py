"""Plans for tests: a demo plan with some of its fields changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

import tomlkit

from plumbrail.checks.response import Response, response_of
from plumbrail.checks.run import CheckSet, run_checks
from plumbrail.checks.splices import splice_zones
from plumbrail.model.build import build
from plumbrail.model.parts import Model
from plumbrail.plan.demos import demo_text
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import read_plan

FOOT = 0.3048
INCH = 0.0254
LBF = 4.4482216152605
PSF = LBF / FOOT**2
KSI = 6894757.293168361
MPH = 0.44704
G = 9.80665


def plan_text(changes: Mapping[str, Any], drop: Iterable[str], base: str) -> str:
    """Text of a demo with fields set and dropped by their dotted place."""
    document = _frame_only(tomlkit.parse(demo_text(base)))
    for place in drop:
        *path, last = place.split(".")
        holder: Any = document
        for step in path:
            holder = holder[step]
        del holder[last]
    for place, value in changes.items():
        *path, last = place.split(".")
        holder = document
        for step in path:
            holder = holder.setdefault(step, tomlkit.table())
        holder[last] = value
    return tomlkit.dumps(document)


def _frame_only(document: tomlkit.TOMLDocument) -> tomlkit.TOMLDocument:
    """Without shade, weather and wires: what a test needs of them it states itself."""
    for place in ("energy", "wiring", "site.shade", "module.cells", "module.noct",
                  "module.max_system_voltage"):  # fmt: skip
        *path, last = place.split(".")
        holder: Any = document
        for step in path:
            holder = holder.get(step, {})
        holder.pop(last, None)
    return document


def plan_with(
    changes: Mapping[str, Any] | None = None, drop: Iterable[str] = (), base: str = "alder-creek"
) -> Plan:
    """The plan of a demo with some fields changed: ``{"site.wind_speed": "120 mph"}``."""
    return read_plan(plan_text(changes or {}, drop, base))


def tilted(degrees: float) -> dict[str, Any]:
    """Changes for another tilt."""
    return {"array.tilt": f"{degrees} deg", "array.tilt_band": [f"{degrees} deg"] * 2}


def model_with(changes: Mapping[str, Any] | None = None, **more: Any) -> Model:
    """The model of :func:`plan_with`."""
    return build(plan_with(changes, **more))


def response_with(plan: Plan) -> tuple[Model, Response]:
    """Model and response of a plan."""
    model = build(plan)
    return model, response_of(plan, model)


def checks_of(plan: Plan, splices: Any = ((), ())) -> CheckSet:
    """All checks of a plan, with splices where they are given."""
    model, response = response_with(plan)
    return run_checks(plan, model, response, splices)


@cache
def alder() -> tuple[Plan, Model, Response]:
    """The Alder Creek demo, solved."""
    plan = plan_with()
    return plan, *response_with(plan)


@cache
def alder_checks() -> CheckSet:
    """The Alder Creek demo, checked, each beam with one splice in the middle of a zone."""
    plan, model, response = alder()
    zones = splice_zones(plan, model, response)
    splices = [[0.5 * sum(z[i])] for i, z in enumerate(zones)]
    return run_checks(plan, model, response, splices)
