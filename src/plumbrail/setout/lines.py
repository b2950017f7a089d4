"""Check measurements between holes: rows, bays, diagonals, front to back."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.model.parts import Model
from plumbrail.setout import tapes

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

EQUAL = 1e-6
"""Lengths closer than this [m] are equal."""


@dataclass(frozen=True)
class Lines:
    """Distances between hole centres. Axis: line."""

    ids: tuple[str, ...]
    """For example ``F1–B4``."""
    kind: tuple[str, ...]
    """``row``, ``diagonal``, ``front to back`` or ``bay diagonal``."""
    start: IntArray
    """Index of the hole at one end."""
    end: IntArray
    level: Array
    """Horizontal length."""
    slope: Array
    """Length on straight ground between the holes."""
    twin: IntArray
    """Index of the line that has the same level length when the layout is a rectangle."""

    @property
    def level_difference(self) -> Array:
        """(lines,) level length minus that of the twin: 0 everywhere for a rectangle."""
        return self.level - self.level[self.twin]

    @property
    def slope_difference(self) -> Array:
        """(lines,) length on the ground minus that of the twin; the ground alone can cause it."""
        return self.slope - self.slope[self.twin]

    @property
    def rectangular(self) -> bool:
        """Every line is as long, level, as its twin."""
        return bool((np.abs(self.level_difference) < EQUAL).all())

    @property
    def slide(self) -> float:
        """How far a row has slid along itself per length by which the overall diagonals differ."""
        row, diagonal = self.level[self.of("row")[0]], self.level[self.of("diagonal")[0]]
        return float(tapes.slide_from_diagonals(diagonal, np.array(1.0), row))

    def of(self, kind: str) -> IntArray:
        """Indices of the lines of one kind."""
        return np.flatnonzero([k == kind for k in self.kind])


def lines(model: Model) -> Lines:
    """All check measurements of a model."""
    kind, table = _layout(model.stations)
    start, end, twin = table.T
    posts = model.posts
    step = posts.xy[end] - posts.xy[start]
    level = tapes.level_distance(step[:, 0], step[:, 1])
    slope = tapes.slope_distance(level, posts.ground[end] - posts.ground[start])
    ids = tuple(f"{posts.ids[a]}–{posts.ids[b]}" for a, b in zip(start, end, strict=True))
    return Lines(ids, kind, start, end, level, slope, twin)


def _layout(n: int) -> tuple[tuple[str, ...], IntArray]:
    """Kind of each line, and (lines, 3) its start, end and twin, for n stations."""
    table = [[0, n - 1, 1], [n, 2 * n - 1, 0], [0, 2 * n - 1, 3], [n - 1, n, 2]]
    kind = ["row", "row", "diagonal", "diagonal"]
    first = len(table)
    table += [[i, n + i, first if i else first + n - 1] for i in range(n)]
    kind += ["front to back"] * n
    if n > 2:  # with one bay they are the overall diagonals
        for i in range(n - 1):
            here = len(table)
            table += [[i, n + i + 1, here + 1], [i + 1, n + i, here]]
            kind += ["bay diagonal"] * 2
    return tuple(kind), np.array(table, dtype=np.int64)
