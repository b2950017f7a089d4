"""``plumbrail plan-works --json``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from plumbrail.jobs.output import CAUTION, Out, RunOut, run_out
from plumbrail.jobs.working import WorksJob
from plumbrail.papers.works_facts import ChangeDay, Row, WorkFacts, clock, facts_of, stretches
from plumbrail.works.notes import DEFER, SAFE_ORDER


class StretchOut(Out):
    """Part of a task on one day."""

    day: str = Field(description="Date.")
    begin: str = Field(description="Clock on site.")
    end: str


class TaskOut(Out):
    """One task."""

    id: str
    words: str
    chapter: str = Field(description="ground, frame, concrete, electrical, modules, old array, "
                         "hold.")  # fmt: skip
    kind: Literal["work", "hold point", "milestone"]
    letter: str = Field(description="Of a hold point; else empty.")
    people: int
    hands: list[int] = Field(description="Who of the crew, counted from 1.")
    hours: float = Field(description="Hours of work from beginning to end.")
    start_day: str
    start_clock: str
    end_day: str
    end_clock: str
    stretches: list[StretchOut]
    after: list[str] = Field(description="Tasks that it waits for.")
    slack_hours: float = Field(
        description="Hours of work by which it may end later with the works ending on that day; "
        "the order in which people go from task to task kept."
    )
    critical: bool = Field(
        description="A day lost here is a day lost at the end, even if all that begins from then "
        "on is planned anew."
    )
    critical_by: Literal["logic", "crew", "no"] = Field(
        description="logic: only waits and order lie between it and the end; crew: people, tools, "
        "modules or the battery are bound, more of them might help."
    )
    decided: bool = Field(description="False: it counts as critical without proof.")
    cured_day: str | None = Field(description="Day on which the concrete of it holds; else null.")
    why: str = Field(description="Quantity and rate.")


class DayOut(Out):
    """One calendar day."""

    day: str
    hours: float = Field(description="Hours of work; 0 on days off.")
    begin: str
    weather: bool = Field(description="Allowed for weather.")
    cause: str = Field(description="What the end waited for on this day: work, inspection, curing, "
                       "waiting for an inspector, weather, day off, other.")  # fmt: skip


class ChangeDayOut(Out):
    """What gives power on one day."""

    day: str
    live: list[str] = Field(description="Strings that give power.")
    dead: list[str] = Field(description="Strings that do not; they are live by light all the same.")
    gives: int
    before: int = Field(description="What the old array untouched would give.")
    lost: int
    modules: int = Field(description="Modules that give power.")
    charge: float | None = Field(description="Least charge of the day [Wh]; null: no battery.")
    wait_below: float | None = Field(
        description="Evening charge [Wh] below which nothing is disconnected the next day."
    )


class OrderOut(Out):
    """One way of changing over."""

    end: str
    lost: int
    proven: bool = Field(description="No order loses less within the same days.")
    least_charge: float | None = Field(description="[Wh]")


class ChangeoverOut(Out):
    """From the old array to the new one."""

    unit: str = Field(description="Wh, or module-days where no yield is known.")
    bought: int = Field(description="Modules that are not from the old array.")
    step_by_step: OrderOut
    at_once: OrderOut
    days: list[ChangeDayOut]
    safe_order: list[str] = Field(description="Of disconnecting and connecting a string.")
    defer: str


class WorksReport(Out):
    """Output of ``plumbrail plan-works --json``."""

    schema_name: Literal["plumbrail.works"] = Field("plumbrail.works", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    start: str
    end: str
    bound: str = Field(description="No schedule ends before this day.")
    proven: bool
    crew: int
    timezone: str
    days: list[DayOut]
    tasks: list[TaskOut] = Field(description="In the order of their beginning.")
    chain: list[str] = Field(description="Tasks that the end hangs on, each held up longest by the "
                             "one before it; of several alike, one.")  # fmt: skip
    changeover: ChangeoverOut | None = Field(description="Null without an old array.")
    notes: list[str]
    unchecked: list[str] = Field(description="What was not counted.")
    cautions: list[str]
    caution: str = CAUTION


def works_report(made: WorksJob) -> WorksReport:
    """The works as output."""
    f = facts_of(made)
    return WorksReport(
        run=run_out(made.run), job=made.plan.job.name, start=f.date(0).isoformat(),
        end=f.date(f.last).isoformat(), bound=f.date(made.schedule.bound).isoformat(),
        proven=made.schedule.proven, crew=f.crew, timezone=made.plan.site.timezone,
        days=_days(f), tasks=[_task(made, f, r) for r in f.in_order()],
        chain=[made.net.tasks[s.task].id for s in made.chain.steps], changeover=_change(made, f),
        notes=list(made.notes), unchecked=list(made.unchecked), cautions=list(made.cautions),
    )  # fmt: skip


def _days(f: WorkFacts) -> list[DayOut]:
    c = f.cal
    return [
        DayOut(day=c.date(d).isoformat(), hours=float(c.ticks[d]) * c.tick,
               begin=clock(float(c.begin[d])), weather=bool(c.lost[d]), cause=f.made.chain.days[d])
        for d in range(f.last + 1)
    ]  # fmt: skip


def _task(made: WorksJob, f: WorkFacts, r: Row) -> TaskOut:
    i = made.net.index()[r.id]
    task = made.net.tasks[i]
    parts = [
        StretchOut(day=f.date(d).isoformat(), begin=clock(a), end=clock(z))
        for d, a, z in stretches(made.cal, made.schedule, i)
    ]
    return TaskOut(
        id=r.id, words=r.words, chapter=r.chapter, kind=task.kind.value, letter=r.letter,
        people=r.people, hands=list(r.hands), hours=r.hours,
        start_day=f.date(r.start_day).isoformat(), start_clock=clock(r.start_clock),
        end_day=f.date(r.end_day).isoformat(), end_clock=clock(r.end_clock), stretches=parts,
        after=[x.before for x in task.after], slack_hours=r.slack, critical=r.critical, why=r.why,
        critical_by=r.hangs, decided=r.sure,
        cured_day=None if r.waits is None else f.date(r.waits[0]).isoformat(),
    )  # fmt: skip


def _change(made: WorksJob, f: WorkFacts) -> ChangeoverOut | None:
    done, change = made.changed, made.change
    if done is None or change is None:
        return None
    step, once = done.days, done.once_days
    return ChangeoverOut(
        unit=change.unit, bought=change.bought,
        step_by_step=OrderOut(end=f.date(step.through).isoformat(), lost=step.total,
                              proven=done.proven, least_charge=step.least_charge),
        at_once=OrderOut(end=f.date(once.through).isoformat(), lost=once.total,
                         proven=done.once_least >= once.total, least_charge=once.least_charge),
        days=[_day(f, d) for d in f.change], safe_order=list(SAFE_ORDER), defer=DEFER,
    )  # fmt: skip


def _day(f: WorkFacts, d: ChangeDay) -> ChangeDayOut:
    return ChangeDayOut(
        day=f.date(d.day).isoformat(), live=list(d.live), dead=list(d.dead), gives=d.gives,
        before=d.before, lost=d.lost, modules=d.modules, charge=d.charge, wait_below=d.wait_below,
    )  # fmt: skip
