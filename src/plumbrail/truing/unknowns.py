"""What the readings do not determine, in words: which points, which way."""

from __future__ import annotations

import numpy as np

from plumbrail.truing.determined import determined
from plumbrail.truing.naming import listed
from plumbrail.truing.parts import Array, Positions
from plumbrail.truing.points import Place, Points

_WAYS = ("place along the row", "place across the row", "height")
_WHOLE = ("along the row", "across the row", "in height")


def undetermined(positions: Positions) -> tuple[str, ...]:
    """``height of B3 and B4``, in the order of the points; empty when all is known.

    Heights of bases are left out: nothing is judged by them. Beam ends come last.
    """
    points, loose = positions.points, positions.loose
    open_now = ~determined(np.eye(loose.shape[0]), loose).reshape(-1, 3)
    found: list[str] = []
    for axis in range(3):
        for place in (Place.HEAD, Place.BASE, Place.END):
            if place is Place.BASE and axis == 2:
                continue
            lost = [int(i) for i in points.of(place) if open_now[i, axis]]
            if lost:
                found.append(_words(points, loose, axis, place, lost))
    return tuple(found)


def _words(points: Points, loose: Array, axis: int, place: Place, lost: list[int]) -> str:
    names = [points.ids[i] for i in lost]
    apart = np.zeros((len(lost) - 1, loose.shape[0]))
    apart[np.arange(len(lost) - 1), 3 * np.array(lost[1:], dtype=int) + axis] = 1.0
    apart[:, 3 * lost[0] + axis] = -1.0
    if len(lost) > 1 and len(lost) == len(points.of(place)) and determined(apart, loose).all():
        what = {Place.HEAD: "heads", Place.BASE: "bases", Place.END: "beam ends"}[place]
        return f"where all {what} together stand {_WHOLE[axis]} against the pins"
    return f"{_WAYS[axis]} of {listed(names)}"
