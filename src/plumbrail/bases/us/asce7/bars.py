"""Wind on single bars (posts, beams, module edges): ASCE 7-16 and 7-22 Fig. 29.4-2, from memory."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.bases.us.asce7.lookup import FOOT, PSF, value
from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, provision, require

Array = NDArray[np.float64]

_SOURCE = "ASCE 7-16 and 7-22 Fig. 29.4-2"
_LIMIT = 2.5 * FOOT * np.sqrt(PSF)


@provision(
    _SOURCE,
    "C_f [-]",
    "where(epsilon < 0.1, C_1, where(epsilon < 0.3, C_2, C_3))",
    Certainty.MEMORY,
    ranges={"epsilon": (0.0, 0.7)},
    epsilon="-", C_1="-", C_2="-", C_3="-",
)  # fmt: skip
def solidity_step(epsilon: Array, C_1: Array, C_2: Array, C_3: Array) -> Array:
    """Force coefficient by solidity: below 0.1, to 0.29, to 0.7."""
    return np.where(epsilon < 0.1, C_1, np.where(epsilon < 0.3, C_2, C_3))


@provision(
    _SOURCE,
    "C_f [-]",
    "where(D * sqrt(q_z) <= limit, C_small, C_large)",
    Certainty.MEMORY,
    constants={"limit": (float(_LIMIT), "m*Pa**0.5")},
    ranges={"D": (0.02, 0.4), "q_z": (200.0, 3000.0)},
    D="m", q_z="Pa", C_small="-", C_large="-",
)  # fmt: skip
def round_bar_coefficient(D: Array, q_z: Array, C_small: Array, C_large: Array) -> Array:
    """Force coefficient of a round bar: D sqrt(q_z) up to 2.5 (ft, psf) counts as small."""
    return np.where(D * np.sqrt(q_z) <= _LIMIT, C_small, C_large)


@provision(
    "ASCE 7-16 Eq. 29.4-1, ASCE 7-22 29.4.1",
    "F [N]",
    "p * A_f",
    Certainty.MEMORY,
    p="Pa", A_f="m**2",
)  # fmt: skip
def bar_force(p: Array, A_f: Array) -> Array:
    """Wind force on the area A_f that the bar shows to the wind, under the net pressure p."""
    return p * A_f


def bar_coefficient(shape: str, epsilon: ArrayLike, D: ArrayLike, q_z: ArrayLike) -> Array:
    """C_f of a ``flat`` or ``round`` bar; solidity epsilon [-], diameter D [m], q_z [Pa].

    For ASCE 7-22 pass q_z K_d: the limit was set with K_d in q. Shape: arguments broadcast.
    Raises RangeError for another shape and for a solidity above 0.7.
    """
    write = "A denser frame is a solid sign, not an open frame: an engineer decides"
    require("solidity", 0.0, epsilon, 0.7, _SOURCE, write)
    solidity = np.asarray(epsilon, dtype=float)
    if shape == "flat":
        return _by_solidity(shape, solidity)
    if shape != "round":
        raise RangeError(f"shape of a bar is {shape!r}; {_SOURCE} knows flat and round")
    require("diameter D", 1e-6, D, np.inf, _SOURCE, "Write the outside diameter")
    require("velocity pressure", 0.0, q_z, np.inf, _SOURCE, "Write a pressure of 0 or more")
    small, large = (_by_solidity(f"round-{size}", solidity) for size in ("small", "large"))
    return round_bar_coefficient(np.asarray(D, float), np.asarray(q_z, float), small, large)


def _by_solidity(shape: str, solidity: Array) -> Array:
    steps = (value("open_frames", c, shape=shape) for c in ("to_0_1", "to_0_29", "to_0_7"))
    return solidity_step(solidity, *steps)
