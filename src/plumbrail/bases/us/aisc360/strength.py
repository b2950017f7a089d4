"""Available strength: nominal strength with the factor of the chosen method (Chapter B)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

from ..common import Method, factor

Array = NDArray[np.float64]
T = Certainty.SECOND_HAND


@provision("AISC 360-22 B3.2, Eq. B3-2", "R_a [N]", "R_n/Omega", T, R_n="N", Omega="-")
def allowable_force(R_n: Array, Omega: Array) -> Array:
    """Allowable strength in force (ASD)."""
    return R_n / Omega


@provision("AISC 360-22 B3.1, Eq. B3-1", "R_d [N]", "phi*R_n", T, R_n="N", phi="-")
def design_force(R_n: Array, phi: Array) -> Array:
    """Design strength in force (LRFD)."""
    return phi * R_n


@provision("AISC 360-22 B3.2, Eq. B3-2", "M_a [N*m]", "M_n/Omega", T, M_n="N*m", Omega="-")
def allowable_moment(M_n: Array, Omega: Array) -> Array:
    """Allowable strength in bending or torsion (ASD)."""
    return M_n / Omega


@provision("AISC 360-22 B3.1, Eq. B3-1", "M_d [N*m]", "phi*M_n", T, M_n="N*m", phi="-")
def design_moment(M_n: Array, phi: Array) -> Array:
    """Design strength in bending or torsion (LRFD)."""
    return phi * M_n


def available_force(R_n: Array, limit_state: str, method: Method, table: str = "factors") -> Array:
    """Available strength in N for a limit state named in ``aisc/<table>``; any shape."""
    chosen = factor("aisc", table, limit_state, method)
    return allowable_force(R_n, chosen) if method == "ASD" else design_force(R_n, chosen)


def available_moment(M_n: Array, limit_state: str, method: Method) -> Array:
    """Available strength in N*m for a limit state named in ``aisc/factors``; any shape."""
    chosen = factor("aisc", "factors", limit_state, method)
    return allowable_moment(M_n, chosen) if method == "ASD" else design_moment(M_n, chosen)
