"""Plan of the route: where it runs, where it is dug by hand, what it crosses."""

from __future__ import annotations

from dataclasses import replace

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
from plumbrail.papers.names import named
from plumbrail.papers.placing import Room
from plumbrail.papers.sheet import (
    Circle,
    Item,
    Line,
    Page,
    Point,
    Polyline,
    Sheet,
    Text,
    View,
    best_scale,
)
from plumbrail.papers.site_plan_bounds import area_marks, boundary_marks, cut_to
from plumbrail.papers.site_plan_marks import Frame, Labels, array_marks, service_marks, thing_marks
from plumbrail.papers.site_plan_parts import Site
from plumbrail.papers.trench_facts import TrenchFacts, verdict_words
from plumbrail.papers.words import say
from plumbrail.site.surroundings import Kind
from plumbrail.trench.along import place
from plumbrail.trench.parts import Array

_BAND, _HEAD = 19.0, 6.0
_AROUND = 3.0
_WORDS = 18.0


def trench_plan(facts: TrenchFacts, site: Site, page: Page) -> tuple[Sheet, ...]:
    """One sheet; raises ValueError when the route does not fit at any usual scale."""
    said, area = notes(drawing_area(page), _notes(facts, site))
    room = replace(area, bottom=area.bottom + _BAND, top=area.top - _HEAD)
    frame = _frame(facts)
    wide, high = frame.high[0] - frame.low[0], frame.high[1] - frame.low[1]
    scale = best_scale(wide, high, (room.width - 2 * _WORDS, room.height - _WORDS), facts.job.units)
    k = 1000.0 / scale.ratio
    frame = _widened(frame, room, k)
    origin = (
        0.5 * (room.left + room.right) - 0.5 * k * (frame.low[0] + frame.high[0]),
        0.5 * (room.bottom + room.top) - 0.5 * k * (frame.low[1] + frame.high[1]),
    )
    view = View(say("route of the trench"), scale.ratio, origin, _drawn(facts, site, frame, k))
    stakes = facts.trench.stations
    view = replace(view, names=named([s.name for s in stakes], [s.point for s in stakes]))
    head = Text((area.left, area.top - 3.6), verdict_words(facts), 3.0, bold=True)
    words = _words(facts, site, frame, view, room)
    foot = scale_bar((area.left + 6, area.bottom + 2.0), scale, facts.job)
    foot += north_arrow((area.right - 12.0, area.bottom + 8.0), site.around.row_bearing)
    sheet = finished(say("Trench: plan of the route"), page, facts.job, scale, (view,),
                     [*said, head, *words, *foot])  # fmt: skip
    return numbered([sheet])


def _frame(facts: TrenchFacts) -> Frame:
    points = facts.trench.option.points
    low, high = points.min(axis=0) - _AROUND, points.max(axis=0) + _AROUND
    return Frame((float(low[0]), float(low[1])), (float(high[0]), float(high[1])))


def _widened(frame: Frame, room: Area, k: float) -> Frame:
    """The frame, filled out to the sheet."""
    half = (0.5 * room.width / k, 0.5 * room.height / k)
    mid = (0.5 * (frame.low[0] + frame.high[0]), 0.5 * (frame.low[1] + frame.high[1]))
    return Frame((mid[0] - half[0], mid[1] - half[1]), (mid[0] + half[0], mid[1] + half[1]))


def _drawn(facts: TrenchFacts, site: Site, frame: Frame, k: float) -> tuple[Item, ...]:
    things = [m for t in site.things for m in thing_marks(t, k)]
    things += list(array_marks(site, k))
    lines = [m for s in site.services for m in service_marks(s, frame)]
    kept = [*area_marks(site, frame), *boundary_marks(site, frame),
            *on("obstacles", _within(things, frame)),
            *on("services", lines)]  # fmt: skip
    return (*kept, *on("trenches", _route(facts, k)))


def _within(items: list[Item], frame: Frame) -> list[Item]:
    """Marks cut to the frame: lines and outlines at its edge, circles only when inside."""
    found: list[Item] = []
    for m in items:
        if isinstance(m, Line):
            found += [replace(m, start=a, end=b) for a, b in frame.clipped((m.start, m.end))]
        elif isinstance(m, Polyline):
            found += _cut(m, frame)
        elif isinstance(m, Circle) and all(
            frame.low[i] <= m.centre[i] - m.radius and m.centre[i] + m.radius <= frame.high[i]
            for i in (0, 1)
        ):
            found.append(m)
    return found


def _cut(m: Polyline, frame: Frame) -> list[Item]:
    if not m.closed:
        return [Line(a, b, m.pen, m.layer) for a, b in frame.clipped(m.points)]
    corners = cut_to(np.array(m.points), frame)
    if len(corners) < 3:
        return []
    ring = (*m.points, m.points[0])
    fill: list[Item] = []
    if m.fill is not None:
        fill.append(Polyline(corners, "thin", True, m.fill, m.layer))
    return [*fill, *(Line(a, b, m.pen, m.layer) for a, b in frame.clipped(ring))]


def _route(facts: TrenchFacts, k: float) -> list[Item]:
    """The trench; where it is dug by hand with cross strokes, as a ladder."""
    t, half = facts.trench, max(0.5 * _width(facts), 0.9 / k)
    points = t.option.points
    items: list[Item] = [Polyline(tuple(_pairs(points)), "heavy")]
    for piece in t.pieces:
        if not piece.hand:
            continue
        count = max(2, int(piece.long * k / 1.8))
        for at in np.linspace(piece.start, piece.end, count):
            items.append(_stroke(points, float(at), half))
    radius = 1.0 / k
    items += [Circle(s.point, 0.6 * radius, "medium", "paper") for s in t.stations]
    items += [Circle(c.point, radius, "medium", "dark") for c in t.crossings]
    for b in t.boxes:
        x, y = b.point
        items.append(Polyline(((x - radius, y - radius), (x + radius, y - radius),
                               (x + radius, y + radius), (x - radius, y + radius)), "medium", True,
                              "light"))  # fmt: skip
    return items


def _width(facts: TrenchFacts) -> float:
    assert facts.plan.trench is not None
    return facts.plan.trench.width


def _stroke(points: Array, at: float, half: float) -> Line:
    end = float(np.hypot(*np.diff(points, axis=0).T).sum())
    a, b = place(points, np.array([max(at - 1e-3, 0.0), min(at + 1e-3, end)]))
    way = (b - a) / np.hypot(*(b - a))
    side, mid = half * np.array([-way[1], way[0]]), 0.5 * (a + b)
    (x0, y0), (x1, y1) = mid - side, mid + side
    return Line((float(x0), float(y0)), (float(x1), float(y1)), "medium")


def _pairs(points: Array) -> list[Point]:
    return [(float(x), float(y)) for x, y in points]


def _words(facts: TrenchFacts, site: Site, frame: Frame, view: View, room: Area) -> list[Item]:
    """Names of stakes and crossings first, then of what is buried, then of what stands about."""
    free, t = _kept_clear(facts, frame, view, room), facts.trench
    words: list[Item] = []
    for station in t.stations:
        words += free.beside(view.to_page(station.point), station.name,
                             ("below", "above", "right", "left"), True)  # fmt: skip
    marked = [(c.number, c.point) for c in t.crossings] + [(b.name, b.point) for b in t.boxes]
    for name, at in marked:
        words += free.beside(view.to_page(at), name, ("above", "left", "right", "below"), True)
    labels = Labels(site, facts.job, view, free)
    words += labels.letters(frame)
    places = [(s.name, s.at) for s in site.spots] + [(a.name, _seen(a.outline, frame))
                                                     for a in site.areas]  # fmt: skip
    places += [(thing.name, thing.centre if thing.kind is Kind.TREE
                else _seen(thing.corners, frame)) for thing in site.things]  # fmt: skip
    for name, spot in places:
        if spot is not None and _inside(spot, frame):
            words += free.beside(view.to_page(spot), name, ("right", "above", "below", "left"))
    return words + labels.services(frame)


def _kept_clear(facts: TrenchFacts, frame: Frame, view: View, room: Area) -> Room:
    """Words keep off stakes, crossings, boxes and piers."""
    free, t, model = Room(room), facts.trench, facts.model
    small = [*(s.point for s in t.stations), *(c.point for c in t.crossings),
             *(b.point for b in t.boxes)]  # fmt: skip
    for at in small:
        free.keep_clear(view.to_page(at), 1.2)
    radius = max(0.5 * float(model.piers.diameter) * 1000.0 / view.scale, 0.6)
    for at in _pairs(model.posts.xy):
        if _inside(at, frame):
            free.keep_clear(view.to_page(at), radius)
    return free


def _seen(outline: Array, frame: Frame) -> Point | None:
    """The middle of what the frame shows of an area."""
    corners = cut_to(outline, frame)
    if len(corners) < 3:
        return None
    x, y = np.array(corners).mean(axis=0)
    return float(x), float(y)


def _inside(at: Point, frame: Frame) -> bool:
    return all(frame.low[i] <= at[i] <= frame.high[i] for i in (0, 1))


def _notes(facts: TrenchFacts, site: Site) -> tuple[str, ...]:
    t = facts.trench
    kinds = {s.kind for s in site.services}
    legend = "; ".join(say("{letter} {what}", letter=m.letter, what=say(m.what))
                       for m in MARKINGS if m.kind in kinds)  # fmt: skip
    return (
        say("Heavy line: the trench, {length} long, {hand} of it by hand, where it looks like a "
            "ladder. T: stakes, X: crossings (black), PB: pull boxes; see the table of stakes.",
            length=facts.length(t.option.length), hand=facts.length(t.option.hand)),
        say("Buried: {legend}. Dotted: zone to dig by hand.", legend=legend) if legend else
        say("The plan names no buried service. That clears nothing: have the ground located."),
        say("Call before you dig: mark the route in white, call or click 811, wait for all "
            "answers. A mark shows about where a service lies, not how deep."),
    )  # fmt: skip
