"""Chains of dimensions along a row, legible at any spacing."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from plumbrail.papers.explode import dimension_fits
from plumbrail.papers.lettering import DESCENT, width
from plumbrail.papers.placing import lettered_row, row_height
from plumbrail.papers.sheet import Dimension, Item, Point, View
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say

_PITCH = 2.5 * (1 + DESCENT) + 0.3
TOTAL = 7.5
"""From the words of a chain to the line of its total [mm]."""


@dataclass(frozen=True)
class Chain:
    """Spacings and total of points at positions ``xs`` [m], drawn over a row ``k`` mm to the m."""

    xs: tuple[float, ...]
    k: float
    job: JobInfo

    @property
    def bays(self) -> tuple[float, ...]:
        """Lengths of the bays [m]."""
        return tuple(b - a for a, b in zip(self.xs, self.xs[1:], strict=False))

    @property
    def words(self) -> list[str]:
        """Words of each bay."""
        return [self.job.length(b) for b in self.bays]

    @property
    def way(self) -> str:
        """How the words are set: ``level``, ``equal`` (said once), ``turned`` or ``apart``."""
        bays, words = self.bays, self.words
        if all(dimension_fits(w, b * self.k, 2.5) for w, b in zip(words, bays, strict=True)):
            return "level"
        if len(bays) > 1 and max(bays) - min(bays) < 1e-6:
            return "equal"
        middles = self._middles()
        steps = [b - a for a, b in itertools.pairwise(middles)]
        return "turned" if min(steps, default=_PITCH) >= _PITCH else "apart"

    @property
    def height(self) -> float:
        """From the line of the chain to the top of its words [mm]."""
        match self.way:
            case "level":
                return 4.0
            case "equal":
                return 1.5
            case "turned":
                return max(width(w, 2.5) for w in self.words) + 3.0
        return row_height(self._middles(), self.words) + 2.0

    @property
    def total(self) -> str:
        """Words of the whole length."""
        whole = self.job.length(self.xs[-1] - self.xs[0])
        if self.way != "equal":
            return whole
        return say("{n} equal bays of {bay}: {whole} in all", n=len(self.bays), bay=self.words[0],
                   whole=whole)  # fmt: skip

    def _middles(self) -> list[float]:
        return [0.5 * (a + b) * self.k for a, b in zip(self.xs, self.xs[1:], strict=False)]

    def in_view(self, y: float, offset: float, gap: float) -> list[Item]:
        """The dimensions in metres, over points at height ``y``, their line ``offset`` mm up.

        Extension lines start ``gap`` mm over the points.
        """
        said = self.way in {"level", "turned"}
        items: list[Item] = [
            Dimension((a, y), (b, y), offset, w if said else "", 2.5, self.way == "turned", gap)
            for a, b, w in zip(self.xs, self.xs[1:], self.words, strict=False)
        ]
        if len(self.bays) > 1:
            above = offset + self.height + TOTAL - 4.0
            items.append(Dimension((self.xs[0], y), (self.xs[-1], y), above, self.total,
                                   gap=offset + self.height))  # fmt: skip
        return items

    def on_page(self, view: View, y: float, offset: float) -> list[Item]:
        """Words pushed apart, with leaders, in page millimetres; empty when not needed."""
        if self.way != "apart":
            return []
        line = view.to_page((0.0, y))[1] + offset
        middles = [view.origin[0] + m for m in self._middles()]
        return lettered_row(middles, self.words, line + 1.5, down=False, from_y=line)


def side_dimension(start: Point, end: Point, offset: float, words: str, k: float) -> Dimension:
    """A dimension whose words turn when they find no room along its line."""
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5 * k
    return Dimension(start, end, offset, words, turned=not dimension_fits(words, length, 2.5))
