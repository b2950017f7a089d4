"""Names in the plan that must stand in a table: pipes, steel, alloy. All are looked up at once."""

from __future__ import annotations

from collections.abc import Callable

from plumbrail.errors import GeometryError, Problem, TableError
from plumbrail.model.sections import section
from plumbrail.plan.models import Plan
from plumbrail.tables.loader import load
from plumbrail.tables.sections import pipe, steel


def unknown_names(plan: Plan) -> list[Problem]:
    """Every name that no table holds, with near ones."""
    frame = plan.frame
    found: list[Problem] = []
    for field in ("post", "beam", *(("brace",) if frame.brace else ())):
        try:
            section(plan, field)
        except GeometryError as error:
            found += error.problems
    _look(found, "frame.steel", steel, frame.steel)
    _look(found, "frame.splice.sleeve", pipe, frame.splice.sleeve)
    _look(found, "frame.rail.alloy", lambda name: load("adm", "alloys").rows(name=name),
          frame.rail.alloy)  # fmt: skip
    return found


def _look(
    found: list[Problem], path: str, lookup: Callable[[str], object], name: str | None
) -> None:
    if name is None:
        return
    try:
        lookup(name)
    except TableError as error:
        found.append(Problem(path, str(error)))
