"""The calendar of the works: ticks of work laid end to end, and the days they fall on.

Nights, days off and days lost to weather have no ticks, so that a task which pauses overnight is
one interval. What goes on at night, as curing does, is worked out by the clock.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.works.maturity import cured, gained
from plumbrail.works.parts import Array, IntArray, Wait

TICK = 0.25
"""Hours of a tick."""
_FRIDAY = 4


@dataclass(frozen=True)
class Calendar:
    """Axis: day from ``first``. Clocks in hours after midnight."""

    first: date
    ticks: IntArray
    """(days,) ticks of work; 0 where nobody works."""
    begin: Array
    """(days,) clock at which work begins."""
    air: Array
    """(days,) mean air temperature [K]."""
    lost: NDArray[np.bool_]
    """(days,) allowed for weather."""
    off: NDArray[np.bool_]
    """(days,) no working day for the inspector: weekends and days off."""
    tick: float = TICK
    edge: IntArray = field(init=False)
    """(days + 1,) ticks of work before each day."""
    day: IntArray = field(init=False)
    """(ticks,) day of each tick."""

    def __post_init__(self) -> None:
        edge = np.concatenate([[0], np.cumsum(self.ticks)]).astype(np.int64)
        object.__setattr__(self, "edge", edge)
        object.__setattr__(self, "day", np.repeat(np.arange(len(self.ticks)), self.ticks))

    @property
    def length(self) -> int:
        """All ticks."""
        return int(self.edge[-1])

    def date(self, day: int) -> date:
        """The date of a day."""
        return self.first + timedelta(days=int(day))

    def starts(self) -> Array:
        """(ticks,) clock [h from the first midnight] at which each tick begins."""
        into = np.arange(self.length) - self.edge[self.day]
        return 24.0 * self.day + self.begin[self.day] + self.tick * into

    def day_of_start(self, tick: int) -> int:
        """Day on which what begins at this tick begins."""
        return int(self.day[min(tick, self.length - 1)])

    def day_of_end(self, tick: int) -> int:
        """Day on which what ends at this tick ends."""
        return int(self.day[max(tick - 1, 0)]) if self.length else 0

    def clock(self, tick: int, end: bool = False) -> float:
        """Clock of that day [h after midnight] at which something begins, or ends, at a tick."""
        day = self.day_of_end(tick) if end else self.day_of_start(tick)
        return float(self.begin[day] + self.tick * (tick - self.edge[day]))

    def ready(self, wait: Wait) -> IntArray:
        """(ticks + 1,) first tick of what waits, by the tick at which the task before it ends.

        It never falls as that tick rises. ``length`` where the calendar is too short.
        """
        ends = np.arange(self.length + 1)
        if wait.what == "none":
            return ends
        last = self.day[np.maximum(ends - 1, 0)]
        if wait.what == "days":
            return self._from_day(last + int(wait.amount), ends)
        if wait.what == "visit":
            return self._from_day(self._visits(last, int(wait.amount)), ends)
        clock = 24.0 * last + self.begin[last] + self.tick * (ends - self.edge[last])
        at = cured(clock, wait.amount, gained(self.air))
        found = np.searchsorted(self.starts(), at - 1e-6)
        return np.maximum(found, ends)

    def _from_day(self, day: IntArray, ends: IntArray) -> IntArray:
        kept = np.minimum(day, len(self.ticks))
        return np.maximum(self.edge[kept], ends)

    def _visits(self, last: IntArray, amount: int) -> IntArray:
        """Day of the visit: so many of the inspector's working days after the day of the call."""
        working = np.flatnonzero(~self.off)
        place = np.searchsorted(working, last, side="right") - 1 + amount
        if amount == 0:
            place = np.searchsorted(working, last, side="left")
        far = np.append(working, np.full(amount + 2, len(self.ticks)))
        return far[np.clip(place, 0, len(far) - 1)]

    def whole_days(self) -> list[tuple[int, int]]:
        """First tick and tick after the last of every day of work."""
        return [(int(self.edge[d]), int(self.edge[d + 1])) for d in np.flatnonzero(self.ticks)]


@dataclass(frozen=True)
class Hours:
    """What a plan says of its working time."""

    first: date
    weekdays: tuple[int, ...]
    """Monday is 0."""
    begin: float
    """[h after midnight]"""
    hours: float
    days_off: tuple[date, ...] = ()
    weather: tuple[float, ...] | None = None
    """(12,) share of working days lost; None: not counted."""


def calendar(
    said: Hours, days: int, air: Array, sunrise: Array, sunset: Array, tick: float = TICK
) -> Calendar:
    """Work by the light of each day. ``air`` [K], ``sunrise``, ``sunset`` [h]: (days,) each.

    Days lost to weather are spread evenly over the working days: which they are nobody knows.
    """
    dates = [said.first + timedelta(days=k) for k in range(days)]
    off = np.array([d.weekday() > _FRIDAY or d in said.days_off for d in dates])
    works = np.array([d.weekday() in said.weekdays and d not in said.days_off for d in dates])
    lost = _lost(works, dates, said.weather)
    begin = np.maximum(said.begin, sunrise)
    light = np.maximum(np.minimum(said.hours, sunset - begin), 0.0)
    # the first tick begins on a quarter of an hour, as people do
    begin = np.ceil(begin / tick - 1e-9) * tick
    count = np.floor(np.minimum(light, np.maximum(sunset - begin, 0.0)) / tick + 1e-9)
    ticks = np.where(works & ~lost, count, 0).astype(np.int64)
    if not ticks.any():
        raise RangeError("works.weekdays: no day of the year after works.start can be worked")
    return Calendar(said.first, ticks, begin, air, lost, off, tick)


def _lost(
    works: NDArray[np.bool_], dates: list[date], share: tuple[float, ...] | None
) -> NDArray[np.bool_]:
    found = np.zeros(len(dates), dtype=bool)
    if share is None:
        return found
    owed = 0.5
    for i in np.flatnonzero(works):
        owed += share[dates[i].month - 1]
        if owed >= 1.0:
            found[i], owed = True, owed - 1.0
    return found
