"""Small schedules against all there are: every order and every number of people, each task as early
as it goes. Such lists hold a quickest schedule (Kolisch 1996, serial schedule generation)."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations, product

import numpy as np
import pytest

from plumbrail.works import solve
from plumbrail.works.lists import by_rule
from plumbrail.works.parts import Link, Network
from schedules import net, plain_calendar, task

CAL = plain_calendar(60, per_day=1)
"""A day is a tick, so that the day of the end is the end."""
WAYS = ((1,), (1, 2), (2,), (2, 3), (1, 2, 3))


def invented(seed: int) -> Network:
    """Few tasks that mostly need the one mixer."""
    rng = np.random.default_rng(seed)
    tasks = []
    for i in range(int(rng.integers(3, 5))):
        before = {int(b) for b in rng.integers(0, i, rng.integers(0, 3))} if i else set()
        made = task(f"t{i}", int(rng.integers(1, 5)), WAYS[rng.integers(0, 5)],
                    tools=("mixer",) if rng.random() < 0.8 else ())  # fmt: skip
        tasks.append(replace(made, after=tuple(Link(f"t{b}") for b in sorted(before))))
    return net(*tasks, crew=int(rng.integers(2, 4)), tools=(("mixer", 1),))


def placed(n: Network, order: tuple[int, ...], people: tuple[int, ...]) -> int:
    """End of the works, each task in this order as early as hands and mixer are free."""
    index, end = n.index(), {}
    hands, mixer = np.zeros(60, dtype=int), np.zeros(60, dtype=int)
    for i in order:
        t, need = n.tasks[i], -(-int(n.tasks[i].effort) // people[i])
        at = max((end[index[x.before]] for x in t.after), default=0)
        while (hands[at : at + need] + people[i] > n.crew).any() or (
            t.tools and mixer[at : at + need].any()
        ):
            at += 1
        hands[at : at + need] += people[i]
        mixer[at : at + need] += len(t.tools)
        end[i] = at + need
    return max(end.values())


def shortest(n: Network) -> int:
    """The least end of all lists."""
    index = n.index()
    after = [{index[x.before] for x in t.after} for t in n.tasks]
    orders = [o for o in permutations(range(len(n.tasks)))
              if all(after[i] <= set(o[:k]) for k, i in enumerate(o))]  # fmt: skip
    ways = list(product(*(n.people(t) for t in n.tasks)))
    return min(placed(n, o, w) for o in orders for w in ways)


def workable(n: Network) -> bool:
    return all(n.people(t) for t in n.tasks)


NETS = {seed: n for seed in range(400) if workable(n := invented(seed))}


def test_the_end_is_that_of_the_best_of_all_lists() -> None:
    assert len(NETS) > 250
    for seed, n in NETS.items():
        found = solve.quickest(n, CAL, tidy=0.0)
        assert (found.proven, found.finish) == (True, shortest(n)), seed


def test_two_ways_of_a_task_with_one_mixer_for_all() -> None:
    """Called infeasible when both ways shared their ends: 1 + 2 + 2 ticks, then 1 by two people."""
    n = net(
        task("a", 1, (1,), tools=("mixer",)), task("b", 2, (1,), tools=("mixer",)),
        task("c", 2, (1,), "a", tools=("mixer",)), task("d", 2, (1, 2), "b,c", tools=("mixer",)),
        tools=(("mixer", 1),),
    )  # fmt: skip
    found = solve.quickest(n, CAL, tidy=0.0)
    assert (found.proven, found.finish, found.people.tolist()) == (True, 6, [1, 1, 1, 2])


def test_a_solver_that_finds_nothing_does_not_take_the_plain_schedule_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    n = net(task("a", 2, (1,)), task("b", 2, (1,)), task("c", 2, (2,)))
    monkeypatch.setattr(solve, "search", lambda *_, **__: None)
    found, plain = solve.quickest(n, CAL), by_rule(n, CAL)
    assert found.start.tolist() == plain.start.tolist()
    assert found.finish == plain.finish == 3
    assert not found.proven
    assert found.bound < found.last == CAL.day_of_end(3)
