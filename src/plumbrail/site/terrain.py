"""Ground heights from a plane or from survey points.

Local axes: x along the row, to the right when standing in front and looking at the array; y across,
toward the back; z up. The origin is the centre of hole F1; a plane has z = 0 there, survey points
keep their own heights.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import GeometryError, Problem
from plumbrail.plan.models import Ground
from plumbrail.units import to_si

if TYPE_CHECKING:
    from scipy.spatial import Delaunay

Array = NDArray[np.float64]
EDGE = 1e-9
"""A place this share of a triangle beyond its edge still counts as inside."""


class Terrain(Protocol):
    """Anything that knows the ground's height."""

    def height(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Ground height z [m] at plan positions x, y [m]; broadcasts."""
        ...

    def outside(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.bool_]:
        """True where the height is a guess beyond what was surveyed; broadcasts."""
        ...


@dataclass(frozen=True)
class Plane:
    """A plane z = z_0 + slope_along x + slope_across y."""

    slope_along: float
    slope_across: float
    z_0: float = 0.0

    def height(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Ground height [m]."""
        return self.z_0 + self.slope_along * np.asarray(x) + self.slope_across * np.asarray(y)

    def outside(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.bool_]:
        """Never: a stated plane holds everywhere."""
        return np.zeros(np.broadcast_shapes(np.shape(x), np.shape(y)), dtype=bool)


@dataclass(frozen=True)
class Survey:
    """Triangles between survey points; beyond them the least-squares plane through all points.

    ``points`` (n, 3) m; ``triangles`` (t, 3) indices (Delaunay triangulation in plan).
    """

    points: Array
    triangles: NDArray[np.int64]
    plane: Plane

    net: Delaunay = field(repr=False)
    """The triangulation itself, which finds the triangle under a position."""

    def _found(self, spots: Array) -> NDArray[np.int64]:
        """Triangle (...) under positions (..., 2); -1 beyond them all."""
        return np.asarray(self.net.find_simplex(spots, tol=EDGE), dtype=np.int64)

    def height(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Ground height [m], linear inside the triangles, the fitted plane outside."""
        spots = _spots(x, y)
        found = self._found(spots)
        affine = self.net.transform[found]
        first = np.einsum("...ij,...j->...i", affine[..., :2, :], spots - affine[..., 2, :])
        weights = np.concatenate([first, 1.0 - first.sum(axis=-1, keepdims=True)], axis=-1)
        inside = (weights * self.points[self.triangles[found], 2]).sum(axis=-1)
        return np.where(found >= 0, inside, self.plane.height(x, y))

    def outside(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.bool_]:
        """True beyond the triangles."""
        return np.asarray(self._found(_spots(x, y)) < 0, dtype=bool)


def _spots(x: ArrayLike, y: ArrayLike) -> Array:
    pair = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(y, dtype=float))
    return np.stack(pair, axis=-1)


def survey(points: ArrayLike) -> Survey:
    """Terrain from survey points (n, 3) in m.

    Raises GeometryError when they lie on one line, or two at one place differ in height.
    """
    from scipy.spatial import Delaunay, QhullError  # 0.2 s to import, seldom needed

    array = np.unique(np.asarray(points, dtype=float), axis=0)
    _one_height_each(array)
    try:
        net = Delaunay(array[:, :2])
    except QhullError:
        raise GeometryError([
            Problem("site.ground.points", "the survey points lie on one line (or on one spot); "
                    "add points to the left and right of it")
        ]) from None  # fmt: skip
    design = np.column_stack([np.ones(len(array)), array[:, :2]])
    z_0, along, across = np.linalg.lstsq(design, array[:, 2], rcond=None)[0]
    plane = Plane(float(along), float(across), float(z_0))
    return Survey(array, net.simplices.astype(np.int64), plane, net)


def _one_height_each(points: Array) -> None:
    """``points`` (n, 3) sorted by place."""
    twice = np.flatnonzero((np.diff(points[:, :2], axis=0) == 0.0).all(axis=1))
    if len(twice):
        x, y, _ = points[twice[0]]
        raise GeometryError([Problem(
            "site.ground.points", f"two points at x = {x:.2f} m, y = {y:.2f} m have different "
            "heights; keep the right one",
        )])  # fmt: skip


def terrain(ground: Ground) -> Terrain:
    """The ground of a plan."""
    if ground.points is not None and ground.points_unit is not None:
        return survey(to_si(np.array(ground.points), ground.points_unit))
    return Plane(ground.slope_along or 0.0, ground.slope_across or 0.0)
