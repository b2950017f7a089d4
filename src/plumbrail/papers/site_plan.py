"""The site plan: the array, what stands around it, what is buried, to scale with north."""

from __future__ import annotations

from dataclasses import replace
from math import cos, degrees, sin

import numpy as np

from plumbrail.papers.furniture import (
    Area,
    drawing_area,
    finished,
    north_arrow,
    notes,
    numbered,
    scale_bar,
)
from plumbrail.papers.layers import on
from plumbrail.papers.marking_colours import MARKINGS
from plumbrail.papers.placing import Room
from plumbrail.papers.sheet import (
    Circle,
    Item,
    Page,
    Point,
    Polyline,
    Scale,
    Sheet,
    Text,
    View,
    best_scale,
)
from plumbrail.papers.site_plan_bounds import (
    NEAR,
    area_marks,
    area_table,
    bound_notes,
    bound_words,
    boundary_marks,
    near_bounds,
    reserve_bounds,
    to_boundary,
)
from plumbrail.papers.site_plan_marks import (
    Frame,
    Labels,
    array_marks,
    measured,
    service_marks,
    setbacks,
    thing_marks,
)
from plumbrail.papers.site_plan_names import names_of
from plumbrail.papers.site_plan_parts import Site, rough
from plumbrail.papers.site_plan_tables import key_table, tables
from plumbrail.papers.site_plan_trench import (
    reserve_trench,
    trench_marks,
    trench_note,
    trench_words,
)
from plumbrail.papers.tables import flow
from plumbrail.papers.wording import JobInfo, angle, bearing
from plumbrail.papers.words import later, say, tell

_BAND = 19.0
_AROUND = 2.5
"""Ground drawn beyond everything [m]."""
_WORDS = 16.0
"""Room for words beyond the drawn ground, on each side [mm]."""
_ROSE = 3.5
_DEGREE = 0.4
"""How far the skyline stands off its ring for each degree [mm]."""


def site_plan(site: Site, job: JobInfo, page: Page) -> tuple[Sheet, ...]:
    """The plan on one sheet, then the tables of what stands around and what is buried.

    Raises ValueError when it does not fit the page at any standard scale.
    """
    said, area = notes(drawing_area(page), _notes(site, job))
    room = replace(area, bottom=area.bottom + _BAND)
    frame = _frame(site)
    wide, high = frame.high[0] - frame.low[0], frame.high[1] - frame.low[1]
    inner = (room.width - 2 * _WORDS, room.height - 0.8 * _WORDS)
    scale = best_scale(wide, high, inner, job.units)
    k = 1000.0 / scale.ratio
    origin = (
        0.5 * (room.left + room.right) - 0.5 * k * (frame.low[0] + frame.high[0]),
        0.5 * (room.bottom + room.top) - 0.5 * k * (frame.low[1] + frame.high[1]),
    )
    view, words = _drawn(site, job, frame, View(say("site plan"), scale.ratio, origin, ()), room)
    items = [*said, *words, *_foot(site, job, scale, area)]
    first = finished(say("Site plan"), page, job, scale, (view,), items)
    lines, left = notes(drawing_area(page), tuple(say(note) for note in _TABLE_NOTES))
    rest = [
        finished(say("Site plan: distances and services"), page, job, None, (), lines + marks)
        for marks in flow([*tables(site, job), area_table(site, job), key_table()], left)
    ]
    return numbered([first, *rest])


_TABLE_NOTES = (
    later("Setback: level distance from the outline of the modules in plan to the nearest edge of "
          "the thing; of a tree, to its crown. Height: of its top over the ground under it."),
    later("Letters of services are those of this drawing; the colours are those of public marking "
          "paint and flags. A mark shows about where a service lies, not how deep: dig by hand "
          "near it."),
)  # fmt: skip


def _drawn(
    site: Site, job: JobInfo, frame: Frame, view: View, room: Area
) -> tuple[View, list[Item]]:
    k = 1000.0 / view.scale
    things = on("obstacles", [m for t in site.things for m in thing_marks(t, k)])
    lines = on("services", [m for s in site.services for m in service_marks(s, frame)])
    free = Room(room)
    labels = Labels(site, job, view, free)
    labels.reserve_marks()
    reserve_trench(site, labels)
    reserve_bounds(site, frame, labels)
    held = labels.reserve_array()
    away = on("setbacks", setbacks(site, job, view, free))
    edge = to_boundary(site)
    if edge is not None and 1e-6 < edge.distance <= NEAR:
        ends = ((float(edge.here[0]), float(edge.here[1])),
                (float(edge.there[0]), float(edge.there[1])))  # fmt: skip
        away += on("setbacks", measured(ends, job, view, free))
    items = (*area_marks(site, frame), *boundary_marks(site, frame), *things,
             *array_marks(site, k), *lines, *trench_marks(site, k), *away)  # fmt: skip
    words = trench_words(site, labels) + labels.letters(frame) + labels.spots() + labels.things()
    labels.reserve_things()
    free.boxes.remove(held)
    words += labels.array()
    free.boxes.append(held)
    words += labels.services(frame)
    words += bound_words(site, job, frame, labels)
    return replace(view, items=items, names=names_of(site, frame)), words


def _frame(site: Site) -> Frame:
    """What is drawn: the array, what stands around it and the near part of what lies about it."""
    spots = [site.outline, site.model.posts.xy, np.array(site.pins).reshape(-1, 2),
             np.array([s.at for s in site.spots]).reshape(-1, 2)]  # fmt: skip
    spots += [np.array(t.centre) + np.array([[-1.0, -1.0], [1.0, 1.0]]) * t.half
              for t in site.things]  # fmt: skip
    spots += near_bounds(site)
    if site.trench is not None:
        spots += [np.array(p) for p in (*site.trench.machine, *site.trench.by_hand)]
    every = np.concatenate(spots)
    low, high = every.min(axis=0) - _AROUND, every.max(axis=0) + _AROUND
    return Frame((float(low[0]), float(low[1])), (float(high[0]), float(high[1])))


def _foot(site: Site, job: JobInfo, scale: Scale, area: Area) -> list[Item]:
    """Scale bar, mark of the horizon, north arrow."""
    items = scale_bar((area.left + 6, area.bottom + 2.0), scale, job)
    items += north_arrow((area.right - 12.0, area.bottom + 8.0), site.around.row_bearing)
    return items + _horizon(site, (area.right - 40.0, area.bottom + 9.0))


def _horizon(site: Site, at: Point) -> list[Item]:
    """A ring with the skyline about it, further out where it is higher; nothing if not said."""
    land = site.around.horizon
    if land is None:
        return []
    points = []
    for way in np.radians(np.arange(0.0, 360.0, 5.0)):
        turned = site.around.row_bearing - float(way)  # counter-clockwise from the x axis
        off = _ROSE + min(_DEGREE * max(degrees(float(land.at(way))), 0.0), 5.0)
        points.append((at[0] + off * cos(turned), at[1] + off * sin(turned)))
    items: list[Item] = [
        Polyline(tuple(points), "medium", True, "light"), Circle(at, _ROSE, "thin", "paper"),
    ]  # fmt: skip
    items.append(Text((at[0] - _ROSE - 6.5, at[1] - 1.25), say("Horizon"), align="end"))
    return list(on("north", items))


def _notes(site: Site, job: JobInfo) -> tuple[str, ...]:
    found = [
        *bound_notes(site, job),
        _buried(site),
        say("{finest}, level. Heavy edge of the array: its low edge, the front. Black dots: pier "
            "holes F1 to F{n} in front, B1 to B{n} at the back, from the left. {numbers}",
            finest=_finest(job), n=site.model.stations, numbers=_named(site)),
        *(tell(note) for note in site.around.notes),
    ]  # fmt: skip
    run = _equipment(site, job)
    if run:
        found.append(run)
    land = site.around.horizon
    if land is not None:
        i = int(land.height.argmax())
        found.append(say(
            "Horizon of the land: highest {height} toward {bearing}; grey about the ring at the "
            "foot of the sheet, wider where it is higher, north as the arrow.",
            height=angle(float(land.height[i])), bearing=bearing(float(land.bearing[i])),
        ))  # fmt: skip
    return tuple(found)


def _finest(job: JobInfo) -> str:
    return say("Lengths to 1 in" if job.units == "us" else "Lengths in millimetres, to 10 mm")


def _named(site: Site) -> str:
    if not site.things:
        return ""
    more = len(site.things) > 4
    return say(
        "Numbers: see the table of what stands around; the four nearest setbacks are drawn." if more
        else "Numbers: see the table of what stands around."
    )  # fmt: skip


def _buried(site: Site) -> str:
    if not site.services:
        return say(
            "Buried services: none given to this drawing, which clears nothing. Call before "
            "you dig: have buried services located and marked before the first hole."
        )
    kinds = {s.kind for s in site.services}
    legend = "; ".join(
        say("{letter} {what} (marked {colour})", letter=m.letter, what=say(m.what),
            colour=say(m.colour))
        for m in MARKINGS if m.kind in kinds
    )  # fmt: skip
    zoned = any(s.tolerance for s in site.services)
    zone = f" {say('Dotted: zone to dig by hand.')}" if zoned else ""
    return say("Buried: {legend}.{zone} Call before you dig: have buried services located and "
               "marked before the first hole, and dig by hand near the marks.", legend=legend,
               zone=zone)  # fmt: skip


def _equipment(site: Site, job: JobInfo) -> str:
    if site.trench is not None:
        return trench_note(site, site.trench, job)
    if site.run_length is None:
        return "" if site.spots else say("Equipment: no place and no run given; not drawn.")
    return say(
        "Equipment: {length} of conduit from the array; the plan gives that length but no route: "
        "not drawn here unless a service P shows it.", length=rough(job, site.run_length),
    )  # fmt: skip
