"""Clock times of a place as moments, on days when the clocks change too."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.plan.zones import time_zone

Array = NDArray[np.float64]

FIRST_YEAR, LAST_YEAR = 2000, 2100
"""Outside these years neither the zones nor the turning of the earth are known well enough."""


@dataclass(frozen=True)
class Moments:
    """Clock times of one day. Axis: moment."""

    clock: tuple[str, ...]
    """As a clock on site shows them: ``10:30``."""
    seconds: Array
    """Since 1970-01-01 00:00 UTC, without leap seconds."""


def zone_of(name: str) -> ZoneInfo:
    """The zone of a plan; raises RangeError that names its field."""
    try:
        return time_zone(name)
    except RangeError as error:
        raise RangeError(f"site.timezone {error}") from None


def through_the_day(day: date, zone: ZoneInfo, minutes: int) -> Moments:
    """Every ``minutes`` by the clock from midnight to midnight.

    A clock time that is jumped over is left out; one that comes twice is there twice, the second
    one marked ``again``.
    """
    _refuse(day)
    found: dict[datetime, str] = {}
    for minute in range(0, 24 * 60, minutes):
        shown = datetime.combine(day, time(minute // 60, minute % 60))
        for fold, word in ((0, ""), (1, " again")):
            moment = _utc(shown, zone, fold)
            if moment is not None:
                found.setdefault(moment, f"{shown:%H:%M}{word}")
    order = sorted(found)
    return Moments(tuple(found[m] for m in order), np.array([m.timestamp() for m in order]))


def at_clock(day: date, clock: time, zone: ZoneInfo) -> Moments:
    """One clock time, axis of one; the first of two when the clocks go back.

    Raises RangeError for a time that the clocks jump over.
    """
    _refuse(day)
    shown = datetime.combine(day, clock)
    moment = _utc(shown, zone, 0)
    if moment is None:
        raise RangeError(
            f"the clock never shows {clock:%H:%M} on {day}: the clocks jump over it. Read the "
            "clock again."
        )
    words = f"{clock:%H:%M:%S}" if clock.second else f"{clock:%H:%M}"
    return Moments((words,), np.array([moment.timestamp()]))


def twice(day: date, clock: time, zone: ZoneInfo) -> bool:
    """The clocks go back on this day and show this time two times."""
    shown = datetime.combine(day, clock)
    first, second = (shown.replace(tzinfo=zone, fold=f).utcoffset() for f in (0, 1))
    return first != second and _utc(shown, zone, 0) is not None


def clock_words(day: date, zone: ZoneInfo) -> str:
    """Which clock is meant: ``PDT, UTC-7:00``, and what it does on a day when it changes."""
    starts = [datetime.combine(day + timedelta(i), time()).replace(tzinfo=zone) for i in (0, 1)]
    first, last = (_offset(s) for s in starts)
    if first == last:
        return _named(starts[0])
    return (
        f"{_named(starts[0])} at first and {_named(starts[1])} at the end: the clocks change on "
        "this day"
    )


def _utc(shown: datetime, zone: ZoneInfo, fold: int) -> datetime | None:
    """The moment when a clock shows this; None when it never does, or never a second time."""
    moment = shown.replace(tzinfo=zone, fold=fold).astimezone(UTC)
    again = moment.astimezone(zone)
    return moment if again.replace(tzinfo=None) == shown and again.fold == fold else None


def _named(start: datetime) -> str:
    name, offset = start.tzname() or "", _offset(start)
    minutes = round(abs(offset) / 60)
    utc = f"UTC{'-' if offset < 0 else '+'}{minutes // 60}:{minutes % 60:02d}"
    return f"{name}, {utc}" if name.isalpha() and name != "UTC" else utc


def _offset(moment: datetime) -> float:
    offset = moment.utcoffset()
    assert offset is not None  # every zone has one
    return offset.total_seconds()


def _refuse(day: date) -> None:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise RangeError(
            f"setout.day is {day}, outside the years {FIRST_YEAR} to {LAST_YEAR} for which a "
            "shadow is worked out. Write the day of setting out."
        )
