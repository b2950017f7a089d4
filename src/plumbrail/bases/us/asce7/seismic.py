"""Earthquake load on a ground array: a nonbuilding structure by ASCE 7 chapter 15."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.lookup import row_value, value
from plumbrail.trace import Certainty, provision, require

Array = NDArray[np.float64]


@provision(
    "ASCE 7-16 and 7-22 Eq. 12.8-2",
    "C_s [-]",
    "S_DS / (R / I_e)",
    Certainty.CONFIRMED,
    S_DS="-", R="-", I_e="-",
)  # fmt: skip
def plateau_coefficient(S_DS: Array, R: Array, I_e: Array) -> Array:
    """Seismic coefficient of the short-period plateau; never reduced for a long period here."""
    return S_DS / (R / I_e)


@provision(
    "ASCE 7-16 and 7-22 Eq. 15.4-1",
    "C_s,min [-]",
    "maximum(0.044 * S_DS * I_e, 0.03)",
    Certainty.MEMORY,
    ranges={"S_DS": (0.1, 2.0), "I_e": (1.0, 1.5)},
    S_DS="-", I_e="-",
)  # fmt: skip
def least_coefficient(S_DS: Array, I_e: Array) -> Array:
    """Least seismic coefficient of a nonbuilding structure."""
    return np.maximum(0.044 * S_DS * I_e, 0.03)


@provision(
    "ASCE 7-16 and 7-22 Eq. 15.4-5",
    "C_s [-]",
    "0.3 * S_DS * I_e",
    Certainty.MEMORY,
    S_DS="-", I_e="-",
)  # fmt: skip
def rigid_coefficient(S_DS: Array, I_e: Array) -> Array:
    """Seismic coefficient of a rigid structure, one with a period under 0.06 s."""
    return 0.3 * S_DS * I_e


@provision(
    "ASCE 7-16 and 7-22 12.8.1.1, 15.4.1",
    "C_s [-]",
    "maximum(C_s, C_min)",
    Certainty.MEMORY,
    C_s="-", C_min="-",
)  # fmt: skip
def governing_coefficient(C_s: Array, C_min: Array) -> Array:
    """Seismic coefficient not under the least one."""
    return np.maximum(C_s, C_min)


@provision(
    "ASCE 7-16 and 7-22 Eq. 12.8-1",
    "V [N]",
    "C_s * W",
    Certainty.CONFIRMED,
    C_s="-", W="N",
)  # fmt: skip
def base_shear(C_s: Array, W: Array) -> Array:
    """Horizontal seismic force from the seismic weight W."""
    return C_s * W


@provision(
    "ASCE 7-16 and 7-22 Eq. 12.4-4a",
    "E_v [N]",
    "0.2 * S_DS * D",
    Certainty.MEMORY,
    S_DS="-", D="N",
)  # fmt: skip
def vertical_effect(S_DS: Array, D: Array) -> Array:
    """Vertical seismic effect of the dead load D."""
    return 0.2 * S_DS * D


def importance_factor(risk_category: str) -> Array:
    """I_e of Table 1.5-2 [-], 0-d array."""
    return row_value("importance_seismic", "I_e", risk_category=risk_category)


def response_factor() -> Array:
    """R of Table 15.4-2, all other self-supporting structures [-], 0-d array."""
    return value("seismic_system", "R", system="all other self-supporting")


def base_shear_coefficient(S_DS: ArrayLike, risk_category: str, rigid: bool) -> Array:
    """C_s with its minimum, shape of S_DS; ``rigid`` only when the period is under 0.06 s."""
    write = "Write site.seismic_sds between 0 and 4, in units of gravity"
    require("site.seismic_sds", 0.0, S_DS, 4.0, "ASCE 7 11.4", write)
    spectral = np.asarray(S_DS, dtype=float)
    I_e = importance_factor(risk_category)
    if rigid:
        raw = rigid_coefficient(spectral, I_e)
    else:
        raw = plateau_coefficient(spectral, response_factor(), I_e)
    return governing_coefficient(raw, least_coefficient(spectral, I_e))
