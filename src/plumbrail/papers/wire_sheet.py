"""The sheet of lists and steps for whoever wires the array."""

from __future__ import annotations

from dataclasses import replace

from plumbrail.papers import wire_steps as told
from plumbrail.papers import wire_tables as tables
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered
from plumbrail.papers.lettering import width
from plumbrail.papers.paragraphs import Para, in_columns
from plumbrail.papers.sheet import Item, Page, Sheet, Text
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wire_facts import Task, verdict_line
from plumbrail.papers.words import later, say

_HEAD = 6.5
_LISTS = later(
    "Mark every wire at both ends with its string and pole. All circuits of a kind are wired like "
    "the one that needs most. Lengths to cut and to buy hold the plan's slack, others do not."
)
_MARK = later(
    "The maker's mark on a terminal rules its torque; the table of the code is for those without."
)


def headed(task: Task, area: Area) -> tuple[list[Item], Area]:
    """The verdict over a sheet, and what it leaves of the area."""
    words = verdict_line(task.wired.checks)
    if width(words, 3.0, True) > area.width:
        words = words.partition(" (")[0]  # without the names of the checks
    line = Text((area.left, area.top - 3.6), words, 3.0, bold=True)
    return [line], replace(area, top=area.top - _HEAD)


def wiring_sheet(task: Task, page: Page) -> tuple[Sheet, ...]:
    """Sheets in order: what to cut and connect, order of work, what is not checked, signs."""
    head, area = headed(task, drawing_area(page))
    said, room = notes(area, (say(_LISTS), say(_MARK)))
    found = [tables.strings(task), tables.lengths(task), tables.circuits(task),
             tables.conduits(task), *_fastened(task), tables.buying(task)]  # fmt: skip
    title = say("Wiring: strings, wires to cut, circuits")
    lists = [_sheet(title, head + said + items, task, page) for items in flow(found, room)]
    work = [*told.cautions(task), *told.steps(task)]
    rest = [*told.unchecked(task), *told.signs(task), *told.assumed(task)]
    return numbered([
        *lists, *_told(say("Wiring: order of work"), work, head, area, task, page),
        *_told(say("Wiring: what is not checked, signs"), rest, head, area, task, page),
    ])  # fmt: skip


def _fastened(task: Task) -> list[Table]:
    """Grounding conductors and torques; none where the code has no values at hand."""
    if task.section.basis.code == "IEC":
        return []
    return [tables.grounding(task), tables.torque(task)]


def _told(
    title: str, paragraphs: list[Para], head: list[Item], area: Area, task: Task, page: Page
) -> list[Sheet]:
    return [
        _sheet(title, head + items, task, page) for items in in_columns(paragraphs, area)
    ]  # fmt: skip


def _sheet(title: str, items: list[Item], task: Task, page: Page) -> Sheet:
    return finished(title, page, task.job, None, (), items)
