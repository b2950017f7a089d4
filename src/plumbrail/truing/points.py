"""The points of the network and where the plan wants them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from plumbrail.model.parts import Model

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


class Place(IntEnum):
    """What a point is."""

    HEAD = 0
    """Beam centre line over a post, id ``F3``."""
    BASE = 1
    """Post centre at grade, id ``F3 base``."""
    END = 2
    """End of a beam's centre line, id ``front left``."""
    PIN = 3
    """Top of a pin, id ``pin 1``."""
    MARK = 4
    """Any other height mark, id ``mark`` and its name; only its height is ever known."""


@dataclass(frozen=True)
class Points:
    """Points by id. Axis: point; heads and bases in the order of ``model.posts``, then the ends
    (front left, front right, back left, back right), pins, marks."""

    ids: tuple[str, ...]
    place: IntArray
    """A :class:`Place` each."""
    post: IntArray
    """Index of the post of a head or base, else -1."""
    row: IntArray
    """0 front, 1 back, -1 neither."""
    station: IntArray
    """From 1; 0 for ends, pins and marks."""
    planned: Array
    """(points, 3) in the model's axes [m]. A base's height is the ground's, a mark's is pin 1's."""
    to_top: Array
    """(points,) where a rod stands above the point [m]: half a pipe on heads and ends, else 0."""
    to_cut_end: Array
    """(points,) the post's cut end above the point [m], negative; heads only, else 0."""

    def index(self, id: str) -> int:
        """Index of a point; KeyError when there is none."""
        try:
            return self.ids.index(id)
        except ValueError:
            raise KeyError(id) from None

    def of(self, place: Place, row: int | None = None) -> IntArray:
        """Indices of one kind of point, perhaps of one row only, in order."""
        mask = self.place == place
        if row is not None:
            mask &= self.row == row
        return np.flatnonzero(mask)

    @property
    def stations(self) -> int:
        """Posts in each row."""
        return int(self.station.max())


def points_of(model: Model, pins: Array, marks: Sequence[str] = ()) -> Points:
    """The points of a model with the tops of its two ``pins`` (2, 3) and further height marks."""
    posts, beams = model.posts, model.beams
    heads = np.column_stack([posts.xy, posts.beam_centre])
    bases = np.column_stack([posts.xy, posts.ground])
    ends = np.stack([beams.start, beams.end], axis=1).reshape(4, 3)
    mark_places = np.repeat(pins[:1], len(marks), axis=0)
    groups = (
        (Place.HEAD, posts.ids, heads), (Place.BASE, [f"{p} base" for p in posts.ids], bases),
        (Place.END, [f"{row} {side}" for row in ("front", "back") for side in ("left", "right")],
         ends),
        (Place.PIN, ("pin 1", "pin 2"), pins), (Place.MARK, marks, mark_places),
    )  # fmt: skip
    ids = tuple(id for _, names, _ in groups for id in names)
    place = np.concatenate([np.full(len(names), kind) for kind, names, _ in groups])
    planned = np.concatenate([xyz.reshape(-1, 3) for _, _, xyz in groups])
    n, rest = len(posts.ids), len(ids) - 2 * len(posts.ids)
    none = np.full(rest, -1)
    ends_row = np.concatenate([[0, 0, 1, 1], np.full(rest - 4, -1)])
    carried = (place == Place.HEAD) | (place == Place.END)
    cut_end = np.zeros(len(ids))
    cut_end[:n] = posts.top - posts.beam_centre
    return Points(
        ids, place, np.concatenate([np.arange(n), np.arange(n), none]),
        np.concatenate([posts.row, posts.row, ends_row]),
        np.concatenate([posts.station, posts.station, np.zeros(rest, dtype=np.int64)]),
        planned, np.where(carried, 0.5 * beams.section.OD, 0.0), cut_end,
    )  # fmt: skip
