"""What the array yields: weather, sun, shade, strings, losses, angles, battery."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.angle_band import AngleBand, band_words
from plumbrail.energy.angles import TILTS, angle_map, facing
from plumbrail.energy.battery import cycle, load_year, simulate
from plumbrail.energy.losses import monthly
from plumbrail.energy.parts import AngleMap, PlaneLight, SunYear, Yield
from plumbrail.energy.patches import Patches, patches
from plumbrail.energy.run import Plant, plant, yielded
from plumbrail.energy.shading import MonthlyShading, Traced, trace
from plumbrail.energy.sizing import Sizing, smallest
from plumbrail.energy.sky import plane_light
from plumbrail.energy.sun import sun_year
from plumbrail.energy.worst import WorstMonth, worst_month
from plumbrail.energy.years import other_years as power_of_years
from plumbrail.errors import PlanError, RangeError
from plumbrail.jobs.drawing import Drawn, job_info, on_paper, paper
from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.jobs.weather import clock_ahead, other_years, weather_of
from plumbrail.model.build import build
from plumbrail.model.parts import Model
from plumbrail.papers.yield_facts import Facts, Island, ShadeFact, StringFact
from plumbrail.papers.yield_papers import yield_papers
from plumbrail.papers.yield_words import weather_warnings
from plumbrail.plan.energy import OffGrid
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan, locate_problems
from plumbrail.site.bearings import axes_bearing
from plumbrail.site.surroundings import Surroundings, surroundings
from plumbrail.weather.year import Origin, WeatherYear, month_of_hours
from plumbrail.wiring.run import wired

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

SHARE = 0.01
"""The band of tilts is told that costs less than this share of the year."""
_NO_ROUND = 1e-6
_KWH = 3.6e6


@dataclass(frozen=True)
class YieldJob:
    """The yield of one plan."""

    run: Run
    facts: Facts
    ready: Plant
    """The array as it was lit, for looking behind single numbers."""

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.facts.plan

    @property
    def model(self) -> Model:
        """As built where the plan says how that is, else as planned."""
        return self.facts.model

    @property
    def year(self) -> WeatherYear:
        """The weather."""
        return self.facts.year

    @property
    def found(self) -> Yield:
        """Light, power and losses."""
        return self.facts.found

    @property
    def worst(self) -> WorstMonth:
        """The month with the least energy of a mean day."""
        return worst_month(self.found.power)

    @property
    def complete(self) -> bool:
        """Everything was worked out, and the load is met as reliably as the plan asks.

        False also for a sky without clouds and for a station far off, which are not this place's
        weather, and for whatever counts as nothing because nobody states it. Usual values in
        place of stated ones are no reason.
        """
        facts = self.facts
        lasts = facts.island is None or facts.island.reliable
        here = self.year.origin is not Origin.CLEAR and not weather_warnings(self.year)
        known = here and not facts.unchecked
        return known and lasts and not facts.island_missing


@dataclass(frozen=True)
class _Lit:
    """Everything up to the light on every point."""

    plan: Plan
    model: Model
    year: WeatherYear
    sun: SunYear
    light: PlaneLight
    around: Surroundings
    patches: Patches
    traced: Traced | None
    shading: MonthlyShading | None
    module: Array
    """(modules,) share of the year's light lost to shade."""


@dataclass(frozen=True)
class _Strung:
    """Which module is in which string, and what the wires lose."""

    string: IntArray
    ids: tuple[str, ...]
    inputs: IntArray | None
    lost: float | None
    notes: tuple[str, ...]


def module_shade(loaded: LoadedPlan) -> Array:
    """(modules,) share of the year's light that shade takes from each, for choosing strings."""
    year = weather_of(loaded)
    with _placed(loaded), located(loaded):
        return _light(loaded.plan, year).module


def yielding(loaded: LoadedPlan, blame: bool = True) -> YieldJob:
    """The yield of a plan, also of one that has no [energy] section.

    ``blame`` also works out what each thing costs that shades, which takes a year for each.

    Raises PlanError for a bad weather file or a data sheet that lacks values, GeometryError or
    RangeError in words.
    """
    year = weather_of(loaded)
    with _placed(loaded), located(loaded):
        lit = _light(loaded.plan, year)
        strung = _strings(lit)
        ready = plant(_as_it_stands(lit), year, lit.light, lit.patches, strung.string,
                      strung.lost, strung.inputs)  # fmt: skip
        found = yielded(ready, lit.traced if blame else lit.shading)
        return YieldJob(run_of(loaded), _facts(lit, strung, ready, found), ready)


def yield_drawings(made: YieldJob) -> list[Drawn]:
    """Sheets of the yield, the map of angles, the shade, and the battery where there is one."""
    job, sheet = job_info(made.run, made.plan), paper(made.plan)
    with on_paper("a drawing of the yield", "shorten the names of what stands around"):
        return [Drawn(name, sheets) for name, sheets in yield_papers(made.facts, job, sheet)]


@contextmanager
def _placed(loaded: LoadedPlan) -> Iterator[None]:
    """Inside, what the yield misses in the plan gets its line and the name of the file."""
    try:
        yield
    except PlanError as error:
        if error.source not in ("", "plan"):
            raise
        raise PlanError(locate_problems(error.problems, loaded.text), loaded.source) from None


def _light(plan: Plan, year: WeatherYear) -> _Lit:
    model = build(plan)
    sun = sun_year(year)
    light = plane_light(sun, year, model.plane.tilt, model.plane.azimuth)
    bearing = axes_bearing(model.plane.azimuth, model.plane.row)
    around = surroundings(plan.site.shade, model.terrain, bearing)
    spots = patches(model, plan)
    count = len(model.modules.ids)
    if plan.site.shade is None:
        return _Lit(plan, model, year, sun, light, around, spots, None, None, np.zeros(count))
    traced = trace(spots.xyz, spots.normal, around, sun.toward(bearing), month_of_hours(), sun.up)
    shading = traced.all()
    lost = light_lost(light, shading)
    module = spots.mean(lost).reshape(count, -1).mean(axis=1)
    return _Lit(plan, model, year, sun, light, around, spots, traced, shading, module)


def light_lost(light: PlaneLight, shading: MonthlyShading) -> Array:
    """(points,) share of the year's light on the plane that shade takes from each point."""
    straight = light.beam + light.halo
    month = month_of_hours()
    got = np.zeros(shading.through.shape[1])
    for m in range(12):
        of = month == m + 1
        got += straight[of] @ shading.through[of].astype(float)
        got += light.dome[of].sum() * shading.dome_month[m]
        got += light.skyline[of].sum() * shading.skyline_month[m]
        got += light.ground[of].sum() * shading.ground_month[m]
    total = float(light.total.sum())
    if total <= 0.0:
        return np.zeros_like(got)
    lost = 1.0 - got / total
    return np.where(np.abs(lost) < _NO_ROUND, 0.0, lost)


def _as_it_stands(lit: _Lit) -> Plan:
    """The plan with the tilt that the modules really have."""
    if lit.model.plane.tilt == lit.plan.array.tilt:
        return lit.plan
    array = lit.plan.array.model_copy(update={"tilt": lit.model.plane.tilt})
    return lit.plan.model_copy(update={"array": array})


def _strings(lit: _Lit) -> _Strung:
    """From the wiring where the plan has one; else one string for each row of modules."""
    if lit.plan.wiring is not None:
        w = wired(lit.plan, lit.model, lit.module)
        lost = float(w.share_lost)
        left = int((w.strings.string < 0).sum())
        notes = []
        if left:
            notes.append(f"{left} {'module is' if left == 1 else 'modules are'} in no string.")
        if not w.chosen.feasible:
            notes.append("The grouping in strings does not pass; see plumbrail wire: "
                         f"{'; '.join(w.chosen.reasons)}.")  # fmt: skip
        return _Strung(w.strings.string, w.strings.ids, w.strings.input,
                       lost if np.isfinite(lost) else None, tuple(notes))  # fmt: skip
    row = np.asarray(lit.model.modules.row)
    _, string = np.unique(row, return_inverse=True)
    ids = tuple(f"row {k + 1}" for k in range(int(string.max()) + 1))
    words = ("The plan has no [wiring] section: each row of modules along the array counts as one "
             "string, all strings on one input. Voltages were not looked at.")  # fmt: skip
    return _Strung(string.astype(np.int64), ids, None, None, (words,))


def _facts(lit: _Lit, strung: _Strung, ready: Plant, found: Yield) -> Facts:
    whole = monthly(found.power)
    bare = whole if lit.shading is None else ready.delivered(None)
    shade = ShadeFact(lit.module, bare, bare - whole)
    light = _map(lit)
    ahead = clock_ahead(lit.plan, lit.year)
    island, missing = _island(lit, found, ready, ahead)
    return Facts(
        lit.plan, lit.model, lit.sun, lit.light, ahead, lit.around, lit.patches, lit.shading,
        shade, found, _string_facts(lit, strung, found), light, _band(lit, light), island, missing,
        (*strung.notes, *lit.around.notes, *lit.model.warnings),
    )  # fmt: skip


def _map(lit: _Lit) -> AngleMap:
    """Over the equator's side; all around where the array faces away from it."""
    azimuths = facing(lit.year.latitude)
    first = float(azimuths[0])
    if float(np.mod(lit.model.plane.azimuth - first, 2 * np.pi)) > azimuths[-1] - first:
        azimuths = np.radians(np.arange(-180.0, 180.1, 5.0)) + 0.5 * (first + azimuths[-1])
    return angle_map(lit.sun, lit.year, TILTS, azimuths)


def _band(lit: _Lit, light: AngleMap) -> AngleBand:
    plane = lit.model.plane
    return band_words(light, plane.tilt, lit.plan.array.tilt_band, plane.azimuth, SHARE)


def _string_facts(lit: _Lit, strung: _Strung, found: Yield) -> tuple[StringFact, ...]:
    energy = 3600.0 * found.string_power.sum(axis=1)
    of = [np.flatnonzero(strung.string == k) for k in range(len(strung.ids))]
    each = np.array([e / len(m) for e, m in zip(energy, of, strict=True)])
    best = float(each.max())
    ids = lit.model.modules.ids
    return tuple(
        StringFact(name, tuple(ids[i] for i in of[k]), float(energy[k]),
                   float(each[k] / best) if best > 0 else 0.0, float(lit.module[of[k]].mean()))
        for k, name in enumerate(strung.ids)
    )  # fmt: skip


def _island(
    lit: _Lit, found: Yield, ready: Plant, ahead: Array
) -> tuple[Island | None, str]:  # fmt: skip
    asked = lit.plan.energy.off_grid if lit.plan.energy else None
    if asked is None:
        return None, ""
    load = load_year(asked, ahead)
    try:
        run = simulate(found.power, load, asked, weather=lit.year, daily_sequence=True)
    except RangeError as error:
        return None, str(error).removeprefix("energy.off_grid: ")
    alone = cycle(found.power, load, asked.model_copy(update={"generator": None}))
    made = power_of_years(ready, lit.sun, lit.shading, found.power, other_years(lit.plan))
    per_watt = np.vstack([found.power, made]) / found.rated
    sizes = _sizes(lit, found, ready, load, asked, per_watt)
    worst = worst_month(found.power, load)
    modules = np.round(sizes.arrays * ready.counts.sum() / found.rated).astype(np.int64)
    return Island(asked, load, run, alone, sizes, modules, worst, found.rated), ""


def _sizes(
    lit: _Lit, found: Yield, ready: Plant, load: Array, asked: OffGrid, per_watt: Array
) -> Sizing:  # fmt: skip
    """A grid about the plan's array and battery, made wider until some pair will do."""
    count = int(ready.counts.sum())
    each = found.rated / count
    for wider in (1, 2, 4, 8, 16):
        arrays = np.asarray(each * array_steps(count, wider), dtype=float)
        batteries = battery_steps(asked.usable, wider)
        sizes = smallest(per_watt, load, asked, arrays, batteries, weather=lit.year,
                         daily_sequence=True)  # fmt: skip
        if sizes.enough.any():
            break
    return sizes


def array_steps(count: int, wider: int = 1) -> IntArray:
    """Modules of twelve or so arrays from small to twice the plan's, or ``wider`` times that."""
    step = max(1, round(wider * count / 6))
    found = np.arange(step, 2 * wider * count + 1, step)
    return np.unique(np.append(found, count))


def battery_steps(usable: float, wider: int = 1) -> Array:
    """Usable energies [J] of a dozen batteries in round kWh to three times the plan's, and its
    own."""
    rough = wider * usable / _KWH / 4
    power = 10.0 ** np.floor(np.log10(rough))
    nice = power * max(n for n in (1.0, 2.0, 2.5, 5.0) if n * power <= rough + 1e-9)
    found = nice * np.arange(1, int(3 * wider * usable / _KWH / nice + 1e-9) + 1)
    found = found[found <= 14 * nice + 1e-9]
    return np.unique(np.append(found * _KWH, usable).round(3))
