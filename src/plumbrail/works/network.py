"""Order of tasks without people and tools: what is refused, and the earliest and latest ticks."""

from __future__ import annotations

from math import ceil

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.works.calendar import Calendar
from plumbrail.works.parts import IntArray, Kind, Network, Task, Wait


def refuse(net: Network) -> None:
    """Raise RangeError for tasks that this crew cannot do, unknown names, or a ring of tasks."""
    ids = [t.id for t in net.tasks]
    if len(set(ids)) != len(ids):
        raise RangeError("two tasks have the same id")
    known = set(ids)
    for t in net.tasks:
        for link in t.after:
            if link.before not in known:
                raise RangeError(f"{t.id} waits for {link.before}, which is no task")
        if t.people and not net.people(t):
            raise RangeError(
                f"works.crew {net.crew} cannot do this: {t.words} ({t.id}) takes "
                f"{min(t.people)} people. Write crew = {min(t.people)}, or helper = true when "
                "one more person comes on those days"
            )
    order(net)


def order(net: Network) -> list[int]:
    """Places of the tasks, each after all that it waits for; RangeError for a ring."""
    index = net.index()
    left = {i: {index[x.before] for x in t.after} for i, t in enumerate(net.tasks)}
    found: list[int] = []
    done: set[int] = set()
    while left:
        free = [i for i, need in left.items() if need <= done]
        if not free:
            names = ", ".join(net.tasks[i].id for i in left)
            raise RangeError(f"these tasks wait for each other in a ring: {names}")
        for i in free:
            del left[i]
        found += free
        done |= set(free)
    return found


def ticks(task: Task, people: int, tick: float) -> int:
    """Ticks that so many people need, rounded up; 0 for a milestone."""
    if task.kind is Kind.MARK or task.effort <= 0:
        return 0
    return max(1, ceil(task.effort / max(people, 1) / tick - 1e-9))


def modes(net: Network, task: Task, tick: float) -> list[tuple[int, int]]:
    """(people, ticks) of each way to do a task, without those that more people do not quicken."""
    if not task.people:
        return [(0, ticks(task, 1, tick))]
    found: list[tuple[int, int]] = []
    for k in sorted(net.people(task)):
        need = ticks(task, k, tick)
        if not found or need < found[-1][1]:
            found.append((k, need))
    return found


def allowed(task: Task, length: int, cal: Calendar) -> NDArray[np.bool_]:
    """(ticks + 1,) where a task of that length may begin."""
    if not (task.one_day or task.kind is Kind.HOLD) or length == 0:
        return np.ones(cal.length + 1, dtype=bool)
    found = np.zeros(cal.length + 1, dtype=bool)
    for first, after in cal.whole_days():
        if task.kind is Kind.HOLD and cal.off[cal.day[first]]:
            continue
        if after - length >= first:
            found[first : after - length + 1] = True
    if not found.any():
        hours, longest = length * cal.tick, int(cal.ticks.max()) * cal.tick
        raise RangeError(
            f"works.hours: {task.words} takes {hours:g} h and may not be broken off overnight, but "
            f"the longest day of work has {longest:g} h; more people, longer days or ready-mix"
        )
    return found


class Tables:
    """First tick of what waits, for each kind of wait, worked out once."""

    def __init__(self, cal: Calendar) -> None:
        self.cal = cal
        self._kept: dict[Wait, IntArray] = {}

    def of(self, wait: Wait) -> IntArray:
        """(ticks + 1,) as :meth:`Calendar.ready`."""
        if wait not in self._kept:
            self._kept[wait] = self.cal.ready(wait)
        return self._kept[wait]


def earliest(net: Network, cal: Calendar, tables: Tables | None = None) -> IntArray:
    """(tasks,) earliest ends if people and tools were without number."""
    tables = tables or Tables(cal)
    index = net.index()
    ends = np.zeros(len(net.tasks), dtype=np.int64)
    for i in order(net):
        t = net.tasks[i]
        begin = max((int(tables.of(x.wait)[ends[index[x.before]]]) for x in t.after), default=0)
        best = cal.length + 1
        for _, need in modes(net, t, cal.tick):
            places = np.flatnonzero(allowed(t, need, cal)[begin:])
            if len(places):
                best = min(best, begin + int(places[0]) + need)
        if best > cal.length:
            raise TooShortError("the calendar is too short for the works")
        ends[i] = best
    return ends


class TooShortError(RangeError):
    """The calendar ends before the works do."""
