"""The battery from day to day, counted so that it never comes out better than by the hour.

All of the sun goes through the battery with its loss, and nothing of the load is met straight from
the sun: each moves charge from the battery the wrong way, if at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np

from plumbrail.works.parts import Array, IntArray


@dataclass(frozen=True)
class Battery:
    """Energies in Wh. Axis: day. Loads are what leaves the battery, its loss included."""

    usable: float
    least: float
    start: float
    """On the evening before the first day."""
    night: Array
    """(days,) from midnight to sunrise."""
    day: Array
    """(days,) from sunrise to sunset."""
    evening: Array
    """(days,) from sunset to midnight."""
    kept: Array
    """(days,) share of what the arrays give that reaches the cells: sun counted, efficiency in, and
    what the charger cannot take."""


@dataclass(frozen=True)
class Drawn:
    """Whole Wh, rounded up."""

    night: int
    day: int
    evening: int


def used_up(battery: Battery, t: int) -> Drawn:
    """What the loads draw on day t."""
    return Drawn(ceil(battery.night[t]), ceil(battery.day[t]), ceil(battery.evening[t]))


def stored(battery: Battery, t: int) -> int:
    """Wh stored of 1000 Wh given on day t, rounded down."""
    return floor(1000 * float(battery.kept[t]))


def charge(battery: Battery, gives: IntArray) -> Array:
    """(days,) least charge [Wh] of each day, by the rule that the schedule is held to."""
    least = np.empty(len(gives))
    level = float(int(battery.start))
    for t, given in enumerate(gives.tolist()):
        drawn = used_up(battery, t)
        dawn = level - drawn.night
        dusk = min(float(int(battery.usable)),
                   floor(dawn - drawn.day + stored(battery, t) * given / 1000))  # fmt: skip
        level = dusk - drawn.evening
        least[t] = min(dawn, level)
    return least


def needed(battery: Battery, t: int) -> float:
    """Charge [Wh] on the evening before day t with which even a day without sun keeps the reserve.

    The figure for going on or waiting on the morning of a disconnection.
    """
    drawn = used_up(battery, t)
    return float(battery.least) + drawn.night + drawn.day + drawn.evening
