"""From the old array to the new one, string by string, with the least energy lost.

A day is the unit of energy. A string of the old array gives nothing from the day on which it is
disconnected; the other strings of its controller give nothing on that day. A string of the new
array gives from the day after its test. Lost is, day by day, what the old array untouched would
have given, less what old and new give together, and never less than nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.works import solve
from plumbrail.works.battery import Battery, charge, stored, used_up
from plumbrail.works.calendar import Calendar
from plumbrail.works.lists import by_rule
from plumbrail.works.network import Tables, earliest, refuse
from plumbrail.works.parts import Array, IntArray, Link, Network, Schedule, Task
from plumbrail.works.slack import shifted, slack_of

OPEN = 0.5
"""Hours to isolate, prove dead, cap and tag one string. Common practice, no published source."""


@dataclass(frozen=True)
class Old:
    """A string of the old array of which something moves."""

    id: str
    modules: int
    reused: int
    controller: str


@dataclass(frozen=True)
class New:
    """A string of the new array."""

    id: str
    modules: int


@dataclass(frozen=True)
class Change:
    """What moves, what it gives, and what has to stay."""

    old: tuple[Old, ...]
    new: tuple[New, ...]
    bought: int
    """Modules that are not from the old array."""
    old_gives: IntArray
    """(old strings, days) in whole units: Wh, or modules where no yield is known."""
    new_gives: IntArray
    """(new strings, days)"""
    unit: str
    """``Wh`` or ``module-days``."""
    staying: IntArray
    """(days,) of strings of which nothing moves; they stay live."""
    staying_modules: int
    least_modules: int
    extra_days: int
    battery: Battery | None = None

    @property
    def before(self) -> IntArray:
        """(days,) what the old array untouched would give."""
        return self.old_gives.sum(axis=0) + self.staying


@dataclass(frozen=True)
class Days:
    """What a schedule means day by day. Axis: day of the calendar."""

    old_live: Array
    """(old strings, days) 1 where it gives power."""
    new_live: Array
    gives: IntArray
    lost: IntArray
    modules: IntArray
    """Modules that give power."""
    charge: Array | None
    """In the battery before sunrise, when there is least [Wh]; None without one."""
    through: int
    """Last day of the works."""

    @property
    def total(self) -> int:
        """Lost over the works."""
        return int(self.lost[: self.through + 1].sum())

    @property
    def least_charge(self) -> float | None:
        """Least charge during the works [Wh]."""
        return None if self.charge is None else float(self.charge[: self.through + 1].min())


@dataclass(frozen=True)
class Changed:
    """The proposed order beside everything at once."""

    net: Network
    schedule: Schedule
    days: Days
    least_lost: int
    """No schedule in as many days loses less."""
    once_net: Network
    once: Schedule
    once_days: Days
    once_least: int

    @property
    def proven(self) -> bool:
        """No order loses less within the days that it may take."""
        return self.least_lost >= self.days.total


def take_down(old: Old, hours: float, people: int, after: tuple[Link, ...]) -> list[Task]:
    """Disconnect a string, then take its modules down and carry them over."""
    crew = tuple(range(people, 5))
    return [
        Task(f"open {old.id}", f"Disconnect old string {old.id}: isolate, prove dead",
             "old array", OPEN, (1,), after, one_day=True, why="common practice"),
        Task(f"take {old.id}", f"Take down and carry over {old.id}", "old array",
             hours, crew[:1], (Link(f"open {old.id}"),),
             why="modules_per_day of [old_array]"),
    ]  # fmt: skip


def live(change: Change, net: Network, found: Schedule, cal: Calendar) -> Days:
    """What gives power on each day of a schedule."""
    index = net.index()
    span = np.arange(len(cal.ticks))
    off = np.array([cal.day_of_start(int(found.start[index[f"open {s.id}"]])) for s in change.old])
    on = np.array([cal.day_of_end(int(found.end[index[f"test {s.id}"]])) for s in change.new])
    old = (off[:, None] > span).astype(float)
    for i, s in enumerate(change.old):
        for j, other in enumerate(change.old):
            if i != j and s.controller == other.controller:
                old[i, off[j]] = 0.0
    new = (on[:, None] < span).astype(float)
    gives = (old * change.old_gives).sum(axis=0) + (new * change.new_gives).sum(axis=0)
    total = np.rint(gives).astype(np.int64) + change.staying
    lost = np.maximum(change.before - total, 0)
    many = old.T @ [s.modules for s in change.old] + new.T @ [s.modules for s in change.new]
    level = None if change.battery is None else charge(change.battery, total)
    return Days(old, new, total, lost, np.rint(many).astype(np.int64) + change.staying_modules,
                level, cal.day_of_end(found.finish))  # fmt: skip


def changed(
    net: Network, change: Change, cal: Calendar, limit: float = solve.LIMIT,
    tell: solve.Tell | None = None,
) -> Changed:  # fmt: skip
    """The order that loses least, and everything at once. RangeError where nothing will do."""
    refuse(net)
    tables = Tables(cal)
    in_turn = by_rule(_in_turn(net, change), cal, tables)
    most = min(cal.day_of_end(in_turn.finish) + change.extra_days + 10, len(cal.ticks) - 1)
    step = _solved(net, change, cal, int(cal.edge[most + 1]), limit, tell, True)
    at_once = _at_once(net, change)
    other = _solved(at_once, change, cal, int(cal.edge[most + 1]), limit, tell, False)
    if step is None or other is None:
        raise RangeError(
            "old_array: no order of strings keeps old_array.least_modules live and the battery "
            "above old_array.reserve.least on every day; buy modules for a first new string, "
            "lower what must stay live, or choose a sunnier season for works.start"
        )
    return Changed(net, *_told(step, net, change, cal, tables, True), at_once,
                   *_told(other, at_once, change, cal, tables, False))  # fmt: skip


def _told(
    found: tuple[Schedule, int], net: Network, change: Change, cal: Calendar, tables: Tables,
    guarded: bool,
) -> tuple[Schedule, Days, int]:  # fmt: skip
    schedule, bound = found
    more = _modules_on(net, change, schedule)
    schedule = replace(schedule, slack=slack_of(net, cal, schedule, tables, more),
                       a_day=int(cal.ticks.max()))  # fmt: skip
    if guarded:
        schedule = replace(schedule, slack=_lawful(net, change, cal, schedule, tables, more))
    days = live(change, net, schedule, cal)
    return schedule, days, min(bound, days.total)


def _modules_on(net: Network, change: Change, found: Schedule) -> list[tuple[int, int]]:
    """Pairs (string taken down, string mounted later): its modules may be the ones that it gets."""
    index = net.index()
    takes = [index[f"take {s.id}"] for s in change.old]
    mounts = [index[f"mount {s.id}"] for s in change.new]
    return [(a, z) for a in takes for z in mounts if found.end[a] <= found.start[z]]


def _lawful(
    net: Network, change: Change, cal: Calendar, found: Schedule, tables: Tables,
    more: list[tuple[int, int]],
) -> IntArray:  # fmt: skip
    """(tasks,) the slack, cut until battery and least modules are kept with all of it used."""
    slack = found.slack.copy()
    for i in np.flatnonzero(slack > 0).tolist():
        while slack[i] > 0:
            late = shifted(net, cal, found, tables, (i, int(slack[i])), more)
            days = live(change, net, late, cal)
            span, low = slice(days.through + 1), days.least_charge
            enough = (days.modules[span] >= change.least_modules).all()
            if enough and (low is None or change.battery is None or low >= change.battery.least):
                break
            slack[i] //= 2
    return slack


def guard_of(change: Change) -> Callable[[solve.Built], object]:
    """What a schedule has to keep besides order and hands: modules, battery, what stays live."""
    return lambda b: _energy(b, change, True)


def _in_turn(net: Network, change: Change) -> Network:
    """One string after the other in the order of the plan: it always has modules enough."""
    have, taken = change.bought, 0
    more: dict[str, list[Link]] = {}
    for s in change.new:
        while have < s.modules and taken < len(change.old):
            have += change.old[taken].reused
            taken += 1
        have -= s.modules
        more[f"mount {s.id}"] = [Link(f"take {o.id}") for o in change.old[:taken]]
    return _linked(net, more)


def _at_once(net: Network, change: Change) -> Network:
    """All strings off first, then all work, then all strings on."""
    off = [Link(f"open {s.id}") for s in change.old]
    up = [Link(f"mount {s.id}") for s in change.new] + [Link(f"take {s.id}") for s in change.old]
    more: dict[str, list[Link]] = {f"take {s.id}": off for s in change.old}
    more |= {f"mount {s.id}": [Link(f"take {o.id}") for o in change.old] for s in change.new}
    more |= {f"connect {s.id}": up for s in change.new}
    return _linked(net, more)


def _linked(net: Network, more: dict[str, list[Link]]) -> Network:
    return replace(net, tasks=tuple(
        replace(t, after=(*t.after, *more.get(t.id, ()))) for t in net.tasks))  # fmt: skip


def _solved(
    net: Network, change: Change, cal: Calendar, horizon: int, limit: float,
    tell: solve.Tell | None, guarded: bool,
) -> tuple[Schedule, int] | None:  # fmt: skip
    """Soonest end first, then the least lost within its extra days, then early and tidy."""
    tables = Tables(cal)
    b = solve.build(net, cal, horizon, tables)
    lost = _energy(b, change, guarded)
    least = cal.day_of_end(int(earliest(net, cal, tables).max(initial=0)))
    last = solve.last_day(b, least, cal.day_of_end(horizon))
    first = solve.search(b, last, limit, tell)
    if first is None:
        return None
    end = min(first.best + (change.extra_days if guarded else 0), cal.day_of_end(horizon))
    b.model.add(b.finish <= int(cal.edge[end + 1]))
    second = solve.search(b, lost, limit, tell, first)
    assert second is not None
    b.model.add(lost <= second.best)
    third = solve.search(b, last, solve.TIDY, None, second)
    assert third is not None
    b.model.add(last <= third.best)
    schedule = solve.tidied(b, third, solve.TIDY) or solve.read(b, third, 0)
    day = cal.day_of_end(schedule.finish)
    return replace(schedule, bound=max(third.bound, least), last=day), second.bound


def _energy(b: solve.Built, change: Change, guarded: bool) -> Any:
    """Adds what is live on each day; returns the energy lost."""
    cal, model, index = b.cal, b.model, b.net.index()
    _modules(b, change)
    days = range(cal.day_of_end(b.horizon) + 1)
    total, many = [], []
    off = [b.start[index[f"open {s.id}"]] for s in change.old]
    on = [b.end[index[f"test {s.id}"]] for s in change.new]
    up = [[_side(b, v, int(cal.edge[t + 1])) for t in days] for v in off]
    gone = [[~_side(b, v, int(cal.edge[t])) for t in days] for v in off]
    shown = [[~_side(b, v, int(cal.edge[t]) + 1) for t in days] for v in on]
    alive = [[_with(b, change, i, t, up, gone) for t in days] for i in range(len(change.old))]
    for t in days:
        power = [(alive[i][t], int(change.old_gives[i, t]), s.modules)
                 for i, s in enumerate(change.old)]  # fmt: skip
        power += [(shown[k][t], int(change.new_gives[k, t]), s.modules)
                  for k, s in enumerate(change.new)]  # fmt: skip
        total.append(sum(lit * e for lit, e, _ in power) + int(change.staying[t]))
        many.append(sum(lit * m for lit, _, m in power) + change.staying_modules)
        if guarded and change.least_modules:
            model.add(many[-1] >= change.least_modules)
    if guarded and change.battery is not None:
        _reserve(b, change.battery, total)
    lost = [model.new_int_var(0, int(change.before[t]), f"lost {t}") for t in days]
    for t in days:
        model.add(lost[t] >= int(change.before[t]) - total[t])
    return sum(lost)


def _side(b: solve.Built, var: Any, tick: int) -> Any:
    """True exactly when the variable is at or after the tick."""
    lit = b.model.new_bool_var("")
    b.model.add(var >= tick).only_enforce_if(lit)
    b.model.add(var < tick).only_enforce_if(~lit)
    return lit


def _with(
    b: solve.Built, change: Change, i: int, t: int, up: list[list[Any]], gone: list[list[Any]]
) -> Any:
    """An old string gives power: not disconnected, and none of its controller on that day."""
    mates = [j for j, s in enumerate(change.old)
             if j != i and s.controller == change.old[i].controller]  # fmt: skip
    if not mates:
        return up[i][t]
    lit = b.model.new_bool_var("")
    b.model.add_implication(lit, up[i][t])
    for j in mates:
        b.model.add_bool_or(~lit, up[j][t], gone[j][t])
    return lit


def _modules(b: solve.Built, change: Change) -> None:
    """No string is mounted before there are modules for it."""
    index = b.net.index()
    times = [b.model.new_constant(0)]
    levels = [change.bought]
    for s in change.old:
        times.append(b.end[index[f"take {s.id}"]])
        levels.append(s.reused)
    for n in change.new:
        times.append(b.start[index[f"mount {n.id}"]])
        levels.append(-n.modules)
    b.model.add_reservoir_constraint(times, levels, 0, max(sum(map(abs, levels)), 1))


def _reserve(b: solve.Built, battery: Battery, total: list[Any]) -> None:
    """The battery before sunrise is never below its reserve, counted cautiously.

    The charge is only ever bounded from above, so a schedule that needs more than there is has no
    solution: the reserve is a wall, not a price.
    """
    model, top = b.model, int(battery.usable)
    before: Any = int(battery.start)
    for t, gives in enumerate(total):
        dawn = used_up(battery, t)
        dusk = model.new_int_var(0, top, f"dusk {t}")
        model.add(before - dawn.night >= int(battery.least))
        put = stored(battery, t)
        # whole Wh; what is put in is rounded down, what is drawn is rounded up
        model.add(1000 * dusk <= 1000 * (before - dawn.night - dawn.day) + put * gives)
        evening = dusk - dawn.evening
        model.add(evening >= int(battery.least))
        before = evening


def order_of(change: Change, net: Network, found: Schedule) -> IntArray:
    """(old strings,) places in the order of disconnection."""
    index = net.index()
    starts = [int(found.start[index[f"open {s.id}"]]) for s in change.old]
    return np.argsort(starts, kind="stable").astype(np.int64)
