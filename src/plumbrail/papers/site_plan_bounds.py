"""Marks of the site plan: boundary, setback line, easements, paving, rock and other areas."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

import numpy as np

from plumbrail.model.parts import Array
from plumbrail.papers.layers import on
from plumbrail.papers.sheet import Hatch, Item, Line, Point
from plumbrail.papers.site_plan_marks import Frame, Labels
from plumbrail.papers.site_plan_parts import Site, rough
from plumbrail.papers.tables import Table
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import later, say
from plumbrail.site.flat import (
    Nearest,
    closed,
    inset,
    lines_apart,
    outline_room,
    outlines_apart,
    to_line,
)
from plumbrail.site.grounds import Area

NEAR = 15.0
"""Ground is drawn as far as the boundary and areas that are no further than this [m]."""
_ALONG = (0.5, 0.25, 0.75, 0.1, 0.9)
NEAR_SERVICE = 8.0
"""The same for buried services, which run on beyond the drawing [m]."""
_TOUCH = 0.05
_COMPACT = 9.0
"""Areas no larger than this to each side of their middle [mm] are named beside, not inside."""
_KINDS = {
    "easement": later("easement"), "paving": later("paving"), "rock": later("rock"),
    "roots": later("roots"), "keep out": later("keep out"),
}  # fmt: skip
_KNOWN = {
    "survey": later("survey"), "markers found": later("markers found"), "fence": later("fence"),
    "map": later("map"),
}  # fmt: skip


def to_boundary(site: Site) -> Nearest | None:
    """From the array to the boundary; below 0 where it sticks out. None: not stated."""
    line = None if site.grounds is None else site.grounds.property_line
    return None if line is None else outline_room(site.outline, line)


def near_bounds(site: Site) -> list[Array]:
    """(n, 2) places of boundary, areas and services that belong on the drawing."""
    edge = to_boundary(site)
    found = [] if edge is None or edge.distance > NEAR else [edge.there]
    for area in site.areas:
        near = outlines_apart(site.outline, area.outline)
        if near.distance <= NEAR:
            found.append(near.there)
    for service in site.services:
        beside = lines_apart(closed(site.outline), service.points)
        if beside.distance <= NEAR_SERVICE:
            found.append(beside.there)
    return [np.array(found).reshape(-1, 2)]


def area_marks(site: Site, frame: Frame) -> list[Item]:
    """Areas, hatched within the frame; of roots only the edge, dotted."""
    items: list[Item] = []
    for area in site.areas:
        corners = cut_to(area.outline, frame)
        if len(corners) >= 3 and area.kind != "roots":
            pattern = "ground" if area.kind in {"easement", "keep out"} else "concrete"
            items.append(Hatch(corners, pattern))  # type: ignore[arg-type]
        pen = {"roots": "frost", "keep out": "medium"}.get(area.kind, "thin")
        edge = frame.clipped(_line(closed(area.outline)))
        items += [Line(a, b, pen) for a, b in edge if not _on_boundary(site, a, b)]
    return list(on("site", items))


def _on_boundary(site: Site, a: Point, b: Point) -> bool:
    """A straight piece that lies on the boundary, whose dashes must stay to be seen."""
    line = None if site.grounds is None else site.grounds.property_line
    return line is not None and bool((to_line([a, b], closed(line)) < _TOUCH).all())


def boundary_marks(site: Site, frame: Frame) -> list[Item]:
    """The boundary, and inside it the line that the setback asks for."""
    if site.grounds is None or site.grounds.boundary is None:
        return []
    line, setback = site.grounds.property_line, site.grounds.boundary.setback
    assert line is not None
    edge: list[Item] = [Line(a, b, "base") for a, b in frame.clipped(_line(closed(line)))]
    inner = [] if setback <= 0 else inset(line, setback)
    back: list[Item] = [Line(a, b, "hidden") for p in inner for a, b in frame.clipped(_line(p))]
    return [*on("site", edge), *on("setbacks", back)]


def bound_words(site: Site, job: JobInfo, frame: Frame, labels: Labels) -> list[Item]:
    """What the boundary, the setback line and each area are, once each."""
    items: list[Item] = []
    if site.grounds is not None and site.grounds.boundary is not None:
        line, setback = site.grounds.property_line, site.grounds.boundary.setback
        assert line is not None
        items += _on_pieces(frame.clipped(_line(closed(line))), [say("Boundary")], labels)
        inner = [] if setback <= 0 else inset(line, setback)
        said = say("Setback {size}", size=rough(job, setback))
        items += _on_pieces([p for i in inner for p in frame.clipped(_line(i))], [said], labels)
    for i, area in enumerate(site.areas):
        corners = cut_to(area.outline, frame)
        if len(corners) < 3:
            continue
        number, half = f"A{i + 1}", _half_size(corners)
        places = [_middle(corners)]
        if max(half) * labels.k > _COMPACT:
            places, half = [*places, *_between(corners), *corners], (0.0, 0.0)
        items += labels.about(places, half, [f"{number} {area.name}", number])
    return items


def reserve_bounds(site: Site, frame: Frame, labels: Labels) -> None:
    """Keep words off the boundary and off small areas."""
    line = None if site.grounds is None else site.grounds.property_line
    for a, b in () if line is None else frame.clipped(_line(closed(line))):
        labels.keep_off_line(a, b)
    for area in site.areas:
        corners = cut_to(area.outline, frame)
        if len(corners) < 3:
            continue
        half = max(_half_size(corners))
        if half * labels.k <= _COMPACT:
            labels.room.keep_clear(labels.view.to_page(_middle(corners)), 0.7 * half * labels.k)


def _on_pieces(pieces: list[tuple[Point, Point]], words: list[str], labels: Labels) -> list[Item]:
    """Words by the longest straight piece; nothing when none is on the drawing."""
    if not pieces:
        return []
    order = sorted(pieces, key=lambda p: -float(np.hypot(*np.subtract(p[1], p[0]))))[:3]
    places = [
        (a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])) for a, b in order for s in _ALONG
    ]
    return labels.about(places, (0.0, 0.0), words)


def bound_notes(site: Site, job: JobInfo) -> list[str]:
    """What is known of the boundary and of areas, or that nobody stated it."""
    boundary = None if site.grounds is None else site.grounds.boundary
    edge = to_boundary(site)
    if boundary is None or edge is None:
        return [say("Property boundary, easements, setbacks that the building or fire department "
                    "asks for: not in the plan, not checked. Ask before digging."),
                *_area_notes(site)]  # fmt: skip
    sure = {
        "fence": say("A fence is not the boundary: not checked."),
        "map": say("A map is not the boundary: not checked."),
    }.get(boundary.known_by, "")
    if edge.distance <= 0:
        away = say("THE ARRAY STANDS {size} OVER IT.", size=rough(job, -edge.distance))
    elif edge.distance > NEAR:
        away = say("The array is {size} from it: too far for this drawing.",
                   size=rough(job, edge.distance))  # fmt: skip
    else:
        away = say("The array is {size} from it.", size=rough(job, edge.distance))
    unread = "" if boundary.easements_read else say("Easements: not read, not checked.")
    said = say("Boundary, known by {how}: long dashes with two dots; inside it, dashed, the "
               "setback of {size}. {away}", how=say(_KNOWN[boundary.known_by]),
               size=rough(job, boundary.setback), away=away)  # fmt: skip
    return [" ".join(s for s in (said, sure, unread) if s), *_area_notes(site)]


def _area_notes(site: Site) -> list[str]:
    if not site.areas:
        return []
    return [say("A1 and so on: easements, paving, rock and other areas, see their table. No hole, "
                "no trench in an easement or a keep-out area.")]  # fmt: skip


def area_table(site: Site, job: JobInfo) -> Table:
    """Easements and areas, with what a trench costs there and how far the array is off."""
    rows = tuple(_area_row(site, i, a, job) for i, a in enumerate(site.areas))
    heads = (say("No."), say("Area"), say("What"), say("Trench\ncosts"), say("From the\narray"),
             say("Holes in it"))  # fmt: skip
    return Table(say("Easements and areas"), heads, rows)


def _area_row(site: Site, i: int, area: Area, job: JobInfo) -> tuple[str, ...]:
    model = site.model
    apart = outlines_apart(site.outline, area.outline).distance
    radius = 0.5 * model.piers.diameter
    holes = ", ".join(model.posts.ids[p] for p in area.meets(model.posts.xy, radius)) or "–"
    factor = f"× {area.dig_factor:g}" if isfinite(area.dig_factor) else say("none there")
    return (
        f"A{i + 1}", area.name, say(_KINDS[area.kind]), factor,
        rough(job, apart) if apart > 0 else say("overlaps in plan"), holes,
    )  # fmt: skip


def cut_to(outline: Array, frame: Frame) -> tuple[Point, ...]:
    """Corners of the part of an outline inside the frame, side of the frame by side."""
    corners = [(float(x), float(y)) for x, y in outline]
    for axis, limit, sign in (
        (0, frame.low[0], 1.0), (0, frame.high[0], -1.0), (1, frame.low[1], 1.0),
        (1, frame.high[1], -1.0),
    ):  # fmt: skip
        corners = _half(corners, axis, limit, sign)
    return tuple(corners)


def _half(corners: Sequence[Point], axis: int, limit: float, sign: float) -> list[Point]:
    """The part of an outline on one side of a level or upright line."""
    found: list[Point] = []
    for a, b in zip(corners, [*corners[1:], *corners[:1]], strict=True):
        in_a, in_b = sign * (a[axis] - limit) >= 0, sign * (b[axis] - limit) >= 0
        if in_a:
            found.append(a)
        if in_a != in_b:
            s = (limit - a[axis]) / (b[axis] - a[axis])
            found.append((a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])))
    return found


def _half_size(corners: Sequence[Point]) -> Point:
    at = np.array(corners)
    wide, high = 0.5 * (at.max(axis=0) - at.min(axis=0))
    return float(wide), float(high)


def _between(corners: Sequence[Point]) -> list[Point]:
    """Places between the middle and the middles of the sides."""
    middle = np.array(_middle(corners))
    sides = 0.5 * (np.array(corners) + np.roll(np.array(corners), -1, axis=0))
    return _as_points(0.4 * middle + 0.6 * sides)


def _as_points(points: Array) -> list[Point]:
    return [(float(x), float(y)) for x, y in points]


def _middle(corners: Sequence[Point]) -> Point:
    x, y = np.array(corners).mean(axis=0)
    return float(x), float(y)


def _line(points: Array) -> tuple[Point, ...]:
    return tuple(_as_points(points))
