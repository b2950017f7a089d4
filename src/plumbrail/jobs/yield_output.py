"""``plumbrail yield --json``."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from plumbrail.energy.angle_band import Band
from plumbrail.jobs.output import CAUTION, Out, RunOut, StepOut, run_out, steps_out
from plumbrail.jobs.yield_explaining import YieldExplanation
from plumbrail.jobs.yielding import YieldJob
from plumbrail.papers import yield_words as words
from plumbrail.papers.yield_facts import Facts, Island, status
from plumbrail.weather.year import DAYS

Array = NDArray[np.float64]


class WeatherOut(Out):
    """The year of weather."""

    origin: Literal["weather file", "twelve monthly means", "sky without any cloud"]
    source: str = Field(description="File and station, or where in the plan.")
    upper_bound: bool = Field(description="True for a sky without clouds.")
    error: str = Field(description="How far the numbers may be off because of it, in words.")
    latitude: float = Field(description="[rad], north positive.")
    longitude: float = Field(description="[rad], east positive.")
    elevation: float = Field(description="[m]")
    utc_offset: float = Field(description="Standard time less UTC [s].")
    notes: list[str]


class MonthOut(Out):
    """One month. Energies in J."""

    month: int = Field(description="1 to 12.")
    light: float = Field(description="On the plane if nothing shaded it [J/m2].")
    lost_to_shade: float | None = Field(description="Delivered energy it costs; null: not checked.")
    delivered: float
    daily: float = Field(description="Delivered in a mean day of it.")


class LossOut(Out):
    """One entry of the chain from light at rated efficiency to delivered energy [J]."""

    name: str
    words: str
    share: float = Field(description="Of what came into this step, over the year.")
    energy: float = Field(description="In the year; negative is a gain.")
    months: list[float]
    status: Literal["worked out", "not stated", "not checked"] = Field(
        description="not stated: a usual value, counted; not checked: nobody looked, counts as "
        "nothing."
    )


class CulpritOut(Out):
    """What one thing that shades costs [J]."""

    name: str
    energy: float = Field(description="Yield without it, less yield with it.")
    months: list[float]


class StringOut(Out):
    """One string."""

    id: str
    modules: list[str]
    energy: float = Field(description="Direct current in the year, at its own best point [J].")
    against_best: float = Field(description="Energy of each module over that of the best string.")
    shade: float = Field(description="Mean share of the year's light that its modules lose.")


class ModuleOut(Out):
    """One module."""

    id: str
    shade: float = Field(description="Share of the year's light that it loses to shade.")


class BandOut(Out):
    """A band of tilts at the plan's azimuth. Costs are shares."""

    low: float = Field(description="[rad]")
    high: float = Field(description="[rad]")
    year: float = Field(description="Most that a tilt in it loses of the year, against the best.")
    month: float = Field(description="Most that it loses of the worst month, against the best.")
    month_within: float = Field(description="The same against the best tilt of the band.")


class AnglesOut(Out):
    """Light on unshaded planes of many angles. Angles in rad, energies in J/m2."""

    tilts: list[float]
    azimuths: list[float] = Field(description="Clockwise from true north, rising.")
    year: list[list[float]] = Field(description="By tilt, then azimuth.")
    worst_month_light: list[list[float]] = Field(description="The same for the worst month.")
    worst_month: int = Field(description="Least light at the plan's own angles, 1 to 12.")
    share: float = Field(description="Cost that the flat band stays below.")
    flat: BandOut = Field(description="All tilts that cost less than that share of the year.")
    planned: BandOut | None = Field(description="The plan's own band.")
    best_tilt: float = Field(description="For the year, at the plan's azimuth.")
    best_month_tilt: float = Field(description="For the worst month, at the plan's azimuth.")
    map_tilt: float = Field(description="Best of the whole map.")
    map_azimuth: float
    tilt_cost: float = Field(description="What the plan's tilt loses of the year.")
    map_cost: float = Field(description="What its angles lose against the best of the map.")
    month_cost: float = Field(description="What its tilt loses of the worst month.")
    words: list[str]


class PairOut(Out):
    """An array and a battery."""

    modules: int
    array: float = Field(description="Rated power [W].")
    battery: float = Field(description="Usable energy [J].")


class SizesOut(Out):
    """Pairs of array and battery without a generator."""

    modules: list[int]
    batteries: list[float] = Field(description="Usable energy [J].")
    short_share: list[list[float]] = Field(
        description="Unmet share of load in the year of this report, by array, battery."
    )
    short_hours: list[list[int]] = Field(description="In the same year.")
    smallest: list[PairOut] = Field(
        description="Meet the reliability in years_share of the years; neither part of these can "
        "be one step smaller."
    )
    met_years: list[list[float]] = Field(
        description="Share of the years in which the reliability is met, by array, battery."
    )


class OffGridOut(Out):
    """Battery and loads over the year [J]."""

    reliability: float = Field(description="Share of load that the plan asks for.")
    met: float = Field(description="Share that sun and battery meet without a generator.")
    reliable: bool = Field(description="As much is met as asked for, in years_share of the years.")
    years_share: float = Field(description="Share of the years that the plan asks for.")
    met_each: list[float] = Field(
        description="Share met in each made year, that of this report first; one for a weather "
        "file."
    )
    short_hours_each: list[int] = Field(description="Hours short in each of them.")
    load: float
    unmet_alone: float = Field(description="Without a generator.")
    short_hours_alone: int
    unmet: float = Field(description="With the generator, if there is one.")
    short_hours: int
    spilled: float
    lost_in_battery: float
    generator: float
    generator_hours: int
    tightest_month: int
    tightest_cover: float | None = Field(description="Yield over load in it.")
    sizes: SizesOut


class HoursOut(Out):
    """8,760 hours from 1 January, standard time."""

    light: list[float] = Field(description="On the plane if nothing shaded it [W/m2].")
    delivered: list[float] = Field(description="[W]")


class YieldReport(Out):
    """Output of ``plumbrail yield --json``. Energies in J, power in W, angles in rad."""

    schema_name: Literal["plumbrail.yield"] = Field("plumbrail.yield", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    as_built: bool = Field(description="Tilt and places are as measured, not as planned.")
    complete: bool = Field(
        description="Nothing is not checked, and the load is met as the plan asks; exit code 0."
    )
    rated: float = Field(description="Of all modules in strings [W].")
    modules: int = Field(description="In strings.")
    energy: float = Field(description="Delivered in the year [J].")
    worst_month: int
    worst_daily: float = Field(description="Energy of a mean day in it [J].")
    lost_to_shade: float | None = Field(description="[J] a year; null: not checked.")
    weather: WeatherOut
    months: list[MonthOut]
    light_at_rated: float = Field(description="Where the chain of losses starts [J].")
    losses: list[LossOut]
    culprits: list[CulpritOut] = Field(description="Worst first.")
    strings: list[StringOut]
    shade: list[ModuleOut]
    angles: AnglesOut
    off_grid: OffGridOut | None
    off_grid_not_checked: str = Field(description="Why; empty when it was, or was not asked for.")
    not_checked: list[str] = Field(description="What counts as nothing since nobody looked.")
    not_stated: list[str] = Field(description="Losses at usual values that nobody stated.")
    notes: list[str]
    hours: HoursOut | None = Field(description="Only with --all.")
    caution: str = CAUTION


class YieldExplainReport(Out):
    """Output of ``plumbrail yield --explain ID --json``."""

    schema_name: Literal["plumbrail.yield-explain"] = Field(
        "plumbrail.yield-explain", alias="schema"
    )
    schema_version: Literal[1] = 1
    run: RunOut
    id: str
    title: str
    moment: str = Field(description="The hour it is worked out for; empty where there is none.")
    notes: list[str]
    steps: list[StepOut]
    caution: str = CAUTION


def yield_report(made: YieldJob, hours: bool = False) -> YieldReport:
    """The yield as output; ``hours`` also every hour."""
    f, worst = made.facts, made.worst
    return YieldReport(
        run=run_out(made.run), job=made.plan.job.name, complete=made.complete,
        as_built=made.plan.as_built is not None, rated=f.found.rated, modules=f.modules,
        energy=f.energy, worst_month=worst.month, worst_daily=worst.daily,
        lost_to_shade=_shade(f, float(f.shade.cost.sum())), weather=_weather(f),
        months=_months(f), light_at_rated=f.start, losses=_losses(f),
        culprits=[CulpritOut(name=c.name, energy=c.energy, months=c.month.tolist())
                  for c in f.found.culprits],
        strings=[StringOut(id=s.id, modules=list(s.modules), energy=s.energy,
                           against_best=s.against_best, shade=s.shade) for s in f.strings],
        shade=[ModuleOut(id=id, shade=float(s))
               for id, s in zip(f.model.modules.ids, f.shade.module, strict=True)],
        angles=_angles(f), off_grid=None if f.island is None else _off_grid(f.island),
        off_grid_not_checked=f.island_missing, not_checked=list(f.unchecked),
        not_stated=list(f.unstated), notes=[*f.notes, *_own(f)],
        hours=_hours(f) if hours else None,
    )  # fmt: skip


def yield_explain_report(made: YieldJob, found: YieldExplanation) -> YieldExplainReport:
    """The steps behind one number as output."""
    return YieldExplainReport(
        run=run_out(made.run), id=found.id, title=found.title, moment=found.moment,
        notes=list(found.notes), steps=steps_out(found.record),
    )  # fmt: skip


def _own(f: Facts) -> list[str]:
    """Notes of the yield that are not about the weather."""
    return [n for n in f.found.notes if n not in f.year.notes]


def _shade(f: Facts, energy: float) -> float | None:
    return None if f.shading is None else energy


def _weather(f: Facts) -> WeatherOut:
    y = f.year
    return WeatherOut.model_validate({
        "origin": y.origin.value, "source": y.source, "error": words.error_words(y),
        "upper_bound": y.origin.name == "CLEAR", "latitude": y.latitude,
        "longitude": y.longitude, "elevation": y.elevation, "utc_offset": y.utc_offset,
        "notes": list(y.notes),
    })  # fmt: skip


def _months(f: Facts) -> list[MonthOut]:
    return [
        MonthOut(month=k + 1, light=float(f.light_months[k]), delivered=float(f.months[k]),
                 lost_to_shade=_shade(f, float(f.shade.cost[k])),
                 daily=float(f.months[k] / DAYS[k]))
        for k in range(12)
    ]  # fmt: skip


def _losses(f: Facts) -> list[LossOut]:
    return [
        LossOut.model_validate({
            "name": x.name, "words": x.words, "share": x.share, "energy": x.energy,
            "months": x.month.tolist(), "status": status(x),
        })
        for x in f.found.losses
    ]  # fmt: skip


def _angles(f: Facts) -> AnglesOut:
    m, b = f.map, f.band
    return AnglesOut(
        tilts=m.tilts.tolist(), azimuths=m.azimuths.tolist(), year=m.energy.sum(axis=2).tolist(),
        worst_month_light=m.energy[:, :, b.worst_month - 1].tolist(), worst_month=b.worst_month,
        share=b.share, flat=_band(b.flat), planned=None if b.planned is None else _band(b.planned),
        best_tilt=b.best_tilt, best_month_tilt=b.best_month_tilt, map_tilt=b.map_tilt,
        map_azimuth=b.map_azimuth, tilt_cost=b.tilt_cost, map_cost=b.map_cost,
        month_cost=b.month_cost, words=list(words.tilt_words(f)),
    )  # fmt: skip


def _band(b: Band) -> BandOut:
    return BandOut(low=b.low, high=b.high, year=b.year, month=b.month, month_within=b.month_within)


def _off_grid(i: Island) -> OffGridOut:
    run, alone, s = i.run, i.alone, i.sizing
    return OffGridOut(
        reliability=i.asked.reliability, met=i.met, reliable=i.reliable,
        years_share=i.asked.years_share, met_each=i.met_each.tolist(),
        short_hours_each=i.hours_each.tolist(),
        load=float(run.load.sum()), unmet_alone=float(alone.unmet.sum()),
        short_hours_alone=alone.short_hours, unmet=float(run.unmet.sum()),
        short_hours=run.short_hours, spilled=float(run.spilled.sum()),
        lost_in_battery=float(run.lost.sum()), generator=float(run.generator.sum()),
        generator_hours=run.generator_hours, tightest_month=i.worst.month,
        tightest_cover=i.worst.cover,
        sizes=SizesOut(
            modules=i.modules.tolist(), batteries=s.batteries.tolist(),
            short_share=s.each_share[0].tolist(), short_hours=s.each_hours[0].tolist(),
            met_years=s.met_years.tolist(),
            smallest=[PairOut(modules=int(i.modules[a]), array=float(s.arrays[a]),
                              battery=float(s.batteries[b])) for a, b in s.corners.tolist()],
        ),
    )  # fmt: skip


def _hours(f: Facts) -> HoursOut:
    return HoursOut(light=f.found.plane.tolist(), delivered=f.found.power.tolist())


def hours_csv(made: YieldJob) -> str:
    """Every hour as a table for a spreadsheet, standard time, SI units in the headings."""
    f = made.facts
    columns: dict[str, Array] = {
        "light on the open plane [W/m2]": f.found.plane,
        "air [degC]": f.year.air - 273.15, "delivered [W]": f.found.power,
    }  # fmt: skip
    if f.island is not None:
        run = f.island.run
        columns |= {
            "load [W]": f.island.load, "in the battery at the end [kWh]": run.charge / words.KWH,
            "unmet [kWh]": run.unmet / words.KWH, "spilled [kWh]": run.spilled / words.KWH,
            "generator [kWh]": run.generator / words.KWH,
        }  # fmt: skip
    rows = ["month,day,hour begins (standard time)," + ",".join(columns)]
    table = np.stack(list(columns.values()), axis=1)
    hour = 0
    for month, days in enumerate(DAYS.tolist(), 1):
        for k in range(24 * days):
            cells = ",".join(f"{v:.4f}" for v in table[hour] + 0.0)
            rows.append(f"{month},{k // 24 + 1},{k % 24},{cells}")
            hour += 1
    return "\n".join(rows) + "\n"
