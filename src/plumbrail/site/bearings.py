"""Local axes on the map: which way x (along the row, to the right) and y (to the back) point."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def row_bearing(azimuth: float) -> float:
    """True bearing [rad] of the row to the right, of an array that faces ``azimuth`` [rad].

    Who looks at the array's face looks along azimuth + 180°; their right hand points 90° further
    clockwise: azimuth + 270°, which is azimuth - 90°. An array that faces south has its right end
    in the east.
    """
    return float(np.mod(azimuth - 0.5 * np.pi, 2.0 * np.pi))


def axes_bearing(azimuth: float, row: Array) -> float:
    """True bearing [rad] of the x axis, from the azimuth of the plane and its row (3,) in the axes.

    As planned the row is the x axis. As built it may lie askew in the axes, counter-clockwise by
    the angle of ``row``; the axis then lies as much clockwise of it.
    """
    askew = float(np.arctan2(row[1], row[0]))
    return float(np.mod(row_bearing(azimuth) + askew, 2.0 * np.pi))


def flat_direction(bearing: Array | float, row_bearing: float) -> Array:
    """(..., 2) unit vectors in local x, y toward true bearings [rad]."""
    turned = np.asarray(bearing, dtype=float) - row_bearing  # clockwise from x
    return np.stack([np.cos(turned), -np.sin(turned)], axis=-1)


def bearing_of(toward: Array, row_bearing: float) -> Array:
    """(...,) true bearings [rad], 0 to 2 pi, of directions (..., 2 or 3) in local axes."""
    return np.mod(row_bearing - np.arctan2(toward[..., 1], toward[..., 0]), 2.0 * np.pi)
