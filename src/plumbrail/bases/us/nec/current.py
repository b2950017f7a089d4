"""NFPA 70, 690.8: the currents that conductors and devices are sized for."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
S = Certainty.SECOND_HAND
F = {"F": (1.25, "-")}


@provision("NFPA 70 690.8(A)(1)", "I_max [A]", "F*I_sc", S, constants=F, I_sc="A")
def source_current(I_sc: Array) -> Array:
    """Largest current of strings in parallel, from the sum of their short-circuit currents."""
    return 1.25 * I_sc


@provision("NFPA 70 690.8(B)(1)", "I_b [A]", "F*I_max", S, constants=F, I_max="A")
def ampacity_before(I_max: Array) -> Array:
    """Least ampacity before correction and adjustment: 1.5625 times the short-circuit current."""
    return 1.25 * I_max


@provision("NFPA 70 690.9(B)(1)", "I_d [A]", "F*I_max", S, constants=F, I_max="A")
def required_device(I_max: Array) -> Array:
    """Least rating of an overcurrent device, before rounding up to a standard size."""
    return 1.25 * I_max


@provision("NFPA 70 690.8(D)", "I_b [A]", "I_n + I_others", S, I_n="A", I_others="A")
def shared_device_conductor(I_n: Array, I_others: Array) -> Array:
    """Least ampacity of each string where one device protects several in parallel.

    ``I_others`` is the sum of the largest currents of the other strings.
    """
    return I_n + I_others
