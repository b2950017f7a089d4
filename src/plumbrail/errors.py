"""The errors plumbrail raises on purpose.

* ``PlumbrailError``
    * ``QuantityError``   text that is not a quantity of the wanted kind
    * ``PlanError``       the plan file is invalid; carries every problem with its place
    * ``RangeError``      a value is outside the range of a table or provision
    * ``TableError``      a table is damaged, or has no such row
    * ``MechanismError``  a frame that can move without being stressed
    * ``GeometryError``   the plan describes something that cannot be built
    * ``CuttingError``    pieces that cannot be cut from the stock
    * ``WeatherError``    a weather file that is none, or damaged
    * ``SurveyError``     readings from which no positions can be computed
    * ``RecordError``     a number that its own recorded steps do not support: a fault of plumbrail
"""

from __future__ import annotations

from dataclasses import dataclass


class PlumbrailError(Exception):
    """Anything plumbrail refuses, with words a builder can act on."""


class QuantityError(PlumbrailError, ValueError):
    """Text that is not a quantity of the wanted kind."""


class RangeError(PlumbrailError, ValueError):
    """A value outside the range that a table or provision allows."""


class TableError(PlumbrailError):
    """A table is damaged or has no such row."""


class MechanismError(PlumbrailError):
    """The frame can move without being stressed; the message names the joint and direction."""


class CuttingError(PlumbrailError):
    """Pieces that cannot be cut from the stock on offer."""


class WeatherError(PlumbrailError):
    """A weather file that is none, or damaged; the message names the file, and the line if any."""


class SurveyError(PlumbrailError):
    """Readings from which no positions can be computed; the message says why."""


class RecordError(PlumbrailError, ValueError):
    """A number that its own recorded steps do not support: a fault of plumbrail, never printed."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a plan: where, what was read, what to write."""

    path: str
    """Dotted place of the field, e.g. ``site.wind_speed``."""
    message: str
    line: int | None = None
    """Line in the plan file, counted from 1; None when the plan has no file."""

    def __str__(self) -> str:
        place = f"line {self.line}: " if self.line else ""
        return f"{place}{self.path}: {self.message}" if self.path else f"{place}{self.message}"


class PlanError(PlumbrailError):
    """The plan is invalid; ``problems`` holds every one found."""

    def __init__(self, problems: list[Problem], source: str = "plan") -> None:
        self.problems = tuple(problems)
        self.source = source
        super().__init__("\n".join(str(p) for p in problems))


class GeometryError(PlanError):
    """The plan reads well but describes something that cannot be built."""
