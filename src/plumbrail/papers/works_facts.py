"""The works as the plain facts that papers, screens and the calendar are made from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Protocol

from plumbrail.papers.words import figures, later, say
from plumbrail.works.battery import needed
from plumbrail.works.calendar import Calendar
from plumbrail.works.chain import CAUSES, Chain
from plumbrail.works.changeover import Change, Changed
from plumbrail.works.critical import Criticality
from plumbrail.works.network import Tables
from plumbrail.works.parts import Kind, Network, Schedule
from plumbrail.works.slack import people_of

HANGS = {"logic": later("no room"), "crew": later("short of hands"), "no": later("can wait")}
"""What a lost day does, in a word."""
_CAUSES = {
    "work": later("{n} of work"), "inspection": later("{n} of inspection"),
    "curing": later("{n} of curing"),
    "waiting for an inspector": later("{n} of waiting for an inspector"),
    "weather": later("{n} of weather"), "day off": later("{n} of nobody working"),
    "other": later("{n} with too little left of the day"),
}  # fmt: skip
_DAYS = (
    later("Mon"), later("Tue"), later("Wed"), later("Thu"), later("Fri"), later("Sat"),
    later("Sun"),
)  # fmt: skip


class Planned(Protocol):
    """What a job of the works has."""

    @property
    def net(self) -> Network: ...  # noqa: D102
    @property
    def cal(self) -> Calendar: ...  # noqa: D102
    @property
    def schedule(self) -> Schedule: ...  # noqa: D102
    @property
    def change(self) -> Change | None: ...  # noqa: D102
    @property
    def changed(self) -> Changed | None: ...  # noqa: D102
    @property
    def critical(self) -> Criticality: ...  # noqa: D102
    @property
    def chain(self) -> Chain: ...  # noqa: D102
    @property
    def notes(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def cautions(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def unchecked(self) -> tuple[str, ...]: ...  # noqa: D102


@dataclass(frozen=True)
class Row:
    """One task."""

    id: str
    words: str
    chapter: str
    letter: str
    hold: bool
    mark: bool
    people: int
    hands: tuple[int, ...]
    """Who of the crew, from 1."""
    start_day: int
    start_clock: float
    end_day: int
    end_clock: float
    hours: float
    slack: float
    """Hours of work by which it may end later with the works ending on the same day and the order
    of hands kept."""
    hangs: str
    """A day lost here moves the end by ``logic``, or as the ``crew`` is bound; ``no``: others can
    go first."""
    sure: bool
    """The last was decided; where not, it counts as ``crew``."""
    waits: tuple[int, float] | None
    """(day, clock) until which what comes next waits for curing; None: nothing does."""
    why: str

    @property
    def critical(self) -> bool:
        """A day lost here is a day lost at the end."""
        return self.hangs != "no"


@dataclass(frozen=True)
class ChangeDay:
    """One day of the changeover."""

    day: int
    live: tuple[str, ...]
    dead: tuple[str, ...]
    """Old strings disconnected or moved, new ones not switched in; all are live by light."""
    gives: int
    before: int
    lost: int
    modules: int
    charge: float | None
    wait_below: float | None
    """Charge on the evening before, below which nothing is disconnected on this day [Wh]."""


@dataclass(frozen=True)
class WorkFacts:
    """All of it."""

    cal: Calendar
    rows: tuple[Row, ...]
    last: int
    proven: bool
    crew: int
    change: tuple[ChangeDay, ...]
    unit: str
    made: Planned

    def date(self, day: int) -> date:
        """Date of a day."""
        return self.cal.date(day)

    def in_order(self) -> list[Row]:
        """By when they begin."""
        return sorted(self.rows, key=lambda r: (r.start_day, r.start_clock, r.end_day, r.end_clock))


def facts_of(made: Planned) -> WorkFacts:
    """The facts of a planned job."""
    net, cal, s = made.net, made.cal, made.schedule
    hands = people_of(net, s)
    cures = _cures(net, cal, s)
    rows = tuple(_row(made, i, hands[i], cures[i]) for i in range(len(net.tasks)))
    change = () if made.changed is None or made.change is None else _days(made.change, made.changed)
    unit = "" if made.change is None else made.change.unit
    return WorkFacts(cal, rows, cal.day_of_end(s.finish), s.proven, net.crew, change, unit, made)


def _cures(net: Network, cal: Calendar, s: Schedule) -> list[tuple[int, float] | None]:
    """(day, clock) of the first work after the curing that follows each task."""
    tables, index = Tables(cal), net.index()
    found: list[tuple[int, float] | None] = [None] * len(net.tasks)
    for task in net.tasks:
        for link in task.after:
            if link.wait.what == "cure":
                i = index[link.before]
                ready = int(tables.of(link.wait)[s.end[i]])
                found[i] = cal.day_of_start(ready), cal.clock(ready)
    return found


def _row(
    made: Planned, i: int, hands: tuple[int, ...], waits: tuple[int, float] | None
) -> Row:  # fmt: skip
    net, cal, s = made.net, made.cal, made.schedule
    task, start, end = net.tasks[i], int(s.start[i]), int(s.end[i])
    mark = start == end
    day = cal.day_of_start(start)
    return Row(
        task.id, task.words, task.chapter, task.letter, task.kind is Kind.HOLD, mark,
        int(s.people[i]), tuple(p + 1 for p in hands), day, cal.clock(start),
        day if mark else cal.day_of_end(end), cal.clock(start) if mark else cal.clock(end, True),
        (end - start) * cal.tick, float(s.slack[i]) * cal.tick, made.critical.words(i),
        bool(made.critical.sure[i]), waits, task.why,
    )  # fmt: skip


def _days(change: Change, done: Changed) -> tuple[ChangeDay, ...]:
    d, found = done.days, []
    for t in range(d.through + 1):
        up = [s.id for i, s in enumerate(change.old) if d.old_live[i, t]]
        up += [n.id for k, n in enumerate(change.new) if d.new_live[k, t]]
        all_ids = [*(s.id for s in change.old), *(n.id for n in change.new)]
        level = None if d.charge is None else float(d.charge[t])
        below = None if change.battery is None else needed(change.battery, t)
        found.append(ChangeDay(
            t, tuple(up), tuple(x for x in all_ids if x not in up), int(d.gives[t]),
            int(change.before[t]), int(d.lost[t]), int(d.modules[t]), level, below))  # fmt: skip
    return tuple(found)


def stretches(cal: Calendar, s: Schedule, i: int) -> list[tuple[int, float, float]]:
    """(day, from, to) of each day on which a task is worked on; clocks in hours after midnight."""
    found = []
    at, end = int(s.start[i]), int(s.end[i])
    while at < end:
        day = cal.day_of_start(at)
        until = min(end, int(cal.edge[day + 1]))
        found.append((day, cal.clock(at), cal.clock(until, True)))
        at = until
    return found


def clock(hours: float) -> str:
    """``07:30``."""
    minutes = round(hours * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def day_words(d: date) -> str:
    """``Mon 2026-05-11``."""
    return f"{say(_DAYS[d.weekday()])} {d.isoformat()}"


def amount(value: float, unit: str) -> str:
    """Energy of the changeover in its unit."""
    if unit == "Wh":
        return figures(f"{value / 1000:.1f}") + " kWh"
    return figures(f"{value:,.0f}") + " " + say("module-days")


def headlines(f: WorkFacts) -> list[str]:
    """The answers asked for first."""
    s = f.made.schedule
    days = len({d for i in range(len(f.rows)) for d, _, _ in stretches(f.cal, s, i)})
    best = say("proven: no order of work ends on an earlier day")
    if f.made.changed is not None:
        best = say("proven: no order that loses as little ends on an earlier day")
    sure = best if f.proven else (
        say("not proven; no order of work ends before {day}",
            day=day_words(f.date(f.made.schedule.bound))))  # fmt: skip
    found = [say("{first} to {last}: {days} days of work for a crew of {crew}; {sure}.",
                 first=day_words(f.date(0)), last=day_words(f.date(f.last)), days=days,
                 crew=f.crew, sure=sure)]  # fmt: skip
    found += [_made_of(f), _hanging(f)]
    done = f.made.changed
    if done is not None:
        once = done.once_days
        found.append(say(
            "String by string {step} are lost and the works end {end}; all at once {once}, ending "
            "{other}.", step=amount(done.days.total, f.unit),
            end=day_words(f.date(done.days.through)), once=amount(once.total, f.unit),
            other=day_words(f.date(once.through))))  # fmt: skip
        if done.days.least_charge is not None and once.least_charge is not None:
            found.append(say(
                "Battery at its least: {step} kWh, string by string; all at once it would need "
                "{less} kWh more than the reserve allows.",
                step=figures(f"{done.days.least_charge / 1000:.1f}"), less=_short(f)))  # fmt: skip
    return found


def _made_of(f: WorkFacts) -> str:
    """What the days to the end go on, along the tasks that it hangs on."""
    chain = f.made.chain
    parts = [say(_CAUSES[c], n=chain.count(c)) for c in CAUSES if chain.count(c)]
    return say("Of its {n} calendar days, by what the end waited for on each: {parts}.",
               n=len(chain.days), parts=", ".join(parts))  # fmt: skip


def _hanging(f: WorkFacts) -> str:
    work = [r for r in f.rows if not r.mark]
    by = {h: sum(r.hangs == h for r in work) for h in HANGS}
    words = say(
        "A day lost moves the end at {most} of {all} tasks, even if everything is planned anew: at "
        "{logic} of them more people would not help, at {crew} they might; {free} can wait for a "
        "day.", most=by["logic"] + by["crew"], all=len(work),
        logic=by["logic"], crew=by["crew"], free=by["no"])  # fmt: skip
    open_ = sum(not r.sure for r in work)
    if open_:
        words += " " + say("{n} of them were not decided and count as moving it.", n=open_)
    return words


def _short(f: WorkFacts) -> str:
    done, change = f.made.changed, f.made.change
    assert done is not None
    assert change is not None
    assert change.battery is not None
    level = done.once_days.least_charge
    assert level is not None
    return figures(f"{max(change.battery.least - level, 0.0) / 1000:.1f}")
