"""The calendar of the works by hand: visits, lost days, light, cold, and what may begin when."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from plumbrail.errors import RangeError
from plumbrail.works.calendar import Calendar, Hours, calendar
from plumbrail.works.maturity import cured, gained
from plumbrail.works.network import allowed, modes, ticks
from plumbrail.works.parts import Kind, Link, Network, Schedule, Wait
from schedules import net, plain_calendar, task

MONDAY = date(2026, 5, 4)


def weeks() -> Calendar:
    """Two weeks from a Monday: two ticks a day, Sundays free, the inspector not on weekends."""
    per_day = np.array([2, 2, 2, 2, 2, 2, 0] * 2)
    off = np.array([False] * 5 + [True] * 2 + [False] * 5 + [True] * 2)
    none = np.zeros(14, dtype=bool)
    return Calendar(MONDAY, per_day, np.full(14, 8.0), np.full(14, 288.15), none, off, 1.0)


@pytest.mark.parametrize(
    ("ends_on", "days", "visit"),
    [  # day 0 is Monday; the rule is that of the docstring of Wait: the inspector's working days
        (0, 1, 1), (4, 1, 7), (4, 2, 8), (5, 1, 7), (5, 2, 8), (4, 0, 4), (5, 0, 7), (3, 1, 4),
    ],
)  # fmt: skip
def test_a_visit_falls_on_a_working_day_of_the_inspector(ends_on, days, visit):
    cal = weeks()
    after = int(cal.ready(Wait("visit", days))[cal.edge[ends_on + 1]])
    # on the same day it is as soon as the work ends, else with the first tick of that day
    assert after == (cal.edge[ends_on + 1] if visit == ends_on else cal.edge[visit])


def test_a_visit_after_the_calendar_is_its_length():
    cal = weeks()
    assert cal.ready(Wait("visit", 9.0))[2 * 5] == cal.length  # the 9th working day after Friday


def test_calendar_days_of_waiting():
    cal = weeks()
    ready = cal.ready(Wait("days", 2))
    assert ready[cal.edge[4]] == cal.edge[5]  # ends on Thursday: Saturday
    assert ready[cal.edge[5]] == cal.edge[7]  # ends on Friday: Sunday is free, so Monday
    assert cal.clock(3) == 9.0 and cal.clock(4, end=True) == 10.0 and cal.clock(4) == 8.0


def test_days_lost_to_weather_are_spread_by_the_share_of_their_month():
    said = Hours(MONDAY, tuple(range(7)), 8.0, 8.0, weather=(0.0,) * 4 + (0.25,) + (0.0,) * 7)
    many = 40
    cal = calendar(said, many, np.full(many, 288.15), np.full(many, 6.0), np.full(many, 20.0))
    # half a day is owed at first: 0.75 after Monday, 1 after Tuesday, then one day in every four;
    # the 28 days of May (to day 27) lose 7, June none
    assert np.flatnonzero(cal.lost).tolist() == [1, 5, 9, 13, 17, 21, 25]
    assert not cal.ticks[cal.lost].any() and (cal.ticks[~cal.lost] == 32).all()


def test_work_by_the_light_of_the_day():
    said = Hours(MONDAY, (0, 1, 2, 3, 4, 5), 7.0, 9.0, days_off=(date(2026, 5, 5),))
    sunrise = np.array([6.0, 7.1, 7.1, 7.1, 6.0, 6.0, 6.0])
    sunset = np.array([20.0, 20.0, 12.0, 7.3, 15.9, 20.0, 20.0])
    cal = calendar(said, 7, np.full(7, 288.15), sunrise, sunset)
    # quarters of an hour. Monday all 9 h. Tuesday a day off. Wednesday 7.25 to 12: 4.75 h.
    # Thursday 7.25 to 7.3: none. Friday 7 to 15.9: 8.75 h. Saturday 9 h. Sunday none.
    assert cal.ticks.tolist() == [36, 0, 19, 0, 35, 36, 0]
    assert cal.begin.tolist() == [7.0, 7.25, 7.25, 7.25, 7.0, 7.0, 7.0]
    assert cal.off.tolist() == [False, True, False, False, False, True, True]


def test_a_year_without_a_day_of_work_is_refused():
    said = Hours(MONDAY, (), 8.0, 8.0)
    with pytest.raises(RangeError, match="no day of the year"):
        calendar(said, 7, np.full(7, 288.15), np.full(7, 6.0), np.full(7, 20.0))


def test_frost_holds_the_concrete_back():
    # derived: above -10 °C; a day at 0 °C gives 240 K h, one at or under -10 °C gives nothing
    air = np.array([273.15, 273.15, 253.15, 263.15, 273.15])
    sums = gained(air)
    assert sums.tolist() == pytest.approx([0.0, 240.0, 480.0, 480.0, 480.0, 720.0])
    # 480 K h from midnight are there after two days, but who asks in the frost hears its end
    assert float(cured(np.array([0.0]), 480.0, sums)[0]) == pytest.approx(96.0, abs=1e-3)
    assert float(cured(np.array([12.0]), 480.0, sums)[0]) == pytest.approx(108.0, abs=1e-3)
    assert np.isinf(cured(np.array([0.0]), 721.0, sums)[0])


def test_what_waits_for_concrete_begins_after_it():
    cal = weeks()  # 15 °C: 25 K h an hour above -10 °C
    # placed by 10:00 on Monday; 650 K h are 26 h, so 12:00 on Tuesday, when work is over
    assert cal.ready(Wait("cure", 650.0))[2] == cal.edge[2]
    # 575 K h are 23 h: 9:00 on Tuesday, the second tick of that day
    assert cal.ready(Wait("cure", 575.0))[2] == cal.edge[1] + 1


def test_a_hold_point_waits_for_a_working_day_and_stays_in_it():
    cal = weeks()
    hold = replace(task("h", 2.0, ()), kind=Kind.HOLD)
    assert np.flatnonzero(allowed(hold, 2, cal)).tolist() == [0, 2, 4, 6, 8, 12, 14, 16, 18, 20]
    whole = replace(task("w", 2.0, (1,)), one_day=True)
    assert 10 in np.flatnonzero(allowed(whole, 2, cal))  # Saturday, by the crew itself
    assert 1 not in np.flatnonzero(allowed(whole, 2, cal))  # broken off overnight
    with pytest.raises(RangeError, match="broken off overnight"):
        allowed(whole, 3, cal)


def test_hours_of_a_task_in_ticks_of_its_people():
    job = task("t", 1.1, (1, 2, 3))
    # 1.1 h are 4.4 quarters: 5 for one, 2.2: 3 for two, 1.5: 2 for three
    assert [ticks(job, k, 0.25) for k in (1, 2, 3)] == [5, 3, 2]
    assert ticks(replace(job, kind=Kind.MARK), 1, 0.25) == 0
    assert ticks(replace(job, effort=0.01), 3, 0.25) == 1
    short = task("s", 0.5, (1, 2, 3))
    assert modes(net(short, crew=3), short, 0.25) == [(1, 2), (2, 1)]  # a third does not help


def test_a_helper_comes_for_one_person_only():
    pair, three = task("p", 1.0, (2,)), task("q", 1.0, (3,))
    alone = Network((pair, three), 1, helper=True)
    assert alone.people(pair) == (2,) and alone.people(three) == ()
    assert replace(alone, helper=False).people(pair) == ()


def test_an_end_is_proven_by_its_bound():
    none = np.zeros(0, dtype=np.int64)
    assert Schedule(none, none, none, 8, bound=3, last=3).proven
    assert not Schedule(none, none, none, 8, bound=3, last=4).proven
    assert Link("a").wait == Wait() and plain_calendar().length == 1600
