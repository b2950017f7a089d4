"""What no reading tells and no tolerance asks for, so that it would pass in silence."""

from __future__ import annotations

import numpy as np

from plumbrail.truing.determined import determined
from plumbrail.truing.naming import listed
from plumbrail.truing.parts import Built, Positions
from plumbrail.truing.points import Place

_ENDS = ("front left", "front right", "back left", "back right")
_WAYS = {"side": "seen from above", "height": "in height"}


def untold(positions: Positions, built: Built) -> tuple[str, ...]:
    """Beam ends that nobody measured, and how the frame stands to the pins, in words."""
    open_ends = [words for words in (_open_end(end, built) for end in _ENDS) if words]
    found = [f"ends of the beams: {listed(open_ends)}"] if open_ends else []
    pins = _pins(positions)
    return (*found, *([f"against the pins: {listed(pins)}"] if pins else []))


def _open_end(end: str, built: Built) -> str:
    """``front left``, with the one direction in which it is open if the other is told."""
    row, side = end.split()
    ways = [way for way in _WAYS if f"{row}.straight.{way}.{side}" not in built.ids]
    return "" if not ways else end if len(ways) == 2 else f"{end} {_WAYS[ways[0]]}"


def _pins(positions: Positions) -> list[str]:
    points, loose = positions.points, positions.loose
    heads = points.of(Place.HEAD, 0)
    slopes = np.zeros((3, loose.shape[0]))
    first, last = 3 * int(heads[0]), 3 * int(heads[-1])
    slopes[0, last + 1], slopes[0, first + 1] = 1.0, -1.0
    slopes[1, first], slopes[2, first + 1] = 1.0, 1.0
    faces, along, across = determined(slopes, loose)
    words = [] if faces else ["which way the row faces"]
    return words + ([] if along and across else ["where the frame stands"])
