"""Small networks and calendars for the tests of the works."""

from __future__ import annotations

from datetime import date

import numpy as np

from plumbrail.works.calendar import Calendar
from plumbrail.works.parts import Link, Network, Task

DAY = 8


def plain_calendar(days: int = 200, per_day: int = DAY, tick: float = 1.0) -> Calendar:
    """Every day is worked, in ticks of an hour; the inspector comes every day."""
    none = np.zeros(days, dtype=bool)
    return Calendar(date(2026, 5, 4), np.full(days, per_day), np.full(days, 8.0),
                    np.full(days, 288.15), none, none, tick)  # fmt: skip


def task(
    id: str, hours: float, people: tuple[int, ...], after: str = "", tools: tuple[str, ...] = (),
    chapter: str = "frame",
) -> Task:  # fmt: skip
    """A task after others, named with commas between them."""
    links = tuple(Link(a) for a in after.split(",") if a)
    return Task(id, id, chapter, hours, people, links, tools)


def net(*tasks: Task, crew: int = 2, tools: tuple[tuple[str, int], ...] = ()) -> Network:
    """A network without helper."""
    return Network(tasks, crew, tools)
