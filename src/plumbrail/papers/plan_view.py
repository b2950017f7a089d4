"""The plan of holes to scale, in one piece or in strips where the row is long."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.model.parts import Model
from plumbrail.papers import strips as st
from plumbrail.papers.furniture import Area, north_arrow, scale_bar
from plumbrail.papers.plan_strip import Strip, StripJob
from plumbrail.papers.sheet import Item, Scale, View
from plumbrail.papers.wording import JobInfo
from plumbrail.setout.stakes import Stakes

_BAND = 19.0
"""Height kept for scale bar and north arrow [mm]."""
_PITCH = 9.0
"""Holes nearer on paper than this [mm] are worth breaking the row into strips."""
_MOST_PAGES = 2


@dataclass(frozen=True)
class PlanView:
    """A page of the plan: its scale, its views, and the words set on the page."""

    scale: Scale
    views: tuple[View, ...]
    items: list[Item]


def plan_views(model: Model, stakes: Stakes, job: JobInfo, area: Area) -> list[PlanView]:
    """The plan on one page, or more; raises ValueError when no standard scale is small enough."""
    room = replace(area, bottom=area.bottom + _BAND)
    task, bays = StripJob(model, stakes, job), model.stations - 1

    def make(scale: Scale, count: int) -> list[Strip]:
        return [Strip(task, scale, first, last) for first, last in st.cuts(bays, count)]

    found = st.pages(make, bays, room, job.units, _PITCH, _MOST_PAGES)
    return [_page(strips, room, area, job, stakes.base.row_bearing) for strips in found]


def _page(
    strips: list[Strip], room: Area, area: Area, job: JobInfo, row_bearing: float
) -> PlanView:
    drawn, scale = st.placed(strips, room), strips[0].scale
    items = [*drawn.items, *scale_bar((area.left + 6, area.bottom + 2.0), scale, job)]
    items += north_arrow((area.right - 12.0, area.bottom + 8.0), row_bearing)
    return PlanView(scale, drawn.views, items)
