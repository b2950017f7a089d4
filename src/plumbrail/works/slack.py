"""Who does what, and by how much a task may end later without the end of the works moving.

The order in which each person and each tool goes from task to task is kept: what another order
could win is not counted, so the slack is never said too large.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from plumbrail.works.calendar import Calendar
from plumbrail.works.network import Tables, allowed
from plumbrail.works.parts import IntArray, Network, Schedule

Pairs = Sequence[tuple[int, int]]


def people_of(net: Network, found: Schedule) -> Sequence[tuple[int, ...]]:
    """Who does each task: numbers of the crew from 0, by whoever is free the longest."""
    free = [0] * net.crew
    hands: list[tuple[int, ...]] = [()] * len(net.tasks)
    for i in np.lexsort((found.end, found.start)).tolist():
        k = min(int(found.people[i]), net.crew)
        if k == 0 or found.end[i] == found.start[i]:
            continue
        able = sorted((p for p in range(net.crew) if free[p] <= found.start[i]),
                      key=lambda p: (free[p], p))[:k]  # fmt: skip
        for p in able:
            free[p] = int(found.end[i])
        hands[i] = tuple(sorted(able))
    return hands


def slack_of(
    net: Network, cal: Calendar, found: Schedule, tables: Tables, more: Pairs = ()
) -> IntArray:
    """(tasks,) ticks by which each may end later with the works still ending on the same day.

    ``more``: pairs of tasks of which the second takes over something else from the first.
    """
    count, index = len(net.tasks), net.index()
    followers: list[list[int]] = [[] for _ in range(count)]
    for a, z in (*handed_on(net, found), *more):
        followers[a].append(z)
    late = np.full(count, cal.edge[cal.day_of_end(found.finish) + 1], dtype=np.int64)
    length = found.end - found.start
    waits: list[list[tuple[int, IntArray]]] = [[] for _ in range(count)]
    for j, task in enumerate(net.tasks):
        for link in task.after:
            waits[index[link.before]].append((j, tables.of(link.wait)))
    for i in np.lexsort((found.start, found.end))[::-1].tolist():
        for j in followers[i]:
            late[i] = min(late[i], late[j] - length[j])
        for j, stairs in waits[i]:
            # the last tick from which the wait still ends in time
            late[i] = min(late[i], np.searchsorted(stairs, late[j] - length[j], side="right") - 1)
        places = np.flatnonzero(allowed(net.tasks[i], int(length[i]), cal))
        at = np.searchsorted(places, late[i] - length[i], side="right") - 1
        late[i] = places[at] + length[i]
    return np.maximum(late - found.end, 0)


def handed_on(net: Network, found: Schedule) -> list[tuple[int, int]]:
    """Pairs of tasks of which the second takes a person or a tool over from the first."""
    hands = people_of(net, found)
    order = np.lexsort((found.end, found.start)).tolist()
    last: dict[object, int] = {}
    pairs: list[tuple[int, int]] = []
    for i in order:
        if found.end[i] == found.start[i]:
            continue
        for p in hands[i]:
            if p in last:
                pairs.append((last[p], i))
            last[p] = i
    for name, many in net.tools:
        busy = [0] * many
        holder = [-1] * many
        for i in (k for k in order if name in net.tasks[k].tools):
            longest_free = sorted(range(many), key=lambda m: busy[m])
            for spot in longest_free[: net.tasks[i].tools.count(name)]:
                if holder[spot] >= 0:
                    pairs.append((holder[spot], i))
                busy[spot], holder[spot] = int(found.end[i]), i
    return pairs


def shifted(
    net: Network, cal: Calendar, found: Schedule, tables: Tables, late: tuple[int, int],
    more: Pairs = (),
) -> Schedule:  # fmt: skip
    """The schedule with task ``late[0]`` ending ``late[1]`` ticks later and the order kept.

    What has to wait for it goes later, as little as can be; nothing goes earlier.
    """
    index = net.index()
    leaders: list[list[int]] = [[] for _ in net.tasks]
    for a, z in (*handed_on(net, found), *more):
        leaders[z].append(a)
    start, end = found.start.copy(), found.end.copy()
    for i in np.lexsort((found.end, found.start)).tolist():
        task, need = net.tasks[i], int(found.end[i] - found.start[i])
        ready = [int(tables.of(x.wait)[end[index[x.before]]]) for x in task.after]
        first = max([int(start[i]), *ready, *(int(end[k]) for k in leaders[i])])
        if i == late[0]:
            first = max(first, int(found.start[i]) + late[1])
        places = np.flatnonzero(allowed(task, need, cal)[first:])
        start[i] = first + int(places[0])
        end[i] = start[i] + need
    return replace(found, start=start, end=end, finish=int(end.max(initial=0)))
