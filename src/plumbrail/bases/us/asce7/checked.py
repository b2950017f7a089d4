"""Arguments of the load standards, checked: refuse with the field, the limits and what to write."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.lookup import FOOT, MPH, row_value
from plumbrail.trace import require

Array = NDArray[np.float64]

_RANGES: dict[str, tuple[float, float, str]] = {
    "K_zt": (1.0, 10.0, "Write site.topographic_factor, 1.0 for flat ground, from 26.8"),
    "K_d": (0.8, 1.0, "Use directionality_factor()"),
    "K_e": (0.3, 1.05, "Use ground_elevation_factor(z_e) or 1.0"),
    "G": (0.7, 5.0, "Use gust_effect_factor() for a rigid frame"),
    "C_e": (0.7, 1.2, "Use exposure_factor(exposure, surroundings)"),
    "C_t": (0.85, 1.3, "Use thermal_factor(), 1.2 in open air"),
}


@dataclass(frozen=True)
class Terrain:
    """Height z [m] with the gradient height z_g [m] and exponent alpha [-] of its exposure."""

    z: Array
    z_g: Array
    alpha: Array


def factor(name: str, number: ArrayLike) -> Array:
    """A factor of chapter 7 or 26 inside the range that the standard can give."""
    low, high, write = _RANGES[name]
    require(name, low, number, high, "ASCE 7-16 and 7-22", write)
    return kept(number)


def kept(number: ArrayLike) -> Array:
    """As a float array; an array stays the same object, so that a record knows where it is from."""
    return np.asarray(number, dtype=float)


def wind_speed(V: ArrayLike) -> Array:
    """Basic wind speed [m/s] between 40 and 300 mph."""
    write = 'Write site.wind_speed with its unit, e.g. "105 mph", from the map of the edition'
    shown = kept(V) / MPH
    require("site.wind_speed in mph", 40.0, shown, 300.0, "ASCE 7-16 and 7-22 26.5", write)
    return kept(V)


def exponent_and_height(table: str, exposure: str, z: ArrayLike) -> Terrain:
    """Constants of ``exposure`` and height z, refused above 60 ft."""
    write = "An array is lower than that; check the heights and the units of the plan"
    shown = kept(z) / FOOT
    require("height z in ft", 0.0, shown, 60.0, "ASCE 7-16 and 7-22 26.10", write)
    constants = (row_value(table, column, exposure=exposure) for column in ("z_g", "alpha"))
    return Terrain(kept(z), *constants)
