"""Second-order effects by amplified first-order analysis (Appendix 8)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, provision

from ..common import Method

Array = NDArray[np.float64]
T = Certainty.SECOND_HAND
SMALLEST = 1e-6
"""Floor of 1 - alpha P/P_e: beyond the critical load the amplifier is a million, never negative."""


def load_factor(method: Method) -> Array:
    """The factor alpha that brings ASD loads to strength level; 0-d."""
    return load("aisc", "second_order").value("alpha", method=method)


@provision(
    "AISC 360-22 App. 8, Eq. A-8-5", "P_e1 [N]", "pi**2*E*I/L_c1**2", T,
    E="Pa", I="m**4", L_c1="m",
)  # fmt: skip
def member_critical_load(E: Array, I: Array, L_c1: Array) -> Array:  # noqa: E741
    """Elastic critical load of the member between its ends, ends held against sway."""
    return np.pi**2 * E * I / L_c1**2


@provision(
    "AISC 360-22 App. 8, Eq. A-8-3", "B_1 [-]",
    "maximum(1, C_m/maximum(1 - alpha*P_r/P_e1, 1e-6))", T,
    ranges={"P_r": (0.1, 0.6)}, C_m="-", alpha="-", P_r="N", P_e1="N",
)  # fmt: skip
def member_amplifier(C_m: Array, alpha: Array, P_r: Array, P_e1: Array) -> Array:
    """Amplifier for bending between the ends of a compressed member."""
    return np.maximum(1, C_m / np.maximum(1 - alpha * P_r / P_e1, SMALLEST))


@provision(
    "AISC 360-22 App. 8, Eq. A-8-8", "R_M [-]", "1 - 0.15*P_mf/P_story", T,
    P_mf="N", P_story="N",
)  # fmt: skip
def frame_share(P_mf: Array, P_story: Array) -> Array:
    """Reduction for the share of the vertical load on columns of moment frames."""
    return 1 - 0.15 * P_mf / P_story


@provision(
    "AISC 360-22 App. 8, Eq. A-8-7", "P_e_story [N]", "R_M*H*L/Delta_H", T,
    R_M="-", H="N", L="m", Delta_H="m",
)  # fmt: skip
def story_critical_load(R_M: Array, H: Array, L: Array, Delta_H: Array) -> Array:
    """Elastic critical load of a story from its first-order drift Delta_H under shear H."""
    return R_M * H * L / Delta_H


@provision(
    "AISC 360-22 App. 8, Eq. A-8-6", "B_2 [-]",
    "maximum(1, 1/maximum(1 - alpha*P_story/P_e_story, 1e-6))", T,
    ranges={"P_story": (0.1, 0.6)}, alpha="-", P_story="N", P_e_story="N",
)  # fmt: skip
def story_amplifier(alpha: Array, P_story: Array, P_e_story: Array) -> Array:
    """Amplifier for sway of a story."""
    return np.maximum(1, 1 / np.maximum(1 - alpha * P_story / P_e_story, SMALLEST))


@provision(
    "AISC 360-22 App. 8, Eq. A-8-2 with all of N taken as sway", "N_r [N]", "B_2*N", T,
    B_2="-", N="N",
)  # fmt: skip
def amplified_axial(B_2: Array, N: Array) -> Array:
    """Second-order axial force, sense kept."""
    return B_2 * N


@provision(
    "AISC 360-22 App. 8, Eq. A-8-1 with both amplifiers on all of M", "M_r [N*m]",
    "B_1*B_2*M", T, B_1="-", B_2="-", M="N*m",
)  # fmt: skip
def amplified_moment(B_1: Array, B_2: Array, M: Array) -> Array:
    """Second-order moment; the sway and no-sway shares are not separated, which is cautious."""
    return B_1 * B_2 * M
