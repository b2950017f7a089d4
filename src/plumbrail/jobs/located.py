"""Errors found after reading a plan, brought back to the lines of its file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from plumbrail.errors import GeometryError
from plumbrail.plan.reader import LoadedPlan, locate_problems


@contextmanager
def located(loaded: LoadedPlan) -> Iterator[None]:
    """Inside, a GeometryError gets the line of each field and the name of the file."""
    try:
        yield
    except GeometryError as error:
        problems = locate_problems(error.problems, loaded.text)
        raise GeometryError(problems, loaded.source) from None
