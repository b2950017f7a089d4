"""How far the roots of a tree reach that a trench must spare."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
LARGEST = 15.0
"""[m]: BS 5837 caps the protected area at 707 m2."""


@provision("BS 5837, root protection area", "r [m]", "minimum(n*d, r_m)", Certainty.SECOND_HAND,
           constants={"n": (12.0, "-"), "r_m": (LARGEST, "m")}, d="m")  # fmt: skip
def radius_by_stem(d: Array) -> Array:
    """Radius about a stem of diameter d, measured at 1.5 m: twelve stems, 15 m at the most."""
    return np.minimum(12.0 * d, LARGEST)


@provision("US tree ordinances: a foot of radius for each inch of stem, or the drip line",
           "r [m]", "maximum(n*d, r_c)", Certainty.SECOND_HAND, constants={"n": (12.0, "-")},
           ranges={"r_c": (5.0, 25.0)}, d="m", r_c="m")  # fmt: skip
def radius_by_inch(d: Array, r_c: Array) -> Array:
    """Radius about a stem of diameter d at 4 ft 6 in and a crown of radius r_c."""
    return np.maximum(12.0 * d, r_c)


def root_zone(rule: str, stem: float | None, crown: float) -> float:
    """Radius of the zone [m]; that of the crown where the stem is not known."""
    if stem is None:
        return crown
    if rule == "US":
        return float(radius_by_inch(np.asarray(stem), np.asarray(crown)))
    return float(radius_by_stem(np.asarray(stem)))
