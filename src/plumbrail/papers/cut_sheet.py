"""The cut sheet: one bar for each stick, its pieces in order, a box to tick for each cut."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.errors import RangeError
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered
from plumbrail.papers.layers import on
from plumbrail.papers.lettering import fit, width
from plumbrail.papers.placing import lettered_row, row_height
from plumbrail.papers.sheet import Item, Line, Page, Polyline, Sheet, Text
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later, say, tell

_BAR = 6.0
_ROW = 4.8
_BOX = 2.8
_PITCH = 4.0
_CAUTIONS = (
    later("Measure every cut from the end of the stick or of the last cut, kerf left out of the "
          "piece; tick each piece when it is cut and marked."),
    later("Cutting galvanized pipe: eye, ear and hand protection; welding or torch-cutting it "
          "gives off zinc fume, so grind the coating off first and work in moving air. Support "
          "both sides of a cut."),
)  # fmt: skip


@dataclass(frozen=True)
class StickDrawing:
    """One stick of stock and what is cut from it, in order from one end."""

    stock_length: float
    """[m]."""
    pieces: tuple[tuple[str, float], ...]
    """Label and length [m] of each piece."""
    offcut: float
    """[m] left at the end."""
    label: str = ""
    """For example the pipe's name and the number of the stick."""


def cut_sheet(
    sticks: tuple[StickDrawing, ...], job: JobInfo, page: Page, title: str = ""
) -> tuple[Sheet, ...]:
    """Sheets of bars, all at one length scale; ``title``: of the sheets, "Cut sheet" when empty.

    Raises RangeError for pieces that are longer than their stick or too many for a page.
    """
    for stick in sticks:
        _refuse(stick)
    said, area = notes(drawing_area(page), tuple(say(c) for c in _CAUTIONS))
    title = title or say("Cut sheet")
    longest = max((s.stock_length for s in sticks), default=1.0)
    pages: list[list[Item]] = [[]]
    top = area.top
    for number, stick in enumerate(sticks, 1):
        block = _Block(stick, number, job, area, area.width / longest)
        if top - block.height < area.bottom and pages[-1]:
            pages.append([])
            top = area.top
        if block.height > area.height:
            raise RangeError(f"stick {number} has too many pieces for one page; take a larger page")
        pages[-1] += block.drawn(top)
        top -= block.height + 4.0
    return numbered([finished(title, page, job, None, (), said + items) for items in pages])


def _refuse(stick: StickDrawing) -> None:
    lengths = [length for _, length in stick.pieces]
    if any(length <= 0 for length in [stick.stock_length, *lengths]) or stick.offcut < 0:
        raise RangeError(f"stick {stick.label!r}: every length must be more than nothing")
    used = sum(lengths) + stick.offcut
    if used > stick.stock_length * (1 + 1e-9):
        raise RangeError(
            f"stick {stick.label!r}: pieces and offcut add up to {used:.4f} m, more than the stick "
            f"of {stick.stock_length:.4f} m"
        )


class _Block:
    """One stick: a heading, the bar with numbered pieces, the list with boxes."""

    def __init__(
        self, stick: StickDrawing, number: int, job: JobInfo, area: Area, per_metre: float
    ) -> None:
        self.stick, self.number, self.job, self.area, self.k = stick, number, job, area, per_metre
        self.gap = self._gap()
        self.numbers = [str(i + 1) for i in range(len(stick.pieces))]
        self.every = self._every()
        xs, shown = self._middles()[:: self.every], self.numbers[:: self.every]
        self.numbers_height = row_height(xs, shown, bold=True) + 2.5
        self.entries = self._entries()

    def _every(self) -> int:
        """1, or 2, 5, 10 … when the bar is too short to number every piece."""
        for step in (1, 2, 5, 10, 20, 50):
            if _PITCH * len(self.numbers[::step]) <= self.stick.stock_length * self.k:
                return step
        return max(len(self.numbers), 1)

    def _gap(self) -> float:
        """Saw cuts and trims, spread evenly: what is neither piece nor offcut [m]."""
        used = sum(length for _, length in self.stick.pieces) + self.stick.offcut
        return max(self.stick.stock_length - used, 0.0) / max(len(self.stick.pieces), 1)

    def _starts(self) -> list[float]:
        starts, at = [], 0.0
        for _, length in self.stick.pieces:
            starts.append(at)
            at += length + self.gap
        return starts

    def _middles(self) -> list[float]:
        return [
            self.area.left + (start + 0.5 * length) * self.k
            for start, (_, length) in zip(self._starts(), self.stick.pieces, strict=True)
        ]

    def _entries(self) -> list[list[str]]:
        """The list of pieces in lines that fit the page."""
        lines: list[list[str]] = [[]]
        used = 0.0
        for number, (label, length) in zip(self.numbers, self.stick.pieces, strict=True):
            words = f"{number}: {tell(label)} · {self.job.length(length)}"
            words = fit(words, self.area.width - 12, 2.5)
            wide = width(words, 2.5) + _BOX + 8.0
            if lines[-1] and used + wide > self.area.width:
                lines.append([])
                used = 0.0
            lines[-1].append(words)
            used += wide
        return lines

    @property
    def height(self) -> float:
        """Height on paper [mm]."""
        return 6.0 + self.numbers_height + _BAR + 2.0 + _ROW * len(self.entries)

    def drawn(self, top: float) -> list[Item]:
        """All marks, downward from ``top`` [mm]."""
        left = self.area.left
        bar_top = top - 6.0 - self.numbers_height
        named = f" · {self.stick.label}" if self.stick.label else ""
        long, rest = (self.job.said(x) for x in (self.stick.stock_length, self.stick.offcut))
        name = say("Stick {n}{name} · {long} · offcut {rest}", n=self.number, name=named, long=long,
                   rest=rest)  # fmt: skip
        room = self.area.width
        items: list[Item] = [Text((left, top - 3.2), fit(name, room, 2.5, True), bold=True)]
        items += lettered_row(
            self._middles()[:: self.every],
            self.numbers[:: self.every],
            bar_top + 1.5,
            down=False,
            from_y=bar_top,
            bold=True,
        )
        items += self._bar(bar_top)
        return items + self._list(bar_top - _BAR - 2.0)

    def _bar(self, top: float) -> list[Item]:
        left, low = self.area.left, top - _BAR
        end = left + self.stick.stock_length * self.k
        items: list[Item] = [_rectangle(left, low, end, top, "light")]
        for start, (label, length) in zip(self._starts(), self.stick.pieces, strict=True):
            a, b = left + start * self.k, left + (start + length) * self.k
            items.append(_rectangle(a, low, b, top, "paper"))
            name = tell(label)
            words = f"{name} · {self.job.length(length)}"
            for text in (words, name):
                if width(text, 2.5) + 2.0 <= b - a:
                    items.append(Text((0.5 * (a + b), low + 1.8), text, align="middle"))
                    break
        rest = end - self.stick.offcut * self.k
        offcut = say("offcut")
        if width(offcut, 2.5) + 2.0 <= end - rest:
            items.append(Text((0.5 * (rest + end), low + 1.8), offcut, align="middle"))
        else:
            items += on("cuts", [Line((rest, low), (end, top))])
        return items

    def _list(self, top: float) -> list[Item]:
        items: list[Item] = []
        for row, entries in enumerate(self.entries):
            x, y = self.area.left, top - _ROW * (row + 1) + 1.2
            for words in entries:
                items.append(_rectangle(x, y - 0.1, x + _BOX, y + _BOX - 0.1, "paper"))
                items.append(Text((x + _BOX + 1.2, y), words))
                x += width(words, 2.5) + _BOX + 8.0
        return items


def _rectangle(left: float, low: float, right: float, top: float, fill: str) -> Polyline:
    corners = ((left, low), (right, low), (right, top), (left, top))
    return Polyline(corners, "medium", True, "light" if fill == "light" else "paper", "cuts")
