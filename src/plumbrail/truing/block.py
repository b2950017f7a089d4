"""A block of values of one kind, with words and limits, before they get a verdict."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.truing.shape import Measured


@dataclass(frozen=True)
class Limits:
    """What a value may be; infinite where the plan states no tolerance."""

    low: float
    high: float

    @classmethod
    def within(cls, tolerance: float | None) -> Limits:
        """As far to one side as to the other."""
        return cls(-np.inf, np.inf) if tolerance is None else cls(-tolerance, tolerance)


@dataclass(frozen=True)
class Block:
    """Values of one kind. Axis: value."""

    family: str
    ids: tuple[str, ...]
    subject: tuple[str, ...]
    what: tuple[str, ...]
    measured: Measured
    limits: Limits
    angle: bool = False
    optional: bool = False
    """Left out altogether where the readings do not determine it."""


def same(words: str, ids: tuple[str, ...]) -> tuple[str, ...]:
    """The same words for every value."""
    return (words,) * len(ids)
