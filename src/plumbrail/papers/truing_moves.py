"""Moves on the pictures of truing: which beam and station each belongs to, its arrow, its tag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.papers.lettering import width
from plumbrail.papers.sheet import Item, Point, Text
from plumbrail.papers.truing_marks import arrow, ring, ring_radius, small
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later, say
from plumbrail.truing.parts import Move

TAG = 7.6
"""Height of a row of tags [mm]."""
_ICON = 4.6
_PARTS = {"base": later("foot"), "post": later("post"), "beam": later("beam")}


@dataclass(frozen=True, slots=True)
class Tag:
    """A move as the pictures show it."""

    number: str
    move: Move
    row: int
    station: int
    """From 0; a beam moved along itself is shown at its first post."""
    part: str
    """``foot``, ``post``, ``beam``, or nothing for the head."""
    words: str
    """The figure."""
    under: str
    """What stands under it."""

    @property
    def width(self) -> float:
        """On paper [mm]."""
        return 2 * ring_radius(self.number) + _ICON + self._text + 1.5

    @property
    def _text(self) -> float:
        return max(width(w, 2.5, True) for w in (self.words, self.under))

    @property
    def way(self) -> Point:
        """Direction on paper: up is up, or to the back."""
        sign = 1.0 if self.move.amount >= 0 else -1.0
        return (sign, 0.0) if self.move.axis == "along" else (0.0, sign)

    def drawn(self, middle: float, low: float) -> list[Item]:
        """Number, small arrow and figure, centred."""
        r, y = ring_radius(self.number), low + 0.5 * TAG
        left = middle - 0.5 * self.width
        dx, dy = self.way
        x = left + 2 * r + 0.5 * _ICON + 0.2
        tail, tip = (x - 1.8 * dx, y - 2.2 * dy), (x + 1.8 * dx, y + 2.2 * dy)
        at, items = left + 2 * r + _ICON + 0.8, [*ring(self.number, (left + r, y))]
        items += arrow(tail, tip)
        if not self.under:
            return [*items, Text((at, y - 1.25), self.words, bold=True)]
        return [*items, Text((at, y + 0.35), self.words, bold=True),
                Text((at, y - 3.05), self.under, bold=True)]  # fmt: skip


def tags(moves: Sequence[Move], names: Sequence[str], job: JobInfo) -> list[Tag]:
    """All moves, numbered in their order; a place that is not a post or a beam has no tag."""
    n = len(names) // 2
    found = []
    for k, move in enumerate(moves, 1):
        first, _, rest = move.place.partition(" ")
        if first in names:
            row, station = divmod(list(names).index(first), n)
        elif move.place in {"front beam", "back beam"}:
            row, station = int(first == "back"), 0
        else:
            continue
        part = _PARTS.get(rest, "")
        under = f"{say(part)}{' !' * move.fixed}".strip()
        words = small(job, move.amount, signed=False)
        found.append(Tag(str(k), move, row, station, part, words, under))
    return found
