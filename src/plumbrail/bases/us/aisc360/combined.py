"""Combined forces on round tubes (Chapter H) and the sense of a force."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
T = Certainty.SECOND_HAND
D = Certainty.DERIVED


@provision(
    "sign of the axial force", "P_r [N]", "where(N < 0, -N, 0*N)", D, ranges={"N": (-2, 2)}, N="N"
)
def compression_part(N: Array) -> Array:
    """Compression, from an axial force with tension positive."""
    return np.where(N < 0, -N, 0 * N)


@provision(
    "sign of the axial force", "P_r [N]", "where(N > 0, N, 0*N)", D, ranges={"N": (-2, 2)}, N="N"
)
def tension_part(N: Array) -> Array:
    """Tension, from an axial force with tension positive."""
    return np.where(N > 0, N, 0 * N)


@provision("one of two is zero", "P_r/P_c [-]", "p_c + p_t", D, p_c="-", p_t="-")
def axial_ratio(p_c: Array, p_t: Array) -> Array:
    """Axial ratio, compression or tension, whichever acts."""
    return p_c + p_t


@provision(
    "AISC 360-22 H1.1 and H1.2, Eq. H1-1a and H1-1b", "ratio [-]",
    "where(p >= 0.2, p + 8/9*m, p/2 + m)", T, ranges={"p": (0, 0.5)}, p="-", m="-",
)  # fmt: skip
def axial_and_bending(p: Array, m: Array) -> Array:
    """Axial force with bending; p = P_r/P_c, m = M_r/M_c of the resultant moment."""
    return np.where(p >= 0.2, p + 8 / 9 * m, p / 2 + m)


@provision(
    "AISC 360-22 H3.2, Eq. H3-6", "ratio [-]",
    "where(q <= 0.2, h, (p + m) + (v + q)**2)", T,
    ranges={"q": (0, 0.5)}, p="-", m="-", v="-", q="-", h="-",
)  # fmt: skip
def with_torsion(p: Array, m: Array, v: Array, q: Array, h: Array) -> Array:
    """Axial force, bending, shear and torsion.

    v = V_r/V_c, q = T_r/T_c; up to q = 0.2 torsion is neglected and the ratio h of H1 stands.
    """
    return np.where(q <= 0.2, h, (p + m) + (v + q) ** 2)
