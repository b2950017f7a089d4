"""How far concrete has come by its temperature: Nurse-Saul.

Datum -10 °C (14 °F) as Nurse and Saul took it, from memory. The air of the season stands in for the
temperature of the concrete, which is warmer in the ground and by its own heat: cautious in cold.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
HOUR = 3600.0
DATUM = 263.15
"""[K] at and below which nothing is gained: -10 °C, 14 °F. From memory (Saul 1951)."""
USUAL, COOL = 293.15, 283.15
"""[K] 20 °C, at which holding hours count, and 10 °C (50 °F), at which days of strength count."""
COLD = 277.594
"""[K] 40 °F: a mean day below it for more than three days running is cold weather, as a public
excerpt of ACI 308.1-11 defines it."""
HOT = 296.15
"""[K] mean of day and night at which afternoons pass 32 °C (90 °F). Common practice."""


@provision(
    "Nurse-Saul function (Saul 1951; ASTM C1074)", "M [K*s]", "maximum(T - T_0, 0)*t",
    Certainty.SECOND_HAND, T="K", T_0="K", t="s",
    ranges={"T": (250.0, 310.0), "T_0": (258.0, 273.0), "t": (3600.0, 2.5e6)},
)  # fmt: skip
def maturity(T: Array, T_0: Array, t: Array) -> Array:
    """Maturity gained over a time at one temperature."""
    return np.maximum(T - T_0, 0.0) * t


def holding_maturity(hours: float) -> float:
    """Maturity [K h] at which a first pour holds its post, from hours at 20 °C."""
    gain = maturity(np.asarray(USUAL), np.asarray(DATUM), np.asarray(HOUR * hours))
    return float(gain) / HOUR


def strength_maturity(days: float) -> float:
    """Maturity [K h] at which a pier may be loaded, from days at 10 °C."""
    gain = maturity(np.asarray(COOL), np.asarray(DATUM), np.asarray(24.0 * HOUR * days))
    return float(gain) / HOUR


def gained(air: Array) -> Array:
    """(days + 1,) maturity [K h] from the first midnight to each, by mean temperatures (days,)."""
    daily = maturity(air, np.asarray(DATUM), np.asarray(24.0 * HOUR)) / HOUR
    return np.concatenate([[0.0], np.cumsum(daily)])


def cured(clock: Array, need: float, sums: Array) -> Array:
    """Clock [h from the first midnight] at which concrete placed at ``clock`` has its maturity.

    ``sums`` of :func:`gained`; infinite where that does not come within its days.
    """
    hours = 24.0 * np.arange(len(sums))
    target = np.interp(clock, hours, sums) + need
    # a flat piece has no inverse: take its far end, never its near one
    found = np.interp(target, sums - 1e-9 * np.arange(len(sums))[::-1], hours)
    return np.where(target > sums[-1], np.inf, found)
