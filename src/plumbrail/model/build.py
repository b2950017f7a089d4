"""From the plan to the model."""

from __future__ import annotations

import numpy as np

from plumbrail.errors import GeometryError
from plumbrail.model import refusals
from plumbrail.model.as_built import as_built
from plumbrail.model.over_ground import least_clearance
from plumbrail.model.parts import (
    Array,
    Beams,
    Braces,
    Model,
    ModulePlane,
    Modules,
    Piers,
    Posts,
    Rails,
)
from plumbrail.model.sections import section
from plumbrail.plan.models import Plan
from plumbrail.site.terrain import Terrain, terrain
from plumbrail.tables.sections import PipeSection

ROWS = ("F", "B")


def build(plan: Plan) -> Model:
    """The model of a plan, as built where the plan says how that is.

    Raises GeometryError with every reason why it cannot be built.
    """
    planned = build_planned(plan)
    return planned if plan.as_built is None else as_built(plan, plan.as_built, planned)


def build_planned(plan: Plan) -> Model:
    """The model as it is meant to stand, whatever was built; for setting out and truing."""
    refusals.before(plan)
    ground = terrain(plan.site.ground)
    beam, post = section(plan, "beam"), section(plan, "post")
    x_posts = station_positions(plan)
    plane = _plane(plan, ground, beam, x_posts)
    x_rails = _rail_positions(plan, plane)
    beams = _beams(plan, plane, x_rails, beam, x_posts)
    rails = _rails(plan, plane, x_rails, beams)
    posts = _posts(plan, ground, beams, post, x_posts)
    piers = _piers(plan, posts)
    modules = _modules(plan, plane)
    model = Model(
        plane, ground, posts, piers, beams, rails, modules, _braces(plan, posts),
        least_clearance(plane, ground), _warnings(ground, posts, modules),
    )  # fmt: skip
    problems = refusals.after(plan, model)
    if problems:
        raise GeometryError(problems)
    return model


def station_positions(plan: Plan) -> Array:
    """Plan positions x (posts per row,) of the stations; F1 is at 0."""
    spacing = np.broadcast_to(np.asarray(plan.frame.spacing), (plan.frame.posts - 1,))
    return np.concatenate([[0.0], np.cumsum(spacing)])


def module_sides(plan: Plan) -> tuple[float, float]:
    """Side of a module (along the row, up the slope)."""
    m = plan.module
    landscape = plan.array.orientation == "landscape"
    return (m.length, m.width) if landscape else (m.width, m.length)


def beam_below_plane(plan: Plan, beam: PipeSection) -> float:
    """From the underside of the modules to the beam's centre line, along the normal."""
    return plan.frame.rail.height + 0.5 * beam.OD


def _extent(count: int, side: float, gap: float) -> float:
    return count * side + (count - 1) * gap


def _plane(plan: Plan, ground: Terrain, beam: PipeSection, x_posts: Array) -> ModulePlane:
    a = plan.array
    along, up = module_sides(plan)
    slope_length = _extent(a.rows, up, a.gap)
    row_length = _extent(a.columns, along, a.gap)
    x_left = 0.5 * float(x_posts[-1]) - 0.5 * row_length
    # The front posts stand at y = 0, plumb under the front beam.
    s_front = plan.frame.beam_inset[0] * slope_length
    h = beam_below_plane(plan, beam)
    low_y = -(s_front * np.cos(a.tilt) + h * np.sin(a.tilt))
    # The highest ground under the low edge decides, looked for at every half per cent of the row.
    x = np.linspace(x_left, x_left + row_length, 201)
    low_z = float(ground.height(x, low_y).max()) + a.low_edge_clearance
    return ModulePlane(
        a.tilt, a.azimuth, slope_length, row_length, x_left, float(low_y), low_z,
        np.array([1.0, 0.0, 0.0]), np.array([0.0, np.cos(a.tilt), np.sin(a.tilt)]),
    )  # fmt: skip


def _clamp_shares(plan: Plan) -> Array:
    """Places of a column's rails along the module side, (rails per column,)."""
    inset = plan.frame.rail_inset
    return np.linspace(inset, 1.0 - inset, plan.frame.rails_per_column)


def _rail_positions(plan: Plan, plane: ModulePlane) -> Array:
    along, _ = module_sides(plan)
    share, columns = _clamp_shares(plan), plan.array.columns
    column = np.repeat(np.arange(columns), len(share))
    return plane.x_left + column * (along + plan.array.gap) + np.tile(share, columns) * along


def _rails(plan: Plan, plane: ModulePlane, x: Array, beams: Beams) -> Rails:
    along, _ = module_sides(plan)
    share, columns = _clamp_shares(plan), plan.array.columns
    edges = np.concatenate([[0.0], 0.5 * (share[1:] + share[:-1]), [1.0]])
    below = 0.5 * plan.frame.rail.height
    return Rails(
        tuple(f"R{i + 1}" for i in range(len(x))), x,
        np.repeat(np.arange(columns), len(share)) + 1, np.tile(np.diff(edges) * along, columns),
        plane.point(x, 0.0, below), plane.point(x, plane.slope_length, below),
        np.tile(share, columns), x - beams.start[:, :1],
        np.repeat(beams.slope_distance[:, None], len(x), axis=1),
    )  # fmt: skip


def _beams(
    plan: Plan, plane: ModulePlane, x_rails: Array, beam: PipeSection, x_posts: Array
) -> Beams:
    inset = plan.frame.beam_inset
    s = np.array([inset[0], 1.0 - inset[1]]) * plane.slope_length
    middle = 0.5 * float(x_posts[-1])
    reach = float(np.abs(x_rails - middle).max()) + plan.frame.beam_end
    length = plan.frame.beam_length or 2.0 * reach
    below = beam_below_plane(plan, beam)
    left, right = middle - 0.5 * length, middle + 0.5 * length
    return Beams(
        ("front beam", "back beam"), plane.point(left, s, below), plane.point(right, s, below),
        s, np.tile(x_posts - left, (2, 1)), beam, length,
        plane.point(x_posts, s[:, None], below),
    )  # fmt: skip


def _posts(plan: Plan, ground: Terrain, beams: Beams, post: PipeSection, x_posts: Array) -> Posts:
    n = len(x_posts)
    x, row = np.tile(x_posts, 2), np.repeat([0, 1], n)
    y = beams.start[row, 1]
    centre = beams.start[row, 2]
    rise = plan.frame.fitting_rise
    top = centre - (0.5 * beams.section.OD if rise is None else rise)
    z = ground.height(x, y)
    foot = z - _depths(plan, n) + plan.piers.cover_below_post
    station = np.tile(np.arange(n), 2) + 1
    ids = tuple(f"{ROWS[r]}{s}" for r, s in zip(row, station, strict=True))
    xy = np.column_stack([x, y])
    return Posts(ids, row, station, xy, z, centre, top, foot, post, xy, np.ones(1))


def _depths(plan: Plan, stations: int) -> Array:
    return np.repeat(np.broadcast_to(np.asarray(plan.piers.depth), (2,)), stations)


def _piers(plan: Plan, posts: Posts) -> Piers:
    depth = _depths(plan, len(posts.ids) // 2)
    p = plan.piers
    return Piers(p.diameter, depth, p.above_grade, p.cover_below_post, posts.ground - depth)


def _modules(plan: Plan, plane: ModulePlane) -> Modules:
    along, up = module_sides(plan)
    rows, columns, gap = plan.array.rows, plan.array.columns, plan.array.gap
    row, column = (g.ravel() for g in np.mgrid[0:rows, 0:columns])
    x = plane.x_left + column[:, None] * (along + gap) + np.array([0, along, along, 0])
    s = row[:, None] * (up + gap) + np.array([0, 0, up, up])
    ids = tuple(f"M{r + 1}-{c + 1}" for r, c in zip(row, column, strict=True))
    return Modules(ids, row + 1, column + 1, plane.point(x, s))


def _braces(plan: Plan, posts: Posts) -> Braces:
    n = len(posts.ids) // 2
    low, high, ids = [], [], []
    for i, brace in enumerate(plan.frame.braces):
        first, last = brace.stations[0] - 1, brace.stations[-1] - 1
        rows = (0, 1) if brace.direction == "across" else (brace.row == "back",) * 2
        low.append(first + n * rows[0])
        high.append(last + n * rows[1])
        ids.append(f"D{i + 1}")
    a, b = np.array(low, dtype=np.int64), np.array(high, dtype=np.int64)
    up = np.array([brace.low for brace in plan.frame.braces])
    down = np.array([brace.high for brace in plan.frame.braces])
    ends = np.stack([
        np.column_stack([posts.xy[a], posts.ground[a] + up]),
        np.column_stack([posts.xy[b], posts.beam_centre[b] - down]),
    ], axis=1)  # fmt: skip
    return Braces(tuple(ids), a, b, ends, section(plan, "brace") if ids else None)


def _warnings(ground: Terrain, posts: Posts, modules: Modules) -> tuple[str, ...]:
    spots = np.vstack([posts.xy, modules.corners[..., :2].reshape(-1, 2)])
    count = int(ground.outside(spots[:, 0], spots[:, 1]).sum())
    if not count:
        return ()
    return (
        f"{count} of {len(spots)} posts and module corners lie beyond the survey points; a plane "
        "through all points was used there. Survey further out.",
    )
