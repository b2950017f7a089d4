"""Pulling wire into conduit: tension, pressure in bends, jamming. Directions and units in SI."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
S, M, D = Certainty.SECOND_HAND, Certainty.MEMORY, Certainty.DERIVED
LBF, CMIL = 4.4482216152605, 5.067074790974977e-10
COPPER = 0.008 * LBF / CMIL
ALUMINIUM = 0.006 * LBF / CMIL
"""Stress of 0.008 and 0.006 lbf on each circular mil [Pa]."""
BASKET = 1000.0 * LBF
"""What a basket grip stands [N]."""
SLOPES = (-0.3, 0.3)


@provision("pulling guides of cable makers: straight piece, on a slope", "T [N]",
           "maximum(T_0 + w*L*(sin(a) + mu*W_c*cos(a)), 0)", S, ranges={"a": SLOPES},
           T_0="N", w="N/m", L="m", a="rad", mu="-", W_c="-")  # fmt: skip
def straight_pull(T_0: Array, w: Array, L: Array, a: Array, mu: Array, W_c: Array) -> Array:
    """Tension after a straight piece of length L rising at the angle a; never below nothing."""
    return np.maximum(T_0 + w * L * (np.sin(a) + mu * W_c * np.cos(a)), 0.0)


@provision("pulling guides of cable makers: bend", "T [N]", "T_0*exp(mu*W_c*theta)", S,
           T_0="N", theta="rad", mu="-", W_c="-")  # fmt: skip
def bend_pull(T_0: Array, theta: Array, mu: Array, W_c: Array) -> Array:
    """Tension after a bend of the angle theta; its own weight in the bend does not count."""
    return T_0 * np.exp(mu * W_c * theta)


@provision("pulling guides of cable makers: pressure in a bend", "P [N/m]", "T/R", S,
           T="N", R="m")  # fmt: skip
def sidewall(T: Array, R: Array) -> Array:
    """Pressure in a bend of radius R as if one wire bore it all: cautious for several."""
    return T / R


@provision("pulling guides of cable makers: three wires cradled", "P [N/m]",
           "(3*W_c - 2)*T/(3*R)", M, ranges={"W_c": (1.1, 2.0)}, T="N", R="m", W_c="-")  # fmt: skip
def sidewall_cradled(T: Array, R: Array, W_c: Array) -> Array:
    """Pressure on the lowest of three wires in a bend."""
    return (3.0 * W_c - 2.0) * T / (3.0 * R)


@provision("pulling guides of cable makers: three wires cradled", "W_c [-]",
           "1 + 4/3*(d/(D - d))**2", M, ranges={"D": (3.0, 5.0), "d": (0.5, 1.2)},
           d="m", D="m")  # fmt: skip
def cradled_weight(d: Array, D: Array) -> Array:
    """Weight correction of three wires of diameter d in conduit of inner diameter D."""
    return 1.0 + 4.0 / 3.0 * (d / (D - d)) ** 2


@provision("pulling guides of cable makers: four wires or more", "W_c [-]",
           "1 + 2*(d/(D - d))**2", M, ranges={"D": (3.0, 5.0), "d": (0.5, 1.2)},
           d="m", D="m")  # fmt: skip
def many_weight(d: Array, D: Array) -> Array:
    """Weight correction of four wires; taken for more as well."""
    return 1.0 + 2.0 * (d / (D - d)) ** 2


@provision("pulling guides of cable makers", "T_m [N]", "N*s*A", S, N="-", s="Pa", A="m**2")
def conductor_limit(N: Array, s: Array, A: Array) -> Array:
    """Tension that N conductors of metal area A stand at the stress s."""
    return N * s * A


@provision("pulling guides of cable makers: more than three wires", "T_m [N]", "0.8*T_n", S,
           T_n="N")  # fmt: skip
def shared_limit(T_n: Array) -> Array:
    """Of more than three conductors, which never share alike."""
    return 0.8 * T_n


@provision("the lower of both", "T_a [N]", "minimum(T_m, T_g)", D, T_m="N", T_g="N")
def grip_limit(T_m: Array, T_g: Array) -> Array:
    """What conductors and grip stand."""
    return np.minimum(T_m, T_g)


@provision("pulling guides of cable makers: jam ratio", "J [-]", "1.05*D/d", M, D="m", d="m")
def jam_ratio(D: Array, d: Array) -> Array:
    """Inner diameter in a bend over that of a wire; three wires jam from 2.8 to 3.2."""
    return 1.05 * D / d


@provision("metal and insulation", "w [N/m]", "g*(rho_c*A + rho_i*(A_w - A))", D,
           constants={"g": (9.80665, "m/s**2")}, ranges={"A_w": (2.5, 4.0)},
           rho_c="kg/m**3", A="m**2", rho_i="kg/m**3", A_w="m**2")  # fmt: skip
def wire_weight(rho_c: Array, A: Array, rho_i: Array, A_w: Array) -> Array:
    """Weight per length of a wire of metal area A and whole area A_w."""
    return 9.80665 * (rho_c * A + rho_i * (A_w - A))


@provision("demand over capacity", "ratio [-]", "T/T_a", D, T="N", T_a="N")
def tension_ratio(T: Array, T_a: Array) -> Array:
    """Pull over what conductors and grip stand."""
    return T / T_a


@provision("demand over capacity", "ratio [-]", "P/P_a", D, P="N/m", P_a="N/m")
def pressure_ratio(P: Array, P_a: Array) -> Array:
    """Pressure in a bend over what the wire stands."""
    return P / P_a


@provision("NFPA 70 352.26, 358.26, 344.26", "ratio [-]", "theta/theta_a", S,
           theta="rad", theta_a="rad")  # fmt: skip
def bend_ratio(theta: Array, theta_a: Array) -> Array:
    """All bends between two pulling points over one full turn."""
    return theta / theta_a


@provision("required over provided", "ratio [-]", "g_r/g", D, g_r="m", g="m")
def gap_ratio(g_r: Array, g: Array) -> Array:
    """Gap that is asked for over that which is left."""
    return g_r / g


@provision("required over provided", "ratio [-]", "L_r/L_p", D, L_r="m", L_p="m")
def length_ratio(L_r: Array, L_p: Array) -> Array:
    """Length of the route over that which the wires were sized for."""
    return L_r / L_p


@provision("required over provided", "ratio [-]", "c_r/c", D, c_r="m", c="m")
def cover_ratio(c_r: Array, c: Array) -> Array:
    """Least cover over that which the profile has."""
    return c_r / c
