"""The plan of holes to scale, in one piece or in strips where the row is long."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.model.parts import Model
from plumbrail.papers.furniture import Area, north_arrow, scale_bar
from plumbrail.papers.plan_strip import Strip, StripJob
from plumbrail.papers.sheet import SCALES, Item, Scale, View
from plumbrail.papers.wording import JobInfo
from plumbrail.setout.stakes import Stakes

_BAND = 19.0
"""Height kept for scale bar and north arrow [mm]."""
_PITCH = 9.0
"""Holes nearer on paper than this [mm] are worth breaking the row into strips."""
_MOST_STRIPS = 5
_MOST_PAGES = 2
_BETWEEN = 4.0


@dataclass(frozen=True)
class PlanView:
    """A page of the plan: its scale, its views, and the words set on the page."""

    scale: Scale
    views: tuple[View, ...]
    items: list[Item]


def plan_views(model: Model, stakes: Stakes, job: JobInfo, area: Area) -> list[PlanView]:
    """The plan on one page, or more; raises ValueError when no standard scale is small enough."""
    room = replace(area, bottom=area.bottom + _BAND)
    return [
        _page(strips, room, area, job, stakes.base.row_bearing)
        for strips in _pages(model, stakes, job, room)
    ]


def _page(
    strips: list[Strip], room: Area, area: Area, job: JobInfo, row_bearing: float
) -> PlanView:
    spare = (room.height - _stack(strips)) / (len(strips) + 1)
    top = room.top - spare
    views: list[View] = []
    items: list[Item] = []
    for strip in strips:
        view, words = strip.drawn(replace(room, top=top, bottom=top - strip.height))
        views.append(view)
        items += words
        top -= strip.height + _BETWEEN + spare
    scale = strips[0].scale
    items += scale_bar((area.left + 6, area.bottom + 2.0), scale, job)
    items += north_arrow((area.right - 12.0, area.bottom + 8.0), row_bearing)
    return PlanView(scale, tuple(views), items)


def _stack(strips: list[Strip]) -> float:
    return sum(s.height for s in strips) + _BETWEEN * (len(strips) - 1)


def _pages(model: Model, stakes: Stakes, job: JobInfo, room: Area) -> list[list[Strip]]:
    """One strip if its holes stand clear of each other on paper, else as many as it takes."""
    task = StripJob(model, stakes, job)
    best: list[list[Strip]] = []
    for count in range(1, min(_MOST_STRIPS, model.stations - 1) + 1):
        found = _fitted(task, room, count)
        if found and (not best or found[0][0].scale.ratio < 0.99 * best[0][0].scale.ratio):
            best = found
        if best and min(s.pitch for page in best for s in page) >= _PITCH:
            break
    if not best:
        raise ValueError("the plan does not fit at any standard scale; take a larger page")
    return best


def _fitted(task: StripJob, room: Area, count: int) -> list[list[Strip]]:
    """The largest strips of this number that fit, by pages; neighbours share a station."""
    bays = task.model.stations - 1
    cuts = [round(i * bays / count) for i in range(count + 1)]
    for scale in SCALES[task.job.units]:
        strips = [Strip(task, scale, a, b) for a, b in zip(cuts, cuts[1:], strict=False)]
        if max(s.width for s in strips) > room.width:
            continue
        pages: list[list[Strip]] = [[]]
        for strip in strips:
            if pages[-1] and _stack([*pages[-1], strip]) > room.height:
                pages.append([])
            pages[-1].append(strip)
        if len(pages) <= _MOST_PAGES and all(_stack(p) <= room.height for p in pages):
            return pages
    return []
