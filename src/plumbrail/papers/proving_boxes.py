"""Tables with boxes large enough to write in with a pencil, outdoors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.papers.furniture import Area
from plumbrail.papers.lettering import wrap
from plumbrail.papers.sheet import Item, Line, Polyline, Text
from plumbrail.papers.words import say

ROW = 9.0
"""Least height of a row [mm]."""
_LINE, _PAD, _TITLE = 4.0, 1.4, 7.0
_BIG = 3.2


@dataclass(frozen=True)
class BoxTable:
    """Rows of words and empty boxes; a cell of one blank is a box to write in."""

    title: str
    heads: tuple[str, ...]
    shares: tuple[float, ...]
    """Width of each column, as a share of all."""
    rows: tuple[tuple[str, ...], ...]


def drawn_on_pages(
    tables: Sequence[BoxTable], area: Area, after: Area | None = None
) -> list[list[Item]]:
    """The tables one after another on as many pages as they need."""
    pages: list[list[Item]] = [[]]
    top, room = area.top, area
    for table in tables:
        rows, title = list(table.rows), table.title
        while rows:
            heads = _heads(table, room)
            count = _fitting(table, rows, room, top - heads)
            if count < min(2, len(rows)) and top < room.top:
                pages.append([])
                room = after or area
                top = room.top
                continue
            count = max(count, 1)
            items, top = _drawn(table, title, rows[:count], room, top)
            pages[-1] += items
            rows, title = rows[count:], f"{table.title}, {say('continued')}"
            top -= 4.0
    return pages


def _edges(table: BoxTable, room: Area) -> list[float]:
    whole, x = sum(table.shares), room.left
    found = [x]
    for share in table.shares:
        x += share / whole * room.width
        found.append(x)
    return found


def _lines(table: BoxTable, room: Area, cells: Sequence[str]) -> list[tuple[str, ...]]:
    e = _edges(table, room)
    bold = 1.18  # letters of the first column are that much wider
    return [wrap(c, (e[i + 1] - e[i] - 2 * _PAD) / (1.0 if i else bold), 2.5)
            if c.strip() else () for i, c in enumerate(cells)]  # fmt: skip


def _height(table: BoxTable, room: Area, cells: Sequence[str]) -> float:
    return max(ROW, _LINE * max(len(x) for x in _lines(table, room, cells)) + 2.2)


def _heads(table: BoxTable, room: Area) -> float:
    return _TITLE + _LINE * max(len(x) for x in _lines(table, room, table.heads)) + 1.6


def _fitting(
    table: BoxTable, rows: Sequence[tuple[str, ...]], room: Area, top: float
) -> int:  # fmt: skip
    count = 0
    for row in rows:
        top -= _height(table, room, row)
        if top < room.bottom:
            break
        count += 1
    return count


def _drawn(
    table: BoxTable, title: str, rows: Sequence[tuple[str, ...]], room: Area, top: float
) -> tuple[list[Item], float]:
    edges, y = _edges(table, room), top - _TITLE
    items: list[Item] = [Text((room.left, top - 4.4), title, _BIG, bold=True)]
    start = y
    for k, cells in enumerate((table.heads, *rows)):
        low = y - (_heads(table, room) - _TITLE if k == 0 else _height(table, room, cells))
        for i, lines in enumerate(_lines(table, room, cells)):
            for n, words in enumerate(lines):
                at = (edges[i] + _PAD, y - _LINE * (n + 1) + 0.6)
                items.append(Text(at, words, 2.5, bold=i == 0 and k > 0))
        items.append(Line((room.left, low), (room.right, low), "medium" if k == 0 else "thin"))
        y = low
    corners = ((room.left, y), (room.right, y), (room.right, start), (room.left, start))
    items.append(Polyline(corners, "medium", closed=True))
    items += [Line((x, y), (x, start)) for x in edges[1:-1]]
    return items, y
