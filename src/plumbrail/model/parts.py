"""The parts of the model: frozen arrays with stable ids, SI, local axes of hole F1.

Local axes: x along the row (to the right when standing in front and looking at the array), y across
(to the back), z up. Posts are numbered along the row from the left: F1, F2, … and B1, B2, …
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.site.terrain import Terrain
from plumbrail.tables.sections import PipeSection

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class ModulePlane:
    """The underside of the modules, a rectangle tilted about the row.

    A point at slope distance s from the low edge is ``low + s * up_slope``; ``normal`` points up.
    """

    tilt: float
    azimuth: float
    slope_length: float
    """Up the slope, over all rows and gaps."""
    row_length: float
    """Along the row, over all columns and gaps."""
    x_left: float
    low_y: float
    low_z: float
    """Position of the low edge."""
    row: Array
    """Unit vector along the low edge, to the right, (3,); the x axis as planned."""
    up_slope: Array
    """Unit vector up the slope, square to ``row``, (3,)."""
    low_x: float = 0.0
    """Where x along the row counts from; not 0 only as built."""

    @property
    def normal(self) -> Array:
        """Unit vector out of the top surface, (3,)."""
        return np.cross(self.row, self.up_slope)

    def point(self, x: Array | float, s: Array | float, below: float = 0.0) -> Array:
        """Points (..., 3) at x along the row and slope distance s, ``below`` the plane."""
        x, s = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(s, dtype=float))
        origin = np.array([self.low_x, self.low_y, self.low_z]) - below * self.normal
        return origin + s[..., None] * self.up_slope + x[..., None] * self.row


@dataclass(frozen=True)
class Posts:
    """Posts of both rows, front row first, each from the left. Axis: post (2 n)."""

    ids: tuple[str, ...]
    row: IntArray
    """0 front, 1 back."""
    station: IntArray
    """Station number from 1."""
    xy: Array
    """(posts, 2) plan position of the post's centre at grade, and of the hole's."""
    ground: Array
    """Ground height at the post."""
    beam_centre: Array
    """Height of the beam's centre line above the post."""
    top: Array
    """Height of the cut end."""
    foot: Array
    """Height of the lower end, in the pier."""
    section: PipeSection
    head_xy: Array
    """(posts, 2) plan position of the beam's centre line over the post; ``xy`` as planned."""
    slant: Array
    """(posts,) or (1,) length of the post over its height; 1 where it is plumb."""

    @property
    def length(self) -> Array:
        """Cut length of each post."""
        return (self.top - self.foot) * self.slant

    @property
    def head(self) -> Array:
        """(posts, 3) the beam's centre line over each post."""
        return np.column_stack([self.head_xy, self.beam_centre])

    @property
    def base(self) -> Array:
        """(posts, 3) the post's centre at grade."""
        return np.column_stack([self.xy, self.ground])

    def at_height(self, post: IntArray | int, z: Array | float) -> Array:
        """Points (..., 3) on the centre lines of some posts at heights z, below grade too."""
        head, base = self.head[post], self.base[post]
        share = (np.asarray(z) - base[..., 2]) / (head[..., 2] - base[..., 2])
        place = base + share[..., None] * (head - base)
        place[..., 2] = z
        return place

    @property
    def out_of_ground(self) -> Array:
        """Height of the cut end above the ground."""
        return self.top - self.ground


@dataclass(frozen=True)
class Piers:
    """Drilled piers, one under each post. Axis: post."""

    diameter: float
    depth: Array
    """(posts,) below grade."""
    above_grade: float
    cover_below: float
    bottom: Array
    """(posts,) height of the hole's bottom."""


@dataclass(frozen=True)
class Beams:
    """The front and the back beam. Axis: beam (0 front, 1 back)."""

    ids: tuple[str, ...]
    start: Array
    """(2, 3) left end on the centre line."""
    end: Array
    """(2, 3) right end."""
    slope_distance: Array
    """(2,) from the low edge, measured on the module plane; as planned."""
    supports: Array
    """(2, posts per row) distance of each post from the left end, along the beam."""
    section: PipeSection
    length: float
    """Length of each beam."""
    heads: Array
    """(2, posts per row, 3) the centre line over each post; straight from one to the next."""

    def point(self, row: int, distance: Array | float) -> Array:
        """Points (..., 3) on a beam's centre line at distances from its left end."""
        at, places = self._knots(row)
        return np.stack([np.interp(distance, at, places[:, k]) for k in range(3)], axis=-1)

    def direction(self, row: int, distance: float) -> Array:
        """Unit vector (3,) along a beam, to the right, at a distance from its left end."""
        at, places = self._knots(row)
        i = int(np.clip(np.searchsorted(at, distance, side="right") - 1, 0, len(at) - 2))
        step = places[i + 1] - places[i]
        return np.asarray(step / np.linalg.norm(step))

    def _knots(self, row: int) -> tuple[Array, Array]:
        """Distances (posts + 2,) and places (posts + 2, 3) of ends and posts."""
        at = np.concatenate([[0.0], self.supports[row], [self.length]])
        return at, np.vstack([self.start[row], self.heads[row], self.end[row]])


@dataclass(frozen=True)
class Rails:
    """Rails up the slope. Axis: rail, from the left."""

    ids: tuple[str, ...]
    x: Array
    column: IntArray
    """Module column from 1."""
    tributary: Array
    """(rails,) width of module carried by each rail."""
    start: Array
    """(rails, 3) low end, on the rail's centre line."""
    end: Array
    """(rails, 3) high end."""
    clamp_share: Array
    """(rails,) place along the module side, as a share from its left end."""
    on_beam: Array
    """(2, rails) where each rail crosses the front and the back beam, from the beam's left end."""
    crossing: Array
    """(2, rails) where each rail crosses them, from the rail's low end."""

    @property
    def span(self) -> Array:
        """(rails,) length between the beams."""
        return self.crossing[1] - self.crossing[0]

    @property
    def length(self) -> float:
        """Length of each rail."""
        return float(np.linalg.norm(self.end[0] - self.start[0]))


@dataclass(frozen=True)
class Modules:
    """Modules by row (from the low edge) and column (from the left). Axis: module."""

    ids: tuple[str, ...]
    row: IntArray
    column: IntArray
    corners: Array
    """(modules, 4, 3) underside: low left, low right, high right, high left."""


@dataclass(frozen=True)
class Braces:
    """Diagonal braces. Axis: brace; empty arrays when there are none."""

    ids: tuple[str, ...]
    low_post: IntArray
    """Index of the post at the low end."""
    high_post: IntArray
    ends: Array
    """(braces, 2, 3) low end, high end."""
    section: PipeSection | None

    @property
    def length(self) -> Array:
        """(braces,) between working points on the post centre lines."""
        return np.asarray(np.linalg.norm(self.ends[:, 1] - self.ends[:, 0], axis=-1))


@dataclass(frozen=True)
class Model:
    """The whole frame as it is meant to stand, or as it was measured to stand."""

    plane: ModulePlane
    terrain: Terrain
    posts: Posts
    piers: Piers
    beams: Beams
    rails: Rails
    modules: Modules
    braces: Braces
    clearance: float
    """Least height of a module's underside above the ground, found along the low edge."""
    warnings: tuple[str, ...]

    @property
    def stations(self) -> int:
        """Posts in each row."""
        return len(self.posts.ids) // 2
