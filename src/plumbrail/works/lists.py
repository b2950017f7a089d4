"""A schedule by plain rule: whoever has the longest way behind it goes first.

Not the best one; it bounds the best one from above, and gives the search its first schedule.
"""

from __future__ import annotations

import numpy as np

from plumbrail.works.calendar import Calendar
from plumbrail.works.network import Tables, TooShortError, allowed, modes, order
from plumbrail.works.parts import Array, IntArray, Network, Schedule, Task


def tails(net: Network, cal: Calendar) -> Array:
    """(tasks,) hours from the beginning of each task to the end, curing and visits included."""
    index = net.index()
    found = np.zeros(len(net.tasks))
    after: list[list[tuple[int, float]]] = [[] for _ in net.tasks]
    for j, t in enumerate(net.tasks):
        for x in t.after:
            rough = {"none": 0.0, "days": 8.0, "visit": 8.0, "cure": 0.35}[x.wait.what]
            after[index[x.before]].append((j, rough * x.wait.amount))
    for i in reversed(order(net)):
        own = min(need for _, need in modes(net, net.tasks[i], cal.tick)) * cal.tick
        found[i] = own + max((found[j] + wait for j, wait in after[i]), default=0.0)
    return found


def by_rule(net: Network, cal: Calendar, tables: Tables | None = None) -> Schedule:
    """The schedule; TooShortError where the calendar ends first."""
    tables = tables or Tables(cal)
    index, count = net.index(), len(net.tasks)
    urgent = tails(net, cal)
    room = _Room(net, cal)
    start, end, people = (np.full(count, -1, dtype=np.int64) for _ in range(3))
    left = set(range(count))
    while left:
        free = [i for i in left if all(end[index[x.before]] >= 0 for x in net.tasks[i].after)]
        i = max(free, key=lambda k: (urgent[k], -k))
        task = net.tasks[i]
        begin = max((int(tables.of(x.wait)[end[index[x.before]]]) for x in task.after), default=0)
        start[i], end[i], people[i] = room.place(task, begin)
        left.discard(i)
    finish = int(end.max(initial=0))
    return Schedule(start, end, people, finish, 0)


class _Room:
    """People and tools that are taken, tick by tick."""

    def __init__(self, net: Network, cal: Calendar) -> None:
        self.net, self.cal = net, cal
        self.people = np.zeros(cal.length, dtype=np.int64)
        self.tools = {name: np.zeros(cal.length, dtype=np.int64) for name, _ in net.tools}

    def place(self, task: Task, begin: int) -> tuple[int, int, int]:
        """Where the task ends first: (start, end, people)."""
        best = (0, self.cal.length + 1, 0)
        for people, need in modes(self.net, task, self.cal.tick):
            at = self._first(task, people, need, begin)
            if at is not None and at + need < best[1]:
                best = (at, at + need, people)
        if best[1] > self.cal.length:
            raise TooShortError("the calendar is too short for the works")
        self._take(task, *best)
        return best

    def _first(self, task: Task, people: int, need: int, begin: int) -> int | None:
        fits = allowed(task, need, self.cal)
        if need == 0:
            return begin if begin <= self.cal.length else None
        full = self.people + min(people, self.net.crew) > self.net.crew
        for name, many in self.net.tools:
            if name in task.tools:
                full |= self.tools[name] + task.tools.count(name) > many
        blocked = np.concatenate([[0], np.cumsum(full)])
        starts = np.arange(begin, self.cal.length - need + 1)
        good = fits[starts] & (blocked[starts + need] == blocked[starts])
        where = np.flatnonzero(good)
        return int(starts[where[0]]) if len(where) else None

    def _take(self, task: Task, start: int, end: int, people: int) -> None:
        self.people[start:end] += min(people, self.net.crew)
        for name in task.tools:
            if name in self.tools:
                self.tools[name][start:end] += 1  # once for each that it takes


def used(net: Network, found: Schedule, length: int) -> IntArray:
    """(ticks,) people of the crew at work."""
    taken = np.zeros(length, dtype=np.int64)
    for i in range(len(net.tasks)):
        taken[found.start[i] : found.end[i]] += min(int(found.people[i]), net.crew)
    return taken
