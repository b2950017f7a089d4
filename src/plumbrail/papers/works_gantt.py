"""The works as bars over the days: black and white, patterns and words."""

from __future__ import annotations

from dataclasses import replace

from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered
from plumbrail.papers.lettering import fit, width
from plumbrail.papers.sheet import Fill, Item, Line, Page, Point, Polyline, Sheet, Text
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say, tell
from plumbrail.papers.works_facts import HANGS, Row, WorkFacts, headlines, stretches

NAMES = 92.0
"""Width of the column of names [mm]."""
ROW = 5.2
HEAD = 13.0
FEWEST_MM = 5.0
"""Least width of a day [mm]; more days go on a further sheet."""
_INITIALS = "MTWTFSS"


def gantt(f: WorkFacts, job: JobInfo, page: Page) -> tuple[Sheet, ...]:
    """Sheets by tasks down and days across."""
    area = drawing_area(page)
    foot, room = notes(area, _legend_words(f))
    legend = _legend(Area(room.left, room.bottom, room.right, room.bottom + 7.0))
    room = replace(room, bottom=room.bottom + 9.0)
    rows = f.in_order()
    per_page = int((room.height - HEAD) / ROW)
    across = int((room.width - NAMES) / FEWEST_MM)
    sheets = []
    for first in range(0, len(rows), per_page):
        part = rows[first : first + per_page]
        low, high = min(r.start_day for r in part), max(r.end_day for r in part)
        for day in range(low, high + 1, across):
            shown = min(across, high + 1 - day)
            here = [r for r in part if r.end_day >= day and r.start_day < day + shown]
            items = _chart(f, here, day, shown, room) + foot + legend
            sheets.append(finished(say("Works: bars by day"), page, job, None, (), items))
    return numbered(sheets)


def _legend_words(f: WorkFacts) -> tuple[str, ...]:
    return (
        *headlines(f),
        say("Black: a day lost here is a day lost at the end, and more people would not help. Half "
            "black: the same, but more people might help. Open: can wait for a "
            "day if others go first. A thin line behind a bar: curing. A diamond, filled "
            "alike, is a hold point: the work behind it waits for the inspection. Grey columns: no "
            "work; W: allowed for weather."),
    )  # fmt: skip


def _legend(area: Area) -> list[Item]:
    x, y = area.left, area.bottom + 1.0
    items: list[Item] = []
    for hangs, words in HANGS.items():
        items += _bar(x, x + 9.0, y, hangs)
        items.append(Text((x + 11.0, y + 0.3), say(words)))
        x += 40.0
    items += [*_wait(x, x + 9.0, y), Text((x + 11.0, y + 0.3), say("curing"))]
    x += 40.0
    items += [_diamond((x + 3.0, y + 1.5)), Text((x + 8.0, y + 0.3), say("hold point"))]
    return items


def _chart(f: WorkFacts, rows: list[Row], first: int, days: int, area: Area) -> list[Item]:
    left = area.left + NAMES
    wide = min((area.right - left) / days, 34.0)
    right, top = left + wide * days, area.top - HEAD
    low = top - ROW * len(rows)
    items = _columns(f, first, days, left, wide, (low, area.top))
    index = {r.id: i for i, r in enumerate(f.rows)}
    for n, row in enumerate(rows):
        y = top - ROW * (n + 1)
        items.append(Line((area.left, y), (right, y)))
        bold = row.hangs == "logic" and not row.mark
        words = fit(tell(row.words), NAMES - 13.0, 2.5, bold)
        items.append(Text((area.left, y + 1.4), words, bold=bold))
        if row.people:
            items.append(Text((left - 2.0, y + 1.4), f"×{row.people}", align="end"))
        items += _row(f, row, index[row.id], first, days, left, wide, y)
    items.append(Line((area.left, top), (right, top), "medium"))
    return items


def _columns(
    f: WorkFacts, first: int, days: int, left: float, wide: float, span: tuple[float, float]
) -> list[Item]:
    """Heads of the days; days without work in grey."""
    low, high = span
    items: list[Item] = []
    months: list[tuple[float, str]] = []
    for k in range(days):
        day, x = first + k, left + wide * k
        date = f.date(day)
        if f.cal.ticks[day] == 0:
            box = ((x, low), (x + wide, low), (x + wide, high - 9.0), (x, high - 9.0))
            items.append(Polyline(box, "thin", closed=True, fill="light"))
        items.append(Line((x, low), (x, high - 4.5)))
        letter = "W" if f.cal.lost[day] else _INITIALS[date.weekday()]
        items.append(Text((x + wide / 2, high - HEAD + 1.0), letter, align="middle"))
        items.append(Text((x + wide / 2, high - 8.2), str(date.day), align="middle"))
        if k == 0 or date.day == 1:
            months.append((x, f"{date.year}-{date.month:02d}"))
    items.append(Line((left + wide * days, low), (left + wide * days, high - 4.5)))
    free = left + wide * days
    for x, words in reversed(months):  # one that the next leaves no room for is left out
        at = min(x + 0.5, free - width(words, 2.5, True) - 0.5)
        if at >= x - wide or words == months[-1][1]:
            items.append(Text((at, high - 3.2), words, bold=True))
            free = at - 1.5
    return items


def _row(
    f: WorkFacts, row: Row, i: int, first: int, days: int, left: float, wide: float, y: float
) -> list[Item]:  # fmt: skip
    """The bars of one task, or its diamond."""
    if row.mark:
        return []
    if row.hold:
        at = _place(f, row.start_day, row.start_clock, first, left, wide)
        if not first <= row.start_day < first + days:
            return []
        centre = (at + 1.0, y + ROW / 2)
        return [_diamond(centre, row.hangs),
                Text((at + 4.2, y + 1.4), row.letter, bold=True, clear=True)]  # fmt: skip
    items: list[Item] = []
    for day, begin, end in stretches(f.cal, f.made.schedule, i):
        if first <= day < first + days:
            a, z = (_place(f, day, c, first, left, wide) for c in (begin, end))
            items += _bar(a, max(z, a + 0.9), y + 1.0, row.hangs)
    return [*_cure(f, row, first, days, left, wide, y), *items]


def _cure(
    f: WorkFacts, row: Row, first: int, days: int, left: float, wide: float, y: float
) -> list[Item]:  # fmt: skip
    """How long the concrete of a task is left alone, as far as the sheet shows it."""
    if row.waits is None or row.waits[0] < first or row.end_day >= first + days:
        return []
    a, z = (min(max(_place(f, day, clock, first, left, wide), left), left + wide * days)
            for day, clock in ((row.end_day, row.end_clock), row.waits))  # fmt: skip
    return _wait(a, z, y + 1.0) if z - a > 0.5 else []


def _wait(a: float, z: float, y: float) -> list[Item]:
    return [Line((a, y + 1.5), (z, y + 1.5)), Line((z, y + 0.7), (z, y + 2.3))]


def _place(f: WorkFacts, day: int, clock: float, first: int, left: float, wide: float) -> float:
    """Millimetres from the left of the page of a clock time: a day's work fills its column."""
    hours = max(float(f.cal.ticks[day]) * f.cal.tick, 1e-9)
    share = (clock - float(f.cal.begin[day])) / hours
    return left + wide * (day - first + min(max(share, 0.0), 1.0))


def _bar(a: float, z: float, y: float, kind: str) -> list[Item]:
    box: tuple[Point, ...] = ((a, y), (z, y), (z, y + 3.0), (a, y + 3.0))
    if kind != "crew":
        return [Polyline(box, "medium", closed=True, fill="dark" if kind == "logic" else "paper")]
    half: tuple[Point, ...] = (box[0], box[1], (z, y + 1.5), (a, y + 1.5))
    return [Polyline(box, "medium", closed=True, fill="paper"),
            Polyline(half, "thin", closed=True, fill="dark")]  # fmt: skip


def _diamond(at: Point, hangs: str = "no") -> Polyline:
    x, y = at
    fill: Fill = "dark" if hangs == "logic" else "light" if hangs == "crew" else "paper"
    return Polyline(((x - 2.0, y), (x, y - 2.0), (x + 2.0, y), (x, y + 2.0)), "medium",
                    closed=True, fill=fill)  # fmt: skip
