"""The yield: light, modules, strings and losses of a whole year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.blame import culprits
from plumbrail.energy.cells import passed, warmth
from plumbrail.energy.chain import Lit, Spot, lit, spot
from plumbrail.energy.diode import RATED_LIGHT, best_point
from plumbrail.energy.losses import Step, chained, monthly, wire_loss
from plumbrail.energy.module import FittedModule, fitted
from plumbrail.energy.parts import PlaneLight, Shading, Yield
from plumbrail.energy.patches import Patches
from plumbrail.energy.shading import Traced
from plumbrail.energy.snow import covered, laid_out
from plumbrail.energy.strings import StringYear, shared_power, string_power
from plumbrail.errors import GeometryError, Problem
from plumbrail.plan.energy import Losses
from plumbrail.plan.models import Plan
from plumbrail.weather.year import HOURS, WeatherYear, month_of_hours

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
UNEVEN = 0.01
"""Spread of light over the strips, as a share of its mean, from which strings are worked out strip
by strip; below it the loss is under 0.02 %."""


@dataclass(frozen=True)
class Plant:
    """All that stays the same whatever stands around the array."""

    plan: Plan
    year: WeatherYear
    light: PlaneLight
    module: FittedModule
    place: Spot
    inputs: IntArray
    """(strings,) input of the equipment that each feeds."""
    counts: Array
    """(strings,) modules in each."""
    wiring: float | None
    """Share lost in the wires at rated power; None: nobody knows."""
    snow: Array = field(repr=False)
    """(hours,) share of the slope under snow."""
    snow_known: bool

    @property
    def losses(self) -> Losses:
        """Of the plan, or what is assumed."""
        return self.plan.energy.losses if self.plan.energy else Losses()

    @property
    def rated(self) -> float:
        """Of all modules in strings [W]."""
        return self.module.rated * float(self.counts.sum())

    def delivered(self, shading: Shading | None) -> Array:
        """(12,) delivered energy [J] behind this shading."""
        return monthly(_steps(self, shading).steps[-1].left)


def plant(
    plan: Plan, year: WeatherYear, light: PlaneLight, patches: Patches, strings: IntArray,
    wiring_share: float | None = None, inputs: IntArray | None = None,
) -> Plant:  # fmt: skip
    """The array ready to be lit.

    ``strings`` (modules,) index of the string or -1; ``wiring_share`` lost at rated power, worked
    out from the real run, used where energy.losses.wiring is not given; ``inputs`` (strings,) input
    each string feeds, all on one where left out. Raises PlanError for a module whose data sheet
    lacks values or contradicts itself, GeometryError when no module is in a string.
    """
    if strings.max(initial=-1) < 0:
        raise GeometryError([Problem("wiring", "no module is in a string")])
    counts = np.bincount(strings[strings >= 0]).astype(float)
    if not counts.all():
        raise GeometryError([Problem("wiring", f"string {int(np.argmin(counts))} has no module")])
    tilt = plan.array.tilt
    losses = plan.energy.losses if plan.energy else Losses()
    fall = year.snowfall
    if losses.snow_depth is not None:
        fall = laid_out(np.asarray(losses.snow_depth))
    snow = np.zeros(HOURS) if fall is None else covered(fall, light.total, year.air, tilt)
    return Plant(
        plan, year, light, fitted(plan.module),
        spot(patches, strings, plan.module.bypass, plan.module.halves, tilt),
        np.zeros(len(counts), dtype=np.int64) if inputs is None else inputs, counts,
        losses.wiring if losses.wiring is not None else wiring_share, snow, fall is not None,
    )  # fmt: skip


def yielded(ready: Plant, shade: Traced | Shading | None) -> Yield:
    """The yield behind all that shades, with what each thing of a :class:`Traced` costs."""
    traced = shade if isinstance(shade, Traced) else None
    shading = shade.all() if isinstance(shade, Traced) else shade
    run = _steps(ready, shading)
    blamed = () if traced is None else culprits(traced, ready.delivered, ready.delivered(shading))
    return Yield(ready.year, ready.light.total, run.steps[-1].left, run.strings,
                 chained(run.start, run.steps), blamed, ready.rated, _notes(ready))  # fmt: skip


@dataclass(frozen=True)
class _Run:
    start: Array
    """(8760,) light on the open plane at rated efficiency [W]."""
    steps: Sequence[Step]
    strings: Array
    """(strings, 8760)"""


def _steps(p: Plant, shading: Shading | None) -> _Run:
    losses = p.losses
    stated = p.plan.energy.losses.model_fields_set if p.plan.energy else set()
    clean = 1.0 - np.asarray(losses.soiling)[month_of_hours() - 1]
    found = lit(p.light, passed(p.light, p.plan.array.tilt), clean, p.snow, shading, p.place)
    dc = _strings(p, found)
    watts = p.rated / RATED_LIGHT
    years = [_year(found.hours, watts * a) for a in (found.beam_shaded, found.shaded, found.glass,
                                               found.dust, found.snow)]  # fmt: skip
    shade_known = shading is not None
    steps = [
        Step("shading of the sun", "Sun hidden by what stands around", years[0], shade_known),
        Step("shading of the sky", "Sky hidden by what stands around", years[1], shade_known),
        Step("reflection", "Thrown back by the glass, more at a slant", years[2], True),
        Step("soiling", "Dust and droppings, by month", years[3], "soiling" in stated),
        Step("snow", _SNOW if p.snow_known else _NO_SNOW, years[4], p.snow_known),
        Step("warmth and weak light", "Cells other than at 25 °C and 1000 W/m2",
             _year(found.hours, dc.alone), True),
        Step("uneven light", "Strips of cells in one string that do not get the same light",
             _year(found.hours, dc.own.power.sum(axis=0)), shade_known),
        Step("shared voltage", "Strings side by side on one input",
             _year(found.hours, dc.shared.power.sum(axis=0)), True),
    ]  # fmt: skip
    full = np.zeros((len(p.counts), HOURS))
    full[:, found.hours] = dc.own.power
    after = after_strings(p, found.hours, dc.shared, stated)
    return _Run(watts * p.light.total, [*steps, *after], full)


_SNOW = "Snow that lies on the modules until it slides"
_NO_SNOW = "Not checked: no snowfall in the weather file; give energy.losses.snow_depth"
_WIRES = "Wires, with the square of the current"
_NO_WIRES = "Not checked: give [wiring] with its run, or energy.losses.wiring"
_LIMITS = "Over what the equipment can take"
_NO_LIMITS = "Not checked: no max_current or max_power of the equipment is stated"


def after_strings(
    p: Plant, hours: IntArray, shared: StringYear, stated: set[str]
) -> list[Step]:  # fmt: skip
    """What is lost after the strings, whose power (strings, hours) is given at these hours."""
    losses = p.losses
    unlike = 1.0 - losses.mismatch
    fresh = unlike * (1.0 - losses.first_light)
    power, current = shared.power * fresh, shared.current * fresh
    rated = p.counts * p.module.rated
    share = np.asarray(0.0 if p.wiring is None else p.wiring)
    wires = wire_loss(share, rated[:, None], current, np.asarray(p.module.imp))
    wired = np.maximum(power - wires, 0.0)
    kept = _limited(p, wired, current)
    equipment = p.plan.wiring.equipment if p.plan.wiring else None
    limits = equipment is not None and bool(equipment.max_current or equipment.max_power)
    turned = kept * losses.conversion
    both = shared.power.sum(axis=0)
    return [
        Step("mismatch", "Modules that differ", _year(hours, both * unlike), "mismatch" in stated),
        Step("first light", "First days of a new module", _year(hours, both * fresh),
             "first_light" in stated),
        Step("wiring", _NO_WIRES if p.wiring is None else _WIRES,
             _year(hours, wired.sum(axis=0)), p.wiring is not None),
        Step("limits of the equipment", _LIMITS if limits else _NO_LIMITS, _year(hours, kept),
             limits),
        Step("conversion", "Controller or inverter", _year(hours, turned), "conversion" in stated),
        Step("down time", "Out of order", _year(hours, turned * (1.0 - losses.down_time)),
             "down_time" in stated),
    ]  # fmt: skip


def _limited(p: Plant, power: Array, current: Array) -> Array:
    """(hours,) power within the current of each input and the power of the equipment.

    Cautious: max_power is held against what comes in, not what goes out.
    """
    equipment = p.plan.wiring.equipment if p.plan.wiring else None
    total = np.zeros(power.shape[1])
    for g in np.unique(p.inputs):
        on = p.inputs == g
        part, amps = power[on].sum(axis=0), current[on].sum(axis=0)
        if equipment is not None and equipment.max_current is not None:
            part = part * np.minimum(1.0, equipment.max_current / np.maximum(amps, 1e-9))
        total += part
    if equipment is not None and equipment.max_power is not None:
        total = np.minimum(total, equipment.max_power)
    return total


@dataclass(frozen=True)
class _Direct:
    """Direct current in the hours of day."""

    alone: Array
    """(hours,) every strip of cells at its own best point, under its mean light."""
    own: StringYear
    shared: StringYear


def _strings(p: Plant, found: Lit) -> _Direct:
    """Power of the strings: plainly where the light is even, strip by strip where not."""
    T = warmth(found.shaded, p.year.air[found.hours], p.year.wind[found.hours], p.plan.module.noct)
    diode, bypass, string = p.module.diode, p.module.strips, p.place.string
    spread = found.weakest.max(axis=1) - found.weakest.min(axis=1)
    gap = (found.strips - found.weakest).max(axis=1)
    uneven = np.maximum(spread, gap) > UNEVEN * found.snow
    if len(np.unique(p.counts)) > 1:
        uneven |= found.snow > 0.0  # strings of unlike length never share a voltage freely
    best = best_point(diode.under(found.snow, T))
    alone = best.power * p.counts.sum()
    power = best.power * p.counts[:, None]
    amps = np.broadcast_to(best.current, power.shape).copy()
    own, shared = StringYear(power, amps), StringYear(power.copy(), amps.copy())
    at = np.flatnonzero(uneven)
    if len(at):
        warm, weak = T[at], found.weakest[at]
        each = best_point(diode.under(found.strips[at], warm[:, None])).power / bypass
        alone[at] = each.sum(axis=1)
        some = string_power(diode, bypass, weak, warm, string, len(p.counts))
        _put(own, at, some)
        alike = len(np.unique(p.inputs)) == len(p.inputs)
        _put(shared, at, some if alike
             else shared_power(diode, bypass, weak, warm, string, p.inputs))  # fmt: skip
    return _Direct(alone, own, shared)


def _put(into: StringYear, hours: IntArray, some: StringYear) -> None:
    into.power[:, hours] = some.power
    into.current[:, hours] = some.current


def _year(hours: IntArray, values: Array) -> Array:
    year = np.zeros(HOURS)
    year[hours] = values
    return year


def _notes(p: Plant) -> tuple[str, ...]:
    notes = list(p.year.notes)
    if p.module.short > 1e-6:
        notes.append(
            f"module: isc of the data sheet leaves no room for its own vmp and imp; the module "
            f"worked with has {100 * p.module.short:.1f} % more, and meets the other values."
        )
    if p.plan.module.noct is None:
        notes.append("cell temperature: no NOCT in the plan; Faiman's own figures are taken.")
    return tuple(notes)
