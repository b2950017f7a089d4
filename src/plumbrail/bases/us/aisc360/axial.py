"""Tension and compression of round tubes (Chapters D and E)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
T = Certainty.SECOND_HAND
WALLS = {"E": (1.9e11, 2.1e11), "F_y": (2.4e8, 3.5e8), "D": (0.05, 0.5), "t": (5e-4, 5e-3)}
"""Where the generic tests draw, so that compact, noncompact and slender walls all occur."""


@provision("AISC 360-22 D2(a), Eq. D2-1", "P_n [N]", "F_y*A_g", T, F_y="Pa", A_g="m**2")
def tension_yielding(F_y: Array, A_g: Array) -> Array:
    """Nominal tensile strength, yielding of the gross section."""
    return F_y * A_g


@provision("AISC 360-22 D2(b), Eq. D2-2", "P_n [N]", "F_u*A_e", T, F_u="Pa", A_e="m**2")
def tension_rupture(F_u: Array, A_e: Array) -> Array:
    """Nominal tensile strength, rupture of the effective net section."""
    return F_u * A_e


@provision("AISC 360-22 E2, user note", "KL/r [-]", "L_c/r", T, L_c="m", r="m")
def slenderness(L_c: Array, r: Array) -> Array:
    """Effective slenderness; for compression it preferably does not exceed 200."""
    return L_c / r


@provision("AISC 360-22 E3, Eq. E3-4", "F_e [Pa]", "pi**2*E/(L_c/r)**2", T, E="Pa", L_c="m", r="m")
def elastic_buckling_stress(E: Array, L_c: Array, r: Array) -> Array:
    """Elastic flexural buckling stress."""
    return np.pi**2 * E / (L_c / r) ** 2


@provision(
    "AISC 360-22 E3, Eq. E3-2 and E3-3", "F_cr [Pa]",
    "where(F_y/F_e <= 2.25, 0.658**(F_y/F_e)*F_y, 0.877*F_e)", T, F_y="Pa", F_e="Pa",
)  # fmt: skip
def flexural_buckling_stress(F_y: Array, F_e: Array) -> Array:
    """Critical stress for flexural buckling, inelastic and elastic branch."""
    return np.where(F_y / F_e <= 2.25, 0.658 ** (F_y / F_e) * F_y, 0.877 * F_e)


@provision(
    "AISC 360-22 E7.2, Eq. E7-6 and E7-7", "A_eff [m**2]",
    "where(D/t <= 0.11*E/F_y, A_g, (0.038*E/(F_y*(D/t)) + 2/3)*A_g)", T,
    ranges=WALLS, E="Pa", F_y="Pa", D="m", t="m", A_g="m**2",
)  # fmt: skip
def effective_area(E: Array, F_y: Array, D: Array, t: Array, A_g: Array) -> Array:
    """Effective area of a round tube in compression; valid to D/t = 0.45 E/F_y."""
    return np.where(D / t <= 0.11 * E / F_y, A_g, (0.038 * E / (F_y * (D / t)) + 2 / 3) * A_g)


@provision(
    "AISC 360-22 E3 and E7, Eq. E3-1 and E7-1", "P_n [N]", "F_cr*A_eff", T, F_cr="Pa", A_eff="m**2"
)
def compressive_strength(F_cr: Array, A_eff: Array) -> Array:
    """Nominal compressive strength."""
    return F_cr * A_eff


def nominal_compression(
    E: Array, F_y: Array, D: Array, t: Array, A_g: Array, r: Array, L_c: Array
) -> Array:
    """Nominal compressive strength in N of a round tube with effective length L_c; any shape."""
    F_cr = flexural_buckling_stress(F_y, elastic_buckling_stress(E, L_c, r))
    return compressive_strength(F_cr, effective_area(E, F_y, D, t, A_g))
