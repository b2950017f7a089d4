"""A pier against uplift and bearing, its least depth and the cover of the post in it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
D = Certainty.DERIVED
M = Certainty.MEMORY
P = Certainty.PRACTICE
LEAST_DEPTH = 0.3048
"""12 in [m]."""
LEAST_COVER = 0.0762
"""3 in [m]."""


@provision("geometry and unit weight", "W [N]", "gamma_c*pi*b**2/4*(d + e)", D,
           gamma_c="N/m**3", b="m", d="m", e="m")  # fmt: skip
def pier_weight(gamma_c: Array, b: Array, d: Array, e: Array) -> Array:
    """Weight of a round pier of depth d that stands e above grade."""
    return gamma_c * np.pi * b**2 / 4 * (d + e)


@provision(
    "geometry; friction neglected over the frost depth (common practice)", "F [N]",
    "f_s*pi*b*where(d > d_f, d - d_f, 0*d)", P, f_s="Pa", b="m", d="m", d_f="m",
)  # fmt: skip
def shaft_friction(f_s: Array, b: Array, d: Array, d_f: Array) -> Array:
    """Allowable friction on the shaft below the frost depth."""
    return f_s * np.pi * b * np.where(d > d_f, d - d_f, 0 * d)


@provision("IBC 1810.3.3.1.5 and ASCE 7 load factor on W", "R_u [N]", "psi*W + F", P,
           psi="-", W="N", F="N")  # fmt: skip
def uplift_resistance(psi: Array, W: Array, F: Array) -> Array:
    """Allowable uplift: the share psi of the pier's weight and the allowable friction."""
    return psi * W + F


@provision("geometry", "q_r [Pa]", "(N_c + psi_b*W)/(pi*b**2/4)", D,
           N_c="N", psi_b="-", W="N", b="m")  # fmt: skip
def bearing_pressure(N_c: Array, psi_b: Array, W: Array, b: Array) -> Array:
    """Pressure under a round pier: 1 counts its whole weight, less nets off displaced soil."""
    return (N_c + psi_b * W) / (np.pi * b**2 / 4)


@provision("demand over capacity", "ratio [-]", "q_r/q", D, q_r="Pa", q="Pa")
def pressure_ratio(q_r: Array, q: Array) -> Array:
    """Bearing pressure over the allowable one."""
    return q_r / q


@provision("IBC 1809.4 and 1809.5", "d_min [m]", "maximum(d_f, d_12)", C,
           constants={"d_12": (LEAST_DEPTH, "m")}, ranges={"d_f": (0.1, 2)}, d_f="m")  # fmt: skip
def least_depth(d_f: Array) -> Array:
    """Depth to the frost line, and 12 in at the least."""
    return np.maximum(d_f, LEAST_DEPTH)


@provision("required over provided", "ratio [-]", "d_req/d", D, d_req="m", d="m")
def depth_ratio(d_req: Array, d: Array) -> Array:
    """Required depth over the depth provided."""
    return d_req / d


@provision(
    "ACI 318-19 20.5.1.3, 3 in where cast against earth", "ratio [-]", "c_min/((b - D)/2)", M,
    constants={"c_min": (LEAST_COVER, "m")}, ranges={"b": (3, 4)}, b="m", D="m",
)  # fmt: skip
def cover_ratio(b: Array, D: Array) -> Array:
    """Least concrete around a pipe over what a centred pipe has.

    The clause is for reinforcement; it is used here as the usual practice for an embedded post.
    """
    return LEAST_COVER / ((b - D) / 2)
