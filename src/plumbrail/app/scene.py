"""Everything that is drawn, from a model and its checks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from plumbrail.app.bars import Member, members
from plumbrail.app.dimensions import dimensions
from plumbrail.app.marks import UNCHECKED, Standing, by_part, parts_of
from plumbrail.app.messages import Bar, CheckItem, Panel, Point, Scene, Thing
from plumbrail.app.things import Combiner, things
from plumbrail.check import Check
from plumbrail.checks.remedies import remedy
from plumbrail.jobs.designing import Design
from plumbrail.model.parts import Model
from plumbrail.site.bearings import axes_bearing

Array = NDArray[np.float64]
_MARGIN, _REACH = 5.0, 60.0
"""Ground is drawn this far about the array, and about what stands within reach of it [m]."""
_CELLS = 20


def part_map(design: Design) -> dict[str, list[str]]:
    """Check to the parts it is about, for the checks of the frame."""
    model = design.model
    ids = frozenset(m.id for m in members(design.plan, model)) | frozenset(model.modules.ids)
    splices = design.cutting.splices
    return {c.id: parts_of(c, ids, model, splices) for c in design.checks.checks}


def check_items(checks: Sequence[Check], parts: Mapping[str, Sequence[str]]) -> list[CheckItem]:
    """The list of checks."""
    return [
        CheckItem.model_construct(
            id=c.id, subject=c.subject, title=c.title, family=c.family, status=c.status.value,
            ratio=c.ratio, note=c.note, remedy=remedy(c), parts=list(parts.get(c.id, ())),
        )
        for c in checks
    ]  # fmt: skip


def scene(
    design: Design, parts: Mapping[str, Sequence[str]], strings: Mapping[str, str],
    combiners: Sequence[Combiner],
) -> Scene:  # fmt: skip
    """``strings``: module to its string, as far as the wiring is worked out."""
    plan, model = design.plan, design.model
    marks = by_part(design.checks.checks, parts)
    found = members(plan, model)
    around = things(plan, model, combiners)
    station = deepest(model)
    grid, columns = _ground(model, around)
    return Scene.model_construct(
        bars=[_bar(m, marks) for m in found],
        panels=_panels(model, float(plan.module.thickness), strings),
        things=around, ground=grid, ground_columns=columns,
        row_bearing=axes_bearing(model.plane.azimuth, model.plane.row),
        section=[_bar(m, marks) for m in _in_section(model, found, station)],
        lengths=dimensions(model, station, plan.job.units),
    )  # fmt: skip


def deepest(model: Model) -> int:
    """The station whose posts and holes are the longest together."""
    depth = model.posts.top - model.piers.bottom
    stations = np.asarray(model.posts.station)
    return max(range(1, model.stations + 1), key=lambda k: float(depth[stations == k].sum()))


def _point(place: Array) -> Point:
    return (float(place[0]), float(place[1]), float(place[2]))


def _bar(m: Member, marks: Mapping[str, Standing]) -> Bar:
    on = marks.get(m.id, UNCHECKED)
    return Bar.model_construct(
        id=m.id, part=m.part, words=m.words, start=_point(m.start), end=_point(m.end), size=m.size,
        wide=m.wide, ratio=on.ratio, mark=on.mark, check=on.check,
    )  # fmt: skip


def _panels(model: Model, thick: float, strings: Mapping[str, str]) -> list[Panel]:
    corners = model.modules.corners.tolist()
    return [
        Panel.model_construct(
            id=name, corners=_corners(corners[i]), thick=thick,
            string=strings.get(name, ""),
        )
        for i, name in enumerate(model.modules.ids)
    ]  # fmt: skip


def _corners(of: list[list[float]]) -> tuple[Point, Point, Point, Point]:
    a, b, c, d = ((x, y, z) for x, y, z in of)
    return a, b, c, d


def _in_section(model: Model, found: Sequence[Member], station: int) -> list[Member]:
    """Posts and piers of the station, the rail nearest to it, the beams there, braces across."""
    posts, at = model.posts, np.asarray(model.posts.station)
    here = np.flatnonzero(at == station)
    x = float(posts.xy[here[0], 0])
    rail = model.rails.ids[int(np.argmin(np.abs(model.rails.x - x)))]
    names = {posts.ids[i] for i in here}
    braces = {
        name for i, name in enumerate(model.braces.ids)
        if at[model.braces.low_post[i]] == at[model.braces.high_post[i]] == station
    }  # fmt: skip
    return [
        m for m in found
        if m.station == station or m.id == rail or m.id in braces
        or (m.part == "beam" and any(m.id.endswith((f".{n}", f"-{n}")) for n in names))
        or (m.part == "beam" and station == 1 and m.id.endswith("left-end"))
    ]  # fmt: skip


def _ground(model: Model, around: Sequence[Thing]) -> tuple[list[Point], int]:
    """A grid of ground points, row by row from the front left, and how many are in a row."""
    corners = model.modules.corners[..., :2].reshape(-1, 2)
    spots = np.vstack([corners, model.posts.xy])
    low, high = spots.min(axis=0) - _MARGIN, spots.max(axis=0) + _MARGIN
    near = [p for t in around for p in t.places if _reached(p, low, high)]
    if near:
        low = np.minimum(low, np.min(near, axis=0) - _MARGIN)
        high = np.maximum(high, np.max(near, axis=0) + _MARGIN)
    step = float((high - low).max()) / _CELLS
    counts = np.ceil((high - low) / step).astype(int) + 1
    x = np.linspace(low[0], high[0], max(int(counts[0]), 2))
    y = np.linspace(low[1], high[1], max(int(counts[1]), 2))
    X, Y = np.meshgrid(x, y)
    Z = np.broadcast_to(model.terrain.height(X, Y), X.shape)
    rows = np.stack([X, Y, Z], axis=-1).reshape(-1, 3).round(4).tolist()
    return [tuple(p) for p in rows], len(x)


def _reached(place: tuple[float, float], low: Array, high: Array) -> bool:
    return bool(np.all(np.array(place) > low - _REACH) and np.all(np.array(place) < high + _REACH))
