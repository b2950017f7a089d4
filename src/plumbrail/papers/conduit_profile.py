"""The conduit profile: the whole run true to scale, and both of its ends larger."""

from __future__ import annotations

from dataclasses import replace

from plumbrail.papers.conduit_profile_parts import ConduitRun, End
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered, scale_bar
from plumbrail.papers.layers import on, resting
from plumbrail.papers.names import named
from plumbrail.papers.placing import Room
from plumbrail.papers.sheet import (
    Circle,
    Dimension,
    Item,
    Line,
    Page,
    Polyline,
    Scale,
    Sheet,
    Text,
    View,
    best_scale,
)
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say, tell

_BAND = 9.0
_WHOLE = 14.0
_HEAD = 7.0
_SIDES, _LOW = 44.0, 8.0


def conduit_profile(run: ConduitRun, job: JobInfo, page: Page) -> tuple[Sheet, ...]:
    """One sheet; raises ValueError when the run does not fit the page at any standard scale."""
    said, area = notes(drawing_area(page), _notes(run, job))
    room = replace(area, bottom=area.bottom + _BAND)
    whole, overall, top = _whole(run, job, room)
    words: list[Item] = [
        Text((room.left, room.top - 4.0), say("Whole run, {scale}", scale=overall.words),
             3.0, bold=True),
        Text((room.left, top - 5.0), f"{run.start[0].upper()}{run.start[1:]}", 3.0, bold=True),
        Text((0.5 * (room.left + room.right) + 4, top - 5.0),
             f"{run.end[0].upper()}{run.end[1:]}", 3.0, bold=True),
    ]  # fmt: skip
    free = Room(room, [w for w in words if isinstance(w, Text)])
    free.avoid(whole)
    views, scale = _ends(run, job, replace(room, top=top - _HEAD))
    for view in views:
        free.avoid(view)
    for view, end in zip(views, (End(run, job, False), End(run, job, True)), strict=True):
        for number, spot in end.spots():
            x, y = view.to_page(spot)
            if number == "4":  # on its line: beside it would be nearer to another
                words.append(Text((x, y - 1.25), number, align="middle", bold=True, clear=True))
                continue
            aside = ("left", "right") if end.last else ("right", "left")
            sides = ("below", "above", *aside) if number in "23" else aside
            words += free.beside((x, y), number, sides, bold=True)
    bar = scale_bar((area.left + 6, area.bottom + 2.0), scale, job)
    title = say("Conduit profile: ends of the run")
    views = (whole, *views)
    return numbered([finished(title, page, job, scale, views, [*said, *words, *bar])])


def _whole(run: ConduitRun, job: JobInfo, room: Area) -> tuple[View, Scale, float]:
    """The run from end to end, its scale, and how far down it comes [mm]."""
    rise = run.rise or 0.0
    high = max(run.start_height, rise + run.end_height)
    low = min(0.0, rise) - run.cover
    scale = best_scale(run.level, high - low, (room.width - 24.0, 0.3 * room.height), job.units)
    k = 1000.0 / scale.ratio
    y = room.top - _HEAD - 2.0 - high * k
    x = room.left + 0.5 * (room.width - run.level * k)
    line = ((0.0, run.start_height), (0.0, -run.cover), (run.level, rise - run.cover),
            (run.level, rise + run.end_height))  # fmt: skip
    items: list[Item] = [
        *on("ground", [Line((-2.0 / k, 0.0), (0.0, 0.0), "thin"),
                       Line((0.0, 0.0), (run.level, rise), "hidden"),
                       Line((run.level, rise), (run.level + 2.0 / k, rise), "thin")]),
        *on("trenches", [Polyline(line, "heavy")]),
        *on("equipment", [Circle(line[0], 0.8 / k, "medium", "dark"),
                          Circle(line[-1], 0.8 / k, "medium", "dark")]),
        Dimension(line[1], line[2], -6.0, f"{job.length(run.trench)}"),
    ]  # fmt: skip
    bottom = y + low * k - _WHOLE
    names = named([run.start, run.end], [line[0], line[-1]])
    view = View(say("whole run"), scale.ratio, (x, y), tuple(items), names)
    return view, scale, bottom


def _ends(run: ConduitRun, job: JobInfo, room: Area) -> tuple[tuple[View, ...], Scale]:
    ends = [End(run, job, False), End(run, job, True)]
    part = 0.5 * room.width
    wide = max(e.across[1] - e.across[0] for e in ends)
    high = max(e.upright[1] - e.upright[0] for e in ends)
    scale = best_scale(wide, high, (part - _SIDES, room.height - _LOW - 4.0), job.units)
    k = 1000.0 / scale.ratio
    views = []
    for i, end in enumerate(ends):
        middle = room.left + (i + 0.5) * part - 0.5 * k * sum(end.across)
        spare = 0.5 * (room.height - _LOW - 4.0 - high * k)
        foot = room.bottom + _LOW + spare - k * min(e.upright[0] for e in ends)
        views.append(View(say("end {n}", n=i + 1), scale.ratio, (middle, foot),
                          resting("trenches", end.drawn(k)), end.names()))  # fmt: skip
    return tuple(views), scale


def _notes(run: ConduitRun, job: JobInfo) -> tuple[str, ...]:
    size = f" {run.trade}" if run.trade else say(", trade size not known")
    deep = run.ribbon_depth
    ribbon = (
        say("4 warning ribbon (recommended), {far} over the conduit.", far=job.said(run.ribbon))
        if deep
        else say("No warning ribbon is drawn: the cover leaves no room for it over the conduit.")
    )
    guess = say(
        "The ground between is drawn level: its rise is not known." if run.rise is None
        else "The ground between is drawn straight; how it runs there is a guess."
    )  # fmt: skip
    key = say("1 riser {riser}{size}. 2 sweep bend. 3 {method}{size}. {ribbon}",
              riser=run.riser, method=run.method, size=size, ribbon=ribbon)  # fmt: skip
    return (
        say("Call before you dig. No one enters a trench that could bury them; shore or slope it. "
            "Lengths in {unit}. {guess}", unit=job.unit, guess=guess),
        say("Run {length} of conduit with both risers, {trench} of it in the ground, under: "
            "{surface}. Cover is the least, from the top of the conduit to the finished ground; "
            "measure it before the trench is closed: not checked here.",
            length=job.said(run.length), trench=job.said(run.trench), surface=tell(run.surface)),
        f"{key} {say('5 expansion fitting.')}" if run.expansion else key,
        f"{_bends(run)} {_expansion(run)}",
    )  # fmt: skip


def _bends(run: ConduitRun) -> str:
    if run.bends is None:
        return say("Bends: the two at the risers; others not known, not counted.")
    return say(
        "Bends between pulling points: {n} quarter bends, over the usual limit, more than a full "
        "turn: put a pull box between." if run.bends > 4
        else "Bends between pulling points: {n} quarter bends, within the usual limit of one full "
        "turn.", n=run.bends,
    )  # fmt: skip


def _expansion(run: ConduitRun) -> str:
    if run.expansion is None:
        return say("Growth of the risers in the sun: not checked.")
    return say(
        "A riser needs an expansion fitting." if run.expansion else "No expansion fitting needed."
    )
