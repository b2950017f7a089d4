"""Of which task a day lost is a day lost at the end, and whether more hands would help.

The question is the builder's: this task begins a day of work later than planned, what was begun
before it stays as it was, and everything else is planned anew. Does the end move? Answered exactly:
by waits and order alone, by the kept order of hands, else by a search for one schedule that still
ends on the day. See docs/method/works.md.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plumbrail.works import solve
from plumbrail.works.calendar import Calendar
from plumbrail.works.network import Tables, allowed, modes, order
from plumbrail.works.parts import IntArray, Network, Schedule

Mask = NDArray[np.bool_]
LIMIT = 0.5
"""Steps of the solver for one task; what is not decided by then counts as critical."""
Guard = Callable[[solve.Built], object]
"""Adds what a schedule has to keep besides: the battery, and what has to stay live."""


@dataclass(frozen=True)
class Criticality:
    """Axis: task of the network."""

    moves: Mask
    """A day lost here is a day lost at the end."""
    logic: Mask
    """And more people would not help: only waits and order lie between, each task done by as many
    as can share it."""
    sure: Mask
    """Decided; where not, the task counts as critical."""

    def words(self, i: int) -> str:
        """``logic``, ``crew`` or ``no``."""
        return ("logic" if self.logic[i] else "crew") if self.moves[i] else "no"


def latest_starts(net: Network, cal: Calendar, last: int, tables: Tables) -> IntArray:
    """(tasks,) latest ticks at which each may begin for all to end by the day ``last``.

    Nobody is bound elsewhere and tools are without number, each task in the quickest way that the
    crew of the network has; -1 where it is too late anyway.
    """
    index, end = net.index(), int(cal.edge[last + 1])
    late = np.full(len(net.tasks), end, dtype=np.int64)
    begin = np.full(len(net.tasks), -1, dtype=np.int64)
    for i in reversed(order(net)):
        task = net.tasks[i]
        for _, need in modes(net, task, cal.tick):
            places = np.flatnonzero(allowed(task, need, cal)[: max(late[i] - need, -1) + 1])
            if len(places):
                begin[i] = max(begin[i], int(places[-1]))
        for link in task.after:
            j = index[link.before]
            reach = np.searchsorted(tables.of(link.wait), begin[i], side="right") - 1
            late[j] = min(late[j], int(reach))
    return begin


def criticality(
    net: Network, cal: Calendar, found: Schedule, guard: Guard | None = None, limit: float = LIMIT
) -> Criticality:
    """What a day lost at each task does to the end of a schedule that has its slack."""
    tables, last, day = Tables(cal), cal.day_of_end(found.finish), found.a_day
    everybody = replace(net, crew=max((k for t in net.tasks for k in t.people), default=1))
    logic = latest_starts(everybody, cal, last, tables) < found.start + day
    moves = logic.copy()
    sure = np.ones(len(net.tasks), dtype=bool)
    # with a guard the kept order proves nothing: the battery may run low on the way
    kept = (found.slack >= day) & (guard is None)
    open_ = np.flatnonzero(~logic & ~kept)
    if len(open_):
        b = solve.build(net, cal, int(cal.edge[last + 1]), tables)
        if guard is not None:
            guard(b)
        for i in open_.tolist():
            told = _still_ends(b, found, i, day, limit)
            moves[i], sure[i] = told is not True, told is not None
    return Criticality(moves, logic, sure)


def _still_ends(b: solve.Built, found: Schedule, i: int, day: int, limit: float) -> bool | None:
    """Whether a schedule ends in time with task ``i`` a day later; None: not decided."""
    from ortools.sat.python import cp_model

    model, now = b.model.clone(), int(found.start[i])
    if now + day > b.horizon:
        return False
    for j in range(len(b.net.tasks)):
        start = model.get_int_var_from_proto_index(b.start[j].index)
        if found.start[j] < now:  # begun before: as it was
            end = model.get_int_var_from_proto_index(b.end[j].index)
            model.add(start == int(found.start[j]))
            model.add(end == int(found.end[j]))
        else:
            model.add(start >= (now + day if j == i else now))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = solve.SEED
    solver.parameters.max_deterministic_time = limit
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return True
    return False if status == cp_model.INFEASIBLE else None
