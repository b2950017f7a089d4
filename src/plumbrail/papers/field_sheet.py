"""The blank field sheet: what to measure, how, and boxes to write it in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plumbrail.papers.field_howto import HEIGHT as PICTURES
from plumbrail.papers.field_howto import instruments, notebook_words, pictures, rules
from plumbrail.papers.field_rows import groups, holds_on_pages, rows_on_pages
from plumbrail.papers.field_sketch import HEIGHT, MOST, PITCH, Sketch, key
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered
from plumbrail.papers.paragraphs import in_columns
from plumbrail.papers.sheet import Item, Line, Page, Sheet, Text
from plumbrail.papers.strips import cuts
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later, say
from plumbrail.truing.parts import Built, Wanted
from plumbrail.truing.points import Place, Points

_HEAD = 11.0
_BLANKS = (
    (later("Date"), 0.16), (later("Crew"), 0.3), (later("Instruments"), 0.32),
    (later("Weather"), 0.22),
)  # fmt: skip


def field_sheet(
    points: Points, wanted: Sequence[Wanted], job: JobInfo, page: Page,
    expected: Built | None = None,
) -> tuple[Sheet, ...]:  # fmt: skip
    """Sheets in order: sketch, how to measure, readings to fill in, how each post stands.

    ``expected``: the values with the uncertainty that these readings would give, to say whether
    the instruments are good enough.
    """
    sheets = [
        *_sketches(points, wanted, job, page), *_howto(wanted, job, page, expected),
        *_rows(wanted, job, page), *_holds(points, job, page),
    ]  # fmt: skip
    return numbered(sheets)


def _headed(area: Area) -> tuple[list[Item], Area]:
    """Blanks for date, crew, instruments and weather, and what they leave of the area."""
    items: list[Item] = []
    x, y = area.left, area.top - 6.0
    for word, share in _BLANKS:
        name, wide = say(word), share * area.width
        start = x + 2.4 * len(name) + 2.0
        items += [Text((x, y), name), Line((start, y - 0.6), (x + wide - 4.0, y - 0.6))]
        x += wide
    return items, replace(area, top=area.top - _HEAD)


def _sketches(points: Points, wanted: Sequence[Wanted], job: JobInfo, page: Page) -> list[Sheet]:
    area = drawing_area(page)
    said, room = notes(area, _counts(points, wanted))
    head, room = _headed(room)
    room = replace(room, bottom=room.bottom + 6.0)
    bays = points.stations - 1
    each = max(1, int((room.width - 60.0) / PITCH))
    parts = cuts(bays, -(-bays // each))
    fit = max(1, int(room.height / (HEIGHT + 4.0)))
    sheets = []
    for k in range(0, len(parts), fit):
        items = [*said, *head, *key(room.left, room.bottom - 5.0)]
        here = parts[k : k + fit]
        high = min(MOST, room.height / len(here) - 4.0)
        gap = (room.height - high * len(here)) / (len(here) + 1)
        for i, (first, last) in enumerate(here):
            top = room.top - gap - (high + gap) * i
            items += Sketch(points, wanted, first, last, high).drawn(room, top)
        sheets.append(finished(say("Field sheet: where to measure"), page, job, None, (), items))
    return sheets


def _counts(points: Points, wanted: Sequence[Wanted]) -> tuple[str, ...]:
    counts = [f"{len(g.rows)} {g.title}" for g in groups(wanted)]
    words = ", ".join(counts) if counts else say("none")
    return (
        say("{n} readings: {words}. Not to scale; front is down. Heads are at the beam's "
            "centre line over a post, bases at the post's centre at grade.",
            n=len(wanted), words=words),
        *notebook_words(points),
    )  # fmt: skip


def _howto(
    wanted: Sequence[Wanted], job: JobInfo, page: Page, expected: Built | None
) -> list[Sheet]:
    area = drawing_area(page)
    drawn = pictures(area, tuple({w.kind for w in wanted}))
    room = replace(area, top=area.top - PICTURES)
    pages = in_columns([*rules(), *instruments(expected, job)], room, after=area)
    first = [drawn, *[[] for _ in pages[1:]]]
    return [
        finished(say("Field sheet: how to measure"), page, job, None, (), [*extra, *items])
        for extra, items in zip(first, pages, strict=True)
    ]


def _rows(wanted: Sequence[Wanted], job: JobInfo, page: Page) -> list[Sheet]:
    if not wanted:
        return []
    head, room = _headed(drawing_area(page))
    return [
        finished(say("Field sheet: readings"), page, job, None, (), [*head, *items])
        for items in rows_on_pages(wanted, room)
    ]


def _holds(points: Points, job: JobInfo, page: Page) -> list[Sheet]:
    area = drawing_area(page)
    said, room = notes(area, (
        say("Tick one for each post. Loose: free in its hole. Set: held by a little hardened "
            "concrete, the top can still be leaned. Concreted: the hole is full and hard."),
        say("Beam up by, beam down by: how far it can still slide in its collar at this post."),
    ))  # fmt: skip
    head, room = _headed(room)
    posts = [points.ids[i] for i in points.of(Place.HEAD)]
    return [
        finished(say("Field sheet: how the posts stand"), page, job, None, (),
                 [*said, *head, *items])
        for items in holds_on_pages(posts, room)
    ]  # fmt: skip
