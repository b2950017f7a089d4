"""What the end is made of: from the last task back to the first, each by what held it up longest.

Links of the plan and links of hands and tools count alike, as in the resource-constrained critical
path method; see docs/method/works.md.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.works.calendar import Calendar
from plumbrail.works.network import Tables
from plumbrail.works.parts import Kind, Network, Schedule
from plumbrail.works.slack import handed_on

CAUSES = ("work", "inspection", "curing", "waiting for an inspector", "weather", "day off", "other")
"""What a calendar day goes on; ``other``: too little of the day left, or the order chosen."""


@dataclass(frozen=True)
class Step:
    """A task of the chain."""

    task: int
    held_by: str
    """``start``, ``order``, ``hands``, ``cure``, ``visit`` or ``days``."""


@dataclass(frozen=True)
class Chain:
    """The tasks that the end hangs on, first to last, and a cause for each calendar day."""

    steps: tuple[Step, ...]
    days: tuple[str, ...]
    """(days to the end,) each of :data:`CAUSES`."""

    def count(self, cause: str) -> int:
        """Days that go on it."""
        return self.days.count(cause)


def chain(net: Network, cal: Calendar, found: Schedule) -> Chain:
    """The chain of a schedule."""
    tables = Tables(cal)
    hands: list[list[int]] = [[] for _ in net.tasks]
    for a, z in handed_on(net, found):
        hands[z].append(a)
    steps: list[Step] = []
    i = int(found.end.argmax())
    while True:
        held = _held(net, found, tables, i, hands[i])
        steps.append(Step(i, "start" if held is None else held[1]))
        if held is None:
            break
        i = held[0]
    steps.reverse()
    return Chain(tuple(steps), _days(net, cal, found, steps))


def _held(
    net: Network, found: Schedule, tables: Tables, i: int, hands: list[int]
) -> tuple[int, str] | None:
    """The task that held this one up longest, and how; None for a first task."""
    index = net.index()
    names = {"none": "order"}
    tried = [(int(tables.of(x.wait)[found.end[index[x.before]]]), x.wait.what != "none",
              index[x.before], names.get(x.wait.what, x.wait.what))
             for x in net.tasks[i].after]  # fmt: skip
    tried += [(int(found.end[k]), False, k, "hands") for k in hands]
    # a wait before plain order, order before hands, where they end at the same tick
    best = max(tried, key=lambda t: (t[0], t[1], t[3] == "order"), default=None)
    return None if best is None else (best[2], best[3])


def _days(net: Network, cal: Calendar, found: Schedule, steps: list[Step]) -> tuple[str, ...]:
    last = cal.day_of_end(found.finish)
    causes = ["day off" if cal.off[d] and not cal.ticks[d] else "weather" if cal.lost[d] else
              "day off" if not cal.ticks[d] else "other" for d in range(last + 1)]  # fmt: skip
    before = 0
    for step in steps:
        start, end = int(found.start[step.task]), int(found.end[step.task])
        begin = cal.day_of_start(start) if end > start else max(cal.day_of_start(start) - 1, before)
        for d in range(before, begin + (end == start)):
            if step.held_by == "cure":
                causes[d] = "curing"
            elif step.held_by == "visit" and causes[d] == "other":
                causes[d] = "waiting for an inspector"
        before = max(before, begin)
    for step in steps:
        start, end = int(found.start[step.task]), int(found.end[step.task])
        if end > start:
            word = "inspection" if net.tasks[step.task].kind is Kind.HOLD else "work"
            for d in np.unique(cal.day[start:end]).tolist():
                causes[d] = word if causes[d] != "work" else "work"
    return tuple(causes)
