"""A battery between array and load, hour by hour through the year.

The efficiency is split evenly: its square root is lost on the way in and again on the way out.
Sun serves the load first, then the battery; the generator steps in before the battery when it runs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.plan.models import OffGrid
from plumbrail.weather.year import HOURS, Origin, WeatherYear, hour_of_day, month_of_hours

Array = NDArray[np.float64]
HOUR = 3600.0
LEAST_SHORT = 1e-6
"""Share of an hour's load below which it does not count as short."""


@dataclass(frozen=True)
class BatteryYear:
    """What a year does to a battery. Axis: hour, energies in J."""

    charge: Array
    """In the battery at the end of each hour."""
    start: float
    """In the battery at the beginning of the year [J]."""
    unmet: Array
    spilled: Array
    """Of the array, that nobody could take."""
    generator: Array
    lost: Array
    """On the way in and out of the battery."""
    load: Array
    array: Array

    @property
    def short_hours(self) -> int:
        """Hours in which some of the load was not met."""
        return int((self.unmet > LEAST_SHORT * self.load).sum())

    @property
    def short_share(self) -> float:
        """Of the year's load that was not met."""
        total = float(self.load.sum())
        return float(self.unmet.sum()) / total if total > 0.0 else 0.0

    @property
    def generator_hours(self) -> int:
        """Hours in which the generator ran."""
        return int((self.generator > 0.0).sum())

    @property
    def imbalance(self) -> float:
        """In less out, losses, spilled and what is stored [J]; rounding only."""
        into = self.array.sum() + self.generator.sum()
        out = (self.load - self.unmet).sum() + self.spilled.sum() + self.lost.sum()
        return float(into - out - (self.charge[-1] - self.start))


def load_year(off_grid: OffGrid, clock_ahead: Array | None = None) -> Array:
    """(8760,) load [W] in local standard time.

    ``clock_ahead`` (8760,) seconds by which the clock on the wall is ahead of standard time, as in
    summer; None where it never is.
    """
    daily = np.asarray(off_grid.daily, dtype=float)
    of_month = daily[month_of_hours() - 1] if len(daily) == 12 else np.full(HOURS, daily[0])
    ahead = np.zeros(HOURS) if clock_ahead is None else clock_ahead / HOUR
    shape = np.asarray(off_grid.hours) / np.sum(off_grid.hours)
    clock = (hour_of_day() + np.round(ahead).astype(int)) % 24
    return of_month * shape[clock] / HOUR


def refuse_smooth(weather: WeatherYear, daily_sequence: bool) -> None:
    """Raise RangeError unless the year has dull spells: a battery on smooth days never runs dry."""
    if weather.origin is Origin.FILE or (weather.origin is Origin.MONTHS and daily_sequence):
        return
    raise RangeError(
        f"energy.off_grid: this year of weather ({weather.origin.value}) has the same sun every "
        "day of a month, so a battery on it would hardly ever run dry. Give a weather file "
        "(energy.weather.file), or let the battery be worked out on the sequence of bright and "
        "dull days made from energy.weather.sun"
    )


def simulate(
    power: Array, load: Array, off_grid: OffGrid, *, weather: WeatherYear,
    daily_sequence: bool = False,
) -> BatteryYear:  # fmt: skip
    """The battery under ``power`` of the array and ``load`` (8760,) [W].

    The year is run twice from a full battery; the second one counts. ``daily_sequence`` says that a
    year made from monthly means is the one with bright and dull days; others are refused
    (RangeError).
    """
    refuse_smooth(weather, daily_sequence)
    return cycle(power, load, off_grid)


def cycle(power: Array, load: Array, off_grid: OffGrid) -> BatteryYear:
    """As :func:`simulate`, for any profile of 8760 hours."""
    if len(power) != HOURS or len(load) != HOURS:
        raise RangeError(f"power and load need {HOURS} hours each")
    cell = _Cell(off_grid)
    cell.year(power, load)
    start = cell.charge
    rows = np.array(cell.year(power, load))
    return BatteryYear(rows[:, 0], start, rows[:, 1], rows[:, 2], rows[:, 3], rows[:, 4],
                       load * HOUR, power * HOUR)  # fmt: skip


class _Cell:
    """State of the battery, and one hour of its life; plain numbers for speed."""

    def __init__(self, off_grid: OffGrid) -> None:
        self.usable = self.charge = off_grid.usable
        self.way = off_grid.efficiency**0.5
        limits = (off_grid.charge_power, off_grid.draw_power)
        self.most_in, self.most_out = (np.inf if p is None else p * HOUR for p in limits)
        engine = off_grid.generator
        self.engine = 0.0 if engine is None else engine.power * HOUR
        self.start = -1.0 if engine is None else engine.start * self.usable
        self.stop = 0.0 if engine is None else engine.stop * self.usable
        self.running = False

    def year(self, power: Array, load: Array) -> list[tuple[float, float, float, float, float]]:
        """(charge, unmet, spilled, generator, lost) of every hour."""
        return [
            self.hour(sun * HOUR, want * HOUR)
            for sun, want in zip(power.tolist(), load.tolist(), strict=True)
        ]

    def hour(self, sun: float, want: float) -> tuple[float, float, float, float, float]:
        """One hour with this energy of the sun and for the load [J]."""
        if self.running:
            self.running = self.charge < self.stop
        elif self.charge <= self.start:
            self.running = True
        over = max(0.0, sun - want)
        lack = max(0.0, want - sun)
        room = min(self.most_in, (self.usable - self.charge) / self.way)
        into = min(over, room)
        made = 0.0
        if self.running:
            made = min(self.engine, lack + room - into)
            serves = min(made, lack)
            lack -= serves
            into += made - serves
        drawn = min(lack, self.most_out, self.charge * self.way)
        before = self.charge
        self.charge = min(self.usable, max(0.0, before + into * self.way - drawn / self.way))
        lost = into - drawn - (self.charge - before)
        spilled = over - min(over, room)
        return self.charge, lack - drawn, spilled, made, lost
