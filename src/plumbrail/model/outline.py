"""The array seen from above."""

from __future__ import annotations

import numpy as np

from plumbrail.model.parts import Array, ModulePlane


def array_outline(plane: ModulePlane) -> Array:
    """(4, 2) low left, low right, high right, high left [m]."""
    x = plane.x_left + np.array([0.0, 1.0, 1.0, 0.0]) * plane.row_length
    s = np.array([0.0, 0.0, 1.0, 1.0]) * plane.slope_length
    return np.asarray(plane.point(x, s)[:, :2])
