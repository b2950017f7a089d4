"""IEC 60228, IEC 60364-5-52 and BS 7671: resistance, voltage drop and capacity of cables."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, given, provision

from .lookup import of_area, table

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
D = Certainty.DERIVED
T_20 = 293.15
"""20 degC [K]."""


@provision("IEC 60228, correction for temperature", "R [ohm/m]", "R_20*(1 + alpha_20*(T - T_20))",
           C, constants={"T_20": (T_20, "K")}, ranges={"alpha_20": (0.003, 0.005), "T": (270, 370)},
           R_20="ohm/m", alpha_20="1/K", T="K")  # fmt: skip
def resistance_at(R_20: Array, alpha_20: Array, T: Array) -> Array:
    """Resistance per length at a conductor temperature."""
    return R_20 * (1 + alpha_20 * (T - T_20))


@provision("Ohm's law, there and back", "V_d [V]", "2*I*R*L", D, I="A", R="ohm/m", L="m")
def voltage_drop(I: Array, R: Array, L: Array) -> Array:  # noqa: E741
    """Voltage lost in both conductors of a direct-current circuit of one-way length L."""
    return 2 * I * R * L


@provision("BS 7671 Appendix 4", "V_d [V]", "m_V*I*L", C, m_V="ohm/m", I="A", L="m")
def drop_by_table(m_V: Array, I: Array, L: Array) -> Array:  # noqa: E741
    """Voltage lost by the table's drop per ampere and metre, which counts both conductors."""
    return m_V * I * L


@provision("IEC 60364-5-52 Annex B", "I_c [A]", "I_z*C_a*C_g", C, I_z="A", C_a="-", C_g="-")
def corrected_capacity(I_z: Array, C_a: Array, C_g: Array) -> Array:
    """Capacity of the table, corrected for ambient temperature and for other circuits beside."""
    return I_z * C_a * C_g


def resistance(S: float, T: ArrayLike) -> Array:
    """Resistance per length [ohm/m] of a class 5 tinned copper conductor at temperatures [K].

    ``S`` is the cross-section [m**2]; RangeError for one that is not in the table.
    """
    alpha = table("resistance_coefficient").value("alpha", metal="copper")
    return resistance_at(of_area("resistance", "R", S), alpha, np.asarray(T, dtype=float))


def drop_per_length(S: float, cable: str) -> Array:
    """Drop per ampere and metre of route [ohm/m] by BS 7671 for a kind of cable; 0-d."""
    return of_area("voltage_drop", "drop", S, cable=cable)


def capacity(S: float, method: str) -> Array:
    """Current-carrying capacity [A] by method and cross-section [m**2]; 0-d."""
    return of_area("ampacity", "ampacity", S, method=method)


def grouping_factor(circuits: int) -> Array:
    """Factor for touching circuits; 0-d. RangeError beyond the table."""
    found = table("grouping")
    rows = np.flatnonzero(found.numbers["circuits"] == circuits)
    if rows.size != 1:
        raise RangeError(f"{circuits} circuits are outside {found.source}, 1 to 5. {found.advice}")
    return given(f"{found.source} ({circuits} circuits)", "C_g [-]",
                 found.numbers["factor"][rows[0]], found.certainty, found.title)  # fmt: skip
