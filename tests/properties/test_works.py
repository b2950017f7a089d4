"""What must hold for any network of tasks."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.errors import RangeError
from plumbrail.works.battery import Battery, charge
from plumbrail.works.changeover import Change, New, Old, changed, live
from plumbrail.works.lists import by_rule, used
from plumbrail.works.network import earliest
from plumbrail.works.parts import Link, Schedule, Wait
from plumbrail.works.solve import quickest
from schedules import net, plain_calendar, task

CAL = plain_calendar()
WAYS = ((1,), (1, 2), (2,), (2, 3), (1, 2, 3))


@st.composite
def networks(draw, least: int = 3):
    count = draw(st.integers(3, 8))
    tasks = []
    for i in range(count):
        before = draw(st.sets(st.integers(0, i - 1), max_size=2)) if i else set()
        wait = draw(st.sampled_from((Wait(), Wait(), Wait("days", 1), Wait("cure", 400.0))))
        made = task(f"t{i}", draw(st.integers(1, 12)), draw(st.sampled_from(WAYS)),
                    tools=("mixer",) if draw(st.booleans()) else ())  # fmt: skip
        tasks.append(replace(made, after=tuple(Link(f"t{b}", wait) for b in sorted(before))))
    return net(*tasks, crew=draw(st.integers(2, 3)), tools=(("mixer", 1),))


@settings(max_examples=15, deadline=None)
@given(networks())
def test_every_task_once_and_nothing_shared_twice(n):
    found = quickest(n, CAL, tidy=0.0)
    index = n.index()
    assert len(found.start) == len(n.tasks)
    assert (used(n, found, CAL.length) <= n.crew).all()
    for i, t in enumerate(n.tasks):
        need = -(-int(t.effort) // int(found.people[i]))
        assert found.end[i] - found.start[i] == need
        assert int(found.people[i]) in n.people(t)
        for x in t.after:
            assert found.start[i] >= CAL.ready(x.wait)[found.end[index[x.before]]]
    on = sorted((found.start[i], found.end[i]) for i, t in enumerate(n.tasks) if t.tools)
    assert all(a[1] <= z[0] for a, z in pairwise(on))
    assert earliest(n, CAL).max() <= found.finish <= by_rule(n, CAL).finish + CAL.ticks[0]
    assert CAL.day_of_end(found.finish) <= CAL.day_of_end(by_rule(n, CAL).finish)
    assert found.proven


@settings(max_examples=12, deadline=None)
@given(networks())
def test_larger_crew_never_lengthens(n):
    few, many = quickest(n, CAL, tidy=0.0), quickest(replace(n, crew=n.crew + 1), CAL, tidy=0.0)
    assert few.proven
    assert many.proven
    assert many.last <= few.last


@settings(max_examples=12, deadline=None)
@given(networks(), st.data())
def test_extra_precedence_never_shortens(n, data):
    j = data.draw(st.integers(1, len(n.tasks) - 1))
    i = data.draw(st.integers(0, j - 1))
    tasks = list(n.tasks)
    tasks[j] = replace(tasks[j], after=(*tasks[j].after, Link(tasks[i].id)))
    more = quickest(replace(n, tasks=tuple(tasks)), CAL, tidy=0.0)
    assert more.last >= quickest(n, CAL, tidy=0.0).last


@settings(max_examples=8, deadline=None)
@given(networks())
def test_slack_is_not_said_too_large(n):
    """A task that takes all of its slack still lets the works end on the same day."""
    found = quickest(n, CAL, tidy=0.0)
    for i in np.flatnonzero(found.slack > 0)[:2]:
        t = n.tasks[i]
        more = float(found.slack[i]) * int(found.people[i])
        slow = replace(t, effort=t.effort + more, people=(int(found.people[i]),))
        tasks = tuple(slow if k == i else o for k, o in enumerate(n.tasks))
        assert quickest(replace(n, tasks=tasks), CAL, tidy=0.0).last <= found.last


def _change(days: int, least: float, start: float, load: float, one_box: bool = False) -> Change:
    old = tuple(Old(f"O{k}", 4, 4, "box" if one_box else f"box {k}") for k in (1, 2))
    new = (New("S1", 4), New("S2", 6))
    each = np.array([10 + 3 * (t % 3) for t in range(days)])
    flat = np.full(days, load / 3)
    battery = Battery(60.0, least, start, flat, flat, flat, np.full(days, 0.95))
    return Change(old, new, 2, np.stack([4 * each, 4 * each]), np.stack([5 * each, 7 * each]), "Wh",
                  np.zeros(days, dtype=np.int64), 0, 0, 1, battery)  # fmt: skip


def _moves():
    """A day for each task: one tick a day."""
    made = []
    for k in (1, 2):
        made += [task(f"open O{k}", 1, (1,), chapter="old array"),
                 task(f"take O{k}", 1, (1,), f"open O{k}", chapter="old array")]  # fmt: skip
    for k in (1, 2):
        made += [task(f"mount S{k}", 1, (1,)), task(f"test S{k}", 1, (1,), f"mount S{k}")]
    return net(*[replace(t) for t in made], crew=2)


def _with_connect(n):
    """The program connects between mounting and testing."""
    more = []
    for t in n.tasks:
        if t.id.startswith("test"):
            k = t.id.split()[1]
            more.append(task(f"connect {k}", 0, (), f"mount {k}"))
            t = replace(t, after=(Link(f"connect {k}"),))
        more.append(t)
    return replace(n, tasks=tuple(more))


def _tried(n, change, cal, horizon):
    """Every schedule of whole days: the soonest last day, then the least lost within extra_days."""
    index = n.index()
    chains = [(f"open O{k}", f"take O{k}") for k in (1, 2)]
    chains += [(f"mount S{k}", f"test S{k}") for k in (1, 2)]
    names = [name for chain in chains for name in chain]
    good, seen = [], set()
    for pairs in product(list(combinations(range(horizon), 2)), repeat=4):
        starts = [day for pair in pairs for day in pair]
        if max(starts.count(d) for d in starts) > n.crew:
            continue
        at = dict(zip(names, starts, strict=True))
        have = [change.bought + sum(o.reused for o in change.old if at[f"take {o.id}"] < day)
                - sum(s.modules for s in change.new if at[f"mount {s.id}"] <= day)
                for day in range(horizon)]  # fmt: skip
        if min(have) < 0:
            continue
        counts = (*starts[::4], *starts[5::2], starts[2], max(starts))
        if counts in seen:  # the rest of the days changes neither end nor energy
            continue
        seen.add(counts)
        start = np.zeros(len(n.tasks), dtype=np.int64)
        end = np.zeros(len(n.tasks), dtype=np.int64)
        for name, day in at.items():
            start[index[name]], end[index[name]] = day, day + 1
        days = live(change, n, Schedule(start, end, np.ones_like(start), int(end.max()), 0), cal)
        if days.charge[:horizon].min() >= change.battery.least:
            good.append((int(end.max()) - 1, int(days.lost.sum())))
    if not good:
        return None
    soonest = min(e for e, _ in good)
    assert soonest + change.extra_days < horizon  # else the best might lie beyond what was tried
    return min(lost for e, lost in good if e <= soonest + change.extra_days)


@pytest.mark.parametrize(("least", "load", "one_box", "extra"), [
    (0.0, 30.0, False, 1), (10.0, 30.0, True, 1), (30.0, 25.0, False, 0), (0.0, 45.0, False, 0),
    (20.0, 60.0, False, 1),
])  # fmt: skip
def test_changeover_against_every_schedule(least, load, one_box, extra):
    """In the third and fourth the reserve moves the end, in the last it forbids every order."""
    cal = plain_calendar(24, 1, 1.0)
    change = replace(_change(24, least, 60.0, load, one_box), extra_days=extra)
    n = _with_connect(_moves())
    best = _tried(n, change, cal, 8)
    if best is None:
        with pytest.raises(RangeError, match="no order of strings"):
            changed(n, change, cal)
        return
    found = changed(n, change, cal)
    assert found.proven
    assert int(found.days.lost.sum()) == best


@settings(max_examples=8, deadline=None)
@given(st.floats(0, 30), st.floats(30, 60), st.floats(10, 110), st.booleans())
def test_battery_reserve_is_never_lost(least, start, load, one_box):
    cal = plain_calendar(24, 1, 1.0)
    change = _change(24, least, start, load, one_box)
    try:
        found = changed(_with_connect(_moves()), change, cal)
    except RangeError:
        return
    level = charge(change.battery, found.days.gives)
    assert level[: found.days.through + 1].min() >= least
    # and by the hour it is never worse: the sun meets some of the load without the battery
    assert found.days.least_charge >= least
