"""What the old and the new array give on each day of the works, from the yield of the plan."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from plumbrail.energy.battery import load_year
from plumbrail.energy.losses import monthly
from plumbrail.energy.sky import plane_light
from plumbrail.errors import PlanError, Problem, RangeError
from plumbrail.jobs.yielding import YieldJob
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan, locate_problems
from plumbrail.weather.year import DAYS, Origin, hour_of_day, month_of_hours
from plumbrail.works.battery import Battery, charge
from plumbrail.works.calendar import Calendar
from plumbrail.works.changeover import Change, New, Old
from plumbrail.works.parts import Array, IntArray
from plumbrail.works.tasks import Quantities

WINDOW = 15
"""Days to each side over which a day of the season is the mean."""
_WH = 3600.0


def missing_battery(loaded: LoadedPlan) -> None:
    """Raise PlanError where a reserve is stated but no battery and load, or too much of it."""
    plan = loaded.plan
    if plan.old_array is None or plan.old_array.reserve is None:
        return
    off_grid = plan.energy.off_grid if plan.energy else None
    if off_grid is None:
        raise _refused(loaded, "the reserve of a battery needs its loads and size: write "
                       "[energy.off_grid]")  # fmt: skip
    if plan.old_array.reserve.least >= off_grid.usable:
        raise _refused(loaded, "the reserve is as large as the battery's usable energy; state less")


def missing_weather(loaded: LoadedPlan, energy: YieldJob | None) -> None:
    """Raise PlanError where a reserve is stated and nothing is known of clouds."""
    plan = loaded.plan
    assert plan.old_array is not None
    if plan.old_array.reserve is None:
        return
    if energy is None or energy.year.origin is Origin.CLEAR:
        words = ("the reserve of a battery cannot be kept under a sky without clouds: give "
                 "energy.weather.file, or energy.weather.sun and air")  # fmt: skip
        raise _refused(loaded, words)


def _refused(loaded: LoadedPlan, words: str) -> PlanError:
    return PlanError(locate_problems([Problem("old_array.reserve", words)], loaded.text),
                     loaded.source)  # fmt: skip


def change_of(plan: Plan, q: Quantities, cal: Calendar, energy: YieldJob | None) -> Change:
    """What moves and what it gives. RangeError for modules that do not add up."""
    said = plan.old_array
    assert said is not None
    moving = [s for s in said.strings if s.reused or s.rails_reused]
    stays = [s for s in said.strings if not (s.reused or s.rails_reused)]
    total, reused = sum(n.modules for n in q.strings), sum(s.reused for s in moving)
    if reused > total:
        raise RangeError(
            f"old_array.strings: {reused} modules are re-used, but the new array has only {total}"
        )
    days = len(cal.ticks)
    pmax = plan.module.pmax
    each_old, each_new = np.ones(days), np.ones(days)
    unit = "module-days"
    if plan.energy is not None and energy is not None and pmax is not None:
        unit = "Wh"
        each_new, each_old = _per_watt(plan, energy, cal)

    def watts(s_pmax: float | None) -> float:
        return 1.0 if unit != "Wh" or pmax is None else (s_pmax or pmax)

    def gives(strings: list[tuple[int, float]], each: Array) -> IntArray:
        rows = [np.rint(m * w * each) for m, w in strings]
        return np.array(rows, dtype=np.int64).reshape(len(strings), days)

    old = gives([(s.modules, watts(s.pmax)) for s in moving], each_old)
    new = gives([(n.modules if n.terminations else 0, watts(None)) for n in q.strings], each_new)
    kept = gives([(s.modules, watts(s.pmax)) for s in stays], each_old).sum(axis=0)
    battery = None if said.reserve is None or energy is None else _battery(
        plan, energy, cal, float(max(old.sum(axis=0).max(), new.sum(axis=0).max())))  # fmt: skip
    change = Change(
        tuple(Old(s.id, s.modules, s.reused, s.controller) for s in moving),
        tuple(New(n.id, n.modules) for n in q.strings), total - reused, old, new, unit,
        kept.astype(np.int64), sum(s.modules for s in stays), said.least_modules, said.extra_days,
        battery,
    )  # fmt: skip
    _refuse_hopeless(change)
    return change


def _refuse_hopeless(change: Change) -> None:
    """Even the old array untouched does not keep the reserve."""
    if change.battery is None:
        return
    level = charge(change.battery, change.before.astype(np.int64))[:30]
    if level.min() < change.battery.least:
        day = int(np.argmax(level < change.battery.least))
        raise RangeError(
            "old_array.reserve: even the old array untouched does not keep it: by day "
            f"{day + 1} of the works the battery is down to {level[day] / 1000:.1f} kWh before "
            "sunrise. State a smaller reserve, lower loads, or more of the sun"
        )


def _days(cal: Calendar) -> Array:
    """(days,) day of the year, from 0; 29 February goes by the day before."""
    found = []
    for k in range(len(cal.ticks)):
        d = cal.first + timedelta(days=k)
        found.append(int(DAYS[: d.month - 1].sum()) + min(d.day, int(DAYS[d.month - 1])) - 1)
    return np.array(found)


def _season(daily: Array) -> Array:
    """(365,) running mean over the season, around the turn of the year."""
    wide = np.concatenate([daily[-WINDOW:], daily, daily[:WINDOW]])
    return np.convolve(wide, np.full(2 * WINDOW + 1, 1 / (2 * WINDOW + 1)), mode="valid")


def _per_watt(plan: Plan, energy: YieldJob, cal: Calendar) -> tuple[Array, Array]:
    """(days,) Wh of a day for a watt of modules: of the new array, and of the old one.

    The old one by its own light, with the new one's ratio of energy to light in the same month;
    shade at its place is not counted.
    """
    said, facts = plan.old_array, energy.facts
    assert said is not None
    rated = facts.found.rated
    new = facts.found.power.reshape(365, 24).sum(axis=1) / rated
    light = plane_light(facts.sun, facts.year, said.tilt, said.azimuth).total
    bare, open_ = facts.shade.open, monthly(facts.found.plane)
    ratio = bare / np.maximum(open_, 1.0) / rated
    month = month_of_hours()[::24] - 1
    old = light.reshape(365, 24).sum(axis=1) * ratio[month]
    at = _days(cal)
    return _season(new)[at], _season(old)[at]


def _battery(plan: Plan, energy: YieldJob, cal: Calendar, most: float) -> Battery:
    """Loads by the light of each day; ``most``: the largest energy of a day [Wh]."""
    off_grid, said = plan.energy.off_grid if plan.energy else None, plan.old_array
    assert off_grid is not None
    assert said is not None
    assert said.reserve is not None
    reserve = said.reserve
    way = off_grid.efficiency**0.5
    load = load_year(off_grid, energy.facts.ahead).reshape(365, 24) / way
    up = (energy.facts.sun.height > 0).reshape(365, 24)
    hour = hour_of_day().reshape(365, 24)
    night = (load * (~up & (hour < 12))).sum(axis=1)
    day = (load * up).sum(axis=1)
    evening = (load * (~up & (hour >= 12))).sum(axis=1)
    at = _days(cal)
    kept = way * reserve.sun_counted * _chargeable(energy, off_grid.charge_power, most)
    return Battery(off_grid.usable / _WH, reserve.least / _WH,
                   reserve.at_start * off_grid.usable / _WH, night[at], day[at], evening[at],
                   kept[at])  # fmt: skip


def _chargeable(energy: YieldJob, limit: float | None, most: float) -> Array:
    """(365,) share of a day's energy within the charger's limit, for the larger array: of a
    smaller one it takes more."""
    if limit is None:
        return np.ones(365)
    power = energy.facts.found.power.reshape(365, 24)
    daily = power.sum(axis=1)
    scale = max(most / max(float(daily.max()), 1.0), 1.0)
    taken = np.minimum(power * scale, limit).sum(axis=1)
    return np.asarray(np.where(daily > 0, taken / np.maximum(daily * scale, 1.0), 1.0))
