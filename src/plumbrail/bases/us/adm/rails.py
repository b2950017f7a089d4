"""Aluminium rails from alloy and section: bending, shear, deflection.

Bending is taken on the elastic section modulus, which is cautious for yielding. What these
provisions leave out stands in :data:`NOT_CHECKED`; it can govern a thin-walled open extrusion, so
a maker's tested load (module ``stated``) is to be preferred.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

import numpy as np
from numpy.typing import NDArray

from plumbrail.batch import Batch
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, provision, require

from ..common import (
    TINY,
    Method,
    factor,
    force_ratio,
    force_size,
    higher_ratio,
    lower_force,
    moment_ratio,
    moment_size,
)
from ..entered import FRAME, MODEL, UNSTATED, Origin, Quantity, entered
from .thrust import (
    axial_share,
    axial_strength,
    buckling_intercept,
    buckling_slope,
    buckling_stress,
    elastic_limit,
    with_thrust,
)

Array = NDArray[np.float64]
Q = Quantity
M = Certainty.MEMORY
DERIVED = Certainty.DERIVED
NOT_CHECKED = (
    "local buckling of thin walls and lips of the rail",
    "lateral-torsional buckling of the rail between its clamps",
    "web crippling and slot opening at clamps and bolts",
    "loss of strength near welds",
)
"""Limit states of the rail that the section route does not cover, for the papers."""
ORIGINS: Mapping[str, Origin] = {
    "frame": FRAME, "model": MODEL, "section": UNSTATED, "alloy": UNSTATED,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Alloy:
    """Minimum strengths of an extrusion alloy away from welds [Pa]."""

    name: str
    F_tu: float
    F_ty: float
    E: float
    source: str
    certainty: Certainty


def alloy(name: str) -> Alloy:
    """The alloy and temper such as ``6005A-T61``; raises TableError for one not in the table."""
    table = load("adm", "alloys")
    i = int(table.rows(name=name).argmax())
    F_tu, F_ty = float(table.numbers["F_tu"][i]), float(table.numbers["F_ty"][i])
    E = float(load("adm", "modulus").numbers["E"][0])
    return Alloy(name, F_tu, F_ty, E, f"{table.source}, {name}", table.certainty)


@provision("ADM F.2, yielding on the elastic modulus", "M_n [N*m]", "F_ty*S", M,
           F_ty="Pa", S="m**3")  # fmt: skip
def yield_moment(F_ty: Array, S: Array) -> Array:
    """Nominal moment at yielding of the extreme fibre."""
    return F_ty * S


@provision("ADM F.2, rupture on the elastic modulus, k_t = 1", "M_n [N*m]", "F_tu*S", M,
           F_tu="Pa", S="m**3")  # fmt: skip
def rupture_moment(F_tu: Array, S: Array) -> Array:
    """Nominal moment at rupture of the extreme fibre, away from welds."""
    return F_tu * S


@provision("ADM G.1, shear yielding", "V_n [N]", "0.6*F_ty*A_w", M, F_ty="Pa", A_w="m**2")
def shear_strength(F_ty: Array, A_w: Array) -> Array:
    """Nominal shear strength of the webs, without web buckling."""
    return 0.6 * F_ty * A_w


@provision("ADM B.3.2", "R_a [N]", "R_n/Omega", M, R_n="N", Omega="-")
def allowable_force(R_n: Array, Omega: Array) -> Array:
    """Allowable strength in force (ASD)."""
    return R_n / Omega


@provision("ADM B.3.1", "R_d [N]", "phi*R_n", M, R_n="N", phi="-")
def design_force(R_n: Array, phi: Array) -> Array:
    """Design strength in force (LRFD)."""
    return phi * R_n


@provision("ADM B.3.2", "M_a [N*m]", "M_n/Omega", M, M_n="N*m", Omega="-")
def allowable_moment(M_n: Array, Omega: Array) -> Array:
    """Allowable strength in bending (ASD)."""
    return M_n / Omega


@provision("ADM B.3.1", "M_d [N*m]", "phi*M_n", M, M_n="N*m", phi="-")
def design_moment(M_n: Array, phi: Array) -> Array:
    """Design strength in bending (LRFD)."""
    return phi * M_n


@provision("sum of two bending ratios", "ratio [-]", "m_y + m_z", M, m_y="-", m_z="-")
def biaxial(m_y: Array, m_z: Array) -> Array:
    """Bending about both axes of a section that is not round (ADM H.1 without axial force)."""
    return m_y + m_z


@dataclass(frozen=True)
class Rails(Batch):
    """Forces in rails, their section and alloy, SI, three axes each.

    y is the axis that carries the load normal to the modules.
    """

    axes: ClassVar[tuple[str, ...]] = ("rail", "combination", "station")

    M_y: Annotated[Array, Q("N*m", "frame", "moment about the strong axis")]
    M_z: Annotated[Array, Q("N*m", "frame", "moment about the other axis")]
    V: Annotated[Array, Q("N", "frame", "shear normal to the modules")]
    N: Annotated[Array, Q("N", "frame", "force along the rail, pull positive, with sway")]
    lam: Annotated[Array, Q("-", "model", "slenderness, the larger of both axes")]
    S_y: Annotated[Array, Q("m**3", "section", "lower elastic section modulus, strong axis")]
    S_z: Annotated[Array, Q("m**3", "section", "lower elastic section modulus, other axis")]
    A_w: Annotated[Array, Q("m**2", "section", "area of the webs in shear")]
    A: Annotated[Array, Q("m**2", "section", "area of the whole section")]
    F_ty: Annotated[Array, Q("Pa", "alloy", "tensile yield strength")]
    F_tu: Annotated[Array, Q("Pa", "alloy", "tensile ultimate strength")]
    E: Annotated[Array, Q("Pa", "alloy", "modulus of elasticity")]


@dataclass(frozen=True)
class RailRatios:
    """Demand over capacity, each of the batch's shape; above 1 it fails."""

    yielding: Array
    rupture: Array
    shear: Array
    together: Array
    """Thrust or pull with bending."""

    @property
    def largest(self) -> Array:
        """The largest ratio at each place."""
        largest: Array = np.maximum.reduce([self.yielding, self.rupture, self.shear, self.together])
        return largest


def ratios(rails: Rails, method: Method, origins: Mapping[str, Origin] = ORIGINS) -> RailRatios:
    """Bending (yielding and rupture) and shear of rails with the axes (rail, combination, station).

    Raises RangeError where a section property is not positive.
    """
    for name in ("S_y", "S_z", "A_w", "A", "lam"):
        require(name, TINY, getattr(rails, name), np.inf, "rail section",
                "Give the section property from the maker, above zero.")  # fmt: skip
    r = entered(rails, origins)
    M_y, M_z = moment_size(r.M_y), moment_size(r.M_z)
    yielding = biaxial(
        moment_ratio(M_y, _moment(yield_moment(r.F_ty, r.S_y), "yielding", method)),
        moment_ratio(M_z, _moment(yield_moment(r.F_ty, r.S_z), "yielding", method)),
    )
    rupture = biaxial(
        moment_ratio(M_y, _moment(rupture_moment(r.F_tu, r.S_y), "rupture", method)),
        moment_ratio(M_z, _moment(rupture_moment(r.F_tu, r.S_z), "rupture", method)),
    )
    omega = factor("adm", "factors", "shear yielding", method)
    V_n = shear_strength(r.F_ty, r.A_w)
    V_c = allowable_force(V_n, omega) if method == "ASD" else design_force(V_n, omega)
    shear = force_ratio(force_size(r.V), V_c)
    p = _axial(r, method)
    together = higher_ratio(with_thrust(p, yielding), with_thrust(p, rupture))
    parts = (yielding, rupture, shear, together)
    return RailRatios(*(np.broadcast_to(a, rails.shape) for a in parts))


def _axial(r: Rails, method: Method) -> Array:
    """Share of the axial strength; the yield strength in compression is that in tension."""
    B_c = buckling_intercept(r.F_ty)
    D_c = buckling_slope(B_c, r.E)
    F_c = buckling_stress(r.lam, B_c, D_c, elastic_limit(B_c, D_c), r.F_ty, r.E)
    # Compression has the factors of yielding.
    P_c = _force(axial_strength(F_c, r.A), "yielding", method)
    T_c = lower_force(
        _force(axial_strength(r.F_ty, r.A), "yielding", method),
        _force(axial_strength(r.F_tu, r.A), "rupture", method),
    )
    return axial_share(r.N, P_c, T_c)


def _force(R_n: Array, limit_state: str, method: Method) -> Array:
    table = "safety" if method == "ASD" else "factors"
    chosen = factor("adm", table, limit_state, method)
    return allowable_force(R_n, chosen) if method == "ASD" else design_force(R_n, chosen)


def _moment(M_n: Array, limit_state: str, method: Method) -> Array:
    table = "safety" if method == "ASD" else "factors"
    chosen = factor("adm", table, limit_state, method)
    return allowable_moment(M_n, chosen) if method == "ASD" else design_moment(M_n, chosen)
