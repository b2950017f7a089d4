"""Plane geometry of tapes and rods, as pure functions of lengths and angles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
D = Certainty.DERIVED
C = Certainty.CONFIRMED


@provision("Plane geometry", "d [m]", "sqrt(dx**2 + dy**2)", D, dx="m", dy="m")
def level_distance(dx: Array, dy: Array) -> Array:
    """Horizontal distance between two points in plan."""
    return np.sqrt(dx**2 + dy**2)


@provision("Taping on a slope", "s [m]", "sqrt(d**2 + h**2)", D, d="m", h="m")
def slope_distance(d: Array, h: Array) -> Array:
    """Distance along straight sloping ground from the level distance and the rise."""
    return np.sqrt(d**2 + h**2)


@provision(
    "Taping on a slope, slope correction", "d [m]", "s*cos(alpha)", C, s="m", alpha="rad",
    ranges={"alpha": (0.0, 1.2)},
)  # fmt: skip
def horizontal_distance(s: Array, alpha: Array) -> Array:
    """Level distance from a distance taped along a slope of known angle."""
    return s * np.cos(alpha)


@provision(
    "Taping on a slope, slope correction", "d [m]", "sqrt(s**2 - h**2)", C, s="m", h="m",
    ranges={"s": (2.0, 3.0), "h": (0.1, 1.0)},
)  # fmt: skip
def horizontal_from_rise(s: Array, h: Array) -> Array:
    """Level distance from a distance taped along a slope of known rise."""
    return np.sqrt(s**2 - h**2)


@provision(
    "Intersection of two circles", "x [m]", "(r_1**2 - r_2**2 + c**2)/(2*c)", D,
    r_1="m", r_2="m", c="m",
)  # fmt: skip
def along_from_tapes(r_1: Array, r_2: Array, c: Array) -> Array:
    """Distance along the base line from pin 1, from level distances to both pins."""
    return (r_1**2 - r_2**2 + c**2) / (2 * c)


@provision(
    "Intersection of two circles", "y [m]", "sqrt(maximum(r_1**2 - x**2, 0))", D, r_1="m", x="m",
    ranges={"r_1": (1.0, 2.0), "x": (0.1, 1.0)},
)  # fmt: skip
def across_from_tapes(r_1: Array, x: Array) -> Array:
    """Distance from the base line, on either side, from pin 1's tape and the distance along."""
    return np.sqrt(np.maximum(r_1**2 - x**2, 0.0))


@provision(
    "Propagation of errors, two tapes", "e_r [m]", "sqrt(s_1**2 + s_2**2)/sin(gamma)", D,
    s_1="m", s_2="m", gamma="rad", ranges={"gamma": (0.3, 2.8)},
)  # fmt: skip
def radial_rms(s_1: Array, s_2: Array, gamma: Array) -> Array:
    """Expected error of a point set by two tapes of standard deviations s_1, s_2 at angle gamma."""
    return np.sqrt(s_1**2 + s_2**2) / np.sin(gamma)


@provision("Plane geometry of a sheared rectangle", "s [m]", "D*dD/(2*a)", D, D="m", dD="m", a="m")
def slide_from_diagonals(D: Array, dD: Array, a: Array) -> Array:
    """How far one side a has slid along itself when the diagonals D differ by dD."""
    return D * dD / (2 * a)


@provision("Levelling by height of instrument", "H_L [m]", "H_pin + h", D, H_pin="m", h="m")
def laser_plane(H_pin: Array, h: Array) -> Array:
    """Height of the laser plane from the top of the pin and the laser's height above it."""
    return H_pin + h


@provision("Levelling by height of instrument", "r [m]", "H_L - H", D, H_L="m", H="m")
def below_laser(H_L: Array, H: Array) -> Array:
    """Rod reading on a point; negative where the point is above the laser plane."""
    return H_L - H
