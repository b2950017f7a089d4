"""The quickest schedule, and the proof that there is none quicker: CP-SAT.

One worker, a fixed seed and a limit counted in the solver's own steps, not in seconds: the same
plan gives the same schedule on every machine.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.works.calendar import Calendar
from plumbrail.works.lists import by_rule
from plumbrail.works.network import Tables, allowed, earliest, modes, refuse
from plumbrail.works.parts import Kind, Link, Network, Schedule, Task
from plumbrail.works.slack import slack_of

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

Tell = Callable[[int, int], None]
"""Told the best last day and the bound so far."""
LIMIT = 30.0
"""Steps of the solver, about seconds on one idle core, for the proof of the end."""
TIDY = 0.1
"""The same for putting inspections and the rest early, which needs no proof."""
SEED = 1


@dataclass(frozen=True)
class Built:
    """A model of the solver."""

    net: Network
    cal: Calendar
    model: cp_model.CpModel
    start: list[Any]
    end: list[Any]
    chosen: list[list[tuple[Any, int]]]
    """For each task its modes: literal and people."""
    finish: Any
    horizon: int
    """Latest end, in ticks."""


def build(net: Network, cal: Calendar, horizon: int, tables: Tables) -> Built:
    """Tasks, waits, people and tools, all to end by the tick ``horizon``."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    first = earliest(net, cal, tables)
    built = Built(net, cal, model, [], [], [], model.new_int_var(0, horizon, "finish"),
                  horizon)  # fmt: skip
    bars: list[list[tuple[Any, int]]] = []
    for i, task in enumerate(net.tasks):
        bars.append(_task(built, task, int(first[i]), horizon))
        model.add(built.finish >= built.end[i])
    index = net.index()
    for j, task in enumerate(net.tasks):
        for link in task.after:
            _link(built, index[link.before], j, link, tables, horizon)
    crew = [(bar, min(k, net.crew)) for b in bars for bar, k in b if k]
    if crew:
        model.add_cumulative([b for b, _ in crew], [k for _, k in crew], net.crew)
        # all work over all hands: what the bars alone tell the solver too late
        model.add(net.crew * built.finish >= sum(_work(built, i) for i in range(len(net.tasks))))
    for name, many in net.tools:
        on = [(bar, task.tools.count(name)) for task, b in zip(net.tasks, bars, strict=True)
              if name in task.tools for bar, _ in b]  # fmt: skip
        if on and many == 1:
            model.add_no_overlap([bar for bar, _ in on])
        elif on:
            model.add_cumulative([bar for bar, _ in on], [k for _, k in on], many)
    return built


def _task(b: Built, task: Task, first_end: int, horizon: int) -> list[tuple[Any, int]]:
    """Variables of one task; returns its bars with the people each binds."""
    model, ways = b.model, modes(b.net, task, b.cal.tick)
    least = min(need for _, need in ways)
    start = model.new_int_var(0, max(horizon - least, 0), f"{task.id} start")
    end = model.new_int_var(min(first_end, horizon), horizon, f"{task.id} end")
    b.start.append(start)
    b.end.append(end)
    alone = len(ways) == 1
    lits = [model.new_constant(1) if alone else model.new_bool_var(f"{task.id} by {k}")
            for k, _ in ways]  # fmt: skip
    if not alone:
        model.add_exactly_one(lits)
    bars = []
    for lit, (k, need) in zip(lits, ways, strict=True):
        if alone:
            bar = model.new_interval_var(start, need, end, task.id)
        else:
            # the end tied by hand: bars that share both ends had the solver (9.15) call feasible
            # networks infeasible where they also share a tool
            model.add(end == start + need).only_enforce_if(lit)
            bar = model.new_optional_fixed_size_interval_var(start, need, lit, f"{task.id} by {k}")
        bars.append((bar, k))
        if task.one_day or task.kind is Kind.HOLD:
            places = allowed(task, need, b.cal)[: horizon + 1]
            domain = _domain(places)
            held = model.add_linear_expression_in_domain(start, domain)
            if not alone:
                held.only_enforce_if(lit)
    b.chosen.append([(lit, k) for lit, (k, _) in zip(lits, ways, strict=True)])
    return [] if least == 0 else bars


def _work(b: Built, i: int) -> Any:
    """Ticks of one person that a task takes, in the mode that is chosen."""
    need = dict(modes(b.net, b.net.tasks[i], b.cal.tick))
    return sum(lit * (min(k, b.net.crew) * need[k]) for lit, k in b.chosen[i])


def _domain(places: Any) -> Any:
    from ortools.sat.python import cp_model

    edges = np.flatnonzero(np.diff(np.concatenate([[0], places.astype(int), [0]])))
    pairs = [[int(a), int(z) - 1] for a, z in zip(edges[::2], edges[1::2], strict=True)]
    return cp_model.Domain.from_intervals(pairs)


def _link(b: Built, i: int, j: int, link: Link, tables: Tables, horizon: int) -> None:
    if link.wait.what == "none":
        b.model.add(b.start[j] >= b.end[i])
        return
    # the wait is a staircase of the tick at which it begins; each stair is one implication
    stairs = tables.of(link.wait)[: horizon + 1]
    b.model.add(b.start[j] >= b.end[i])
    steps = np.flatnonzero(np.diff(stairs, prepend=-1))
    for n, e in enumerate(steps.tolist()):
        if int(stairs[e]) > horizon:
            b.model.add(b.end[i] < e)
            break
        if n == 0:
            b.model.add(b.start[j] >= int(stairs[e]))
            continue
        late = b.model.new_bool_var(f"{b.net.tasks[i].id} from {e}")
        b.model.add(b.end[i] < e).only_enforce_if(~late)
        b.model.add(b.start[j] >= int(stairs[e])).only_enforce_if(late)


@dataclass(frozen=True)
class Outcome:
    """What one search found; values are those of every variable of the model."""

    best: int
    bound: int
    solver: Any


def search(
    b: Built, goal: Any, limit: float, tell: Tell | None = None, hint: Outcome | None = None
) -> Outcome | None:
    """Minimise ``goal``; None where nothing is possible. RangeError when the limit came first."""
    from ortools.sat.python import cp_model

    b.model.minimize(goal)
    if hint is not None:
        b.model.clear_hints()  # type: ignore[no-untyped-call]
        for k in range(len(b.model.proto.variables)):
            var = b.model.get_int_var_from_proto_index(k)
            b.model.add_hint(var, hint.solver.value(var))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.max_deterministic_time = limit
    watch = _Watch(tell) if tell is not None else None
    status = solver.solve(b.model, watch)
    if status == cp_model.INFEASIBLE:
        return None
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise RangeError("works: no schedule was found within the limit of the search")
    bound = round(solver.best_objective_bound + 0.4999)
    return Outcome(round(solver.objective_value), int(bound), solver)


def _watch_class() -> Any:
    from ortools.sat.python import cp_model

    class Watch(cp_model.CpSolverSolutionCallback):
        def __init__(self, tell: Tell) -> None:
            super().__init__()
            self.tell = tell

        def on_solution_callback(self) -> None:
            self.tell(round(self.objective_value), round(self.best_objective_bound + 0.4999))

    return Watch


def _Watch(tell: Tell) -> Any:
    return _watch_class()(tell)


def read(b: Built, found: Outcome, bound: int) -> Schedule:
    """The schedule of a search."""
    value = found.solver.value
    start = np.array([value(v) for v in b.start], dtype=np.int64)
    end = np.array([value(v) for v in b.end], dtype=np.int64)
    people = np.array([max(k for lit, k in ways if value(lit)) for ways in b.chosen])
    return Schedule(start, end, people.astype(np.int64), int(end.max(initial=0)), bound)


def quickest(
    net: Network, cal: Calendar, limit: float = LIMIT, tell: Tell | None = None,
    tidy: float = TIDY,
) -> Schedule:  # fmt: skip
    """The quickest schedule, then inspections and everything else as early as they go.

    Raises RangeError in words for a network that cannot be done, TooShortError for a calendar that
    ends before the works do.
    """
    refuse(net)
    tables = Tables(cal)
    upper = by_rule(net, cal, tables)
    b = build(net, cal, upper.finish, tables)
    _hint(b, upper)
    least = cal.day_of_end(int(earliest(net, cal, tables).max(initial=0)))
    last = last_day(b, least, cal.day_of_end(upper.finish))
    found = search(b, last, limit, tell)
    if found is None:  # the plain rule has one, so the solver errs: nothing it says is proven
        best = replace(upper, bound=least)
    else:
        best = read(b, found, found.bound)
        if tidy > 0:
            b.model.add(last <= found.best)
            best = replace(tidied(b, found, tidy) or best, bound=found.bound)
    best = replace(best, last=cal.day_of_end(best.finish))
    return replace(best, slack=slack_of(net, cal, best, tables), a_day=int(cal.ticks.max()))


def last_day(b: Built, least: int, most: int) -> Any:
    """The day on which the works end, as an expression; it lies in between these."""
    late = []
    for day in range(least, most):
        lit = b.model.new_bool_var(f"after day {day}")
        b.model.add(b.finish <= int(b.cal.edge[day + 1])).only_enforce_if(~lit)
        late.append(lit)
    for one, other in pairwise(late):
        b.model.add_implication(other, one)
    return least + sum(late)


def tidied(b: Built, found: Outcome, limit: float) -> Schedule | None:
    """The hour of the end, then inspections, then everything as early as they go."""
    weights = [100 if t.kind is Kind.HOLD else 1 for t in b.net.tasks]
    goal = 1000 * b.finish + sum(w * e for w, e in zip(weights, b.end, strict=True))
    neat = search(b, goal, limit, hint=found)
    return None if neat is None else read(b, neat, 0)


def _hint(b: Built, upper: Schedule) -> None:
    for i in range(len(b.net.tasks)):
        b.model.add_hint(b.start[i], int(upper.start[i]))
        b.model.add_hint(b.end[i], int(upper.end[i]))
        for lit, k in b.chosen[i]:
            if len(b.chosen[i]) > 1:
                b.model.add_hint(lit, int(k == upper.people[i]))
    b.model.add_hint(b.finish, upper.finish)
