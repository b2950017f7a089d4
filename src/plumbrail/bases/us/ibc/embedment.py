"""Embedment of posts and poles (IBC 1807.3), converged for pressure that grows with depth."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, analysis, provision

Array = NDArray[np.float64]
C = Certainty.CONFIRMED
T = Certainty.SECOND_HAND
M = Certainty.MEMORY
D = Certainty.DERIVED
_ROUNDS = 200
_CLOSE = 1e-14


@provision(
    "IBC 1806.3.4 and 1807.3.2.1", "S_1 [Pa]", "k*s*minimum(d, d_max)/3", C,
    k="-", s="Pa/m", d="m", d_max="m",
)  # fmt: skip
def pressure_at_third(k: Array, s: Array, d: Array, d_max: Array) -> Array:
    """Allowable lateral pressure at a third of the depth; d is cut at d_max before the third.

    k is 2 for an isolated pole not harmed by 1/2 in of movement at grade, otherwise 1.
    """
    return k * s * np.minimum(d, d_max) / 3


@provision(
    "IBC 1806.3.4 and 1807.3.2.2", "S_3 [Pa]", "k*s*minimum(d, d_max)", C,
    k="-", s="Pa/m", d="m", d_max="m",
)  # fmt: skip
def pressure_at_depth(k: Array, s: Array, d: Array, d_max: Array) -> Array:
    """Allowable lateral pressure at the full depth, which is cut at d_max."""
    return k * s * np.minimum(d, d_max)


@provision("IBC 1807.3.2.1", "A [m]", "2.34*P/(S_1*b)", T, P="N", S_1="Pa", b="m")
def embedment_factor(P: Array, S_1: Array, b: Array) -> Array:
    """The length A of Equation 18-1."""
    return 2.34 * P / (S_1 * b)


@provision("IBC 1807.3.2.1, Eq. 18-1", "d [m]", "0.5*A*(1 + sqrt(1 + 4.36*h/A))", T,
           A="m", h="m")  # fmt: skip
def embedment(A: Array, h: Array) -> Array:
    """Embedment without restraint at grade, as printed; A above zero."""
    d: Array = 0.5 * A * (1 + np.sqrt(1 + 4.36 * h / A))
    return d


@provision("IBC 1807.3.2.1, A times h with M_g = P h", "Ah [m**2]", "2.34*M_g/(S_1*b)", D,
           M_g="N*m", S_1="Pa", b="m")  # fmt: skip
def moment_factor(M_g: Array, S_1: Array, b: Array) -> Array:
    """The product A h, which stays finite when the moment acts without shear."""
    return 2.34 * M_g / (S_1 * b)


@provision("IBC 1807.3.2.1, Eq. 18-1 with A multiplied in", "d [m]",
           "0.5*(A + sqrt(A**2 + 4.36*Ah))", D, A="m", Ah="m**2")  # fmt: skip
def embedment_with_moment(A: Array, Ah: Array) -> Array:
    """Equation 18-1 without the division by A, so that shear or moment may be zero."""
    return 0.5 * (A + np.sqrt(A**2 + 4.36 * Ah))


@provision("IBC 1807.3.2.2, Eq. 18-2", "d [m]", "sqrt(4.25*P*h/(S_3*b))", M,
           P="N", h="m", S_3="Pa", b="m")  # fmt: skip
def constrained_embedment_by_force(P: Array, h: Array, S_3: Array, b: Array) -> Array:
    """Embedment with rigid restraint at grade (a floor or pavement, not open ground), by P."""
    return np.sqrt(4.25 * P * h / (S_3 * b))


@provision("IBC 1807.3.2.2, Eq. 18-3", "d [m]", "sqrt(4.25*M_g/(S_3*b))", T,
           M_g="N*m", S_3="Pa", b="m")  # fmt: skip
def constrained_embedment(M_g: Array, S_3: Array, b: Array) -> Array:
    """Embedment with rigid restraint at grade (a floor or pavement, not open ground), by M_g."""
    return np.sqrt(4.25 * M_g / (S_3 * b))


@provision("AISC 360-22 App. 8, Eq. A-8-1, all of the moment taken as sway", "M_g [N*m]",
           "B_2*M", T, B_2="-", M="N*m")  # fmt: skip
def swayed_moment(B_2: Array, M: Array) -> Array:
    """Moment at grade with the sway of the frame; cautious, since not all of it is sway."""
    return B_2 * M


def converged_embedment(P: Array, M_g: Array, b: Array, s: Array, k: Array, d_max: Array) -> Array:
    """Depth [m] at which Equation 18-1 returns the depth its pressure was taken at.

    P [N] shear and M_g [N*m] moment at grade, not negative; b [m] diameter, or diagonal of a
    square; s [Pa/m] lateral pressure per depth; k 1 or 2; d_max [m]. Arrays broadcast. With no
    shear and no moment the depth is 0. Recorded as an analysis whose residual is the relative
    misfit of the printed equation at the depth found.
    """
    u = 7.02 / (k * s * b)  # 2.34 * 3, so that A = u P / d while d <= d_max
    d = _cubic_root(u * P, 1.09 * u * M_g)
    d = np.where(d <= d_max, d, _depth_under(k * s * d_max / 3, P, M_g, b))
    inputs = {"P": (P, "N"), "M_g": (M_g, "N*m"), "b": (b, "m"), "s": (s, "Pa/m"),
              "k": (k, "-"), "d_max": (d_max, "m")}  # fmt: skip
    return analysis("IBC 1807.3.2.1, Eq. 18-1 converged", "d [m]", d, D,
                    embedment_misfit(d, P, M_g, b, s, k, d_max),
                    "Converged embedment", inputs)  # fmt: skip


def embedment_misfit(
    d: Array, P: Array, M_g: Array, b: Array, s: Array, k: Array, d_max: Array
) -> float:
    """Largest relative difference between d and Equation 18-1 with the pressure at d."""
    acts = d > 0
    S_1 = k * s * np.minimum(np.where(acts, d, d_max), d_max) / 3
    misfit = np.abs(_depth_under(S_1, P, M_g, b) - d) / np.where(acts, d, 1.0)
    return float(np.max(misfit))


def _depth_under(S_1: Array, P: Array, M_g: Array, b: Array) -> Array:
    """Equation 18-1 for a known pressure, outside any record."""
    A, Ah = 2.34 * P / (S_1 * b), 2.34 * M_g / (S_1 * b)
    d: Array = 0.5 * (A + np.sqrt(A**2 + 4.36 * Ah))
    return d


def _cubic_root(p: Array, q: Array) -> Array:
    """The one positive root of d**3 = p d + q for p, q >= 0; 0 where both are 0.

    Equation 18-1 with A = u P / d squares to this cubic. Newton's steps from an upper bound only
    fall, since the cubic is convex there.
    """
    p, q = np.broadcast_arrays(p, q)
    d = np.maximum(np.sqrt(2 * p), np.cbrt(2 * q))
    for _ in range(_ROUNDS):
        slope = 3 * d**2 - p
        step = np.divide(d**3 - p * d - q, slope, out=np.zeros_like(d), where=slope > 0)
        d = d - step
        if np.all(np.abs(step) <= _CLOSE * d):
            break
    return d
