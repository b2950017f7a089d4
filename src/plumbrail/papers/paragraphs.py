"""Running words in columns on pages: headings, bullets, numbered steps, boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import DESCENT, width, wrap
from plumbrail.papers.sheet import Item, Line, Text
from plumbrail.papers.truing_marks import box, mark, ring, ring_radius
from plumbrail.papers.words import say
from plumbrail.truing.parts import Verdict

_GAP = 9.0
_BOX = 4.0


@dataclass(frozen=True, slots=True)
class Para:
    """One paragraph."""

    text: str
    size: float = 2.5
    bold: bool = False
    before: float = 1.6
    """Space over it [mm]."""
    tick: bool = False
    """A box to tick stands before it."""
    number: str = ""
    """Stands in a ring before it."""
    verdict: Verdict | None = None
    """Its sign stands before it."""
    sign_off: bool = False
    """A line for name and date stands under it."""
    bullet: bool = False
    """A dot stands before it."""
    together: bool = False
    """Never at the foot of a column, parted from what follows."""

    @property
    def indent(self) -> float:
        """Of the words [mm]."""
        ringed = 2 * ring_radius(self.number) + 1.8 if self.number else 0.0
        return (self.tick * (_BOX + 2.0)) + ringed + (self.verdict is not None or self.bullet) * 5.0

    def lines(self, room: float) -> tuple[str, ...]:
        """The words, broken to a room [mm]."""
        wide = room - self.indent
        return wrap(self.text, wide / (1.18 if self.bold else 1.0), self.size)

    def height(self, room: float) -> float:
        """Whole height [mm]."""
        pitch = self.size * (1.45 + DESCENT)
        least = max(2 * ring_radius(self.number) + 0.6 if self.number else 0.0,
                    _BOX + 1.2 if self.tick else 0.0)  # fmt: skip
        words = max(pitch * len(self.lines(room)), least)
        return self.before + words + (7.5 if self.sign_off else 0.0)

    def drawn(self, left: float, top: float, room: float) -> list[Item]:
        """Its items, downward from ``top`` [mm]."""
        pitch = self.size * (1.45 + DESCENT)
        y = top - self.before - self.size - (0.9 if self.tick or self.number else 0.3)
        items: list[Item] = []
        x, middle = left, y + 0.5 * self.size
        if self.tick:
            items.append(box(x, middle - 0.5 * _BOX, _BOX))
            x += _BOX + 2.0
        if self.number:
            r = ring_radius(self.number)
            items += ring(self.number, (x + r, middle))
        if self.verdict is not None or self.bullet:
            items += mark(self.verdict, (x + 1.8, middle))
        for k, words in enumerate(self.lines(room)):
            spot = (left + self.indent, y - pitch * k)
            items.append(Text(spot, words, self.size, bold=self.bold))
        if self.sign_off:
            low = top - self.height(room) + 1.6
            at, halfway = left + self.indent, left + self.indent + 0.58 * room
            items += _signed(say("Name"), 11.0, at, at + 0.55 * room, low)
            items += _signed(say("Date"), 9.0, halfway, left + room, low)
        return items


def _signed(word: str, least: float, left: float, right: float, low: float) -> list[Item]:
    """A word and a line to write on, which begins no nearer than ``least`` [mm]."""
    start = left + max(least, width(word, 2.5) - 0.5)
    return [Text((left, low + 0.6), word), Line((start, low), (right, low))]


def in_columns(
    paragraphs: Sequence[Para], area: Area, columns: int = 2, after: Area | None = None
) -> list[list[Item]]:
    """The paragraphs down the columns, then on to the next page; ``after``: the room there, where
    it is another than on the first."""
    room = (area.width - _GAP * (columns - 1)) / columns
    pages: list[list[Item]] = [[]]
    column, top = 0, area.top
    for k, para in enumerate(paragraphs):
        need = _kept_together(paragraphs[k:], room, area.height)
        if top - need < area.bottom and top < area.top:
            column += 1
            if column == columns:
                pages.append([])
                column, area = 0, after or area
            top = area.top
        pages[-1] += para.drawn(area.left + column * (room + _GAP), top, room)
        top -= para.height(room)
    return pages


def _kept_together(paragraphs: Sequence[Para], room: float, most: float) -> float:
    """Height that has to find room at once: a chain, if it fits a column, else its first two."""
    heights = [paragraphs[0].height(room)]
    for para, after in pairwise(paragraphs):
        if not para.together:
            break
        heights.append(after.height(room))
    return sum(heights) if sum(heights) <= most else sum(heights[:2])
