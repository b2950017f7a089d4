"""The arithmetic behind a verdict, as shares of what is expected; recorded where it is asked for.

Independent errors add as their squares (variances add); an error that is as likely anywhere up to
a largest one has that largest over √3 as its standard uncertainty.
"""

from __future__ import annotations

import numpy as np

from plumbrail.proving.parts import Array
from plumbrail.trace import Certainty, provision

D, P, M = Certainty.DERIVED, Certainty.PRACTICE, Certainty.MEMORY
RATED = {"G_r": (1000.0, "W/m**2")}
_LIT = {"G": (100.0, 1200.0)}
_MORE = "variances of independent errors add"
_INSIDE = "inside with all of the uncertainty"


@provision("thermometer on the back of a module", "T [K]", "T_b + dT*G/G_r", M,
           constants={"dT": (2.5, "K"), **RATED}, ranges=_LIT, T_b="K", G="W/m**2")  # fmt: skip
def cells_behind(T_b: Array, G: Array) -> Array:
    """Warmth of the cells over the back of the module they are in."""
    return T_b + 2.5 * G / 1000.0


@provision("modules in series", "V_e [V]", "n*V_m", D, n="-", V_m="V")
def in_series(n: Array, V_m: Array) -> Array:
    """Expected voltage of a string."""
    return n * V_m


@provision("data sheet over the fitted diode", "V_m [V]", "V_d*V_oc/V_dr", D,
           V_d="V", V_oc="V", V_dr="V")  # fmt: skip
def as_the_sheet(V_d: Array, V_oc: Array, V_dr: Array) -> Array:
    """Voltage of a module by its diode, scaled to the voltage of its data sheet."""
    return V_d * V_oc / V_dr


@provision("data sheet", "I_e [A]", "I*I_mp/I_sc", D, I="A", I_mp="A", I_sc="A")
def current_as_the_sheet(I: Array, I_mp: Array, I_sc: Array) -> Array:  # noqa: E741
    """Operating current, as large against the short-circuit one as on the data sheet."""
    return I * I_mp / I_sc


@provision("measured against expected", "d [-]", "V/V_e - 1", D, V="V", V_e="V")
def voltage_off(V: Array, V_e: Array) -> Array:
    """Share that a voltage lies off its expected value."""
    return V / V_e - 1


@provision("measured against expected", "d [-]", "I/I_e - 1", D, I="A", I_e="A")
def current_off(I: Array, I_e: Array) -> Array:  # noqa: E741
    """Share that a current lies off its expected value."""
    return I / I_e - 1


@provision("errors alike up to the largest", "u [-]", "e/sqrt(3)", D, e="-")
def standard(e: Array) -> Array:
    """Standard uncertainty of a share that is as likely anywhere up to its largest."""
    return e / np.sqrt(3)


@provision("errors alike up to the largest", "u_T [K]", "e_T/sqrt(3)", D, e_T="K")
def standard_warmth(e_T: Array) -> Array:
    """Standard uncertainty of a temperature."""
    return e_T / np.sqrt(3)


@provision("slope of the expected voltage", "k [-]", "2*(V_h - V_l)/((V_h + V_l)*log(q))", D,
           constants={"q": (1.21, "-")}, V_h="V", V_l="V")  # fmt: skip
def fall_per_light(V_h: Array, V_l: Array) -> Array:
    """Share by which the voltage changes per ln of the light, from a tenth more to a tenth less."""
    return 2.0 * (V_h - V_l) / ((V_h + V_l) * np.log(1.21))


@provision("slope of the expected voltage", "b [1/K]", "beta/(1 + beta*(T - T_r))", D,
           constants={"T_r": (298.15, "K")}, ranges={"T": (260.0, 350.0), "beta": (-0.004, -0.002)},
           beta="1/K", T="K")  # fmt: skip
def change_per_kelvin(beta: Array, T: Array) -> Array:
    """Share by which the voltage changes per kelvin, of what it is at that warmth."""
    return beta / (1 + beta * (T - 298.15))


@provision("light against the rated one", "L [-]", "log(G/G_r)", D, constants=RATED, ranges=_LIT,
           G="W/m**2")  # fmt: skip
def light_away(G: Array) -> Array:
    """How far the light is from the one of the data sheet."""
    return np.log(G / 1000.0)


@provision(_MORE, "o [-]", "sqrt(r**2 + (b*g)**2 + (k*f)**2 + (k*w)**2 + t**2)", D,
           r="-", b="1/K", g="K", k="-", f="-", w="-", t="-")  # fmt: skip
def own_share(r: Array, b: Array, g: Array, k: Array, f: Array, w: Array, t: Array) -> Array:
    """Uncertainty of one reading alone: repeats, warmth, light, light not written, tracking."""
    return np.sqrt(r**2 + (b * g) ** 2 + (k * f) ** 2 + (k * w) ** 2 + t**2)


@provision(
    _MORE, "u [-]", "sqrt((k*u_G)**2 + (b*u_T)**2 + (L*u_k)**2 + u_M**2 + u_F**2 + o**2)", D,
    k="-", u_G="-", b="1/K", u_T="K", L="-", u_k="-", u_M="-", u_F="-", o="-",
)  # fmt: skip
def combined_share(
    k: Array, u_G: Array, b: Array, u_T: Array, L: Array, u_k: Array, u_M: Array, u_F: Array,
    o: Array,
) -> Array:  # fmt: skip
    """Standard uncertainty of measured against expected: all meters and the reading's own."""
    return np.sqrt(
        (k * u_G) ** 2 + (b * u_T) ** 2 + (L * u_k) ** 2 + u_M**2 + u_F**2 + o**2
    )  # fmt: skip


@provision("normal distribution, two-sided", "U [-]", "z*u", D, z="-", u="-")
def either_side(z: Array, u: Array) -> Array:
    """Uncertainty on either side at the confidence of the plan."""
    return z * u


@provision("normal distribution, two-sided", "U [K]", "z*u_T", D, z="-", u_T="K")
def either_side_warmth(z: Array, u_T: Array) -> Array:
    """Uncertainty of a difference in warmth on either side."""
    return z * u_T


@provision("the tool's own error is part of every torque", "U [-]", "minimum(u, A/2)", P,
           u="-", A="-")  # fmt: skip
def tool_share(u: Array, A: Array) -> Array:
    """A tool set within half of what is allowed passes: it clicks at what it is set to."""
    return np.minimum(u, A / 2)


@provision(_INSIDE, "V_low [V]", "V_e*(1 - maximum(A - U, 0))", D,
           ranges={"A": (0.0, 0.5), "U": (0.0, 0.5)}, V_e="V", A="-", U="-")  # fmt: skip
def lowest_voltage(V_e: Array, A: Array, U: Array) -> Array:
    """Least voltage that passes; the expected one where nothing can."""
    return V_e * (1 - np.maximum(A - U, 0))


@provision(_INSIDE, "I_low [A]", "I_e*(1 - maximum(A - U, 0))", D,
           ranges={"A": (0.0, 0.5), "U": (0.0, 0.5)}, I_e="A", A="-", U="-")  # fmt: skip
def lowest_current(I_e: Array, A: Array, U: Array) -> Array:
    """Least current that passes; the expected one where nothing can."""
    return I_e * (1 - np.maximum(A - U, 0))


@provision(_INSIDE, "V_high [V]", "V_e*(1 + maximum(A - U, 0))", D,
           ranges={"A": (0.0, 0.5), "U": (0.0, 0.5)}, V_e="V", A="-", U="-")  # fmt: skip
def highest_voltage(V_e: Array, A: Array, U: Array) -> Array:
    """Largest voltage that passes; the expected one where nothing can."""
    return V_e * (1 + np.maximum(A - U, 0))


@provision(_INSIDE, "I_high [A]", "I_e*(1 + maximum(A - U, 0))", D,
           ranges={"A": (0.0, 0.5), "U": (0.0, 0.5)}, I_e="A", A="-", U="-")  # fmt: skip
def highest_current(I_e: Array, A: Array, U: Array) -> Array:
    """Largest current that passes; the expected one where nothing can."""
    return I_e * (1 + np.maximum(A - U, 0))


@provision(_INSIDE, "most [-]", "(abs(d) + U)/A", D, d="-", U="-", A="-")
def used_at_most(d: Array, U: Array, A: Array) -> Array:
    """Share of what is allowed that may be used up; over 1 it is no pass."""
    return (np.abs(d) + U) / A


@provision("outside with all of the uncertainty", "least [-]", "(abs(d) - U)/A", D,
           d="-", U="-", A="-")  # fmt: skip
def used_at_least(d: Array, U: Array, A: Array) -> Array:
    """Share of what is allowed that is surely used up; over 1 it is a failure."""
    return (np.abs(d) - U) / A


@provision("strings alike", "d [-]", "(1 + d_s)/(1 + d_m) - 1", D, d_s="-", d_m="-")
def off_the_others(d_s: Array, d_m: Array) -> Array:
    """Share that a string lies off the middle of the others, each by its own expected value."""
    return (1 + d_s) / (1 + d_m) - 1


@provision(_MORE, "u [-]", "sqrt(o**2 + o_m**2/n)", D, o="-", o_m="-", n="-")
def share_of_two(o: Array, o_m: Array, n: Array) -> Array:
    """Standard uncertainty of a string against the middle of n others."""
    return np.sqrt(o**2 + o_m**2 / n)


@provision("reading with its uncertainty", "R_low [ohm]", "R*(1 - U)", D, R="ohm", U="-")
def least_it_is(R: Array, U: Array) -> Array:
    """Least resistance that the reading allows."""
    return R * (1 - U)


@provision("reading with its uncertainty", "R_high [ohm]", "R*(1 + U)", D, R="ohm", U="-")
def most_it_is(R: Array, U: Array) -> Array:
    """Largest resistance that the reading allows."""
    return R * (1 + U)


@provision("least resistance against the reading", "used [-]", "R_min/R_low", D,
           R_min="ohm", R_low="ohm")  # fmt: skip
def insulation_used(R_min: Array, R_low: Array) -> Array:
    """Over 1 the insulation is not shown to be enough."""
    return R_min / R_low


@provision("reading against the most", "used [-]", "R_high/R_max", D, R_high="ohm", R_max="ohm")
def continuity_used(R_high: Array, R_max: Array) -> Array:
    """Over 1 the path is not shown to be good enough."""
    return R_high / R_max


@provision("set against wanted", "d [-]", "M/M_w - 1", D, M="N*m", M_w="N*m")
def torque_off(M: Array, M_w: Array) -> Array:
    """Share that a torque lies off the one that is wanted."""
    return M / M_w - 1


@provision("difference against that of nothing found", "used [-]", "dT/dT_0", P,
           dT="K", dT_0="K")  # fmt: skip
def warmth_used(dT: Array, dT_0: Array) -> Array:
    """Up to 1 nothing is found."""
    return dT / dT_0


@provision("difference against that of a fault", "least [-]", "(dT - U)/dT_f", P,
           dT="K", U="K", dT_f="K")  # fmt: skip
def fault_shown(dT: Array, U: Array, dT_f: Array) -> Array:
    """Over 1 the difference is surely that of a fault."""
    return (dT - U) / dT_f


@provision("path to ground against the least", "used [-]", "m*R_min/R_f", D,
           constants={"m": (1.5, "-")}, R_min="ohm", R_f="ohm")  # fmt: skip
def ground_used(R_min: Array, R_f: Array) -> Array:
    """Over 1 the string is not shown to be free of ground; half as much again for the meter."""
    return 1.5 * R_min / R_f
