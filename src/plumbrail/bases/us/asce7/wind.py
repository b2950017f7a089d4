"""Wind on a free-standing tilted plane: ASCE 7-16 and ASCE 7-22, Fig. 27.3-4 and Fig. 27.3-7.

Signs: a positive net coefficient pushes on the top surface (down), a negative one lifts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.lookup import FOLDER, PSF, value
from plumbrail.errors import RangeError
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, given, provision, require

Array = NDArray[np.float64]

FLOWS = ("clear", "obstructed")
"""Clear: up to half of the section under the plane is blocked; obstructed: more than half."""
CASES = ("A", "B")
FIGURE = "ASCE 7-16 and 7-22 Fig. 27.3-4, monoslope free roof"
NOTES = (
    "Wind that meets the high edge is taken to lift (gamma = 0 in the figure), wind that meets the "
    "low edge to press down (gamma = 180): concluded from the signs of the coefficients, since the "
    "figure itself was not read.",
    "G = 0.85 supposes a lowest natural frequency of 1 Hz or more; light arrays can respond to "
    "gusts above that.",
    "The rules of ASCE 7-22 29.4.5 for fields of ground-mounted arrays are not in this program; "
    "an engineer's coefficients can be entered with a citation.",
)
"""What the wind load rests on; to be shown with it."""
_STEEPEST = np.radians(45.0) * (1.0 + 1e-9)
_TOO_STEEP = (
    "Steeper than 45 deg is outside the figure: lower array.tilt; a steeper array is an "
    "engineer's own design"
)


def directionality_factor() -> Array:
    """Wind directionality factor K_d of Table 26.6-1 [-], 0-d array."""
    return value("wind_factors", "K_d", structure="tilted plane on posts")


def gust_effect_factor() -> Array:
    """Gust-effect factor G of a rigid structure, 26.11.1 [-], 0-d array.

    Valid when the lowest natural frequency is 1 Hz or more; the caller checks that.
    """
    return value("wind_factors", "G", structure="tilted plane on posts")


@provision(
    "ASCE 7-16 and 7-22 Table 26.9-1",
    "K_e [-]",
    "exp(-k * z_e)",
    Certainty.SECOND_HAND,
    constants={"k": (0.000119, "m**-1")},
    ranges={"z_e": (0.0, 3000.0)},
    z_e="m",
)
def ground_elevation_factor(z_e: Array) -> Array:
    """Ground elevation factor for thinner air above sea level; 1.0 is always allowed."""
    return np.exp(-0.000119 * z_e)


@provision(
    "ASCE 7-16 and 7-22 Fig. 27.3-4, note on slopes below 7.5 deg",
    "C_N [-]",
    "where(theta < theta_1, C_flat, C_slope)",
    Certainty.CONFIRMED,
    constants={"theta_1": (np.radians(7.5) * (1 - 1e-9), "rad")},
    ranges={"theta": (0.0, 0.3)},
    theta="rad", C_flat="-", C_slope="-",
)  # fmt: skip
def low_slope_step(theta: Array, C_flat: Array, C_slope: Array) -> Array:
    """Net pressure coefficient: below 7.5 deg the row of 0 deg holds, a step and no slope."""
    return np.where(theta < np.radians(7.5) * (1 - 1e-9), C_flat, C_slope)


@provision(
    "ASCE 7-16 and 7-22 Fig. 27.3-4: halves told from the signs",
    "C_low [-]",
    "where(gamma < pi / 2, C_NL, C_NW)",
    Certainty.DERIVED,
    ranges={"gamma": (0.0, np.pi)},
    gamma="rad", C_NW="-", C_NL="-",
)  # fmt: skip
def low_half_coefficient(gamma: Array, C_NW: Array, C_NL: Array) -> Array:
    """Coefficient of the half next to the low edge: leeward when the wind meets the high edge."""
    return np.where(gamma < np.pi / 2, C_NL, C_NW)


@provision(
    "ASCE 7-16 and 7-22 Fig. 27.3-4: halves told from the signs",
    "C_high [-]",
    "where(gamma < pi / 2, C_NW, C_NL)",
    Certainty.DERIVED,
    ranges={"gamma": (0.0, np.pi)},
    gamma="rad", C_NW="-", C_NL="-",
)  # fmt: skip
def high_half_coefficient(gamma: Array, C_NW: Array, C_NL: Array) -> Array:
    """Coefficient of the half next to the high edge: windward when the wind meets that edge."""
    return np.where(gamma < np.pi / 2, C_NW, C_NL)


@provision(
    "ASCE 7-16 and 7-22 Fig. 27.3-7",
    "C_N [-]",
    "where(x <= h, C_near, where(x <= 2 * h, C_middle, C_far))",
    Certainty.SECOND_HAND,
    ranges={"x": (0.1, 9.0)},
    x="m", h="m", C_near="-", C_middle="-", C_far="-",
)  # fmt: skip
def along_row_coefficient(
    x: Array, h: Array, C_near: Array, C_middle: Array, C_far: Array
) -> Array:
    """Net pressure coefficient at distance x from the windward end of the row."""
    return np.where(x <= h, C_near, np.where(x <= 2 * h, C_middle, C_far))


@provision(
    "ASCE 7-16 27.3.2 and 7-22 27.3.2: limits of Fig. 27.3-4",
    "h/L [-]",
    "h / L",
    Certainty.SECOND_HAND,
    h="m", L="m",
)  # fmt: skip
def height_ratio(h: Array, L: Array) -> Array:
    """Mean height over the horizontal length of the plane along the wind."""
    return h / L


@provision(
    "ASCE 7-16 and 7-22 27.1.5",
    "F_min [N]",
    "p_min * A_f",
    Certainty.MEMORY,
    constants={"p_min": (16.0 * PSF, "Pa")},
    A_f="m**2",
)  # fmt: skip
def minimum_force(A_f: Array) -> Array:
    """Least design wind force on area A_f seen by the wind, on a vertical plane."""
    return 16.0 * PSF * A_f


@dataclass(frozen=True)
class Coefficients:
    """Net coefficients of the windward and the leeward half; arrays of the shape of the tilt."""

    C_NW: Array
    C_NL: Array


@dataclass(frozen=True)
class Halves:
    """Net coefficients of the half at the low edge and the half at the high edge."""

    C_low: Array
    C_high: Array


@dataclass(frozen=True)
class HeightRatio:
    """h/L with the limits between which the figure applies."""

    value: Array
    low: float
    high: float
    inside: NDArray[np.bool_]

    @property
    def note(self) -> str:
        """What to show when a value is outside, else an empty text."""
        if self.inside.all():
            return ""
        worst = self.value[~self.inside].flat[0]
        return (
            f"h/L = {worst:.2f} is outside {self.low:g} to {self.high:g} of {FIGURE}: "
            "not covered by the figure; a coefficient for this height is an engineer's decision"
        )


def monoslope_coefficients(theta: ArrayLike, flow: str, gamma: int, case: str) -> Coefficients:
    """C_NW and C_NL of Fig. 27.3-4 for tilt ``theta`` [rad], shape of ``theta``.

    ``flow`` is clear or obstructed, ``gamma`` 0 or 180 (degrees), ``case`` A or B. Raises
    RangeError beyond 45 deg, TableError for a word the figure does not know.
    """
    slope = _checked_slope(theta)
    table = load(FOLDER, "monoslope")
    key = {"flow": flow, "gamma": str(gamma), "case": case}
    steep = np.maximum(slope, np.radians(7.5))

    def one(column: str) -> Array:
        flat = table.value(column, theta=0.0, **key)
        sloped = table.interpolate(column, "theta", steep, **key)
        return low_slope_step(slope, flat, sloped)

    return Coefficients(one("C_NW"), one("C_NL"))


def halves(gamma: int, coefficients: Coefficients) -> Halves:
    """Give each half of the plane its coefficient.

    gamma 0: wind meets the high edge, which is windward. gamma 180: wind meets the low edge.
    """
    angle = _direction(gamma)
    pair = coefficients.C_NW, coefficients.C_NL
    return Halves(low_half_coefficient(angle, *pair), high_half_coefficient(angle, *pair))


def along_row_coefficients(distance: ArrayLike, h: ArrayLike, flow: str, case: str) -> Array:
    """C_N of Fig. 27.3-7 at ``distance`` [m] from the windward end, mean height ``h`` [m].

    Shape: distance and h broadcast.
    """
    require(
        "distance from the windward end", 0.0, distance, np.inf, "Fig. 27.3-7", "Write 0 or more"
    )
    require("mean height h", 1e-6, h, np.inf, "Fig. 27.3-7", "Write a height above ground")
    steps = (value("along_row", c, flow=flow, case=case) for c in ("near", "middle", "far"))
    return along_row_coefficient(np.asarray(distance, float), np.asarray(h, float), *steps)


def roof_height_ratio(h: ArrayLike, L: ArrayLike) -> HeightRatio:
    """h/L against 0.25 to 1.0, the range Fig. 27.3-4 is drawn for; the caller refuses or notes."""
    ratio = np.asarray(height_ratio(np.asarray(h, float), np.asarray(L, float)))
    return HeightRatio(ratio, 0.25, 1.0, (ratio >= 0.25) & (ratio <= 1.0))


def _checked_slope(theta: ArrayLike) -> Array:
    slope = np.asarray(theta, dtype=float)
    if not (slope <= _STEEPEST).all() or not (slope >= 0.0).all():
        shown = np.degrees(slope)
        require("array.tilt in degrees", 0.0, shown, 45.0, FIGURE, _TOO_STEEP)
    return slope


def _direction(gamma: int) -> Array:
    if gamma not in (0, 180):
        raise RangeError(
            f"wind direction gamma is {gamma}; Fig. 27.3-4 has 0 (wind meets the high edge) and "
            "180 (wind meets the low edge); for wind along the row use Fig. 27.3-7"
        )
    angle = np.radians(float(gamma))
    return given("wind case", "gamma [rad]", angle, Certainty.DERIVED, "Wind direction of the case")
