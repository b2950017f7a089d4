"""Drilled round piers: embedment, uplift, bearing, depth and cover for piers and combinations.

Demands are at allowable-stress level (the IBC values are allowable ones), from combinations that
leave the pier's own weight out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

import numpy as np
from numpy.typing import NDArray

from plumbrail.batch import Batch
from plumbrail.tables.loader import load
from plumbrail.trace import require

from ..common import TINY, force_ratio, resultant_force, resultant_moment
from ..entered import FRAME, MODEL, UNSTATED, Origin, Quantity, entered
from . import embedment as lateral
from . import holding

Array = NDArray[np.float64]
Q = Quantity
NOT_CHECKED = (
    "bending, shear and reinforcement of the concrete pier itself",
    "bond of the post in the concrete",
    "frost heave gripping the shaft (adfreeze)",
    "piers closer together than their soil wedges, and piers at a slope or edge",
    "ground water, scour and softening of the upper soil",
)
"""What the pier ratios do not cover, for the papers."""
ORIGINS: Mapping[str, Origin] = {
    "frame": FRAME, "model": MODEL, "soil": UNSTATED, "friction": UNSTATED, "concrete": UNSTATED,
}  # fmt: skip


@dataclass(frozen=True)
class Piers(Batch):
    """Forces at grade, round piers and soil, SI, two axes each."""

    axes: ClassVar[tuple[str, ...]] = ("pier", "combination")

    P_x: Annotated[Array, Q("N", "frame", "horizontal force along x at grade")]
    P_y: Annotated[Array, Q("N", "frame", "horizontal force along y at grade")]
    M_x: Annotated[Array, Q("N*m", "frame", "moment about x at grade")]
    M_y: Annotated[Array, Q("N*m", "frame", "moment about y at grade")]
    B_2: Annotated[Array, Q("-", "frame", "sway amplifier; 1 after a second-order analysis")]
    N_u: Annotated[Array, Q("N", "frame", "net uplift at the pier, 0 in compression")]
    N_c: Annotated[Array, Q("N", "frame", "compression on the pier, 0 in uplift")]
    b: Annotated[Array, Q("m", "model", "pier diameter")]
    d: Annotated[Array, Q("m", "model", "depth provided below grade")]
    e: Annotated[Array, Q("m", "model", "height of the pier above grade")]
    d_f: Annotated[Array, Q("m", "model", "frost depth")]
    D: Annotated[Array, Q("m", "model", "outside diameter of the post in the pier")]
    gamma_c: Annotated[Array, Q("N/m**3", "concrete", "unit weight of concrete")]
    psi: Annotated[Array, Q("-", "model", "share of the pier's weight counted against uplift")]
    psi_b: Annotated[Array, Q("-", "model", "factor of the pier's weight counted in bearing")]
    k: Annotated[Array, Q("-", "model", "2 for isolated poles by 1806.3.4, otherwise 1")]
    s: Annotated[Array, Q("Pa/m", "soil", "allowable lateral pressure per depth")]
    q: Annotated[Array, Q("Pa", "soil", "allowable vertical pressure")]
    f_s: Annotated[Array, Q("Pa", "friction", "allowable shaft friction in uplift")]


@dataclass(frozen=True)
class PierRatios:
    """Required over provided, each of the batch's shape; above 1 it fails.

    ``embedment`` is converged required depth over provided depth: it rises with the load, but not
    in proportion to it. ``required`` is that depth [m], ``uplift_capacity`` in N.
    """

    embedment: Array
    uplift: Array
    bearing: Array
    depth: Array
    cover: Array
    required: Array
    uplift_capacity: Array

    @property
    def largest(self) -> Array:
        """The largest ratio at each place."""
        largest: Array = np.maximum.reduce(
            [self.embedment, self.uplift, self.bearing, self.depth, self.cover]
        )
        return largest


def ratios(piers: Piers, origins: Mapping[str, Origin] = ORIGINS) -> PierRatios:
    """Ratios of all checks of round piers, (pier, combination), at allowable-stress level.

    The resultant of the horizontal force is combined with the resultant of the moment as if both
    acted in one plane and one sense. Raises RangeError for sizes that make no pier.
    """
    _limits(piers)
    p = entered(piers, origins)
    d_max = load("ibc", "lateral_limit").value("d_max", rule="1807.3")
    d_req = _required(p, d_max)
    W = holding.pier_weight(p.gamma_c, p.b, p.d, p.e)
    F = holding.shaft_friction(p.f_s, p.b, p.d, p.d_f)
    R_u = holding.uplift_resistance(p.psi, W, F)
    parts = (
        holding.depth_ratio(d_req, p.d),
        force_ratio(p.N_u, R_u),
        holding.pressure_ratio(holding.bearing_pressure(p.N_c, p.psi_b, W, p.b), p.q),
        holding.depth_ratio(holding.least_depth(p.d_f), p.d),
        holding.cover_ratio(p.b, p.D),
        d_req,
        R_u,
    )
    return PierRatios(*(np.broadcast_to(a, piers.shape) for a in parts))


def _required(p: Piers, d_max: Array) -> Array:
    """Converged depth, then the printed steps that it satisfies; 0 where nothing acts."""
    P = resultant_force(p.P_x, p.P_y)
    M_g = lateral.swayed_moment(p.B_2, resultant_moment(p.M_x, p.M_y))
    d = lateral.converged_embedment(P, M_g, p.b, p.s, p.k, d_max)
    if not (d > 0).all():
        return d  # the pressure at depth 0 is 0, so the printed equation has nothing to divide by
    S_1 = lateral.pressure_at_third(p.k, p.s, d, d_max)
    A = lateral.embedment_factor(P, S_1, p.b)
    return lateral.embedment_with_moment(A, lateral.moment_factor(M_g, S_1, p.b))


def _limits(p: Piers) -> None:
    above = "Give a value above zero."
    for name in ("b", "d", "gamma_c", "s", "q"):
        require(name, TINY, getattr(p, name), np.inf, "IBC 1807.3", above)
    for name in ("N_u", "N_c", "e", "d_f", "f_s"):
        require(name, 0.0, getattr(p, name), np.inf, "IBC 1807.3", "Give zero or more.")
    require("B_2", 1.0, p.B_2, np.inf, "AISC 360-22 App. 8",
            "Give 1 after a second-order analysis, otherwise the amplifier.")  # fmt: skip
    require("psi", TINY, p.psi, 1.0, "load combination",
            "Give the load factor of the pier's weight, e.g. 0.6.")  # fmt: skip
    require("psi_b", 0.0, p.psi_b, 1.5, "bearing", "Give 1 to count the pier's whole weight.")
    require("k", 1.0, p.k, 2.0, "IBC 1806.3.4", "Give 1, or 2 for isolated poles.")
    require("post over pier diameter", 0.0, p.D / p.b, 1 - 1e-9, "geometry",
            "Choose a pier wider than the post.")  # fmt: skip
