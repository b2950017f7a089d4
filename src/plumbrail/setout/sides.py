"""Left, right, front and back along a string between the pins and square to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.setout.base import BaseLine

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Sides:
    """What a builder calls the four ways from pin 1, standing before the array."""

    along: tuple[str, str]
    """Toward pin 2, and away from it."""
    across: tuple[str, str]
    """As ``base.across`` points, and the other way."""

    def of(self, legs: Array) -> tuple[str, str]:
        """Words for distances (2,) along and across."""
        return self.along[int(legs[0] < 0)], self.across[int(legs[1] < 0)]

    def signed(self, length: float, word: str, along: bool) -> float:
        """A length (m) to a side as a distance along or across; raises RangeError for a wrong side.

        Without a word: toward pin 2, or as ``base.across`` points.
        """
        words = self.along if along else self.across
        if word and word not in words:
            way = "along the string between the pins" if along else "square to that string"
            raise RangeError(f'"{word}" is no way {way}; write {words[0]} or {words[1]}')
        return -length if word == words[1] else length


def sides(base: BaseLine) -> Sides:
    """The words for a base line, by the way that each of its directions mostly points."""
    if base.across[1] > 1e-9:
        ahead = ("right", "left") if base.along[0] > 0 else ("left", "right")
        return Sides(ahead, ("back", "front"))
    ahead = ("back", "front") if base.along[1] > 0 else ("front", "back")
    return Sides(ahead, ("right", "left"))
