"""How sure the loads of a combination are; a check is no surer than its loads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plumbrail.check import Check
from plumbrail.checks.actions import roof_snow
from plumbrail.checks.response import Combined, Response
from plumbrail.checks.wind import component_pressures, wind_certainty
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, recording

NOTE = (
    "Wind on single bars, the least wind force, and earthquake coefficients rest on values from "
    "memory; a check that such a load governs says so."
)


def with_load_certainty(
    plan: Plan, model: Model, response: Response, checks: Sequence[Check]
) -> list[Check]:
    """The checks, none surer than the loads of its governing combination."""
    cases = _case_certainties(plan, model, response)
    known: dict[str, Certainty] = {}
    for combined in (response.strength, response.service, response.parts):
        known |= _combination_certainties(combined, cases)
    return [
        replace(c, certainty=max(c.certainty, known[c.combination]))
        if c.certainty is not None and c.combination in known
        else c
        for c in checks
    ]


def _case_certainties(plan: Plan, model: Model, response: Response) -> dict[str, Certainty]:
    found = {w.id: wind_certainty(plan, model, w) for w in response.actions.wind}
    with recording() as record:
        roof_snow(plan, model)
    found["S"] = record.certainty
    with recording() as record:
        component_pressures(plan, model, 1.0)
    for case in response.actions.cases:
        if case.component:
            found[case.id] = record.certainty
        elif case.nature in ("E_h", "E_v"):
            found[case.id] = Certainty.MEMORY
        elif case.nature == "D":
            found[case.id] = Certainty.PLAN
    return found


def _combination_certainties(
    combined: Combined, cases: dict[str, Certainty]
) -> dict[str, Certainty]:
    f = combined.factors
    return {
        name: max(
            [f.certainties[k], *(cases[c] for c, x in zip(f.cases, f.array[k], strict=True) if x)]
        )
        for k, name in enumerate(f.ids)
    }
