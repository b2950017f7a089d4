"""Calm first places: adjustments that gross blunders cannot pull far."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.network import Linear, Network
from plumbrail.truing.spectrum import Spectrum

Array = NDArray[np.float64]
BEND = 1.5
"""Standard deviations up to which a residual counts in full."""
FALLING = (10.0, 5.0, 3.0)
"""Standard deviations at which a residual keeps a quarter of its weight, one after the other."""
FLOOR = 0.05
MOST = 30
FEW = 5
NEAR = 0.1
"""Steps that change no reading by a tenth of its standard deviation end it: it is only a start."""


def calm(network: Network) -> list[Array]:
    """Unknowns (n,) by falling weights, and by least absolute residuals; one if nothing is far off.

    Iteratively re-weighted least squares. First the weight of a residual of e > 1.5 standard
    deviations is 1.5/e (Huber 1964), so that beyond that the sum of absolute residuals is made
    least. Then it is (1 + (e/c)^2)^-2 (Geman and McClure 1985) with c made smaller in steps, so
    that what is far off ends up without weight. Residuals are measured in units that leave room for
    what a reading's own redundancy hides.
    """
    here = network.at(network.start)
    kept = np.ones(len(here.y), dtype=bool)
    sp = network.spectrum(here, kept)
    r = 1.0 - np.sum(sp.levers(here.B) ** 2, axis=1)
    root = np.sqrt(np.clip(r, FLOOR, 1.0))
    here = network.at(here.x + network.sure_step(here, kept, sp))
    here = weighed(network, sp, here, lambda y: BEND / np.maximum(np.abs(y) / root, BEND), MOST)
    least = here.x
    if np.all(np.abs(here.y) <= FALLING[-1] * root):
        return [least]
    for c in FALLING:
        here = weighed(network, sp, here, partial(falling, scale=c * root), FEW)
    return [here.x, least]


def falling(y: Array, scale: Array) -> Array:
    """Weights that fall to nothing."""
    return (1.0 + (y / scale) ** 2) ** -2


def weighed(
    network: Network, sp: Spectrum, here: Linear, weights: Callable[[Array], Array], most: int
) -> Linear:
    """Re-weighted least squares until the steps are small, or ``most`` of them."""
    for _ in range(most):
        try:
            step = network.quick_step(here, weights(here.y), sp)
        except np.linalg.LinAlgError:
            break
        here = network.at(here.x + step)
        if np.abs(here.B @ step).max(initial=0.0) <= NEAR:
            break
    return here
