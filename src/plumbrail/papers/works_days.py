"""The works day by day: who does what, and what gives power. To be ticked off on site."""

from __future__ import annotations

from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered
from plumbrail.papers.lettering import wrap
from plumbrail.papers.sheet import Item, Page, Polyline, Sheet, Text
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, say, tell
from plumbrail.papers.works_facts import (
    HANGS,
    ChangeDay,
    WorkFacts,
    amount,
    clock,
    day_words,
    stretches,
)

PITCH = 4.6


def day_lines(f: WorkFacts) -> list[tuple[str, tuple[str, ...]]]:
    """Every working day with its tasks in order."""
    index = {r.id: i for i, r in enumerate(f.rows)}
    of: dict[int, list[tuple[float, str]]] = {}
    for r in f.in_order():
        if r.mark:
            continue
        parts = stretches(f.cal, f.made.schedule, index[r.id])
        for n, (day, begin, end) in enumerate(parts):
            on = f"{say('goes on')}: " if n else ""
            hold = f"{say('HOLD POINT {letter}', letter=r.letter)}: " if r.letter else ""
            late = "" if r.hangs == "crew" else f" – {say(HANGS[r.hangs])}"
            who = ", ".join(f"P{h}" for h in r.hands) or "–"
            helper = f" + {say('helper')}" if r.people > f.crew else ""
            words = f"{clock(begin)}–{clock(end)} {who}{helper}: {hold}{on}{tell(r.words)}{late}"
            of.setdefault(day, []).append((begin, words))
    lines: list[tuple[str, tuple[str, ...]]] = []
    for day in range(f.last + 1):
        if f.cal.lost[day]:
            lines.append((day_words(f.date(day)), (say("allowed for weather"),)))
        elif day in of:
            lines.append((day_words(f.date(day)), tuple(w for _, w in sorted(of[day]))))
    return lines


def change_table(f: WorkFacts) -> Table:
    """What is live and what produces, day by day."""
    with_battery = any(d.charge is not None for d in f.change)
    head = [say("Day"), say("Give power"), say("Give none"), say("Modules"), say("Given"),
            say("Lost")]  # fmt: skip
    if with_battery:
        head += [say("Battery, least"), say("Wait below")]
    rows = [_change_row(f, d, with_battery) for d in f.change]
    return Table(say("Changeover: what gives power on each day"), tuple(head), tuple(rows))


def _change_row(f: WorkFacts, d: ChangeDay, battery: bool) -> tuple[str, ...]:
    row = [day_words(f.date(d.day)), ", ".join(d.live) or "–", ", ".join(d.dead) or "–",
           str(d.modules), amount(d.gives, f.unit), amount(d.lost, f.unit)]  # fmt: skip
    if battery:
        opened = any(r.id.startswith("open ") and r.start_day == d.day for r in f.rows)
        row.append("–" if d.charge is None else _kwh(d.charge))
        row.append(_kwh(d.wait_below) if opened and d.wait_below is not None else "–")
    return tuple(row)


def _kwh(value: float) -> str:
    return figures(f"{value / 1000:.1f}") + " kWh"


def day_sheets(f: WorkFacts, job: JobInfo, page: Page) -> tuple[Sheet, ...]:
    """The list on sheets, each line with a box to tick."""
    foot, area = notes(drawing_area(page), (
        say("A day lost is a day lost at the end, but where it says: can wait; then others can go "
            "first. No room: more people would not help either. P1, P2: people of the crew."),
    ))  # fmt: skip
    pages: list[list[Item]] = [[]]
    y = area.top
    for title, lines in day_lines(f):
        wrapped = [w for line in lines for w in _boxed(line, area.width - 8)]
        if y - PITCH * (min(len(wrapped), 3) + 1) < area.bottom:
            pages.append([])
            y = area.top
        y -= PITCH
        pages[-1] += [Text((area.left, y), title, 2.8, bold=True)]
        for begins, words in wrapped:
            if y - PITCH < area.bottom:
                pages.append([])
                y = area.top
            y -= PITCH
            pages[-1] += _line(area, y, begins, words)
        y -= 1.2
    return numbered(
        [finished(say("Works: day by day"), page, job, None, (), p + foot) for p in pages]
    )


def _boxed(line: str, room: float) -> list[tuple[bool, str]]:
    return [(i == 0, w) for i, w in enumerate(wrap(line, room, 2.5))]


def _line(area: Area, y: float, begins: bool, words: str) -> list[Item]:
    items: list[Item] = [Text((area.left + 7, y), words)]
    if begins:
        x = area.left + 2
        box = ((x, y - 0.2), (x + 2.8, y - 0.2), (x + 2.8, y + 2.6), (x, y + 2.6))
        items.append(Polyline(box, "thin", closed=True))
    return items


def change_sheet(f: WorkFacts, job: JobInfo, page: Page) -> tuple[Sheet, ...]:
    """The table of the changeover on sheets."""
    table = change_table(f)
    pages = flow([table], drawing_area(page))
    return numbered([finished(table.title, page, job, None, (), p) for p in pages])
