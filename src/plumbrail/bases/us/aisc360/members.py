"""Round steel members: every limit state for members, combinations and stations at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.batch import Batch
from plumbrail.tables.sections import PipeSection, SteelGrade
from plumbrail.trace import require

from ..common import (
    TINY,
    Method,
    force_ratio,
    lower_force,
    moment_ratio,
    moment_size,
    resultant_force,
    resultant_moment,
)
from ..entered import FRAME, MODEL, UNSTATED, Origin, Quantity, entered
from . import axial, bending, combined, stability
from .strength import available_force, available_moment

Array = NDArray[np.float64]
Q = Quantity
SLENDERNESS_ADVICE = 200.0
"""KL/r that compression members preferably do not exceed (AISC 360-22 E2, user note)."""
ORIGINS: Mapping[str, Origin] = {
    "frame": FRAME, "model": MODEL, "section": UNSTATED, "steel": UNSTATED,
}  # fmt: skip
"""Replace ``section`` and ``steel`` by the origins of the tables used."""


@dataclass(frozen=True)
class SteelMembers(Batch):
    """Forces, lengths, section and steel of round members, SI, three axes each."""

    axes: ClassVar[tuple[str, ...]] = ("member", "combination", "station")

    N: Annotated[Array, Q("N", "frame", "axial force, tension positive")]
    V_y: Annotated[Array, Q("N", "frame", "shear along local y")]
    V_z: Annotated[Array, Q("N", "frame", "shear along local z")]
    T: Annotated[Array, Q("N*m", "frame", "torsion")]
    M_y: Annotated[Array, Q("N*m", "frame", "moment about local y")]
    M_z: Annotated[Array, Q("N*m", "frame", "moment about local z")]
    B_2: Annotated[Array, Q("-", "frame", "sway amplifier; 1 after a second-order analysis")]
    C_m: Annotated[Array, Q("-", "model", "equivalent moment factor; 1 with load between ends")]
    KL: Annotated[Array, Q("m", "model", "effective length for buckling")]
    L: Annotated[Array, Q("m", "model", "member length between supports")]
    L_v: Annotated[Array, Q("m", "model", "distance from largest to zero shear")]
    D: Annotated[Array, Q("m", "section", "outside diameter")]
    t: Annotated[Array, Q("m", "section", "design wall thickness")]
    A: Annotated[Array, Q("m**2", "section", "gross area")]
    A_e: Annotated[Array, Q("m**2", "section", "effective net area; A where there are no holes")]
    I: Annotated[Array, Q("m**4", "section", "moment of inertia")]  # noqa: E741
    S: Annotated[Array, Q("m**3", "section", "elastic section modulus")]
    Z: Annotated[Array, Q("m**3", "section", "plastic section modulus")]
    r: Annotated[Array, Q("m", "section", "radius of gyration")]
    J: Annotated[Array, Q("m**4", "section", "torsional constant")]
    E: Annotated[Array, Q("Pa", "steel", "modulus of elasticity")]
    F_y: Annotated[Array, Q("Pa", "steel", "yield stress")]
    F_u: Annotated[Array, Q("Pa", "steel", "tensile strength")]

    @classmethod
    def of(
        cls, sections: Sequence[PipeSection], steels: Sequence[SteelGrade], *, N: ArrayLike,
        V_y: ArrayLike, V_z: ArrayLike, T: ArrayLike, M_y: ArrayLike, M_z: ArrayLike,
        B_2: ArrayLike, C_m: ArrayLike, KL: ArrayLike, L: ArrayLike, L_v: ArrayLike,
    ) -> SteelMembers:  # fmt: skip
        """Members without holes from one section and one steel per member.

        Forces broadcast to (member, combination, station). Lengths and amplifiers may have one
        dimension (per member) or all three; SI units.
        """
        given = {"N": N, "V_y": V_y, "V_z": V_z, "T": T, "M_y": M_y, "M_z": M_z,
                 "B_2": B_2, "C_m": C_m, "KL": KL, "L": L, "L_v": L_v}  # fmt: skip
        demand = {name: _three(value) for name, value in given.items()}
        own = {name: _three([getattr(s, name) for s in sections])
               for name in ("A", "I", "S", "Z", "r", "J", "t")}  # fmt: skip
        steel = {name: _three([getattr(s, name) for s in steels]) for name in ("E", "F_y", "F_u")}
        return cls(**demand, **own, **steel, D=_three([s.OD for s in sections]), A_e=own["A"])


@dataclass(frozen=True)
class MemberRatios:
    """Required over available strength, each of the batch's full shape; above 1 it fails.

    ``slenderness`` is KL/r itself, for comparison with :data:`SLENDERNESS_ADVICE`.
    """

    compression: Array
    tension: Array
    flexure: Array
    shear: Array
    torsion: Array
    interaction: Array
    slenderness: Array

    @property
    def largest(self) -> Array:
        """The largest ratio of the limit states at each place."""
        largest: Array = np.maximum.reduce(
            [
                self.compression,
                self.tension,
                self.flexure,
                self.shear,
                self.torsion,
                self.interaction,
            ]
        )
        return largest


@dataclass(frozen=True)
class MemberStrength:
    """Available strengths in N and N*m, broadcastable to the batch."""

    compression: Array
    tension: Array
    flexure: Array
    shear: Array
    torsion: Array


def ratios(
    members: SteelMembers, method: Method, origins: Mapping[str, Origin] = ORIGINS
) -> MemberRatios:
    """Ratios of all limit states of AISC 360 for round members.

    ``members`` has the axes (member, combination, station), SI units. Cut one case out with
    ``members.at(...)`` and repeat inside ``recording()`` to explain it. Raises RangeError where
    a wall is thinner than the provisions cover or a length is not positive.
    """
    _limits(members)
    m = entered(members, origins)
    s = _strength(m, method)
    N = stability.amplified_axial(m.B_2, m.N)
    P, tension = combined.compression_part(N), combined.tension_part(N)
    B_1 = stability.member_amplifier(
        m.C_m, stability.load_factor(method), P, stability.member_critical_load(m.E, m.I, m.L)
    )
    M = stability.amplified_moment(B_1, m.B_2, resultant_moment(m.M_y, m.M_z))
    p_c, p_t = force_ratio(P, s.compression), force_ratio(tension, s.tension)
    flexure = moment_ratio(M, s.flexure)
    shear = force_ratio(resultant_force(m.V_y, m.V_z), s.shear)
    torsion = moment_ratio(moment_size(m.T), s.torsion)
    p = combined.axial_ratio(p_c, p_t)
    both = combined.axial_and_bending(p, flexure)
    together = combined.with_torsion(p, flexure, shear, torsion, both)
    KL_r = axial.slenderness(m.KL, m.r)
    shaped = (np.broadcast_to(a, members.shape)
              for a in (p_c, p_t, flexure, shear, torsion, together, KL_r))  # fmt: skip
    return MemberRatios(*shaped)


def strength(
    members: SteelMembers, method: Method, origins: Mapping[str, Origin] = ORIGINS
) -> MemberStrength:
    """Available strengths of the members; raises as :func:`ratios` does."""
    _limits(members)
    return _strength(entered(members, origins), method)


def _strength(m: SteelMembers, method: Method) -> MemberStrength:
    P_n = axial.nominal_compression(m.E, m.F_y, m.D, m.t, m.A, m.r, m.KL)
    M_n = bending.nominal_moment(m.E, m.F_y, m.D, m.t, m.S, m.Z)
    V_n = bending.nominal_shear(m.E, m.F_y, m.D, m.t, m.A, m.L_v)
    T_n = bending.nominal_torsion(m.E, m.F_y, m.D, m.t, m.J, m.L)
    yielding = available_force(axial.tension_yielding(m.F_y, m.A), "tension yielding", method)
    rupture = available_force(
        axial.tension_rupture(m.F_u, m.A_e), "tension rupture", method, "rupture_factors"
    )
    return MemberStrength(
        compression=available_force(P_n, "compression", method),
        tension=lower_force(yielding, rupture),
        flexure=available_moment(M_n, "flexure", method),
        shear=available_force(V_n, "shear", method),
        torsion=available_moment(T_n, "torsion", method),
    )


def _limits(m: SteelMembers) -> None:
    wall_limits(m.E, m.F_y, m.D, m.t)
    for name in ("KL", "L", "L_v"):
        require(name, TINY, getattr(m, name), np.inf, "AISC 360-22",
                "Give a length above zero in the frame's geometry.")  # fmt: skip
    require("B_2", 1.0, m.B_2, np.inf, "AISC 360-22 App. 8",
            "Give 1 after a second-order analysis, otherwise the amplifier.")  # fmt: skip


def wall_limits(E: Array, F_y: Array, D: Array, t: Array) -> None:
    """Refuse a wall with D/t above 0.45 E/F_y, which the provisions do not cover."""
    require("D/t over 0.45 E/F_y", 0.0, D / t / (0.45 * E / F_y), 1.0, "AISC 360-22 E7 and F8",
            "Choose a tube with a thicker wall.")  # fmt: skip


def _three(value: ArrayLike) -> Array:
    array = np.asarray(value, dtype=float)
    if array.ndim == 1:
        return array[:, None, None]
    return array if array.ndim == 3 else np.broadcast_to(array, (1, 1, 1))
