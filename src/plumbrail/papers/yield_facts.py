"""What the screens and papers of the yield are made from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.angle_band import AngleBand
from plumbrail.energy.battery import BatteryYear
from plumbrail.energy.losses import monthly
from plumbrail.energy.parts import AngleMap, Loss, PlaneLight, SunYear, Yield
from plumbrail.energy.patches import Patches
from plumbrail.energy.shading import MonthlyShading
from plumbrail.energy.sizing import Sizing
from plumbrail.energy.worst import WorstMonth
from plumbrail.model.parts import Model
from plumbrail.plan.energy import OffGrid
from plumbrail.plan.models import Plan
from plumbrail.site.surroundings import Surroundings
from plumbrail.weather.year import WeatherYear

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

UNCOUNTED = (
    "shading of the sun", "shading of the sky", "uneven light", "snow", "wiring",
    "limits of the equipment",
)  # fmt: skip
"""Losses that count as nothing when nobody states them; others then have a usual value."""
SHADE = ("shading of the sun", "shading of the sky", "uneven light")


@dataclass(frozen=True)
class StringFact:
    """One string over the year."""

    id: str
    modules: tuple[str, ...]
    energy: float
    """Direct current at its own best point [J]."""
    against_best: float
    """Energy of each of its modules over that of the best string."""
    shade: float
    """Mean share of the year's light that its modules lose."""


@dataclass(frozen=True)
class ShadeFact:
    """What shade takes."""

    module: Array
    """(modules,) share of the year's light that each loses."""
    open: Array
    """(12,) delivered energy if nothing stood around [J]."""
    cost: Array
    """(12,) delivered energy that all shade together costs [J]."""


@dataclass(frozen=True)
class Island:
    """A place without a grid over the year."""

    asked: OffGrid
    load: Array
    """(8760,) [W]"""
    run: BatteryYear
    """With the generator, if there is one."""
    alone: BatteryYear
    """Sun and battery alone."""
    sizing: Sizing
    modules: IntArray
    """(arrays,) modules of the arrays in ``sizing``."""
    worst: WorstMonth
    """Least yield for its load."""
    rated: float
    """Of the plan's array [W]."""

    @property
    def met(self) -> float:
        """Share of the year's load that sun and battery meet alone."""
        return 1.0 - self.alone.short_share

    @property
    def own(self) -> tuple[int, int]:
        """Place of the plan's array and battery in ``sizing``."""
        s = self.sizing
        return (int(np.argmin(np.abs(s.arrays - self.rated))),
                int(np.argmin(np.abs(s.batteries - self.asked.usable))))  # fmt: skip

    @property
    def met_each(self) -> Array:
        """(years,) share of the load met in each year; one year of a weather file."""
        a, b = self.own
        return np.asarray(1.0 - self.sizing.each_share[:, a, b])

    @property
    def hours_each(self) -> IntArray:
        """(years,) hours short in each year."""
        a, b = self.own
        return np.asarray(self.sizing.each_hours[:, a, b])

    @property
    def met_years(self) -> int:
        """Years in which as much is met as the plan asks for."""
        return int((self.met_each >= self.asked.reliability - 1e-12).sum())

    @property
    def reliable(self) -> bool:
        """As much as the plan asks for, in as many of the years as it asks for."""
        return self.met_years >= self.asked.years_share * len(self.met_each) - 1e-9


@dataclass(frozen=True)
class Facts:
    """All of it."""

    plan: Plan
    model: Model
    sun: SunYear
    light: PlaneLight
    ahead: Array
    """(8760,) seconds by which clocks on site are ahead of the weather's time."""
    around: Surroundings
    patches: Patches
    shading: MonthlyShading | None
    """None: nothing is said of what stands around."""
    shade: ShadeFact
    found: Yield
    strings: tuple[StringFact, ...]
    map: AngleMap
    band: AngleBand
    island: Island | None
    island_missing: str
    """Why there is no island although the plan asks for one; empty otherwise."""
    notes: tuple[str, ...]

    @property
    def year(self) -> WeatherYear:
        """The weather."""
        return self.found.weather

    @property
    def months(self) -> Array:
        """(12,) delivered energy [J]."""
        return monthly(self.found.power)

    @property
    def energy(self) -> float:
        """Delivered in the year [J]."""
        return float(self.months.sum())

    @property
    def light_months(self) -> Array:
        """(12,) light on the plane that nothing shades [J/m2]."""
        return monthly(self.found.plane)

    @property
    def start(self) -> float:
        """Where the chain of losses starts: that light at rated efficiency [J]."""
        return float(monthly(self.found.plane).sum()) * self.found.rated / 1000.0

    @property
    def modules(self) -> int:
        """In strings."""
        return sum(len(s.modules) for s in self.strings)

    @property
    def worst_module(self) -> int:
        """Index of the module that loses the largest share of its light; the first of equals."""
        return int(np.argmax(np.round(self.shade.module, 6)))

    @property
    def unchecked(self) -> tuple[str, ...]:
        """What counts as nothing although nobody looked."""
        found = [
            f"{loss.name}: {loss.words.removeprefix('Not checked: ')}"
            for loss in self.found.losses
            if status(loss) == "not checked" and loss.name not in SHADE
        ]
        if self.shading is None:
            found.insert(0, f"{', '.join(SHADE)}: the plan says nothing of what stands around; "
                         "write [site.shade]")  # fmt: skip
        return tuple(found)

    @property
    def unstated(self) -> tuple[str, ...]:
        """Losses at a usual value that nobody stated."""
        return tuple(x.name for x in self.found.losses if status(x) == "not stated")


def status(loss: Loss) -> str:
    """``worked out``, ``not stated`` or ``not checked``."""
    if loss.checked:
        return "worked out"
    return "not checked" if loss.name in UNCOUNTED else "not stated"
