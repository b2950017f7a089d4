"""NFPA 70 Chapter 9, 352.44 and 314.28: fill, growth and pull boxes of raceways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, provision

from .lookup import SLACK, number, sureness, table
from .wire import counted

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
D = Certainty.DERIVED
S = Certainty.SECOND_HAND
ALPHA_PVC = 3.38e-5 * 1.8
"""Growth of PVC [1/K], printed as 3.38e-5 per degF."""
ALPHA_STEEL = 6.5e-6 * 1.8
"""Growth of steel [1/K], printed as 6.5e-6 per degF."""
FITTING_FROM = 0.25 * 0.0254
"""1/4 in [m]: growth from which an expansion fitting is required."""
SUN_RISE = 30 / 1.8
"""30 degF [K]: added to the range of temperature for conduit in direct sun."""
NIPPLE_SHARE = 0.60
"""Share that conductors may fill of a nipple of at most 24 in."""


@provision("geometry", "A_w [m**2]", "pi*OD**2/4", D, OD="m")
def area_of_diameter(OD: Array) -> Array:
    """Area of a wire or cable from its outer diameter; for wire that Table 5 does not list."""
    return np.pi * OD**2 / 4


@provision("NFPA 70 Chapter 9 Table 1", "fill [-]", "A_sum/A_in", S, A_sum="m**2", A_in="m**2")
def fill_share(A_sum: Array, A_in: Array) -> Array:
    """Share of a raceway that its conductors fill."""
    return A_sum / A_in


@provision("NFPA 70 Table 352.44", "dL [m]", "alpha*L*dT", C,
           constants={"alpha": (ALPHA_PVC, "1/K")}, L="m", dT="K")  # fmt: skip
def pvc_growth(L: Array, dT: Array) -> Array:
    """Growth of PVC conduit of length L over a range of temperature."""
    return ALPHA_PVC * L * dT


@provision("NFPA 70 300.7(B), growth of steel", "dL [m]", "alpha*L*dT", C,
           constants={"alpha": (ALPHA_STEEL, "1/K")}, L="m", dT="K")  # fmt: skip
def steel_growth(L: Array, dT: Array) -> Array:
    """Growth of steel conduit of length L over a range of temperature."""
    return ALPHA_STEEL * L * dT


@provision("NFPA 70 314.28(A)(1)", "X [m]", "8*d", C, d="m")
def pull_box_straight(d: Array) -> Array:
    """Least length of a box for a straight pull, by the largest trade size; from 4 AWG on."""
    return 8 * d


@provision("NFPA 70 314.28(A)(2)", "X [m]", "6*d + d_sum", C, d="m", d_sum="m")
def pull_box_angle(d: Array, d_sum: Array) -> Array:
    """Least distance to the opposite wall for an angle pull; d_sum: others in the same row."""
    return 6 * d + d_sum


@provision("NFPA 70 314.28(A)(2)", "X [m]", "6*d", C, d="m")
def pull_box_spacing(d: Array) -> Array:
    """Least distance between the two entries of the same conductors in an angle pull."""
    return 6 * d


def inner_area(method: str, trade: str) -> Array:
    """Inside area of a raceway [m**2] by Table 4; 0-d. Methods: EMT, PVC 40, PVC 80, RMC."""
    return number("raceway", "area", method=method, trade=trade)


def inner_diameter(method: str, trade: str) -> Array:
    """Inside diameter of a raceway [m] by Table 4; 0-d."""
    return number("raceway", "diameter", method=method, trade=trade)


def fill_limit(n: ArrayLike) -> Array:
    """Share that n conductors may fill, equipment grounding ones counted; same shape."""
    return counted("fill", "share", n)


def conductor_area(size: str, insulation: str) -> Array:
    """Area of an insulated conductor [m**2] by Table 5; 0-d.

    Insulations: THWN-2, XHHW-2, RHW-2 (without outer covering), RHW-2 with covering. PV wire and
    USE-2 are not listed: use the diameter of the data sheet and :func:`area_of_diameter`.
    """
    return number("wire_area", "area", size=size, insulation=insulation)


def needs_expansion_fitting(dL: ArrayLike) -> NDArray[np.bool_]:
    """Growth [m] of a straight run between fixed points calls for a fitting (352.44)."""
    return np.asarray(np.abs(np.asarray(dL, dtype=float)) >= FITTING_FROM * (1 - SLACK))


@dataclass(frozen=True)
class RacewayAnswer:
    """The smallest trade size that conductors fit."""

    method: str
    trade: str | None
    """None: no listed size will do."""
    count: int
    area: float
    """Of all conductors [m**2]."""
    inner: float
    """Of the raceway, or of the largest one tried [m**2]."""
    share: float
    """Filled share of it."""
    limit: float
    """Share that may be filled."""
    words: str
    certainty: Certainty


def smallest_raceway(areas: Sequence[float] | Array, method: str) -> RacewayAnswer:
    """The smallest raceway of a method for conductors of these areas [m**2], one entry each.

    A cable of several conductors counts as one, by the circle around it. Raises RangeError
    without conductors or for areas that are not above zero, TableError for an unknown method.
    """
    each = np.asarray(areas, dtype=float)
    if each.size == 0 or not (each > 0).all():
        raise RangeError("Give the area of each conductor in the raceway, above zero.")
    found = table("raceway")
    rows = np.flatnonzero(found.rows(method=method))
    limit, total = float(fill_limit(each.size)), float(each.sum())
    inner = found.numbers["area"][rows]
    fits = np.flatnonzero(total <= limit * inner * (1 + SLACK))
    place = int(fits[0]) if fits.size else rows.size - 1
    trade = found.words["trade"][rows[place]]
    size = inner_area(method, trade)
    return RacewayAnswer(
        method, trade if fits.size else None, each.size, total, float(size),
        float(fill_share(np.asarray(total), size)), limit,
        f"{trade} in {method}" if fits.size else f"{trade} in {method} is too small",
        max(sureness("raceway", method=method, trade=trade), S),
    )  # fmt: skip
