"""Arithmetic of the wiring that belongs to no code: heat, strings, ratios."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
D = Certainty.DERIVED
AIR, CELL = (290.0, 320.0), (310.0, 350.0)
DROP = (-0.004, -0.002)
"""Where the generic tests draw temperatures [K] and coefficients [1/K]."""


@provision(
    "nominal operating cell temperature, IEC 61215", "T_c [K]", "T_a + (T_n - T_0)/G_0*G",
    Certainty.CONFIRMED, constants={"T_0": (293.15, "K"), "G_0": (800.0, "W/m**2")},
    ranges={"T_a": AIR, "T_n": (310.0, 325.0), "G": (500.0, 1200.0)},
    T_a="K", T_n="K", G="W/m**2",
)  # fmt: skip
def cell_by_noct(T_a: Array, T_n: Array, G: Array) -> Array:
    """Cell temperature at irradiance G, from the temperature at 800 W/m2 and 20 °C air."""
    return T_a + (T_n - 293.15) / 800.0 * G


@provision(
    "Faiman 2008, cell temperature in the wind", "T_c [K]", "T_a + G/(u_0 + u_1*v)",
    Certainty.CONFIRMED,
    constants={"u_0": (25.0, "W/(m**2*K)"), "u_1": (6.84, "W*s/(m**3*K)")},
    ranges={"T_a": AIR, "G": (500.0, 1200.0), "v": (0.0, 5.0)},
    T_a="K", G="W/m**2", v="m/s",
)  # fmt: skip
def cell_by_wind(T_a: Array, G: Array, v: Array) -> Array:
    """Cell temperature at irradiance G and wind v, where the data sheet gives no NOCT."""
    return T_a + G / (25.0 + 6.84 * v)


@provision(
    "power is voltage times current", "delta [1/K]", "gamma - alpha", D,
    ranges={"gamma": DROP, "alpha": (0.0003, 0.0008)}, gamma="1/K", alpha="1/K",
)  # fmt: skip
def working_coefficient(gamma: Array, alpha: Array) -> Array:
    """Coefficient of the working voltage, estimated: that of power less that of current."""
    return gamma - alpha


@provision(
    "linear with temperature, by the maker's coefficient", "V_T [V]", "V*(1 + c*(T_c - T_r))", D,
    constants={"T_r": (298.15, "K")}, ranges={"c": DROP, "T_c": CELL}, V="V", c="1/K", T_c="K",
)  # fmt: skip
def warm_voltage(V: Array, c: Array, T_c: Array) -> Array:
    """Voltage of a module with its cells at a temperature."""
    return V * (1.0 + c * (T_c - 298.15))


@provision("modules in series", "V_s [V]", "N*V", D, N="-", V="V")
def series_voltage(N: Array, V: Array) -> Array:
    """Voltage of modules in series."""
    return N * V


@provision("strings in parallel", "I_p [A]", "N*I", D, N="-", I="A")
def parallel_current(N: Array, I: Array) -> Array:  # noqa: E741
    """Current of equal strings in parallel."""
    return N * I


@provision("modules in all", "P [W]", "N*P_m", D, N="-", P_m="W")
def array_power(N: Array, P_m: Array) -> Array:
    """Rated power of a number of modules."""
    return N * P_m


@provision("demand over capacity", "ratio [-]", "V_r/V_a", D, V_r="V", V_a="V")
def voltage_ratio(V_r: Array, V_a: Array) -> Array:
    """Voltage there is over voltage allowed; or voltage needed over voltage there is."""
    return V_r / V_a


@provision("demand over capacity", "ratio [-]", "I_r/I_a", D, I_r="A", I_a="A")
def current_ratio(I_r: Array, I_a: Array) -> Array:
    """Current there is over current allowed."""
    return I_r / I_a


@provision("demand over capacity", "ratio [-]", "A_r/A_a", D, A_r="m**2", A_a="m**2")
def area_ratio(A_r: Array, A_a: Array) -> Array:
    """Area of copper that is needed over that which is there."""
    return A_r / A_a


@provision("required over provided", "ratio [-]", "n_r/n_a", D, n_r="-", n_a="-")
def count_ratio(n_r: Array, n_a: Array) -> Array:
    """How many are needed over how many there are."""
    return n_r / n_a


@provision("the next rating at or above", "I_r [A]", "maximum(I_d, I_s)", D, I_d="A", I_s="A")
def next_rating(I_d: Array, I_s: Array) -> Array:
    """Rating of a device: the current I_d that it needs, up to the size I_s that is made."""
    return np.maximum(I_d, I_s)


@provision("the lower of both", "I_a [A]", "minimum(I_1, I_2)", D, I_1="A", I_2="A")
def lower_current(I_1: Array, I_2: Array) -> Array:
    """The lower of two limits."""
    return np.minimum(I_1, I_2)


@provision("the larger of both", "I_k [A]", "maximum(I_1, I_2)", D, I_1="A", I_2="A")
def larger_current(I_1: Array, I_2: Array) -> Array:
    """The larger of the currents from either side."""
    return np.maximum(I_1, I_2)


@provision("sum of the parts", "I_r [A]", "I_1 + I_2", D, I_1="A", I_2="A")
def current_sum(I_1: Array, I_2: Array) -> Array:
    """Current of two sources together."""
    return I_1 + I_2


@provision("air that is warmer than the site's", "T_l [K]", "T_a + dT", D,
           ranges={"T_a": AIR, "dT": (0.0, 30.0)}, T_a="K", dT="K")  # fmt: skip
def warmer_air(T_a: Array, dT: Array) -> Array:
    """Air about a wire: the site's, and what modules or the sun on conduit add."""
    return T_a + dT


@provision("demand over capacity", "ratio [-]", "P_r/P_a", D, P_r="W", P_a="W")
def power_ratio(P_r: Array, P_a: Array) -> Array:
    """Rated power over the largest that the maker allows."""
    return P_r / P_a


@provision("sum of the parts", "V_d [V]", "V_1 + V_2", D, V_1="V", V_2="V")
def drop_sum(V_1: Array, V_2: Array) -> Array:
    """Voltage lost in the string's wires and in the run."""
    return V_1 + V_2


@provision("share of the working voltage", "V_a [V]", "s*V", D, s="-", V="V")
def drop_allowed(s: Array, V: Array) -> Array:
    """Voltage that the plan allows to be lost."""
    return s * V


@provision(
    "heating goes with the square of the current", "T_w [K]", "T_a + (T_r - T_a)*(I/I_z)**2", D,
    ranges={"T_a": AIR, "T_r": (330.0, 365.0)}, T_a="K", T_r="K", I="A", I_z="A",
)  # fmt: skip
def wire_temperature(T_a: Array, T_r: Array, I: Array, I_z: Array) -> Array:  # noqa: E741
    """Temperature of a wire under load, from that at its full ampacity I_z."""
    return T_a + (T_r - T_a) * (I / I_z) ** 2


@provision("demand over capacity", "ratio [-]", "f/f_a", D, f="-", f_a="-")
def share_ratio(f: Array, f_a: Array) -> Array:
    """Share that is filled over the share that may be."""
    return f / f_a


@provision("sum of the parts", "A_sum [m**2]", "N*A + A_g", D, N="-", A="m**2", A_g="m**2")
def area_sum(N: Array, A: Array, A_g: Array) -> Array:
    """Area of conductors alike and of one grounding conductor."""
    return N * A + A_g
