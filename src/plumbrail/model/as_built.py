"""The model with its posts where they were measured to stand: docs/method/after-the-pour.md.

Real are the centre lines of the posts, the beams through them, the rails on the beams, the plane of
the modules and the ground at the posts. What is cut keeps its length.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.model.as_built_refusals import refuse_places, refuse_standing
from plumbrail.model.over_ground import least_clearance
from plumbrail.model.parts import Array, Beams, Braces, Model, ModulePlane, Piers, Posts, Rails
from plumbrail.plan.models import AsBuilt, Plan
from plumbrail.site.terrain import Plane, Terrain

SAME = 1e-9
"""A tilt this close [rad] to the planned one is the planned one, at the edge of a table too."""


@dataclass(frozen=True)
class Moved:
    """The planned ground, raised and tilted to meet the posts at grade."""

    ground: Terrain
    by: Plane

    def height(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Ground height [m]."""
        return np.asarray(self.ground.height(x, y) + self.by.height(x, y))

    def outside(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.bool_]:
        """True where the planned height was a guess already."""
        return self.ground.outside(x, y)


def as_built(plan: Plan, stands: AsBuilt, planned: Model) -> Model:
    """The model with its posts as they stand; raises GeometryError with every reason why not."""
    refuse_places(plan, stands, planned)
    head, base = (
        np.array([getattr(stands.posts[name], part) for name in planned.posts.ids])
        for part in ("head", "base")
    )
    ground = _ground(planned, base)
    plane = _plane(planned, head, pins_tie=stands.pins_tie)
    beams = _beams(planned, plane, head)
    posts = _posts(planned, head, base)
    piers = _piers(planned, posts)
    model = replace(
        planned, plane=plane, terrain=ground, posts=posts, piers=piers, beams=beams,
        rails=_rails(planned, plane, beams), braces=_braces(planned, posts),
        modules=replace(planned.modules, corners=_carried(planned, plane)),
        clearance=least_clearance(plane, ground),
    )  # fmt: skip
    refuse_standing(plan, model)
    return model


def _ground(planned: Model, base: Array) -> Terrain:
    """The plane of least squares through what the bases stand off the planned ground."""
    off = base[:, 2] - planned.terrain.height(base[:, 0], base[:, 1])
    design = np.column_stack([np.ones(len(base)), base[:, :2]])
    z_0, along, across = np.linalg.lstsq(design, off, rcond=None)[0]
    return Moved(planned.terrain, Plane(float(along), float(across), float(z_0)))


def _plane(planned: Model, head: Array, *, pins_tie: bool) -> ModulePlane:
    """The plane of least squares (square to itself) through the heads, half a pipe and a rail up.

    The row runs in it as both beams do on average. Along and up the slope the modules stay where
    they were planned, from the middle of all heads.
    """
    was, middle = planned.plane, head.mean(axis=0)
    normal = np.linalg.svd(head - middle)[2][-1]
    normal = normal * np.sign(normal[2])
    rows = head.reshape(2, -1, 3)
    within = (rows - rows.mean(axis=1, keepdims=True)).reshape(-1, 3)
    row = np.linalg.svd(within - np.outer(within @ normal, normal))[2][0]
    row = row * np.sign(row[0])
    up = np.cross(normal, row)
    tilt = float(np.arctan2(np.hypot(normal[0], normal[1]), normal[2]))
    turned = float(np.arctan2(row[1], row[0])) if pins_tie else 0.0
    s = float(planned.beams.slope_distance.mean())
    low = middle + _below(planned) * normal - s * up - middle[0] * row
    return replace(
        was, tilt=was.tilt if abs(tilt - was.tilt) < SAME else tilt,
        azimuth=(was.azimuth - turned) % (2.0 * np.pi) if turned else was.azimuth,
        low_x=float(low[0]), low_y=float(low[1]), low_z=float(low[2]), row=row, up_slope=up,
    )  # fmt: skip


def _below(planned: Model) -> float:
    """From the underside of the modules to the beams' centre lines, along the normal."""
    plane, beams = planned.plane, planned.beams
    above = plane.point(beams.start[0, 0], beams.slope_distance[0])
    return float((above - beams.start[0]) @ plane.normal)


def _beams(planned: Model, plane: ModulePlane, head: Array) -> Beams:
    """Straight from head to head, straight on over the ends, of the length that was cut.

    Along the row a beam lies where it was planned, as far as its bends allow.
    """
    was, rows = planned.beams, head.reshape(2, -1, 3)
    t = (rows - head.mean(axis=0)) @ plane.row + head[:, 0].mean()
    step = np.diff(rows, axis=1)
    bay = np.linalg.norm(step, axis=-1)
    first, last = (step[:, i] / bay[:, i, None] for i in (0, -1))
    left = was.start[:, 0]
    before = (t[:, 0] - left) / (first @ plane.row)
    after = (left + was.length - t[:, -1]) / (last @ plane.row)
    over = 0.5 * (before + bay.sum(axis=1) + after - was.length)
    before, after = before - over, after - over
    supports = before[:, None] + np.column_stack([np.zeros(2), np.cumsum(bay, axis=1)])
    return replace(
        was, start=rows[:, 0] - before[:, None] * first, end=rows[:, -1] + after[:, None] * last,
        supports=supports, heads=rows,
    )  # fmt: skip


def _rails(planned: Model, plane: ModulePlane, beams: Beams) -> Rails:
    """Each rail lies on both beams where they are; up the slope its middle keeps its place."""
    was, x = planned.rails, planned.rails.x
    origin = plane.point(0.0, 0.0)
    t_0 = np.array([plane.low_x, plane.low_y, plane.low_z]) @ plane.row
    on_beam = []
    for row in (0, 1):
        at = np.concatenate([[0.0], beams.supports[row], [beams.length]])
        on_beam.append(np.interp(x, beams.point(row, at) @ plane.row - t_0, at))
    p = np.stack([beams.point(row, on_beam[row]) for row in (0, 1)])
    step = p[1] - p[0]
    span = np.linalg.norm(step, axis=-1)
    way = step / span[:, None]
    normal = np.cross(plane.row, way)
    normal = normal / np.linalg.norm(normal, axis=-1)[:, None]
    middle = ((p - origin) @ plane.up_slope).mean(axis=0)
    crossing = np.stack([middle - 0.5 * span, middle + 0.5 * span])
    stands_off = float(np.linalg.norm(
        was.start[0] + was.crossing[0, 0] * planned.plane.up_slope
        - planned.beams.point(0, was.on_beam[0, 0])
    ))  # fmt: skip
    start = p[0] + stands_off * normal - crossing[0][:, None] * way
    return replace(was, start=start, end=start + was.length * way,
                   on_beam=np.stack(on_beam), crossing=crossing)  # fmt: skip


def _posts(planned: Model, head: Array, base: Array) -> Posts:
    """Posts on straight lines from base to head; the cut end keeps its distance to the head."""
    was = planned.posts
    slant = np.linalg.norm(head - base, axis=1) / (head[:, 2] - base[:, 2])
    top = head[:, 2] - (was.beam_centre - was.top) / slant
    return replace(
        was, xy=base[:, :2], ground=base[:, 2], beam_centre=head[:, 2], head_xy=head[:, :2],
        slant=slant, top=top, foot=top - was.length / slant,
    )  # fmt: skip


def _piers(planned: Model, posts: Posts) -> Piers:
    """Holes end where they were planned to, or as deep as planned, whichever is less."""
    was = planned.piers
    depth = np.minimum(was.depth, posts.ground - was.bottom)
    return replace(was, depth=depth, bottom=posts.ground - depth)


def _braces(planned: Model, posts: Posts) -> Braces:
    """Braces meet their posts at the planned heights above grade and below the beam."""
    was, before = planned.braces, planned.posts
    a, b = was.low_post, was.high_post
    low = posts.ground[a] + was.ends[:, 0, 2] - before.ground[a]
    high = posts.beam_centre[b] + was.ends[:, 1, 2] - before.beam_centre[b]
    return replace(was, ends=np.stack([posts.at_height(a, low), posts.at_height(b, high)], axis=1))


def _carried(planned: Model, plane: ModulePlane) -> Array:
    """Corners of the modules (modules, 4, 3), at their planned places on the real plane."""
    was, corners = planned.plane, planned.modules.corners
    s = (corners - was.point(0.0, 0.0)) @ was.up_slope
    return plane.point(corners[..., 0], s)
