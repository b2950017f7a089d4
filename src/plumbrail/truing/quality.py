"""How good an adjustment is, and how large a blunder must be to show.

Symbols: ``s`` standard deviation of a reading, ``s_f`` that of its adjusted value, ``v`` residual
(adjusted less read), ``r`` redundancy number, ``T`` the sum v'Pv, ``f`` degrees of freedom. Lengths
in metres; the same formulas hold for angles in radians.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri, ndtri

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
BAARDA = "Baarda 1968, A testing procedure for use in geodetic networks"
GHILANI = "Ghilani, Adjustment Computations, chapters on blunder detection"
D, C, M = Certainty.DERIVED, Certainty.CONFIRMED, Certainty.MEMORY
ALPHA = 0.001
"""Chance that one good reading is called a blunder. Customary since Baarda 1968."""
POWER = 0.80
"""Chance that a blunder of the least detectable size is found. Customary since Baarda 1968."""
LEVEL = 0.95
"""Level of the global test, by common practice."""


@provision(GHILANI, "r [-]", "1 - s_f**2/s**2", D, ranges={"s": (2.0, 3.0)}, s_f="m", s="m")
def redundancy_number(s_f: Array, s: Array) -> Array:
    """Share of an error in one reading that shows in its own residual."""
    return 1.0 - s_f**2 / s**2


@provision(BAARDA, "w [-]", "v/(s*sqrt(r))", D, v="m", s="m", r="-")
def normalised_residual(v: Array, s: Array, r: Array) -> Array:
    """Residual in units of its own standard deviation."""
    return v / (s * np.sqrt(r))


@provision(BAARDA, "b [m]", "-v/r", D, v="m", r="-")
def estimated_blunder(v: Array, r: Array) -> Array:
    """By how much the reading is too large, if it alone is wrong."""
    return -v / r


@provision(BAARDA, "delta_0 [-]", "z_alpha + z_beta", C, z_alpha="-", z_beta="-")
def shift_to_detect(z_alpha: Array, z_beta: Array) -> Array:
    """Normalised residual that a blunder must cause to be found with the stated power."""
    return z_alpha + z_beta


@provision(BAARDA, "MDB [m]", "delta_0*s/sqrt(r)", C, delta_0="-", s="m", r="-")
def least_detectable(delta_0: Array, s: Array, r: Array) -> Array:
    """Least blunder that is found with the stated power."""
    return delta_0 * s / np.sqrt(r)


@provision(GHILANI, "S_0 [-]", "sqrt(T/f)", D, T="-", f="-")
def unit_error(T: Array, f: Array) -> Array:
    """Standard error of unit weight: 1 where the readings are as good as their instruments say."""
    return np.sqrt(T / f)


@provision(
    "common practice: enlarge only when the global test fails",
    "k [-]",
    "where(c < T, maximum(sqrt(T/f), 1), 1)",
    Certainty.PRACTICE,
    T="-",
    c="-",
    f="-",
)
def enlargement_factor(T: Array, c: Array, f: Array) -> Array:
    """Factor on all standard deviations, from the global test of T against its limit c."""
    return np.where(c < T, np.maximum(np.sqrt(T / f), 1.0), 1.0)


def critical(alpha: float = ALPHA) -> float:
    """Limit of |w| for one reading, two-sided; 3.2905 at 0.001."""
    return float(-ndtri(0.5 * alpha))


def noncentrality(alpha: float = ALPHA, power: float = POWER) -> float:
    """Shift delta_0 of a normalised residual that is found with ``power``; 4.1321 by default."""
    return float(shift_to_detect(np.array(critical(alpha)), np.array(ndtri(power))))


def test_limit(freedom: int, level: float = LEVEL) -> float:  # noqa: PT028
    """Chi-square limit of v'Pv at a level; 0 where nothing is redundant."""
    return float(chdtri(freedom, 1.0 - level)) if freedom > 0 else 0.0


test_limit.__test__ = False  # type: ignore[attr-defined]  # a statistic's test, not a unit test


class Tested(Protocol):
    """What the global test looks at."""

    @property
    def freedom(self) -> int:
        """Redundant readings."""

    @property
    def statistic(self) -> float:
        """v'Pv."""


def passes(adjusted: Tested, level: float = LEVEL) -> bool:
    """The readings agree as well as their instruments say; true where nothing is redundant."""
    return adjusted.freedom == 0 or adjusted.statistic <= test_limit(adjusted.freedom, level)


def enlargement(adjusted: Tested, level: float = LEVEL) -> float:
    """Factor (1 or more) on all standard deviations: sqrt(v'Pv/f) where the global test fails."""
    if adjusted.freedom == 0:
        return 1.0
    limit = test_limit(adjusted.freedom, level)
    T, c, f = (np.array(float(v)) for v in (adjusted.statistic, limit, adjusted.freedom))
    return float(enlargement_factor(T, c, f))
