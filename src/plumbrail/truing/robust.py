"""A calm first place: an adjustment that gross blunders cannot pull far."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.network import Network

Array = NDArray[np.float64]
BEND = 1.5
"""Standard deviations up to which a residual counts in full."""
FLOOR = 0.05
ROUNDS = 30
NEAR = 1e-2
"""Steps of under a hundredth of the smallest standard deviation end it: it is only a start."""


def calm(network: Network) -> Array:
    """Unknowns (n,) of iteratively re-weighted least squares.

    The weight of a residual of e > 1.5 standard deviations falls as 1.5/e: beyond that the sum of
    absolute residuals is made least (Huber 1964), measured in units that leave room for what the
    reading's own redundancy hides.
    """
    here = network.at(network.start)
    kept = np.ones(len(here.y), dtype=bool)
    sp = network.spectrum(here, kept)
    r = 1.0 - np.sum(sp.levers(here.B) ** 2, axis=1)
    root = np.sqrt(np.clip(r, FLOOR, 1.0))
    step = network.sure_step(here, kept, sp)
    for _ in range(ROUNDS):
        here = network.at(here.x + step)
        e = np.abs(here.y) / root
        try:
            step = network.quick_step(here, np.minimum(1.0, BEND / np.maximum(e, BEND)), sp)
        except np.linalg.LinAlgError:
            break
        if np.abs(step).max(initial=0.0) <= NEAR * network.sd.min(initial=np.inf):
            break
    return here.x
