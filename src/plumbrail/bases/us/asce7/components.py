"""Wind on components (modules, clamps, rails): ASCE 7-16 Fig. 30.7-1 = ASCE 7-22 Fig. 30.5-1."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.lookup import FOLDER, FOOT, PSF
from plumbrail.errors import RangeError
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, provision, require

Array = NDArray[np.float64]

ZONES = (1, 2, 3)
_FIGURE = "ASCE 7-16 Fig. 30.7-1, ASCE 7-22 Fig. 30.5-1"


@dataclass(frozen=True)
class ComponentCoefficients:
    """Net coefficients pushing down (positive) and lifting (negative)."""

    down: Array
    up: Array


@provision(
    "ASCE 7-16 Fig. 30.7-1, ASCE 7-22 Fig. 30.5-1: definition of a",
    "a [m]",
    "maximum(maximum(minimum(0.1 * B, 0.4 * h), 0.04 * B), a_min)",
    Certainty.SECOND_HAND,
    constants={"a_min": (3.0 * FOOT, "m")},
    ranges={"B": (1.0, 60.0), "h": (0.5, 6.0)},
    B="m", h="m",
)  # fmt: skip
def zone_width(B: Array, h: Array) -> Array:
    """Width of the edge zones from the least horizontal dimension B and the mean height h."""
    return np.maximum(np.maximum(np.minimum(0.1 * B, 0.4 * h), 0.04 * B), 3.0 * FOOT)


@provision(
    "ASCE 7-16 Fig. 30.7-1, ASCE 7-22 Fig. 30.5-1: plan of zones",
    "zone [-]",
    "where((x <= a) & (y <= a), 3, where((x <= a) | (y <= a), 2, 1))",
    Certainty.MEMORY,
    x="m", y="m", a="m",
)  # fmt: skip
def component_zone(x: Array, y: Array, a: Array) -> Array:
    """Zone of a point x from the nearer row end and y from the nearer long edge.

    Layout from memory: corner squares a by a are zone 3, edge strips zone 2, the rest zone 1.
    """
    return np.where((x <= a) & (y <= a), 3.0, np.where((x <= a) | (y <= a), 2.0, 1.0))


@provision(
    "ASCE 7-16 Fig. 30.7-1, ASCE 7-22 Fig. 30.5-1: effective areas",
    "C_N [-]",
    "where(A <= a**2, C_zone, where(A <= 4 * a**2, C_upto2, C_1))",
    Certainty.SECOND_HAND,
    ranges={"A": (0.1, 9.0)},
    A="m**2", a="m", C_zone="-", C_upto2="-", C_1="-",
)  # fmt: skip
def area_step(A: Array, a: Array, C_zone: Array, C_upto2: Array, C_1: Array) -> Array:
    """Net coefficient for an effective area A.

    Above a^2 zone 3 counts as zone 2, above 4 a^2 every zone counts as zone 1. ``C_upto2`` is
    the value of the zone or of zone 2, whichever is the lower zone.
    """
    return np.where(a**2 >= A, C_zone, np.where(4 * a**2 >= A, C_upto2, C_1))


@provision(
    "ASCE 7-16 and 7-22 30.2.2",
    "p [Pa]",
    "where(p < 0, minimum(p, -p_min), maximum(p, p_min))",
    Certainty.MEMORY,
    constants={"p_min": (16.0 * PSF, "Pa")},
    ranges={"p": (-2000.0, 2000.0)},
    p="Pa",
)
def least_component_pressure(p: Array) -> Array:
    """Net pressure on a component, not under 16 psf in the direction it acts."""
    return np.where(p < 0, np.minimum(p, -16.0 * PSF), np.maximum(p, 16.0 * PSF))


@provision(
    "ASCE 7-16 and 7-22 Table 26.10-1, note on 0.70 below 30 ft in exposure B",
    "K_z [-]",
    "maximum(K_z, 0.7)",
    Certainty.CONFIRMED,
    K_z="-",
)
def component_exposure_coefficient(K_z: Array) -> Array:
    """Velocity pressure exposure coefficient for components; 0.70 is reached in exposure B only."""
    return np.maximum(K_z, 0.7)


def component_coefficients(
    theta: ArrayLike, flow: str, zone: int, effective_area: ArrayLike, a: ArrayLike
) -> ComponentCoefficients:
    """Down and up coefficients for tilt [rad], zone 1 to 3, effective area [m**2], zone width [m].

    Shape: theta, effective_area and a broadcast. Raises RangeError outside 0 to 45 deg and for
    another zone, TableError for another flow.
    """
    if zone not in ZONES:
        raise RangeError(f"zone is {zone}; {_FIGURE} has the zones 1, 2 and 3")
    write = "Write the area of the module or rail length that the clamp or rail carries"
    require("effective area", 1e-9, effective_area, np.inf, _FIGURE, write)
    require("zone width a", 1e-9, a, np.inf, _FIGURE, "Use zone_width(B, h)")
    table = load(FOLDER, "components")
    slope = np.asarray(theta, dtype=float)
    area, width = np.asarray(effective_area, dtype=float), np.asarray(a, dtype=float)

    def one(column: str) -> Array:
        by_zone = [
            table.interpolate(column, "theta", slope, flow=flow, zone=str(z))
            for z in (zone, min(zone, 2), 1)
        ]
        return area_step(area, width, *by_zone)

    return ComponentCoefficients(one("down"), one("up"))
