"""Of which task a day lost is a day lost at the end: against every schedule of small networks."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.works.chain import CAUSES, chain
from plumbrail.works.critical import criticality
from plumbrail.works.network import Tables, modes
from plumbrail.works.parts import Link, Wait
from plumbrail.works.slack import shifted
from plumbrail.works.solve import quickest
from schedules import net, plain_calendar, task

SHORT = plain_calendar(12, 2)


def tried(n, cal, found, i):
    """Whether any schedule at all ends on the day with task ``i`` a day later, tick by tick."""
    now, day = int(found.start[i]), found.a_day
    horizon = int(cal.edge[cal.day_of_end(found.finish) + 1])
    index, tables = n.index(), Tables(cal)
    ways = []
    for j, t in enumerate(n.tasks):
        if found.start[j] < now:
            ways.append([(int(found.start[j]), int(found.end[j] - found.start[j]),
                          int(found.people[j]))])  # fmt: skip
            continue
        first = now + day if j == i else now
        ways.append([(s, need, k) for k, need in modes(n, t, cal.tick)
                     for s in range(first, horizon - need + 1)])  # fmt: skip
    for picked in product(*ways):
        ends = [s + need for s, need, _ in picked]
        late = any(picked[j][0] < tables.of(x.wait)[ends[index[x.before]]]
                   for j, t in enumerate(n.tasks) for x in t.after)  # fmt: skip
        if late:
            continue
        if all(sum(min(k, n.crew) for s, need, k in picked if s <= tick < s + need) <= n.crew
               for tick in range(horizon)):  # fmt: skip
            return True
    return False


def named(n, cal=SHORT):
    found = quickest(n, cal)
    made = criticality(n, cal, found)
    assert made.sure.all()
    return found, {t.id: made.words(i) for i, t in enumerate(n.tasks)}


def test_a_cure_is_logic_and_a_shared_hand_is_crew():
    """One person, days of two hours. A cure of two days behind ``pour``; ``dig`` fills it."""
    pour, rail = task("pour", 2, (1,)), task("rail", 2, (1,))
    rail = replace(rail, after=(Link("pour", Wait("days", 3)),))
    n = net(pour, task("dig", 2, (1,)), rail, crew=1)
    _, by = named(n)
    assert by == {"pour": "logic", "dig": "no", "rail": "logic"}
    busy = net(pour, task("dig", 2, (1,)), task("saw", 2, (1,)), rail, crew=1)
    _, by = named(busy)
    assert by["pour"] == "logic"
    # either can go second; the one that does would meet the rail, for one pair of hands
    assert sorted((by["dig"], by["saw"])) == ["crew", "no"]
    plain = net(task("one", 2, (1,)), task("two", 2, (1,)), crew=1)
    _, by = named(plain)
    # whichever comes first, the other can be taken in its place; the last one cannot wait
    assert sorted(by.values()) == ["logic", "no"]


def test_more_people_would_help_where_it_says_crew():
    """Two days of work in a row for one person, who has no day to spare; two could share them."""
    n = net(task("a", 4, (1, 2)), task("b", 4, (1, 2), "a"), crew=1)
    found, by = named(n)
    assert by == {"a": "crew", "b": "crew"}
    assert quickest(replace(n, crew=2), SHORT).last < found.last


@st.composite
def small(draw):
    tasks = []
    for i in range(draw(st.integers(2, 4))):
        before = draw(st.sets(st.integers(0, i - 1), max_size=1)) if i else set()
        wait = draw(st.sampled_from((Wait(), Wait(), Wait("days", 2))))
        made = task(f"t{i}", draw(st.integers(1, 3)), draw(st.sampled_from(((1,), (1, 2)))))
        tasks.append(replace(made, after=tuple(Link(f"t{b}", wait) for b in sorted(before))))
    return net(*tasks, crew=draw(st.integers(1, 2)))


@settings(max_examples=20, deadline=None)
@given(small())
def test_against_every_schedule(n):
    found = quickest(n, SHORT)
    made = criticality(n, SHORT, found)
    assert made.sure.all()
    assert not (made.logic & ~made.moves).any()
    for i in range(len(n.tasks)):
        assert bool(made.moves[i]) != tried(n, SHORT, found, i), n.tasks[i].id


@settings(max_examples=15, deadline=None)
@given(small())
def test_room_can_be_used_with_the_order_kept(n):
    found = quickest(n, SHORT)
    for i in range(len(n.tasks)):
        late = shifted(n, SHORT, found, Tables(SHORT), (i, int(found.slack[i])))
        assert SHORT.day_of_end(late.finish) == SHORT.day_of_end(found.finish)
        assert (late.start >= found.start).all()
        more = shifted(n, SHORT, found, Tables(SHORT), (i, int(found.slack[i]) + 1))
        assert SHORT.day_of_end(more.finish) > SHORT.day_of_end(found.finish)


@settings(max_examples=15, deadline=None)
@given(small())
def test_chain_reaches_from_a_first_task_to_the_end(n):
    found = quickest(n, SHORT)
    made = chain(n, SHORT, found)
    first, last = made.steps[0].task, made.steps[-1].task
    assert made.steps[0].held_by == "start"
    assert not n.tasks[first].after
    assert found.end[last] == found.finish
    assert len(made.days) == SHORT.day_of_end(found.finish) + 1
    assert sum(made.count(c) for c in CAUSES) == len(made.days)
    for a, z in zip(made.steps, made.steps[1:], strict=False):
        assert found.end[a.task] <= found.start[z.task]


def test_days_of_a_cure_are_counted_as_such():
    """Day 1 pour, days 2 and 3 cure, day 4 rail, as ``days = 3`` says: three days on."""
    rail = replace(task("rail", 2, (1,)), after=(Link("pour", Wait("days", 3)),))
    n = net(task("pour", 2, (1,)), rail, crew=1)
    made = chain(n, SHORT, quickest(n, SHORT))
    waits = [s.held_by for s in made.steps]
    assert waits == ["start", "days"]
    assert made.days[0] == made.days[3] == "work"
    assert made.count("work") == 2


@pytest.mark.parametrize("lost", [0, 3])
def test_a_guard_is_asked(lost):
    """What a guard forbids moves the end: here ``a`` has to be over by a tick."""
    n = net(task("a", 2, (1,)), task("b", 6, (1,)), crew=2)
    found = quickest(n, SHORT)
    place = n.index()["a"]

    def guard(b):
        b.model.add(b.end[place] <= int(found.end[place]) + lost)

    free = criticality(n, SHORT, found)
    held = criticality(n, SHORT, found, guard)
    assert not free.moves[place]
    assert bool(held.moves[place]) is (lost < found.a_day)
    assert np.array_equal(free.moves[1:], held.moves[1:])
