"""Splices of pipe beams: an inner sleeve, or a joint with a capacity stated by its maker."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

import numpy as np
from numpy.typing import NDArray

from plumbrail.batch import Batch
from plumbrail.trace import Certainty, provision, require

from ..common import TINY, Method, force_ratio, moment_ratio
from ..entered import FRAME, MODEL, UNSTATED, Origin, Quantity, entered
from . import bending
from .members import wall_limits
from .strength import available_force, available_moment

Array = NDArray[np.float64]
Q = Quantity
D = Certainty.DERIVED
NOT_CHECKED = (
    "wall of the pipe under the sleeve's bearing",
    "axial force and torsion through the splice (an unbolted sleeve carries neither)",
    "bolts, holes and net section of a bolted sleeve",
    "welds of a welded splice",
)
"""What the splice ratios do not cover, for the papers."""
ORIGINS: Mapping[str, Origin] = {
    "frame": FRAME, "model": MODEL, "section": UNSTATED, "steel": UNSTATED, "maker": UNSTATED,
}  # fmt: skip


@provision(
    "mechanics: rigid insert, linear contact", "q [N/m]", "6*M/l**2 + 4*V/l", D,
    M="N*m", V="N", l="m",
)  # fmt: skip
def bearing_intensity(M: Array, V: Array, l: Array) -> Array:  # noqa: E741
    """Bearing of a sleeve at the mouth of the pipe, inserted by l on each side."""
    return 6 * M / l**2 + 4 * V / l


@provision("geometry", "c [m]", "d_i - d_s", D, d_i="m", d_s="m")
def clearance(d_i: Array, d_s: Array) -> Array:
    """Play between the bore of the pipe and the sleeve."""
    return d_i - d_s


@provision("geometry, small angle", "kink [rad]", "2*c/l", D, c="m", l="m")
def kink_angle(c: Array, l: Array) -> Array:  # noqa: E741
    """Kink between two pipes before the sleeve bears: the play c over l, on both sides."""
    return 2 * c / l


@dataclass(frozen=True)
class SleeveSplices(Batch):
    """Envelope forces at splices and the inner sleeve in them, SI."""

    axes: ClassVar[tuple[str, ...]] = ("splice", "combination")

    M: Annotated[Array, Q("N*m", "frame", "resultant moment at the splice")]
    V: Annotated[Array, Q("N", "frame", "resultant shear at the splice")]
    d_i: Annotated[Array, Q("m", "model", "bore of the pipe, from the nominal wall")]
    l: Annotated[Array, Q("m", "model", "insertion on each side")]  # noqa: E741
    L_v: Annotated[Array, Q("m", "model", "distance from largest to zero shear")]
    D: Annotated[Array, Q("m", "section", "outside diameter of the sleeve")]
    t: Annotated[Array, Q("m", "section", "design wall of the sleeve")]
    A: Annotated[Array, Q("m**2", "section", "area of the sleeve")]
    S: Annotated[Array, Q("m**3", "section", "elastic section modulus of the sleeve")]
    Z: Annotated[Array, Q("m**3", "section", "plastic section modulus of the sleeve")]
    E: Annotated[Array, Q("Pa", "steel", "modulus of elasticity")]
    F_y: Annotated[Array, Q("Pa", "steel", "yield stress of the sleeve")]


@dataclass(frozen=True)
class StatedSplices(Batch):
    """Envelope forces at splices and the allowable values from the maker's letter, SI."""

    axes: ClassVar[tuple[str, ...]] = ("splice", "combination")

    M: Annotated[Array, Q("N*m", "frame", "resultant moment at the splice")]
    V: Annotated[Array, Q("N", "frame", "resultant shear at the splice")]
    M_stated: Annotated[Array, Q("N*m", "maker", "moment capacity stated for the method used")]
    V_stated: Annotated[Array, Q("N", "maker", "shear capacity stated for the method used")]


@dataclass(frozen=True)
class SpliceRatios:
    """Demand over capacity, each of the batch's shape; above 1 it fails."""

    flexure: Array
    shear: Array


@dataclass(frozen=True)
class SleeveFit:
    """For information: bearing intensity in N/m and kink angle in rad."""

    bearing: Array
    kink: Array


def sleeve_ratios(
    splices: SleeveSplices, method: Method, origins: Mapping[str, Origin] = ORIGINS
) -> SpliceRatios:
    """Bending and shear of the sleeve's own section against the envelope at the splice.

    Raises RangeError where the sleeve does not enter the pipe or its wall is too thin.
    """
    _fits(splices)
    s = entered(splices, origins)
    M_n = bending.nominal_moment(s.E, s.F_y, s.D, s.t, s.S, s.Z)
    V_n = bending.nominal_shear(s.E, s.F_y, s.D, s.t, s.A, s.L_v)
    flexure = moment_ratio(s.M, available_moment(M_n, "flexure", method))
    shear = force_ratio(s.V, available_force(V_n, "shear", method))
    return SpliceRatios(*(np.broadcast_to(a, splices.shape) for a in (flexure, shear)))


def sleeve_fit(splices: SleeveSplices, origins: Mapping[str, Origin] = ORIGINS) -> SleeveFit:
    """Bearing at the mouth of the pipe and the kink from the play; no capacity is compared."""
    _fits(splices)
    s = entered(splices, origins)
    bearing = bearing_intensity(s.M, s.V, s.l)
    kink = kink_angle(clearance(s.d_i, s.D), s.l)
    return SleeveFit(*(np.broadcast_to(a, splices.shape) for a in (bearing, kink)))


def stated_ratios(splices: StatedSplices, origins: Mapping[str, Origin] = ORIGINS) -> SpliceRatios:
    """Demand against the capacity that the maker states; (splice, combination)."""
    for name in ("M_stated", "V_stated"):
        require(name, TINY, getattr(splices, name), np.inf, "maker's letter",
                "Give the capacity from the maker, above zero.")  # fmt: skip
    s = entered(splices, origins)
    ratios = (moment_ratio(s.M, s.M_stated), force_ratio(s.V, s.V_stated))
    return SpliceRatios(*(np.broadcast_to(a, splices.shape) for a in ratios))


def _fits(s: SleeveSplices) -> None:
    require("sleeve diameter over pipe bore", 0.0, s.D / s.d_i, 1.0, "geometry",
            "Choose a sleeve that enters the bore of the pipe.")  # fmt: skip
    for name in ("l", "L_v"):
        require(name, TINY, getattr(s, name), np.inf, "splice", "Give a length above zero.")
    wall_limits(s.E, s.F_y, s.D, s.t)
