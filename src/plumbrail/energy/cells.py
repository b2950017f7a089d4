"""What reaches the cells: reflection at the glass, and how warm the cells get."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import PlaneLight
from plumbrail.errors import PlanError, Problem
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
MARTIN_RUIZ = "Martin and Ruiz 2001 and 2013, angular losses"
GLASS = 0.16
"""Their coefficient a_r of a clean glass cover [-]."""
SECOND = 0.5 * GLASS - 0.154
"""Their c_2 for silicon, which goes with a_r."""
FAIMAN = "Faiman 2008, cell temperature in the wind"
STILL, WINDY = 25.0, 6.84
"""Faiman's loss of warmth [W/(m2 K)], and its gain with the wind [W s/(m3 K)]."""
FREEZING = 273.15


@provision(
    f"{MARTIN_RUIZ}, straight light", "K_b [-]", "(1 - exp(-c/a_r))/(1 - exp(-1/a_r))", C,
    ranges={"c": (0.0, 1.0), "a_r": (0.1, 0.3)}, c="-", a_r="-",
)  # fmt: skip
def straight_light_passed(c: Array, a_r: Array) -> Array:
    """Share of straight light that passes the glass, against head-on; c = cosine of incidence."""
    return (1.0 - np.exp(-c / a_r)) / (1.0 - np.exp(-1.0 / a_r))


@provision(
    f"{MARTIN_RUIZ}, light of the sky", "K_d [-]",
    "1 - exp(-(c_1*(sin(beta) + (pi - beta - sin(beta))/(1 + cos(beta)))"
    " + c_2*(sin(beta) + (pi - beta - sin(beta))/(1 + cos(beta)))**2)/a_r)", C,
    constants={"c_1": (4.0 / (3.0 * np.pi), "-")},
    ranges={"beta": (0.0, 1.5), "a_r": (0.1, 0.3), "c_2": (-0.1, 0.0)},
    beta="rad", a_r="-", c_2="-",
)  # fmt: skip
def sky_light_passed(beta: Array, a_r: Array, c_2: Array) -> Array:
    """Share of the sky's light that passes the glass at the tilt beta [rad]."""
    path = np.sin(beta) + (np.pi - beta - np.sin(beta)) / (1.0 + np.cos(beta))
    return 1.0 - np.exp(-(4.0 / (3.0 * np.pi) * path + c_2 * path**2) / a_r)


@provision(
    f"{MARTIN_RUIZ}, light of the ground", "K_g [-]",
    "1 - exp(-(c_1*(sin(beta) + (beta - sin(beta))/(1 - cos(beta)))"
    " + c_2*(sin(beta) + (beta - sin(beta))/(1 - cos(beta)))**2)/a_r)", C,
    constants={"c_1": (4.0 / (3.0 * np.pi), "-")},
    ranges={"beta": (0.1, 1.5), "a_r": (0.1, 0.3), "c_2": (-0.1, 0.0)},
    beta="rad", a_r="-", c_2="-",
)  # fmt: skip
def ground_light_passed(beta: Array, a_r: Array, c_2: Array) -> Array:
    """Share of the ground's light that passes the glass at the tilt beta [rad], beta > 0."""
    path = np.sin(beta) + (beta - np.sin(beta)) / (1.0 - np.cos(beta))
    return 1.0 - np.exp(-(4.0 / (3.0 * np.pi) * path + c_2 * path**2) / a_r)


@provision(
    FAIMAN, "T_c [K]", "T_a + G/(u_0 + u_1*v)", C,
    ranges={"T_a": (230.0, 320.0), "G": (0.0, 1400.0), "u_0": (15.0, 35.0), "u_1": (0.0, 8.0),
            "v": (0.0, 20.0)},
    T_a="K", G="W/m**2", v="m/s", u_0="W/(m**2*K)", u_1="W*s/(m**3*K)",
)  # fmt: skip
def cell_temperature(T_a: Array, G: Array, v: Array, u_0: Array, u_1: Array) -> Array:
    """Cells stand above the air by the light over what wind and air carry off."""
    return T_a + G / (u_0 + u_1 * v)


@provision(
    "IEC 61215 nominal conditions: 800 W/m2, 20 °C, 1 m/s", "u_0 [W/(m**2*K)]",
    "G_n/(T_n - T_an) - u_1*v_n", C,
    constants={"G_n": (800.0, "W/m**2"), "T_an": (293.15, "K"), "v_n": (1.0, "m/s")},
    ranges={"T_n": (305.0, 335.0), "u_1": (0.0, 8.0)}, T_n="K", u_1="W*s/(m**3*K)",
)  # fmt: skip
def loss_from_nominal(T_n: Array, u_1: Array) -> Array:
    """Loss of warmth in still air that gives the data sheet's nominal cell temperature."""
    return 800.0 / (T_n - 293.15) - u_1 * 1.0


@dataclass(frozen=True)
class Passed:
    """Share of each kind of light that passes the glass, against head-on."""

    straight: Array
    """(hours,)"""
    sky: float
    ground: float


def passed(light: PlaneLight, tilt: float) -> Passed:
    """Martin and Ruiz's shares for clean glass; a level plane sees no ground."""
    beta, a_r, c_2 = (np.asarray(v) for v in (tilt, GLASS, SECOND))
    ground = float(ground_light_passed(beta, a_r, c_2)) if tilt > 1e-6 else 1.0
    return Passed(straight_light_passed(np.clip(light.cosine, 0.0, 1.0), a_r),
                  float(sky_light_passed(beta, a_r, c_2)), ground)  # fmt: skip


def warmth(light: Array, air: Array, wind: Array, noct: float | None) -> Array:
    """Cell temperature [K]; with ``noct`` [K] of the data sheet, else Faiman's own figures.

    Raises PlanError when noct leaves no loss of warmth in still air.
    """
    still, windy = np.asarray(STILL), np.asarray(WINDY)
    if noct is not None:
        lowest, highest = 20.0 + 800.0 / (45.0 + WINDY), 20.0 + 800.0 / (8.0 + WINDY)
        if not lowest <= noct - FREEZING <= highest:
            raise PlanError([Problem(
                "module.noct",
                f"{noct - FREEZING:.4g} °C is no nominal cell temperature (they run from "
                f"{lowest:.0f} to {highest:.0f} °C); copy NOCT or NMOT from the data sheet",
            )])  # fmt: skip
        still = loss_from_nominal(np.asarray(noct), windy)
    return cell_temperature(air, light, wind, still, windy)
