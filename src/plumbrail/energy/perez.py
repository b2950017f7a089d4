"""Brightness of the sky by Perez and others, 1990: the parts that do not depend on the plane."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import SunYear
from plumbrail.energy.skies import Sky
from plumbrail.tables import loader
from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import WeatherYear

Array = NDArray[np.float64]
PEREZ = "Perez, Ineichen, Seals, Michalsky, Stewart 1990, Solar Energy 44(5)"
C = Certainty.CONFIRMED
LOWEST = float(np.radians(85))
"""Zenith angle beyond which the light about the sun is spread no thinner."""
_LIGHT = {"I_d": (1.0, 500.0), "I_bn": (0.0, 900.0), "theta_z": (0.0, 1.57)}


def perez_sky(sun: SunYear, year: WeatherYear) -> Sky:
    """For hours as measured; fitted to them."""
    day = np.flatnonzero(sun.up & (year.dhi > 0))
    z = np.pi / 2 - sun.height[day]
    dhi, dni = year.dhi[day], year.dni[day]
    table = loader.load("perez", "sky").numbers
    edges = table["clearness"][1:]
    found = np.searchsorted(edges, clearness(dhi, dni, z), side="right")
    Delta = brightness(dhi, sun.air_mass[day], sun.outside[day])
    F = [table[name][found] for name in ("F11", "F12", "F13", "F21", "F22", "F23")]
    halo, skyline = np.zeros(sun.up.size), np.zeros(sun.up.size)
    halo[day] = about_the_sun(F[0], F[1], F[2], Delta, z)
    skyline[day] = at_the_horizon(F[3], F[4], F[5], Delta, z)
    return Sky(halo, skyline, np.maximum(np.sin(sun.height), np.cos(LOWEST)))


@provision(
    PEREZ, "epsilon [-]", "((I_d + I_bn)/I_d + kappa*theta_z**3)/(1 + kappa*theta_z**3)", C,
    I_d="W/m**2", I_bn="W/m**2", theta_z="rad", constants={"kappa": (1.041, "-")}, ranges=_LIGHT,
)  # fmt: skip
def clearness(I_d: Array, I_bn: Array, theta_z: Array) -> Array:
    """Clearness of the sky, 1 when overcast."""
    bent = 1.041 * np.asarray(theta_z) ** 3
    return np.asarray(((I_d + I_bn) / I_d + bent) / (1 + bent))


@provision(PEREZ, "Delta [-]", "I_d*m/I_on", C, I_d="W/m**2", m="-", I_on="W/m**2")
def brightness(I_d: Array, m: Array, I_on: Array) -> Array:
    """Brightness of the sky."""
    return np.asarray(I_d * m / I_on)


_FACTORS = {"theta_z": (0.0, 1.57), "Delta": (0.0, 0.6)}


@provision(
    PEREZ, "F_1 [-]", "maximum(0, F_11 + F_12*Delta + F_13*theta_z)", C,
    F_11="-", F_12="-", F_13="-", Delta="-", theta_z="rad",
    ranges=_FACTORS | {"F_11": (-0.1, 1.2), "F_12": (-1.6, 0.7), "F_13": (-0.42, -0.06)},
)  # fmt: skip
def about_the_sun(F_11: Array, F_12: Array, F_13: Array, Delta: Array, theta_z: Array) -> Array:
    """Share of the sky's light from close about the sun."""
    return np.maximum(0, F_11 + F_12 * Delta + F_13 * theta_z)


@provision(
    PEREZ, "F_2 [-]", "F_21 + F_22*Delta + F_23*theta_z", C,
    F_21="-", F_22="-", F_23="-", Delta="-", theta_z="rad", ranges=_FACTORS,
)  # fmt: skip
def at_the_horizon(F_21: Array, F_22: Array, F_23: Array, Delta: Array, theta_z: Array) -> Array:
    """Share of the sky's light from the horizon band, on an upright plane."""
    return np.asarray(F_21 + F_22 * Delta + F_23 * theta_z)
