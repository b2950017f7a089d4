"""Corrections of tapes and strings, as pure functions.

A correction is added to the length read. Slopes are not here: the adjustment works in three
dimensions and sees them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
D = Certainty.DERIVED

STEEL = 11.6e-6
"""Expansion of a steel tape [1/K], the 6.45e-6 per degree Fahrenheit of the handbooks."""
RIGHT_AT = 293.15
"""Temperature at which a steel tape is right [K]: 20 °C (SI 2016/1153, schedule 1I)."""
G = 9.80665


@provision(
    "Tape correction, temperature", "C_t [m]", "alpha*L*(T - T_0)", C,
    alpha="1/K", L="m", T="K", T_0="K",
)  # fmt: skip
def temperature_correction(alpha: Array, L: Array, T: Array, T_0: Array) -> Array:
    """What a tape warmer than its standard reads too little."""
    return alpha * L * (T - T_0)


@provision(
    "Tape correction, pull", "C_p [m]", "(P - P_0)*L/(A*E)", C,
    P="N", P_0="N", L="m", A="m**2", E="Pa",
)  # fmt: skip
def pull_correction(P: Array, P_0: Array, L: Array, A: Array, E: Array) -> Array:
    """What a tape pulled harder than its standard reads too little."""
    return (P - P_0) * L / (A * E)


@provision("Tape correction, sag", "C_s [m]", "-w**2*L**3/(24*P**2)", C, w="N/m", L="m", P="N")
def sag_correction(w: Array, L: Array, P: Array) -> Array:
    """What a tape hanging between its ends reads too much, for one bay; always negative."""
    return -(w**2) * L**3 / (24 * P**2)


@provision(
    "Parabola of a shallow string", "d [m]", "w*a*(L - a)/(2*T)", D,
    w="N/m", a="m", L="m", T="N", ranges={"L": (2.0, 4.0), "a": (0.1, 1.9)},
)  # fmt: skip
def string_sag(w: Array, a: Array, L: Array, T: Array) -> Array:
    """How far a string hangs below its chord at distance a from one end; w L²/(8 T) midway."""
    return w * a * (L - a) / (2 * T)


def tape_scale(temperature: Array) -> Array:
    """What a steel tape at a temperature [K] reads per length; below 1 when it is warm."""
    one = np.ones_like(temperature)
    return 1.0 / (1.0 + temperature_correction(STEEL * one, one, temperature, RIGHT_AT * one))
