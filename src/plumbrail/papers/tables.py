"""Tables on sheets: as wide as their words, broken over columns and pages where they must be."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.papers.furniture import Area, widest
from plumbrail.papers.lettering import fit
from plumbrail.papers.sheet import Item, Line, Polyline, Text
from plumbrail.papers.words import later, say

ROW = 4.7
_TITLE = 6.5
_LINE = 3.9
_PAD = 1.4
_GAP = 7.0
_TITLE_ROOM = 40.0
_LEAST_ROWS = 3
_WHOLE = 12
_ON = later("continued")


@dataclass(frozen=True)
class Table:
    """Rows of words under headings; the first column names the row."""

    title: str
    headings: tuple[str, ...]
    """One per column; a line break splits a heading."""
    rows: tuple[tuple[str, ...], ...]
    parts: tuple[int, ...] = (1,)
    """First columns of the parts it is split into when it is too wide."""

    @property
    def widths(self) -> tuple[float, ...]:
        """Width of each column [mm]."""
        return tuple(
            max(widest([row[i] for row in self.rows], bold=i == 0), widest(head.split("\n")))
            + 2 * _PAD
            for i, head in enumerate(self.headings)
        )

    @property
    def head_height(self) -> float:
        """Height of title and headings [mm]."""
        return _TITLE + _LINE * max(h.count("\n") + 1 for h in self.headings) + 1.2

    def split(self, room: float) -> list[Table]:
        """Tables no wider than ``room`` [mm], each with the first column of this one."""
        widths = self.widths
        if sum(widths) <= room:
            return [self]
        groups: list[list[int]] = []
        for start, stop in zip(self.parts, (*self.parts[1:], len(widths)), strict=True):
            groups += _grouped(widths, range(start, stop), room)
        return [self._columns(g, k, len(groups)) for k, g in enumerate(groups)]

    def _columns(self, wanted: list[int], part: int, parts: int) -> Table:
        keep = [0, *wanted]
        return Table(
            say("{title} ({part} of {parts})", title=self.title, part=part + 1, parts=parts),
            tuple(self.headings[i] for i in keep),
            tuple(tuple(row[i] for i in keep) for row in self.rows),
        )  # fmt: skip


def _grouped(widths: tuple[float, ...], columns: range, room: float) -> list[list[int]]:
    """Columns in groups that fit the room beside the first column."""
    groups: list[list[int]] = [[]]
    used = widths[0]
    for i in columns:
        if groups[-1] and used + widths[i] > room:
            groups.append([])
            used = widths[0]
        groups[-1].append(i)
        used += widths[i]
    return groups


def drawn(table: Table, left: float, top: float) -> list[Item]:
    """The table with its upper left corner at (left, top) [mm]."""
    widths = table.widths
    wide = sum(widths)
    title = fit(table.title, max(wide, _TITLE_ROOM), 3.0, True)
    if title.endswith("…") and table.title.endswith(say(_ON)):
        title = say(_ON)
    head, low = top - table.head_height, top - table.head_height - ROW * len(table.rows)
    edges = [left + sum(widths[:i]) for i in range(len(widths) + 1)]
    items: list[Item] = [
        Text((left, top - 4.2), title, 3.0, bold=True),
        Polyline(((left, low), (left + wide, low), (left + wide, top - _TITLE),
                  (left, top - _TITLE)), "medium", closed=True),
        Line((left, head), (left + wide, head), "medium"),
    ]  # fmt: skip
    items += [Line((x, low), (x, top - _TITLE)) for x in edges[1:-1]]
    for i, heading in enumerate(table.headings):
        for k, words in enumerate(heading.split("\n")):
            at = (edges[i] + 0.5 * widths[i], top - _TITLE - _LINE * (k + 1) + 0.6)
            items.append(Text(at, words, align="middle"))
    for r, row in enumerate(table.rows):
        y = head - ROW * (r + 1)
        if r + 1 < len(table.rows):
            items.append(Line((left, y), (left + wide, y)))
        for i, words in enumerate(row):
            at = (edges[i + 1] - _PAD, y + 1.1) if i else (edges[0] + _PAD, y + 1.1)
            items.append(Text(at, words, align="end" if i else "start", bold=not i))
    return items


def flow(tables: list[Table], area: Area) -> list[list[Item]]:
    """The tables one after another, on as many pages as they need."""
    cursor = _Cursor(area)
    for table in tables:
        if not table.rows:
            continue
        for part in table.split(area.width):
            cursor.put(part)
    return cursor.pages


class _Cursor:
    """Fills pages from the top; long narrow tables continue beside themselves."""

    def __init__(self, area: Area) -> None:
        self.area = area
        self.pages: list[list[Item]] = [[]]
        self.left, self.top, self.lowest = area.left, area.top, area.top

    def put(self, table: Table) -> None:
        rest, wide = table, sum(table.widths)
        whole = min(self._room(table, self.area.top), _WHOLE)
        if self._room(table) < len(table.rows) <= whole:
            self._turn_page()  # short enough to stay in one piece
        while rest.rows:
            count = self._room(rest)
            if count < min(_LEAST_ROWS, len(rest.rows)):
                self._turn_page()
                count = max(self._room(rest), 1)
            now = replace(rest, rows=rest.rows[:count])
            rest = replace(rest, rows=rest.rows[count:], title=_continued(table.title))
            self.pages[-1] += drawn(now, self.left, self.top)
            bottom = self.top - now.head_height - ROW * len(now.rows)
            self.lowest = min(self.lowest, bottom)
            if rest.rows and self.left + 2 * wide + _GAP <= self.area.right:
                self.left += wide + _GAP
            else:
                self.left, self.top = self.area.left, self.lowest - 2.5

    def _room(self, table: Table, top: float | None = None) -> int:
        top = self.top if top is None else top
        return max(int((top - table.head_height - self.area.bottom) / ROW + 1e-9), 0)

    def _turn_page(self) -> None:
        self.pages.append([])
        self.left = self.area.left
        self.top = self.lowest = self.area.top


def _continued(title: str) -> str:
    return title if title.endswith(say(_ON)) else f"{title}, {say(_ON)}"
