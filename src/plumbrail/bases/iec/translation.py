"""Measured values of a module or string brought to the standard test conditions, and back.

The simple forms that IEC 61829 and IEC 60891 lead to for open-circuit voltage and short-circuit
current; a share ``alpha`` or ``beta`` is per kelvin of the value at the standard conditions.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
M = Certainty.MEMORY
G_RATED = 1000.0
"""[W/m2]"""
T_RATED = 298.15
"""25 degC [K]."""
_RATED = {"G_r": (G_RATED, "W/m**2"), "T_r": (T_RATED, "K")}
_WARM = {"T_r": (T_RATED, "K")}
_RANGES = {"G": (100.0, 1200.0), "T": (260.0, 350.0), "alpha": (0.0, 0.001),
           "beta": (-0.004, -0.002), "k": (0.02, 0.08)}  # fmt: skip


def _ranges(*names: str) -> dict[str, tuple[float, float]]:
    return {name: _RANGES[name] for name in names}


@provision(
    "IEC 60891, short-circuit current", "I_stc [A]", "I*G_r/G/(1 + alpha*(T - T_r))", M,
    constants=_RATED, ranges=_ranges("G", "T", "alpha"), I="A", G="W/m**2", T="K", alpha="1/K",
)  # fmt: skip
def current_at_rated(I: Array, G: Array, T: Array, alpha: Array) -> Array:  # noqa: E741
    """Short-circuit current at the standard conditions from one that was measured."""
    return I * G_RATED / G / (1 + alpha * (T - T_RATED))


@provision(
    "IEC 60891, open-circuit voltage, warmth alone", "V_stc [V]", "V/(1 + beta*(T - T_r))", M,
    constants=_WARM, ranges=_ranges("T", "beta"), V="V", T="K", beta="1/K",
)  # fmt: skip
def voltage_at_rated_warmth(V: Array, T: Array, beta: Array) -> Array:
    """Open-circuit voltage at 25 degC from one that was measured, for the light at hand."""
    return V / (1 + beta * (T - T_RATED))


@provision(
    "IEC 60891 procedure 2, open-circuit voltage", "V_stc [V]",
    "V*(1 + beta*(T_r - T) + k*log(G_r/G))", M,
    constants=_RATED, ranges=_ranges("G", "T", "beta", "k"),
    V="V", G="W/m**2", T="K", beta="1/K", k="-",
)  # fmt: skip
def voltage_at_rated(V: Array, G: Array, T: Array, beta: Array, k: Array) -> Array:
    """Open-circuit voltage at the standard conditions; ``k`` is its share per ln of the light."""
    return V * (1 + beta * (T_RATED - T) + k * np.log(G_RATED / G))


@provision(
    "IEC 60891, solved for the current at hand", "I_e [A]", "I_stc*G/G_r*(1 + alpha*(T - T_r))", M,
    constants=_RATED, ranges=_ranges("G", "T", "alpha"),
    I_stc="A", G="W/m**2", T="K", alpha="1/K",
)  # fmt: skip
def current_expected(I_stc: Array, G: Array, T: Array, alpha: Array) -> Array:
    """Short-circuit current to be expected in this light and warmth."""
    return I_stc * G / G_RATED * (1 + alpha * (T - T_RATED))


@provision(
    "IEC 60891 procedure 2, solved for the voltage at hand", "V_e [V]",
    "V_stc/(1 + beta*(T_r - T) + k*log(G_r/G))", M,
    constants=_RATED, ranges=_ranges("G", "T", "beta", "k"),
    V_stc="V", G="W/m**2", T="K", beta="1/K", k="-",
)  # fmt: skip
def voltage_expected(V_stc: Array, G: Array, T: Array, beta: Array, k: Array) -> Array:
    """Open-circuit voltage to be expected in this light and warmth."""
    return V_stc / (1 + beta * (T_RATED - T) + k * np.log(G_RATED / G))
