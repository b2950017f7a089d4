"""What ASCE 7-16 words differently from ASCE 7-22."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.asce7.lookup import FOOT, MPH, PSF
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]

# 0.00256 psf per mph squared, which the SI edition rounds to 0.613
_HALF_DENSITY = 0.00256 * PSF / MPH**2


@provision(
    "ASCE 7-16 Table 26.10-1, note 1",
    "K_z [-]",
    "2.01 * (maximum(z, z_min) / z_g)**(2 / alpha)",
    Certainty.CONFIRMED,
    constants={"z_min": (15.0 * FOOT, "m")},
    ranges={"z": (0.5, 20.0), "z_g": (200.0, 400.0), "alpha": (6.0, 12.0)},
    z="m", z_g="m", alpha="-",
)  # fmt: skip
def exposure_coefficient(z: Array, z_g: Array, alpha: Array) -> Array:
    """Velocity pressure exposure coefficient; below 15 ft the value at 15 ft holds."""
    return 2.01 * (np.maximum(z, 15.0 * FOOT) / z_g) ** (2.0 / alpha)


@provision(
    "ASCE 7-16 Eq. 26.10-1",
    "q_z [Pa]",
    "k_q * K_z * K_zt * K_d * K_e * V**2",
    Certainty.CONFIRMED,
    constants={"k_q": (_HALF_DENSITY, "kg*m**-3")},
    K_z="-", K_zt="-", K_d="-", K_e="-", V="m/s",
)  # fmt: skip
def velocity_pressure(K_z: Array, K_zt: Array, K_d: Array, K_e: Array, V: Array) -> Array:
    """Velocity pressure, directionality included: 0.00256 V^2 in psf and mph."""
    return _HALF_DENSITY * K_z * K_zt * K_d * K_e * V**2


@provision(
    "ASCE 7-16 Eq. 27.3-2, Eq. 30.7-1 and Eq. 29.4-1",
    "p [Pa]",
    "q * G * C_N",
    Certainty.CONFIRMED,
    q="Pa", G="-", C_N="-",
)  # fmt: skip
def net_pressure(q: Array, G: Array, C_N: Array) -> Array:
    """Net pressure on a plane or bar; the directionality factor is already in q."""
    return q * G * C_N


@provision(
    "ASCE 7-16 Eq. 7.3-1",
    "p_f [Pa]",
    "0.7 * C_e * C_t * I_s * p_g",
    Certainty.CONFIRMED,
    C_e="-", C_t="-", I_s="-", p_g="Pa",
)  # fmt: skip
def flat_snow(C_e: Array, C_t: Array, I_s: Array, p_g: Array) -> Array:
    """Flat roof snow load from the ground snow load."""
    return 0.7 * C_e * C_t * I_s * p_g


@provision(
    "ASCE 7-16 7.3.4",
    "p_m [Pa]",
    "I_s * minimum(p_g, p_20)",
    Certainty.SECOND_HAND,
    constants={"p_20": (20.0 * PSF, "Pa")},
    ranges={"p_g": (100.0, 3000.0)},
    I_s="-", p_g="Pa",
)  # fmt: skip
def minimum_snow(I_s: Array, p_g: Array) -> Array:
    """Minimum snow load of low slopes: the ground load, at most 20 psf, times importance."""
    return I_s * np.minimum(p_g, 20.0 * PSF)


@provision(
    "ASCE 7-16 12.7.2",
    "p_E [Pa]",
    "where(p_f > p_30, 0.2 * p_f, 0)",
    Certainty.CONFIRMED,
    constants={"p_30": (30.0 * PSF, "Pa")},
    ranges={"p_f": (500.0, 3000.0)},
    p_f="Pa",
)
def snow_in_seismic_weight(p_f: Array) -> Array:
    """Snow counted as seismic weight: 20 % of the flat roof load when that is over 30 psf."""
    return np.where(p_f > 30.0 * PSF, 0.2 * p_f, 0.0)
