"""Pipe sections by the names a plan uses: the catalogue, or the plan's own tubes."""

from __future__ import annotations

from dataclasses import replace

from plumbrail.errors import GeometryError, Problem, TableError
from plumbrail.plan.models import Plan
from plumbrail.tables.sections import PipeSection, pipe, round_tube


def section(plan: Plan, field: str) -> PipeSection:
    """Section named by ``frame.<field>``; raises GeometryError with near names when unknown."""
    name: str = getattr(plan.frame, field)
    tube = plan.frame.tubes.get(name)
    if tube is not None:
        # The wall is the design wall already; the weight is the maker's, not the formula's.
        made = round_tube(tube.outside_diameter, tube.design_wall, 1.0, density=1.0)
        return replace(made, name=name, mass=tube.weight)
    try:
        return pipe(name)
    except TableError as error:
        hint = f'{error} Or describe it under [frame.tubes."{name}"].'
        raise GeometryError([Problem(f"frame.{field}", hint)]) from None
