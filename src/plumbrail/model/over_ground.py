"""How far the modules are above the ground."""

from __future__ import annotations

import numpy as np

from plumbrail.model.parts import ModulePlane
from plumbrail.site.terrain import Terrain


def least_clearance(plane: ModulePlane, ground: Terrain) -> float:
    """Least height [m] of the modules' underside above the ground, at 201 by 41 places."""
    x = np.linspace(plane.x_left, plane.x_left + plane.row_length, 201)[:, None]
    points = plane.point(x, np.linspace(0.0, plane.slope_length, 41))
    return float((points[..., 2] - ground.height(points[..., 0], points[..., 1])).min())
