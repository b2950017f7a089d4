"""What ASCE 7-22 words differently from ASCE 7-16."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.asce7.lookup import FOOT, MPH, PSF
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]

# 0.00256 psf per mph squared, which the SI edition rounds to 0.613
_HALF_DENSITY = 0.00256 * PSF / MPH**2


@provision(
    "ASCE 7-22 Table 26.10-1, note 1",
    "K_z [-]",
    "2.41 * (maximum(z, z_min) / z_g)**(2 / alpha)",
    Certainty.SECOND_HAND,
    constants={"z_min": (15.0 * FOOT, "m")},
    ranges={"z": (0.5, 20.0), "z_g": (500.0, 1000.0), "alpha": (6.0, 12.0)},
    z="m", z_g="m", alpha="-",
)  # fmt: skip
def exposure_coefficient(z: Array, z_g: Array, alpha: Array) -> Array:
    """Velocity pressure exposure coefficient; below 15 ft the value at 15 ft holds."""
    return 2.41 * (np.maximum(z, 15.0 * FOOT) / z_g) ** (2.0 / alpha)


@provision(
    "ASCE 7-22 Eq. 26.10-1",
    "q_z [Pa]",
    "k_q * K_z * K_zt * K_e * V**2",
    Certainty.SECOND_HAND,
    constants={"k_q": (_HALF_DENSITY, "kg*m**-3")},
    K_z="-", K_zt="-", K_e="-", V="m/s",
)  # fmt: skip
def velocity_pressure(K_z: Array, K_zt: Array, K_e: Array, V: Array) -> Array:
    """Velocity pressure without directionality: 0.00256 V^2 in psf and mph."""
    return _HALF_DENSITY * K_z * K_zt * K_e * V**2


@provision(
    "ASCE 7-22 Eq. 27.3-2, 30.5 and 29.4",
    "p [Pa]",
    "q * K_d * G * C_N",
    Certainty.SECOND_HAND,
    q="Pa", K_d="-", G="-", C_N="-",
)  # fmt: skip
def net_pressure(q: Array, K_d: Array, G: Array, C_N: Array) -> Array:
    """Net pressure on a plane or bar; the directionality factor enters here, not in q."""
    return q * K_d * G * C_N


@provision(
    "ASCE 7-22 Eq. 7.3-1",
    "p_f [Pa]",
    "0.7 * C_e * C_t * p_g",
    Certainty.CONFIRMED,
    C_e="-", C_t="-", p_g="Pa",
)  # fmt: skip
def flat_snow(C_e: Array, C_t: Array, p_g: Array) -> Array:
    """Flat roof snow load; the ground load is of the risk category's own map."""
    return 0.7 * C_e * C_t * p_g


@provision(
    "ASCE 7-22 7.3.3",
    "p_m [Pa]",
    "minimum(p_g, p_m_max)",
    Certainty.MEMORY,
    p_g="Pa", p_m_max="Pa",
)  # fmt: skip
def minimum_snow(p_g: Array, p_m_max: Array) -> Array:
    """Minimum snow load of low slopes: the ground load, at most the risk category's limit."""
    return np.minimum(p_g, p_m_max)


@provision(
    "ASCE 7-22 12.7.2",
    "p_E [Pa]",
    "where(p_f > p_45, 0.15 * p_f, 0)",
    Certainty.CONFIRMED,
    constants={"p_45": (45.0 * PSF, "Pa")},
    ranges={"p_f": (500.0, 4000.0)},
    p_f="Pa",
)
def snow_in_seismic_weight(p_f: Array) -> Array:
    """Snow counted as seismic weight: 15 % of the flat roof load when that is over 45 psf."""
    return np.where(p_f > 45.0 * PSF, 0.15 * p_f, 0.0)
