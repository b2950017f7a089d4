"""Demands compared with a stated figure: connections, module ratings, deflection limits."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.bases.us.common import force_ratio, moment_ratio
from plumbrail.trace import Certainty, given, provision

Array = NDArray[np.float64]
D = Certainty.DERIVED


@provision("demand over capacity", "ratio [-]", "p_r/p_a", D, p_r="Pa", p_a="Pa")
def pressure_rating_ratio(p_r: Array, p_a: Array) -> Array:
    """Net design pressure over the pressure a module may take."""
    return p_r / p_a


@provision("tributary area of a clamp", "F [N]", "p*A_t", D, p="Pa", A_t="m**2")
def clamp_force(p: Array, A_t: Array) -> Array:
    """Force on a clamp from a pressure on the area it holds."""
    return p * A_t


@provision("demand over capacity", "ratio [-]", "h_min/h", D, h_min="m", h="m")
def clearance_ratio(h_min: Array, h: Array) -> Array:
    """Clearance asked for over the clearance there is."""
    return h_min / h


def stated_force(
    demand: float, capacity: float, source: str, origin: str = "frame analysis"
) -> Array:
    """Ratio of a force from the frame to a maker's figure."""
    return force_ratio(
        given(origin, "F_r [N]", demand, D),
        given(source, "R_c [N]", capacity, Certainty.MAKER),
    )


def stated_moment(
    demand: float, capacity: float, source: str, origin: str = "frame analysis"
) -> Array:
    """Ratio of a moment from the frame to a maker's figure."""
    return moment_ratio(
        given(origin, "M_r [N*m]", demand, D),
        given(source, "M_c [N*m]", capacity, Certainty.MAKER),
    )
