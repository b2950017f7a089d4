"""The single diode: a module's current and voltage under any light and warmth.

    I = I_L − I_0 (exp(D/a) − 1) − D G_sh,    V = D − I R_s

D is the voltage across the diode. With D as the free variable current and voltage are both
explicit, so that the best point is Newton's iteration in one unknown, without any special function.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
BOLTZMANN = 1.380649e-23
"""[J/K], exact in the SI."""
CHARGE = 1.602176634e-19
"""[C], exact in the SI."""
RATED_LIGHT = 1000.0
"""[W/m2] of the standard test conditions."""
RATED_WARMTH = 298.15
"""Cell temperature of the standard test conditions, 25 °C [K]."""
DE_SOTO = "De Soto, Klein and Beckman 2006, Solar Energy 80"
_STEPS = 8
"""Newton steps to the best point; five reach rounding in all that was tried."""
_DARK = 1e-9
"""Light current [A] below which a cell counts as dark."""


@provision(
    f"{DE_SOTO}, light current", "I_L [A]", "G/G_r*(I_Lr + alpha*(T - T_r))", C,
    constants={"G_r": (RATED_LIGHT, "W/m**2"), "T_r": (RATED_WARMTH, "K")},
    ranges={"G": (1.0, 1400.0), "T": (230.0, 370.0), "alpha": (0.0, 0.01), "I_Lr": (1.0, 15.0)},
    G="W/m**2", T="K", I_Lr="A", alpha="A/K",
)  # fmt: skip
def light_current(G: Array, T: Array, I_Lr: Array, alpha: Array) -> Array:
    """Light current in proportion to the light, with the warmth's coefficient."""
    return G / RATED_LIGHT * (I_Lr + alpha * (T - RATED_WARMTH))


@provision(
    f"{DE_SOTO}, band gap of silicon", "E_g [J]", "E_r*(1 - d*(T - T_r))", C,
    constants={"E_r": (1.121 * CHARGE, "J"), "d": (0.0002677, "K**-1"),
               "T_r": (RATED_WARMTH, "K")},
    ranges={"T": (230.0, 370.0)}, T="K",
)  # fmt: skip
def band_gap(T: Array) -> Array:
    """Band gap of silicon, 1.121 eV at 25 °C."""
    return 1.121 * CHARGE * (1.0 - 0.0002677 * (T - RATED_WARMTH))


@provision(
    f"{DE_SOTO}, saturation current", "I_0 [A]",
    "I_0r*(T/T_r)**3*exp(E_r/(k*T_r) - E_g/(k*T))", C,
    constants={"E_r": (1.121 * CHARGE, "J"), "k": (BOLTZMANN, "J/K"),
               "T_r": (RATED_WARMTH, "K")},
    ranges={"T": (230.0, 370.0), "I_0r": (1e-12, 1e-8), "E_g": (1.76e-19, 1.82e-19)},
    T="K", I_0r="A", E_g="J",
)  # fmt: skip
def saturation_current(T: Array, I_0r: Array, E_g: Array) -> Array:
    """Diode's saturation current, which doubles with every few degrees."""
    rated = 1.121 * CHARGE / (BOLTZMANN * RATED_WARMTH)
    return I_0r * (T / RATED_WARMTH) ** 3 * np.exp(rated - E_g / (BOLTZMANN * T))


@provision(
    f"{DE_SOTO}, modified ideality", "a [V]", "a_r*T/T_r", C,
    constants={"T_r": (RATED_WARMTH, "K")}, ranges={"T": (230.0, 370.0)}, T="K", a_r="V",
)  # fmt: skip
def ideality(T: Array, a_r: Array) -> Array:
    """Ideality times thermal voltage times cells in series."""
    return a_r * T / RATED_WARMTH


@provision(
    f"{DE_SOTO}, shunt", "G_sh [S]", "G/(G_r*R_shr)", C,
    constants={"G_r": (RATED_LIGHT, "W/m**2")},
    ranges={"G": (1.0, 1400.0), "R_shr": (20.0, 2000.0)}, G="W/m**2", R_shr="ohm",
)  # fmt: skip
def shunt_conductance(G: Array, R_shr: Array) -> Array:
    """Conductance beside the diode, in proportion to the light."""
    return G / (RATED_LIGHT * R_shr)


@dataclass(frozen=True)
class Diode:
    """Five parameters of a module at the standard test conditions, and its current coefficient."""

    light: float
    """I_L [A]"""
    saturation: float
    """I_0 [A]"""
    series: float
    """R_s [ohm]"""
    shunt: float
    """R_sh [ohm]"""
    ideality: float
    """a [V]"""
    coefficient: float
    """Of the light current, adjusted [A/K]."""

    def under(self, light: ArrayLike, warmth: ArrayLike) -> Curve:
        """Its curve under light [W/m2] at cell temperature [K]; they broadcast."""
        G, T = np.asarray(light, dtype=float), np.asarray(warmth, dtype=float)
        one = np.asarray
        return Curve(
            light_current(G, T, one(self.light), one(self.coefficient)),
            saturation_current(T, one(self.saturation), band_gap(T)),
            ideality(T, one(self.ideality)),
            shunt_conductance(G, one(self.shunt)),
            one(self.series),
        )


@dataclass(frozen=True)
class Curve:
    """Parameters under the light and warmth at hand; arrays that broadcast."""

    I_L: Array
    I_0: Array
    a: Array
    G_sh: Array
    R_s: Array

    def voltage(self, current: Array) -> Array:
        """Voltage that carries ``current`` [A]; -inf where the light does not reach for it.

        From the curve without its shunt, which is too high, to one with too much of it, then two
        steps of Newton's: at a best point the error is below 0.1 mV.
        """
        spare = self.I_L - current
        able = spare > 0.0
        spare = np.where(able, spare, 1.0)
        high = self.a * np.log1p(spare / self.I_0)
        diode = np.maximum(spare - high * self.G_sh, 1e-3 * spare)
        low = self.a * np.log1p(diode / self.I_0)
        lack = spare - diode - low * self.G_sh
        across = low + lack / ((diode + self.I_0) / self.a + self.G_sh)
        across = np.minimum(across, spare / np.maximum(self.G_sh, 1e-30))
        e = self.I_0 * np.exp(across / self.a)
        across += (spare - e + self.I_0 - across * self.G_sh) / (e / self.a + self.G_sh)
        return np.where(able, across - current * self.R_s, -np.inf)


@dataclass(frozen=True)
class Point:
    """A point of a curve: voltage [V] and current [A]."""

    voltage: Array
    current: Array

    @property
    def power(self) -> Array:
        """[W]"""
        return self.voltage * self.current


def best_point(curve: Curve) -> Point:
    """Where voltage times current is largest; zeros in the dark."""
    dark = curve.I_L <= _DARK
    I_L = np.where(dark, 1.0, curve.I_L)
    a, R, g = curve.a, curve.R_s, curve.G_sh
    # Without R_s and shunt, w = 1 + D/a solves w + ln w = 1 + ln(1 + I_L/I_0): a close start.
    z = 1.0 + np.log1p(I_L / curve.I_0)
    w = z - np.log(z) * (1.0 - 1.0 / z)
    D = a * (w - 1.0)
    top = D * 1.05
    for _ in range(_STEPS):
        e = curve.I_0 * np.exp(D / a)
        I0, I1, I2 = I_L - e + curve.I_0 - D * g, -e / a - g, -e / (a * a)  # I and its derivatives
        V0, V1, V2 = D - R * I0, 1.0 - R * I1, -R * I2
        rise, bend = I1 * V0 + I0 * V1, I2 * V0 + 2.0 * I1 * V1 + I0 * V2
        # dP/dD is positive below the best point and falls through it; where P is not yet bent
        # down the step goes up by one a.
        step = np.where(bend < 0.0, -rise / np.where(bend < 0.0, bend, -1.0), a)
        D = np.clip(D + np.clip(step, -3.0 * a, 3.0 * a), 0.0, top)
    current = I_L - curve.I_0 * np.expm1(D / a) - D * g
    lit = np.where(dark, 0.0, 1.0)
    return Point(lit * (D - R * current), lit * current)
