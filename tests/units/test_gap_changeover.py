"""What the change from the old array to the new one gives, by hand, day by day."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plumbrail.works.battery import Battery, charge, needed, stored, used_up
from plumbrail.works.changeover import Change, New, Old, live, order_of
from plumbrail.works.parts import Schedule
from schedules import net, plain_calendar, task

DAYS = 7
CAL = plain_calendar(DAYS)  # 8 ticks of an hour on every day


def change(new_gives: int = 40, battery: Battery | None = None) -> Change:
    """Strings a and b on one controller, c on another; n is new; something stays."""
    old = (Old("a", 1, 1, "one"), Old("b", 2, 2, "one"), Old("c", 3, 3, "two"))
    return Change(
        old, (New("n", 7),), 7, np.array([[10], [20], [30]]) * np.ones((1, DAYS), dtype=np.int64),
        np.full((1, DAYS), new_gives), "module-days", np.full(DAYS, 5), 4, 0, 0, battery,
    )  # fmt: skip


def steps() -> tuple:
    """a is opened on day 1, c on day 2, b on day 3; n is tested to the end of day 4."""
    made = net(*(task(f"open {s}", 1.0, (1,)) for s in "abc"), task("test n", 1.0, (1,)))
    start, end = np.array([8, 24 + 7, 16, 39]), np.array([9, 32, 17, 40])
    return made, Schedule(start, end, np.ones(4, dtype=np.int64), 40, 4)


def test_what_is_live_and_lost_on_each_day():
    made, found = steps()
    days = live(change(), made, found, CAL)
    # on the day of a disconnection the other string of its controller gives nothing either;
    # what is new gives from the day after its test (docstring of the module)
    assert days.old_live.tolist() == [
        [1, 0, 0, 0, 0, 0, 0],
        [1, 0, 1, 0, 0, 0, 0],
        [1, 1, 0, 0, 0, 0, 0],
    ]
    assert days.new_live.tolist() == [[0, 0, 0, 0, 0, 1, 1]]
    assert days.gives.tolist() == [65, 35, 25, 5, 5, 45, 45]
    assert days.lost.tolist() == [0, 30, 40, 60, 60, 20, 20]
    assert days.modules.tolist() == [10, 7, 6, 4, 4, 11, 11]
    assert days.through == 4 and days.total == 190  # the works alone: days 0 to 4
    assert days.charge is None and days.least_charge is None
    assert order_of(change(), made, found).tolist() == [0, 2, 1]


def test_more_than_before_is_no_gain():
    made, found = steps()
    assert live(change(1000), made, found, CAL).lost.tolist() == [0, 30, 40, 60, 60, 0, 0]


def battery(**more: float) -> Battery:
    made = Battery(
        10000.0, 3000.0, 8000.0, np.full(DAYS, 1000.2), np.full(DAYS, 499.5),
        np.full(DAYS, 700.5), np.full(DAYS, 0.9),
    )  # fmt: skip
    return replace(made, **more)


def test_the_charge_of_the_battery_by_hand():
    # drawn, rounded up: 1001 at night, 500 by day, 701 in the evening; nine tenths are stored
    one = battery()
    drawn = used_up(one, 0)
    assert (drawn.night, drawn.day, drawn.evening) == (1001, 500, 701)
    assert stored(one, 0) == 900 and stored(replace(one, kept=np.full(DAYS, 0.8567)), 0) == 856
    # day 0: 8000 - 1001 = 6999, - 500 + 1800 = 8299, - 701 = 7598
    # day 1: 7598 - 1001 = 6597, - 500 + 8100 = 14197, no more than 10000, - 701 = 9299
    # day 2: 9299 - 1001 = 8298, - 500 = 7798, - 701 = 7097
    # day 3: 7097 - 1001 = 6096, - 500 + 0.9 (floor) = 5596, - 701 = 4895
    least = charge(one, np.array([2000, 9000, 0, 1]))
    assert least.tolist() == [6999.0, 6597.0, 7097.0, 4895.0]


def test_the_charge_that_lets_one_go_on():
    # the reserve and all that a day without sun draws: 3000 + 1001 + 500 + 701
    assert needed(battery(), 0) == 5202.0


def test_the_least_charge_is_that_of_the_works_alone():
    made, found = steps()
    dark = battery(start=9000.0, kept=np.zeros(DAYS))
    days = live(change(battery=dark), made, found, CAL)
    # nothing is put in: 2202 Wh go on each day; 9000 - 5 * 2202 after the last day of the works
    assert days.least_charge == pytest.approx(9000.0 - 5 * 2202.0)
    assert days.charge is not None and days.charge[-1] < days.least_charge
