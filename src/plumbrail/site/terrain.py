"""Ground heights from a plane or from survey points.

Local axes: x along the row, to the right when standing in front and looking at the array; y across,
toward the back; z up. The origin is the centre of hole F1; a plane has z = 0 there, survey points
keep their own heights.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import GeometryError, Problem
from plumbrail.plan.models import Ground
from plumbrail.units import to_si

Array = NDArray[np.float64]


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

    def _weights(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Barycentric weights (..., t, 3) of every position in every triangle."""
        x, y = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(y, dtype=float))
        a, b, c = (self.points[self.triangles[:, i], :2] for i in range(3))
        det = (b[:, 1] - c[:, 1]) * (a[:, 0] - c[:, 0]) + (c[:, 0] - b[:, 0]) * (a[:, 1] - c[:, 1])
        dx, dy = x[..., None] - c[:, 0], y[..., None] - c[:, 1]
        w_a = ((b[:, 1] - c[:, 1]) * dx + (c[:, 0] - b[:, 0]) * dy) / det
        w_b = ((c[:, 1] - a[:, 1]) * dx + (a[:, 0] - c[:, 0]) * dy) / det
        return np.stack([w_a, w_b, 1.0 - w_a - w_b], axis=-1)

    def height(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Ground height [m], linear inside the triangles, the fitted plane outside."""
        weights = self._weights(x, y)
        lowest = weights.min(axis=-1)
        best = lowest.argmax(axis=-1)
        w = np.take_along_axis(weights, best[..., None, None], axis=-2)[..., 0, :]
        inside = (w * self.points[self.triangles[best], 2]).sum(axis=-1)
        return np.where(lowest.max(axis=-1) >= -1e-9, inside, self.plane.height(x, y))

    def outside(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.bool_]:
        """True beyond the triangles."""
        found = self._weights(x, y).min(axis=-1).max(axis=-1) < -1e-9
        return np.asarray(found, dtype=bool)


def survey(points: ArrayLike) -> Survey:
    """Terrain from survey points (n, 3) in m; raises GeometryError when they lie on one line."""
    from scipy.spatial import Delaunay, QhullError  # 0.2 s to import, seldom needed

    array = np.asarray(points, dtype=float)
    try:
        triangles = Delaunay(array[:, :2]).simplices
    except QhullError:
        raise GeometryError([
            Problem("site.ground.points", "the survey points lie on one line (or on one spot); "
                    "add points to the left and right of it")
        ]) from None  # fmt: skip
    design = np.column_stack([np.ones(len(array)), array[:, :2]])
    z_0, along, across = np.linalg.lstsq(design, array[:, 2], rcond=None)[0]
    plane = Plane(float(along), float(across), float(z_0))
    return Survey(array, triangles.astype(np.int64), plane)


def terrain(ground: Ground) -> Terrain:
    """The ground of a plan."""
    if ground.points is not None and ground.points_unit is not None:
        return survey(to_si(np.array(ground.points), ground.points_unit))
    return Plane(ground.slope_along or 0.0, ground.slope_across or 0.0)
