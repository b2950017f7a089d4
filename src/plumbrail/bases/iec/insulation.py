"""IEC 62446-1: test voltage and least resistance of the insulation of an array."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, provision

from .lookup import table

Array = NDArray[np.float64]
TIERS = ("under 120 V", "120 V to 500 V", "over 500 V")
LARGEST = 1875.0
"""1.25 times the 1500 V that low voltage ends at [V]."""


@provision("IEC 62446-1 insulation test", "V_s [V]", "k*V_oc", Certainty.CONFIRMED,
           constants={"k": (1.25, "-")}, V_oc="V")  # fmt: skip
def stepping_voltage(V_oc: Array) -> Array:
    """Voltage by which the step of the insulation test is chosen."""
    return 1.25 * V_oc


def tier_of(V_s: ArrayLike) -> str:
    """The step for one voltage of :func:`stepping_voltage`; RangeError outside low voltage."""
    value = float(np.asarray(V_s, dtype=float))
    if not 0.0 < value <= LARGEST:
        raise RangeError(f"1.25 times the open-circuit voltage is {value:g} V; the insulation test "
                         f"of IEC 62446-1 is known here over 0 V up to {LARGEST:g} V. Check "
                         "module.voc and the modules in a string.")  # fmt: skip
    return TIERS[0] if value < 120.0 else TIERS[1] if value <= 500.0 else TIERS[2]


def voltage_of_test(tier: str) -> Array:
    """Direct voltage of the test [V]; 0-d."""
    return table("insulation_voltage").value("test_voltage", tier=tier)


def least_resistance(tier: str) -> Array:
    """Least resistance to ground [ohm]; 0-d."""
    return table("insulation_resistance").value("resistance", tier=tier)
