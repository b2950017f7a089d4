"""Snow on a tilted plane: what ASCE 7-16 and ASCE 7-22 have in common."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.lookup import value
from plumbrail.trace import Certainty, provision, require

Array = NDArray[np.float64]

NOTES = (
    "Slippery and unobstructed needs a clear drop: where slid snow can pile up to the low edge, "
    "take the line for other surfaces.",
    "Drifts against walls, hedges and other rows, and snow sliding from a roof above, are not in "
    "this load: an array near one needs an engineer's drift load.",
    "A ground snow load belongs to its edition: ASCE 7-22 maps are strength level and drawn per "
    "risk category; never mix them with factors of ASCE 7-16.",
    "Rain on snow (5 psf in 7-16, 8 psf in 7-22, where it applies) is for low roofs with little "
    "snow and is not added here.",
)
"""What the snow load does not contain; to be shown with it."""


@provision(
    "ASCE 7-16 and 7-22 Fig. 7.4-1",
    "C_s [-]",
    "where(theta <= theta_1, 1, maximum(0, 1 - (theta - theta_1) / (theta_0 - theta_1)))",
    Certainty.SECOND_HAND,
    constants={"theta_0": (float(np.radians(70.0)), "rad")},
    ranges={"theta": (0.0, 1.5), "theta_1": (0.08, 0.8)},
    theta="rad", theta_1="rad",
)  # fmt: skip
def slope_factor(theta: Array, theta_1: Array) -> Array:
    """Slope factor: all snow stays up to theta_1, none beyond 70 deg."""
    falling = np.maximum(0.0, 1.0 - (theta - theta_1) / (np.radians(70.0) - theta_1))
    return np.where(theta <= theta_1, 1.0, falling)


@provision(
    "ASCE 7-16 and 7-22 Fig. 7.4-1: which line",
    "theta_1 [rad]",
    "where(C_t <= 1.0, warm, where(C_t <= 1.1, cool, cold))",
    Certainty.SECOND_HAND,
    ranges={"C_t": (0.85, 1.3)},
    C_t="-", warm="rad", cool="rad", cold="rad",
)  # fmt: skip
def slope_that_holds(C_t: Array, warm: Array, cool: Array, cold: Array) -> Array:
    """Slope up to which all snow stays; between printed C_t the colder line, which keeps more."""
    return np.where(C_t <= 1.0, warm, np.where(C_t <= 1.1, cool, cold))


@provision(
    "ASCE 7-16 and 7-22 Eq. 7.4-1",
    "p_s [Pa]",
    "C_s * p_f",
    Certainty.SECOND_HAND,
    C_s="-", p_f="Pa",
)  # fmt: skip
def balanced_snow(C_s: Array, p_f: Array) -> Array:
    """Sloped snow load on the horizontal projection."""
    return C_s * p_f


@provision(
    "ASCE 7-16 7.3.4, ASCE 7-22 7.3.3",
    "p_s [Pa]",
    "where(theta < theta_m, maximum(p_s, p_m), p_s)",
    Certainty.SECOND_HAND,
    constants={"theta_m": (float(np.radians(15.0)), "rad")},
    ranges={"theta": (0.0, 0.6)},
    theta="rad", p_s="Pa", p_m="Pa",
)  # fmt: skip
def not_under_minimum(theta: Array, p_s: Array, p_m: Array) -> Array:
    """Snow load on the horizontal projection, on slopes under 15 deg not below the minimum."""
    return np.where(theta < np.radians(15.0), np.maximum(p_s, p_m), p_s)


def exposure_factor(exposure: str, surroundings: str) -> Array:
    """C_e of Table 7.3-1; ``surroundings``: fully exposed, partially exposed or sheltered."""
    return value("snow_exposure", "C_e", exposure=exposure, surroundings=surroundings)


def slope_factor_of(theta: ArrayLike, C_t: ArrayLike, slippery: bool) -> Array:
    """C_s for a tilt [rad] and a thermal factor; arguments broadcast."""
    write = "Write a tilt between 0 and 90 deg"
    slope = np.asarray(theta, dtype=float)
    require("array.tilt in degrees", 0.0, np.degrees(slope), 90.0, "ASCE 7 Fig. 7.4-1", write)
    surface = "slippery" if slippery else "other"
    lines = (
        value("snow_slope", "theta_1", thermal=thermal, surface=surface)
        for thermal in ("C_t <= 1.0", "C_t = 1.1", "C_t >= 1.2")
    )
    return slope_factor(slope, slope_that_holds(np.asarray(C_t, dtype=float), *lines))


def checked_ground_snow(p_g: ArrayLike) -> Array:
    """``p_g`` [Pa] as an array; raises RangeError when negative or not a number."""
    write = 'Write site.ground_snow as a load of 0 or more, e.g. "30 psf"'
    require("site.ground_snow in Pa", 0.0, p_g, 50e3, "ASCE 7 chapter 7", write)
    return np.asarray(p_g, dtype=float)
