"""Plan the works: tasks from the model, the quickest schedule, the changeover from an old array."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from math import ceil
from pathlib import Path

import numpy as np

from plumbrail.errors import PlanError, Problem
from plumbrail.jobs.buying import pier_concrete
from plumbrail.jobs.drawing import Drawn, job_info, on_paper, paper, write_sheets
from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.jobs.trenching import TrenchJob
from plumbrail.jobs.wiring import WireJob
from plumbrail.jobs.works_energy import change_of, missing_battery, missing_weather
from plumbrail.jobs.yielding import YieldJob
from plumbrail.model.build import build_planned
from plumbrail.model.parts import Model
from plumbrail.papers.sheet import Page
from plumbrail.papers.works_days import change_sheet, day_sheets
from plumbrail.papers.works_facts import facts_of
from plumbrail.papers.works_gantt import gantt
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan, locate_problems
from plumbrail.plan.works import WEEKDAYS, Works
from plumbrail.site.sun import Place
from plumbrail.works import solve
from plumbrail.works.calendar import Calendar, Hours, calendar
from plumbrail.works.chain import Chain, chain
from plumbrail.works.changeover import Change, Changed, changed, guard_of, take_down
from plumbrail.works.critical import Criticality, criticality
from plumbrail.works.daylight import daylight
from plumbrail.works.network import TooShortError, refuse
from plumbrail.works.notes import notes_of
from plumbrail.works.parts import Array, Link, Network, Schedule, Task
from plumbrail.works.solve import quickest
from plumbrail.works.tasks import (
    Dug,
    PostWork,
    Quantities,
    Rates,
    StringWork,
    network,
    string_tasks,
)

SPAN = (150, 400)
"""Days of the calendar that is tried first, and when that is too short."""
ENDS = 4
"""Ends of a string that somebody makes: two at the box, two at the modules. Common practice."""
_MISSING = (
    "the plan has no [works] section; write one with start, crew, weekdays, begin, hours and "
    "[works.inspections], field by field as in docs/plan-file.md"
)
_NO_AIR = (
    "the curing needs the air of each month: give twelve mean temperatures here, or in "
    "energy.weather.air"
)


@dataclass(frozen=True)
class TrenchWork:
    """What a planned trench asks for. Hours of one person; filling is not among them."""

    length: float
    """[m]"""
    machine: float
    """Digging with the machine."""
    by_hand: float
    """Digging by hand, crossings included."""
    laying: float
    """Conduit and its bedding, bends."""


@dataclass(frozen=True)
class WorksJob:
    """The works of one plan."""

    run: Run
    plan: Plan
    model: Model
    net: Network
    cal: Calendar
    schedule: Schedule
    change: Change | None
    changed: Changed | None
    critical: Criticality
    """Of which task a day lost is a day lost at the end."""
    chain: Chain
    """What the end is made of."""
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    unchecked: tuple[str, ...]
    """What was not counted or looked at, in words."""

    @property
    def proven(self) -> bool:
        """No schedule ends sooner, and no order loses less."""
        return self.schedule.proven and (self.changed is None or self.changed.proven)

    @property
    def complete(self) -> bool:
        """Everything that the plan asks for was worked out and proven."""
        return self.proven and not self.unchecked

    @property
    def last(self) -> int:
        """Last day, counted from the first."""
        return self.cal.day_of_end(self.schedule.finish)


def works(
    loaded: LoadedPlan, energy: YieldJob | None = None, wires: WireJob | None = None,
    trench: TrenchWork | None = None, tell: solve.Tell | None = None,
) -> WorksJob:  # fmt: skip
    """The works of a plan. ``energy`` and ``wires``: the plan's own, where it has such sections.

    Raises PlanError for a plan without [works], GeometryError or RangeError in words.
    """
    plan = loaded.plan
    refuse_early(loaded)
    with located(loaded):
        model = build_planned(plan)
        counted = quantities(plan, model, wires, trench)
        try:
            return _made(loaded, model, counted, energy, wires, SPAN[0], tell)
        except TooShortError:
            return _made(loaded, model, counted, energy, wires, SPAN[1], tell)


def refuse_early(loaded: LoadedPlan) -> None:
    """Refuse what the plan alone shows, before minutes of work: no [works], too few people.

    Raises PlanError or RangeError in words.
    """
    plan = loaded.plan
    if plan.works is None:
        problems = locate_problems([Problem("works", _MISSING)], loaded.text)
        raise PlanError(problems, loaded.source)
    missing_battery(loaded)
    with located(loaded):
        refuse(network(quantities(plan, build_planned(plan), None, None), plan.works))


def _made(
    loaded: LoadedPlan, model: Model, q: Quantities, energy: YieldJob | None,
    wires: WireJob | None, days: int, tell: solve.Tell | None,
) -> WorksJob:  # fmt: skip
    plan = loaded.plan
    assert plan.works is not None
    cal = calendar_of(loaded, plan.works, energy, days)
    if plan.old_array is None:
        net = network(q, plan.works)
        schedule, change, done = quickest(net, cal, tell=tell), None, None
    else:
        missing_weather(loaded, energy)
        change = change_of(plan, q, cal, energy)
        net = network(q, plan.works, moved_tasks(plan, q, change), mounts=False)
        done = changed(net, change, cal, tell=tell)
        schedule = done.schedule
    said = notes_of(plan, cal, net, schedule, change, wires is not None)
    hangs = criticality(net, cal, schedule, None if change is None else guard_of(change))
    return WorksJob(run_of(loaded), plan, model, net, cal, schedule, change, done, hangs,
                    chain(net, cal, schedule), said.notes, said.cautions,
                    said.unchecked)  # fmt: skip


def quantities(
    plan: Plan, model: Model, wires: WireJob | None, trench: TrenchWork | None
) -> Quantities:
    """What there is to do, counted from the model."""
    mixed = pier_concrete(plan, model)
    n = len(model.posts.ids) // 2
    hole = np.pi / 4 * model.piers.diameter**2 * np.asarray(model.piers.depth)
    hole = np.broadcast_to(hole, 2 * n)
    posts = tuple(
        PostWork(id, "front" if i < n else "back", float(hole[i]), float(mixed.volume[0, i]),
                 float(mixed.volume[1, i]))
        for i, id in enumerate(model.posts.ids)
    )  # fmt: skip
    columns = np.bincount(model.rails.column, minlength=plan.array.columns + 1)[1:]
    stick = max(plan.stock.pipe.lengths)
    cuts = 2 * n + 2 * ceil(model.beams.length / stick) + len(model.braces.ids)
    run = plan.wiring.run.length if plan.wiring else 0.0
    length = run if trench is None else trench.length
    boxes = plan.wiring.combiners.count + 2 if plan.wiring else 0
    return Quantities(
        posts, model.beams.length, len(model.braces.ids), cuts + len(model.rails.ids),
        tuple(columns.tolist()), _strings(model, wires), run, length, boxes, plan.job.units,
        None if trench is None else Dug(trench.machine, trench.by_hand, trench.laying),
    )  # fmt: skip


def _strings(model: Model, wires: WireJob | None) -> tuple[StringWork, ...]:
    """Of the wiring; one for each row of modules where there is none."""
    if wires is None:
        of = np.asarray(model.modules.row) - int(np.min(model.modules.row))
        ids = [f"row {k + 1}" for k in range(int(of.max()) + 1)]
    else:
        of, ids = wires.wired.strings.string, list(wires.wired.strings.ids)
    column = np.asarray(model.modules.column)
    found = [
        StringWork(id, int((of == k).sum()), ENDS, tuple(np.unique(column[of == k]).tolist()))
        for k, id in enumerate(ids)
    ]
    left = of < 0
    if left.any():
        found.append(
            StringWork("spare", int(left.sum()), 0, tuple(np.unique(column[left]).tolist()))
        )
    return tuple(found)


def moved_tasks(plan: Plan, q: Quantities, change: Change) -> tuple[Task, ...]:
    """Tasks of the changeover: strings off, down and over, up, tested."""
    assert plan.old_array is not None
    assert plan.works is not None
    old, rates = plan.old_array, Rates(plan.works, plan.job.units)
    tasks: list[Task] = []
    moving = {s.id for s in change.old}
    for o, s in zip(change.old, [x for x in old.strings if x.id in moving], strict=True):
        hours = old.people * plan.works.hours * s.modules / old.modules_per_day
        tasks += take_down(o, hours, old.people, ())
    late = _late_rails(plan, q)
    for n in q.strings:
        extra = tuple(Link(f"take {o}") for o in sorted({o for c in n.columns
                                                         for o in late.get(c, ())}))  # fmt: skip
        tasks += string_tasks(n, rates, q, extra)
    return tuple(tasks)


def _late_rails(plan: Plan, q: Quantities) -> dict[int, list[str]]:
    """Column to the old strings whose rails it takes: re-used rails fill up from the right."""
    assert plan.old_array is not None
    found: dict[int, list[str]] = {}
    places = [c for c in range(len(q.columns), 0, -1) for _ in range(q.columns[c - 1])]
    for s in plan.old_array.strings:
        for c in places[: s.rails_reused]:
            found.setdefault(c, []).append(s.id)
        places = places[s.rails_reused :]
    return found


def calendar_of(loaded: LoadedPlan, said: Works, energy: YieldJob | None, days: int) -> Calendar:
    """The working days from works.start on."""
    plan = loaded.plan
    dates = [said.start + timedelta(days=k) for k in range(days)]
    place = Place(plan.site.latitude, plan.site.longitude, plan.site.elevation)
    rise, fall = daylight(place, plan.site.timezone, dates)
    hour, minute = said.begin.split(":")
    hours = Hours(said.start, tuple(WEEKDAYS.index(d) for d in said.weekdays),
                  int(hour) + int(minute) / 60, said.hours, said.days_off,
                  said.weather_days)  # fmt: skip
    air = _air(loaded, said, energy)
    return calendar(hours, days, air[[d.month - 1 for d in dates]], rise, fall)


def _air(loaded: LoadedPlan, said: Works, energy: YieldJob | None) -> Array:
    """(12,) mean air temperature [K]."""
    plan = loaded.plan
    if said.air is not None:
        return np.asarray(said.air)
    weather = plan.energy.weather if plan.energy else None
    if weather is not None and weather.air is not None:
        return np.asarray(weather.air)
    if weather is not None and weather.file is not None and energy is not None:
        from plumbrail.weather.year import month_of_hours

        month = month_of_hours()
        return np.array([energy.year.air[month == m].mean() for m in range(1, 13)])
    raise PlanError(locate_problems([Problem("works.air", _NO_AIR)], loaded.text), loaded.source)


@dataclass(frozen=True)
class Inputs:
    """What the works take from other jobs."""

    energy: YieldJob | None
    wires: WireJob | None
    trench: TrenchWork | None


def trench_work(made: TrenchJob | None) -> TrenchWork | None:
    """Length and hours of a planned trench."""
    if made is None:
        return None
    hours = made.trench.hours
    return TrenchWork(made.trench.option.length, hours.machine, hours.by_hand, hours.laying)


def works_inputs(loaded: LoadedPlan) -> Inputs:
    """Yield, wiring and trench, as far as the plan has sections for them.

    Raises PlanError or RangeError where the works are refused without them.
    """
    from plumbrail.jobs.trenching import trenching
    from plumbrail.jobs.wiring import wiring
    from plumbrail.jobs.yielding import yielding

    refuse_early(loaded)
    plan = loaded.plan
    weather = plan.energy.weather if plan.energy else None
    asked = plan.old_array is not None or (weather is not None and weather.file is not None)
    energy = yielding(loaded, blame=False) if plan.energy is not None and asked else None
    if plan.wiring is None:
        return Inputs(energy, None, None)
    wires = wiring(loaded, None if energy is None else energy.facts.shade.module)
    dug = None if plan.trench is None else trenching(loaded, wires)
    return Inputs(energy, wires, trench_work(dug))


def works_drawings(made: WorksJob, page: Page | None = None) -> list[Drawn]:
    """Bars, list of days, and the table of the changeover where there is one."""
    job, sheet, f = job_info(made.run, made.plan), page or paper(made.plan), facts_of(made)
    with on_paper("a drawing of the works", "shorten the works"):
        drawn = [
            Drawn("works", gantt(f, job, sheet)),
            Drawn("works-days", day_sheets(f, job, sheet)),
        ]
        if f.change:
            drawn.append(Drawn("works-changeover", change_sheet(f, job, sheet)))
    return drawn


def works_papers(made: WorksJob, folder: str) -> list[Path]:
    """Drawings and the calendar as files."""
    from plumbrail.jobs.works_calendar import works_ics

    written = write_sheets(works_drawings(made), folder)
    path = Path(folder) / "works.ics"
    path.write_bytes(works_ics(made))
    return [*written, path]
