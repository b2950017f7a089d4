"""Steps that every material shares: resultants, sizes, and demand over capacity."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
Method = Literal["ASD", "LRFD"]
"""Allowable strength design, or load and resistance factor design."""
D = Certainty.DERIVED
TINY = float(np.finfo(float).tiny)
"""The smallest number accepted where a value must be above zero."""


@provision("vector sum", "F [N]", "sqrt(F_1**2 + F_2**2)", D, F_1="N", F_2="N")
def resultant_force(F_1: Array, F_2: Array) -> Array:
    """Resultant of two forces at right angles."""
    return np.hypot(F_1, F_2)


@provision("vector sum", "M [N*m]", "sqrt(M_1**2 + M_2**2)", D, M_1="N*m", M_2="N*m")
def resultant_moment(M_1: Array, M_2: Array) -> Array:
    """Resultant of two moments about axes at right angles; on a round section it governs."""
    return np.hypot(M_1, M_2)


@provision("size of a signed number", "F_r [N]", "abs(F)", D, F="N")
def force_size(F: Array) -> Array:
    """Force without its sense."""
    return np.abs(F)


@provision("size of a signed number", "M_r [N*m]", "abs(M)", D, M="N*m")
def moment_size(M: Array) -> Array:
    """Moment or torsion without its sense."""
    return np.abs(M)


@provision("lower of two limit states", "R_c [N]", "minimum(R_1, R_2)", D, R_1="N", R_2="N")
def lower_force(R_1: Array, R_2: Array) -> Array:
    """The limit state with the lower strength governs."""
    return np.minimum(R_1, R_2)


@provision("higher of two ratios", "ratio [-]", "maximum(r_1, r_2)", D, r_1="-", r_2="-")
def higher_ratio(r_1: Array, r_2: Array) -> Array:
    """The limit state that is used up more governs."""
    return np.maximum(r_1, r_2)


@provision("demand over capacity", "ratio [-]", "R_r/R_c", D, R_r="N", R_c="N")
def force_ratio(R_r: Array, R_c: Array) -> Array:
    """Required over available strength in force."""
    return R_r / R_c


@provision("demand over capacity", "ratio [-]", "M_r/M_c", D, M_r="N*m", M_c="N*m")
def moment_ratio(M_r: Array, M_c: Array) -> Array:
    """Required over available strength in bending or torsion."""
    return M_r / M_c


def factor(document: str, table: str, limit_state: str, method: Method) -> Array:
    """Safety factor (ASD) or resistance factor (LRFD) of a limit state from a table; 0-d."""
    column = "Omega" if method == "ASD" else "phi"
    return load(document, table).value(column, limit_state=limit_state)
