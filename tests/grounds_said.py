"""Every kind of sentence that the checks of the ground say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import tomlkit

from plans import plan_text
from plumbrail.check import Status
from plumbrail.checks.ground import ground_cautions, ground_checks, ground_note
from plumbrail.checks.remedies import remedy
from plumbrail.model.build import build_planned
from plumbrail.plan.reader import read_plan


def line(back: float, **more: Any) -> dict[str, Any]:
    points = [["-90 ft", f"{back} ft"], ["90 ft", f"{back} ft"]]
    return {"name": "Line", "kind": "gas", "points": points, "located_by": "locator", **more}


def box(x: float, y: float, half: float) -> list[list[str]]:
    corners = ((-half, -half), (half, -half), (half, half), (-half, half))
    return [[f"{x + a} ft", f"{y + b} ft"] for a, b in corners]


def boundary(half: float = 300, how: str = "survey", read: bool = True) -> dict[str, Any]:
    return {"points": box(9, 4, half), "known_by": how, "setback": "20 ft", "easements_read": read}


LOCATE = {"answered": "2026-04-27", "own_lines": True}
SITES: tuple[dict[str, Any], ...] = (
    {},
    {"locate": {**LOCATE, "ticket": "A-1"}, "boundary": boundary(how="markers found"),
     "services": [line(-40)]},
    {"locate": {**LOCATE, "own_lines": False}, "boundary": boundary(30, read=False)},
    {"locate": LOCATE, "boundary": boundary(how="fence"), "services": [line(-2, depth="4 ft")]},
    {"boundary": boundary(how="map"), "services": [line(0, kind="water", depth="9 ft")]},
    {"boundary": boundary(10, how="markers found"), "services": [
        line(-60, located_by="memory"), line(-2, name="Old", kind="power", located_by="memory"),
        line(-70, name="Drawn", kind="sewer", located_by="record drawing"),
        line(9, name="Two", kind="communication"), line(-1.5, name="Three", kind="reclaimed"),
        line(1.5, name="Four", kind="sewer", located_by="potholed"),
    ]},
    {"easements": [{"name": "Strip", "points": box(100, 0, 3)},
                   {"name": "Lane", "points": box(9, 0, 3)},
                   {"name": "Path", "points": box(4.5, 4, 1)}],
     "regions": [{"name": "Field", "kind": "keep out", "points": box(0, 0, 3)},
                 {"name": "Ledge", "kind": "rock", "points": box(18, 0, 3), "dig_factor": 2.0},
                 {"name": "Drive", "kind": "paving", "points": box(27, 0, 3), "dig_factor": 2.0},
                 {"name": "Oak", "kind": "roots", "points": box(27, 7, 3), "dig_factor": 2.0}]},
)  # fmt: skip


@cache
def grounds_said() -> tuple[str, ...]:
    """Subjects, titles, notes, clauses, remedies and cautions, each once."""
    return tuple(dict.fromkeys(s for site in SITES for s in _said(site) if s))


def _said(site: dict[str, Any]) -> Iterator[str]:
    document: Any = tomlkit.parse(plan_text({}, (), "alder-creek"))
    for name in ("services", "easements", "regions", "boundary", "locate"):
        document["site"].pop(name, None)
    document["site"].update(site)
    plan = read_plan(tomlkit.dumps(document))
    model = build_planned(plan)
    for c in ground_checks(plan, model):
        yield from (c.subject, c.title, c.note, c.clause)
        yield remedy(replace(c, status=Status.FAIL)) if c.status is not Status.NOT_CHECKED else ""
    yield ground_note(plan)
    for cautions in ground_cautions(plan, model):
        yield from cautions
