"""Rails under thrust or pull along their length: member buckling of ADM chapter E, from memory."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
M = Certainty.MEMORY
KSI = 6894757.293168361
_K = 2250.0 * KSI


@provision("ADM Table B.4.2, artificially aged tempers", "B_c [Pa]",
           "F_cy*(1 + sqrt(F_cy/kappa))", M, constants={"kappa": (_K, "Pa")},
           ranges={"F_cy": (1e8, 3e8)}, F_cy="Pa")  # fmt: skip
def buckling_intercept(F_cy: Array) -> Array:
    """Intercept of the straight line for inelastic buckling."""
    return F_cy * (1 + np.sqrt(F_cy / _K))


@provision("ADM Table B.4.2, artificially aged tempers", "D_c [Pa]",
           "B_c/10*sqrt(B_c/E)", M, B_c="Pa", E="Pa")  # fmt: skip
def buckling_slope(B_c: Array, E: Array) -> Array:
    """Fall of that line with the slenderness."""
    return B_c / 10 * np.sqrt(B_c / E)


@provision("ADM Table B.4.2, artificially aged tempers", "C_c [-]", "0.41*B_c/D_c", M,
           B_c="Pa", D_c="Pa")  # fmt: skip
def elastic_limit(B_c: Array, D_c: Array) -> Array:
    """Slenderness from which buckling is elastic."""
    return 0.41 * B_c / D_c


@provision(
    "ADM E.3, flexural buckling", "F_c [Pa]",
    "where(lam < C_c, minimum(F_cy, 0.85*(B_c - D_c*lam)), 0.85*pi**2*E/lam**2)", M,
    ranges={"lam": (0.2, 3.0), "C_c": (0.5, 2.0)},
    lam="-", B_c="Pa", D_c="Pa", C_c="-", F_cy="Pa", E="Pa",
)  # fmt: skip
def buckling_stress(lam: Array, B_c: Array, D_c: Array, C_c: Array, F_cy: Array, E: Array) -> Array:
    """Stress at which the rail buckles, with the 0.85 for crookedness."""
    bent = np.minimum(F_cy, 0.85 * (B_c - D_c * lam))
    return np.where(lam < C_c, bent, 0.85 * np.pi**2 * E / lam**2)


@provision("ADM E.1 and D.1", "R_n [N]", "F*A", M, F="Pa", A="m**2")
def axial_strength(F: Array, A: Array) -> Array:
    """Nominal axial strength of the gross section."""
    return F * A


@provision("ADM H.1", "p [-]", "where(N < 0, -N/P_c, N/T_c)", M,
           ranges={"N": (-2.0, 2.0)}, N="N", P_c="N", T_c="N")  # fmt: skip
def axial_share(N: Array, P_c: Array, T_c: Array) -> Array:
    """Axial force (tension positive) over the available strength of its sense."""
    return np.where(N < 0, -N / P_c, N / T_c)


@provision("ADM H.1, Eq. H.1-1", "ratio [-]", "p + m", M, p="-", m="-")
def with_thrust(p: Array, m: Array) -> Array:
    """Thrust or pull together with bending about both axes."""
    return p + m
