"""Errors found after reading a plan, brought back to the lines of its file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from plumbrail.errors import (
    GeometryError,
    MechanismError,
    PlanError,
    Problem,
    RangeError,
    TableError,
)
from plumbrail.plan.reader import LoadedPlan, locate_problems
from plumbrail.units import show

_FIELD = re.compile(r"([a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)+)(?: |: )(?=\S)")
_METRES = re.compile(r"(?<![\w.])(-?[0-9]+\.[0-9]+) m(?![\w/²³])")


class PlacedRangeError(PlanError, RangeError):
    """A RangeError with the field, the line and the file that it is about."""


@contextmanager
def located(loaded: LoadedPlan) -> Iterator[None]:
    """Inside, an error about the plan gets the line of its field and the name of the file."""
    try:
        yield
    except GeometryError as error:
        raise GeometryError(_placed(error.problems, loaded), loaded.source) from None
    except RangeError as error:
        raise PlacedRangeError(_placed([_problem(error)], loaded), loaded.source) from None
    except (MechanismError, TableError) as error:
        raise PlanError(_placed([_problem(error)], loaded), loaded.source) from None


def _problem(error: Exception) -> Problem:
    """The message, with the plan field that it begins with taken for its place."""
    text = str(error)
    field = _FIELD.match(text)
    if field is None:
        return Problem("", text)
    rest = text[field.end() :]
    return Problem(field[1], text if rest.startswith("and ") else rest)


def _placed(problems: tuple[Problem, ...] | list[Problem], loaded: LoadedPlan) -> list[Problem]:
    """The problems with their lines, and with lengths in the plan's own units.

    The inner layers know no units but SI, so their messages speak of metres.
    """
    units = loaded.plan.job.units

    def said(found: re.Match[str]) -> str:
        return show(float(found[1]), "length", units)

    own = [replace(p, message=_METRES.sub(said, p.message)) for p in problems]
    return locate_problems(own, loaded.text)
