"""The rail and module layout: rails, modules, clamps and the zones where clamps may sit."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from plumbrail.errors import RangeError
from plumbrail.model.parts import Model
from plumbrail.papers import strips as st
from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered, scale_bar
from plumbrail.papers.rail_layout_strip import RailJob, RailStrip
from plumbrail.papers.sheet import Item, Page, Scale, Sheet
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, say

_BAND = 9.0
_PITCH = 6.0
_MOST_PAGES = 8


def rail_layout(
    model: Model, clamp_zone: tuple[float, float], rail: str, job: JobInfo, page: Page
) -> tuple[Sheet, ...]:
    """The layout, long rows in strips, then a table of rails.

    ``clamp_zone``: shares of the module side that the rails cross, from each of its ends;
    ``rail``: name of the rail. Raises RangeError for a zone that is none, ValueError when the page
    is too small.
    """
    if not 0 <= clamp_zone[0] < clamp_zone[1] <= 0.5:
        raise RangeError("the clamp zone must rise from 0 to 0.5, as shares of the module side")
    task = RailJob(model, job, clamp_zone)
    said, area = notes(drawing_area(page), _notes(task, rail))
    room = replace(area, bottom=area.bottom + _BAND)
    columns = int(model.modules.column.max())

    def make(scale: Scale, count: int) -> list[RailStrip]:
        return [RailStrip(task, scale, a + 1, b) for a, b in st.cuts(columns, count)]

    found = st.pages(make, columns, room, job.units, _PITCH, _MOST_PAGES)
    sheets = [_sheet(strips, job, page, said, area, room) for strips in found]
    sheets += [
        finished(say("Rail layout: rails"), page, job, None, (), marks)
        for marks in flow([_table(task)], drawing_area(page))
    ]
    return numbered(sheets)


def _sheet(
    strips: list[RailStrip], job: JobInfo, page: Page, said: list[Item], area: Area, room: Area
) -> Sheet:
    drawn, scale = st.placed(strips, room), strips[0].scale
    items = [*said, *drawn.items, *scale_bar((area.left + 6, area.bottom + 2.0), scale, job)]
    return finished(say("Rail and module layout"), page, job, scale, drawn.views, items)


def _notes(task: RailJob, rail: str) -> tuple[str, ...]:
    model, low, high = task.model, *(100.0 * s for s in task.clamp_zone)
    many = len(model.rails.ids)
    outside = task.outside
    zone = say(
        "Clamps stand OUTSIDE the zone on {n} of {rails} rails, {first} first: see the "
        "installation manual.", n=len(outside), rails=many, first=outside[0],
    ) if outside else say("All clamps stand inside it.")  # fmt: skip
    mid = int(task.clamps.sum())
    return (
        say("Seen square to the modules from above, front at the foot. {n} rails {rail}, each "
            "{length} long. Lengths in {unit}, up the slope and along the front beam.", n=many,
            rail=rail, length=task.job.said(model.rails.length), unit=task.job.unit),
        say("Hatched: where the maker allows clamps, {low} % to {high} % of the module side from "
            "each end. {zone}", low=figures(f"{low:.4g}"), high=figures(f"{high:.4g}"), zone=zone),
        say("{ends} end clamps (open squares), {mid} mid clamps (black dots): {n} in all. "
            "Dash-dotted: beams. Torque by the clamp maker's letter.", ends=2 * many, mid=mid,
            n=2 * many + mid),
        say("Modules are sails: no lifting in wind; two people to a module; they give voltage as "
            "soon as light falls on them."),
    )  # fmt: skip


def _table(task: RailJob) -> Table:
    model, ft = task.model, task.job.length
    rails, shares = model.rails, Counter(model.modules.column.tolist())
    rows = tuple(
        (
            id, str(int(rails.column[i])), ft(rails.length), ft(float(rails.on_beam[0, i])),
            ft(float(rails.on_beam[1, i])), ft(float(rails.crossing[0, i])),
            ft(rails.length - float(rails.crossing[1, i])), "2",
            str(shares[int(rails.column[i])] - 1),
        )
        for i, id in enumerate(rails.ids)
    )  # fmt: skip
    heads = (
        say("Rail"), say("Column"), say("Length"), say("Front beam,\nfrom left"),
        say("Back beam,\nfrom left"), say("Overhang\nlow"), say("Overhang\nhigh"),
        say("End\nclamps"), say("Mid\nclamps"),
    )  # fmt: skip
    return Table(say("Rails"), heads, rows)
