"""Bending, shear and torsion of round tubes (F8, G5, H3.1)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

from .axial import WALLS

Array = NDArray[np.float64]
T = Certainty.SECOND_HAND
DERIVED = Certainty.DERIVED


@provision("AISC 360-22 F8.1, Eq. F8-1", "M_p [N*m]", "F_y*Z", T, F_y="Pa", Z="m**3")
def plastic_moment(F_y: Array, Z: Array) -> Array:
    """Nominal moment of a round tube, yielding."""
    return F_y * Z


@provision(
    "AISC 360-22 F8.2, Eq. F8-2 to F8-4", "M_lb [N*m]",
    "where(D/t <= 0.31*E/F_y, (0.021*E/(D/t) + F_y)*S, 0.33*E/(D/t)*S)", T,
    ranges=WALLS, E="Pa", F_y="Pa", D="m", t="m", S="m**3",
)  # fmt: skip
def local_buckling_moment(E: Array, F_y: Array, D: Array, t: Array, S: Array) -> Array:
    """Nominal moment of a round tube, local buckling of a noncompact or slender wall."""
    noncompact = (0.021 * E / (D / t) + F_y) * S
    return np.where(D / t <= 0.31 * E / F_y, noncompact, 0.33 * E / (D / t) * S)


@provision(
    "AISC 360-22 F8", "M_n [N*m]",
    "where(D/t <= 0.07*E/F_y, M_p, minimum(M_p, M_lb))", T,
    ranges=WALLS, E="Pa", F_y="Pa", D="m", t="m", M_p="N*m", M_lb="N*m",
)  # fmt: skip
def flexural_strength(E: Array, F_y: Array, D: Array, t: Array, M_p: Array, M_lb: Array) -> Array:
    """Nominal moment: yielding, or the lower limit state where the wall is not compact."""
    return np.where(D / t <= 0.07 * E / F_y, M_p, np.minimum(M_p, M_lb))


@provision(
    "AISC 360-22 G5, Eq. G5-2a and G5-2b", "F_cr [Pa]",
    "minimum(0.6*F_y, maximum(1.60*E/(sqrt(L_v/D)*(D/t)**1.25), 0.78*E/(D/t)**1.5))", T,
    ranges=WALLS, E="Pa", F_y="Pa", D="m", t="m", L_v="m",
)  # fmt: skip
def shear_buckling_stress(E: Array, F_y: Array, D: Array, t: Array, L_v: Array) -> Array:
    """Critical shear stress of a round tube, not above shear yielding."""
    long = 1.60 * E / (np.sqrt(L_v / D) * (D / t) ** 1.25)
    return np.minimum(0.6 * F_y, np.maximum(long, 0.78 * E / (D / t) ** 1.5))


@provision("AISC 360-22 G5, Eq. G5-1", "V_n [N]", "F_cr*A_g/2", T, F_cr="Pa", A_g="m**2")
def shear_strength(F_cr: Array, A_g: Array) -> Array:
    """Nominal shear strength of a round tube."""
    return F_cr * A_g / 2


@provision("AISC 360-22 H3.1; mechanics", "C [m**3]", "2*J/D", DERIVED, J="m**4", D="m")
def torsional_constant(J: Array, D: Array) -> Array:
    """Torsional shear constant of a round tube.

    The printed shortcut with the mean radius is a few per cent above the tabulated constant, so
    the exact 2J/D is used.
    """
    return 2 * J / D


@provision(
    "AISC 360-22 H3.1, Eq. H3-2a and H3-2b", "F_cr [Pa]",
    "minimum(0.6*F_y, maximum(1.23*E/(sqrt(L/D)*(D/t)**1.25), 0.60*E/(D/t)**1.5))", T,
    ranges=WALLS, E="Pa", F_y="Pa", D="m", t="m", L="m",
)  # fmt: skip
def torsional_buckling_stress(E: Array, F_y: Array, D: Array, t: Array, L: Array) -> Array:
    """Critical torsional stress of a round tube, not above shear yielding."""
    long = 1.23 * E / (np.sqrt(L / D) * (D / t) ** 1.25)
    return np.minimum(0.6 * F_y, np.maximum(long, 0.60 * E / (D / t) ** 1.5))


@provision("AISC 360-22 H3.1, Eq. H3-1", "T_n [N*m]", "F_cr*C", T, F_cr="Pa", C="m**3")
def torsional_strength(F_cr: Array, C: Array) -> Array:
    """Nominal torsional strength of a round tube."""
    return F_cr * C


def nominal_moment(E: Array, F_y: Array, D: Array, t: Array, S: Array, Z: Array) -> Array:
    """Nominal bending strength in N*m of a round tube; any shape."""
    M_lb = local_buckling_moment(E, F_y, D, t, S)
    return flexural_strength(E, F_y, D, t, plastic_moment(F_y, Z), M_lb)


def nominal_shear(E: Array, F_y: Array, D: Array, t: Array, A_g: Array, L_v: Array) -> Array:
    """Nominal shear strength in N of a round tube with shear length L_v; any shape."""
    return shear_strength(shear_buckling_stress(E, F_y, D, t, L_v), A_g)


def nominal_torsion(E: Array, F_y: Array, D: Array, t: Array, J: Array, L: Array) -> Array:
    """Nominal torsional strength in N*m of a round tube of length L; any shape."""
    F_cr = torsional_buckling_stress(E, F_y, D, t, L)
    return torsional_strength(F_cr, torsional_constant(J, D))
