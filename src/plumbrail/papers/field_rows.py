"""Tables of the field sheet: boxes to write readings in, posts to tick off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.notebook.entries import Hold, Kind
from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import fit, wrap
from plumbrail.papers.sheet import Item, Line, Polyline, Text
from plumbrail.papers.truing_marks import box
from plumbrail.papers.words import later, say, tell, with_english
from plumbrail.truing.parts import Wanted

ROW = 8.6
"""Height of a box to write in [mm]."""
_BOX = 38.0
_GAP = 8.0
_NUMBER = 10.0
_LINE = 4.0
HINTS = {
    Kind.ROD: later(
        "Laser line down to the top of the pipe, or to the ground at a base. Above "
        "the laser, write up behind it."
    ),
    Kind.TAPE: later("Straight between the points, tape tight; on whatever slope it lies."),
    Kind.LEVEL_TAPE: later("Tape held level, the high end plumbed down."),
    Kind.DIAGONAL: later("Corner to corner, tape tight and straight."),
    Kind.STRING_SIDE: later("From the string to the beam at the third point; write front or back."),
    Kind.STRING_HEIGHT: later(
        "From the string to the beam at the third point; write above or below."
    ),
    Kind.PLUMB: later("Degrees, or inches over the level's length; write which way the top leans."),
    Kind.TILT: later("Angle gauge on a straight trial rail laid across both beams; degrees."),
}
_STRINGS = (Kind.STRING_SIDE, Kind.STRING_HEIGHT)


@dataclass(frozen=True)
class Group:
    """Readings of one kind from one set-up, numbered through the sheet."""

    kind: Kind
    setup: str
    rows: tuple[tuple[int, Wanted], ...]

    @property
    def title(self) -> str:
        """``rod, set-up A``."""
        kind = with_english(self.kind.value)
        return say("{kind}, set-up {setup}", kind=kind, setup=self.setup) if self.setup else kind


def groups(wanted: Sequence[Wanted]) -> list[Group]:
    """By kind and set-up, in the order in which each comes first."""
    keys = list(dict.fromkeys((w.kind, w.setup) for w in wanted))
    found, number = [], 1
    for kind, setup in keys:
        mine = [w for w in wanted if (w.kind, w.setup) == (kind, setup)]
        found.append(Group(kind, setup, tuple(enumerate(mine, number))))
        number += len(mine)
    return found


def rows_on_pages(wanted: Sequence[Wanted], area: Area) -> list[list[Item]]:
    """All readings in two columns, on as many pages as they need."""
    wide = 0.5 * (area.width - _GAP)
    cursor = _Cursor(area, wide)
    for group in groups(wanted):
        hint = wrap(say(HINTS[group.kind]), wide, 2.5)
        head = 5.6 + _LINE * len(hint) + 5.4
        rows, title = group.rows, group.title
        while rows:
            count = cursor.fitting(head, len(rows))
            cursor.items += _table(group.kind, title, hint, rows[:count], cursor.left, cursor.top,
                                   wide)  # fmt: skip
            cursor.down(head + ROW * count + 3.5)
            rows, title = rows[count:], f"{group.title}, {say('continued')}"
    return cursor.pages


class _Cursor:
    """Where the next table goes: down the columns, then on to the next page."""

    def __init__(self, area: Area, wide: float) -> None:
        self.area, self.wide = area, wide
        self.pages: list[list[Item]] = [[]]
        self.column, self.top = 0, area.top

    @property
    def items(self) -> list[Item]:
        """Of this page."""
        return self.pages[-1]

    @items.setter
    def items(self, items: list[Item]) -> None:
        self.pages[-1] = items

    @property
    def left(self) -> float:
        """Of this column [mm]."""
        return self.area.left + self.column * (self.wide + _GAP)

    def down(self, by: float) -> None:
        """Move down the column."""
        self.top -= by

    def fitting(self, head: float, rows: int) -> int:
        """How many rows fit here; moves on where fewer than two do."""
        count = int((self.top - head - self.area.bottom) / ROW + 1e-9)
        if count < min(2, rows):
            self.column, self.top = self.column + 1, self.area.top
            if self.column == 2:
                self.pages.append([])
                self.column = 0
            count = int((self.top - head - self.area.bottom) / ROW + 1e-9)
        return min(count, rows)


def _columns(kind: Kind, wide: float) -> list[tuple[str, float]]:
    """Headings and widths [mm]."""
    if kind is Kind.ROD:
        names = [(say("on"), 34.0)]
    elif kind is Kind.PLUMB:
        names = [(say("post"), 18.0), (say("lean"), 18.0)]
    elif kind in _STRINGS:
        names = [(with_english(word), 20.8) for word in ("from", "to", "at")]
    else:
        names = [(with_english(word), 23.0) for word in ("from", "to")]
    used = _NUMBER + sum(w for _, w in names) + _BOX
    return [("", _NUMBER), *names, (say("reading"), _BOX), (say("note"), wide - used)]


def _cells(number: int, w: Wanted) -> list[str]:
    start, end, at = w.start, w.end, w.at
    if w.kind is Kind.ROD:
        places = [start]
    elif w.kind is Kind.PLUMB:
        places = [start, w.axis.value if w.axis is not None else ""]
    else:
        places = [start, end, at] if w.kind in _STRINGS else [start, end]
    return [str(number), *places, "", ""]


def _table(
    kind: Kind, title: str, hint: tuple[str, ...], rows: Sequence[tuple[int, Wanted]], left: float,
    top: float, wide: float,
) -> list[Item]:  # fmt: skip
    items: list[Item] = [Text((left, top - 4.0), title.upper(), 3.0, bold=True)]
    items += [Text((left, top - 8.6 - _LINE * i), words) for i, words in enumerate(hint)]
    y = top - 5.6 - _LINE * len(hint)
    columns = _columns(kind, wide)
    edges = [left + sum(w for _, w in columns[:i]) for i in range(len(columns) + 1)]
    for (name, _), x in zip(columns, edges, strict=False):
        items.append(Text((x + 1.2, y - 4.0), name))
    y -= 5.4
    low = y - ROW * len(rows)
    items += [Line((x, low), (x, y)) for x in edges[1:-1]]
    items.append(Polyline(((left, low), (left + wide, low), (left + wide, y), (left, y)), "medium",
                          closed=True))  # fmt: skip
    value = edges[-3]
    items.append(Polyline(((value, low), (value + _BOX, low), (value + _BOX, y), (value, y)),
                          "medium", closed=True))  # fmt: skip
    for i, (number, w) in enumerate(rows):
        bottom = y - ROW * (i + 1)
        if i + 1 < len(rows):
            items.append(Line((left, bottom), (left + wide, bottom)))
        for k, words in enumerate(_cells(number, w)):
            room = columns[k][1] - 2.0
            at = (edges[k] + 1.2, bottom + 3.0)
            heavy = k > 0 and kind not in _STRINGS  # three names have little room
            items.append(Text(at, fit(words, room, 2.5, heavy), bold=heavy))
    return items


def holds_on_pages(posts: Sequence[str], area: Area) -> list[list[Item]]:
    """A row for each post: how it stands, and how far the beam can slide in its collar."""
    names = [*(tell(h.value) for h in Hold), say("beam up by"), say("beam down by")]
    widths = [16.0, 14.0, 12.0, 22.0, 27.0, 27.0]
    wide = sum(widths)
    pages: list[list[Item]] = [[]]
    top, column = area.top, 0
    each = int((area.height - 7.0) / ROW)
    for first in range(0, len(posts), each):
        if column == 2:
            pages.append([])
            column = 0
        mine = posts[first : first + each]
        left = area.left + column * (wide + _GAP)
        pages[-1] += _holds(mine, [say("post"), *names], widths, left, top)
        column += 1
    return pages


def _holds(
    posts: Sequence[str], names: Sequence[str], widths: Sequence[float], left: float, top: float
) -> list[Item]:
    edges = [left + sum(widths[:i]) for i in range(len(widths) + 1)]
    y = top - 5.4
    low = y - ROW * len(posts)
    items: list[Item] = [Line((x, low), (x, y)) for x in edges[1:-1]]
    items.append(Polyline(((left, low), (edges[-1], low), (edges[-1], y), (left, y)), "medium",
                          closed=True))  # fmt: skip
    for k, name in enumerate(names):
        middle = 0.5 * (edges[k] + edges[k + 1])
        items.append(Text((middle, top - 4.0), name, align="middle"))
    for i, post in enumerate(posts):
        bottom = y - ROW * (i + 1)
        items.append(Line((left, bottom), (edges[-1], bottom)))
        items.append(Text((left + 1.5, bottom + 3.0), post, 2.8, bold=True))
        for k in (1, 2, 3):
            middle = 0.5 * (edges[k] + edges[k + 1])
            items.append(box(middle - 2.0, bottom + 0.5 * ROW - 2.0, 4.0))
    return items
