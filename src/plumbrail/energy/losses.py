"""Losses after the strings, and how each entry of the chain is written down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import Loss
from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import DAYS

Array = NDArray[np.float64]
HOUR = 3600.0
_ROUNDING = 1e-13
_ENDS = np.concatenate([[0], np.cumsum(24 * DAYS)[:-1]])


@provision(
    "Resistance: loss goes with the square of the current", "P_w [W]", "w*P_r*(I/I_r)**2",
    Certainty.DERIVED, w="-", P_r="W", I="A", I_r="A",
)  # fmt: skip
def wire_loss(w: Array, P_r: Array, I: Array, I_r: Array) -> Array:  # noqa: E741
    """Lost in wires that lose the share w of the rated power at the rated current."""
    return w * P_r * (I / I_r) ** 2


@dataclass(frozen=True)
class Step:
    """One step of the chain: what is left after it, hour by hour."""

    name: str
    words: str
    left: Array
    """(8760,) [W]"""
    checked: bool


def monthly(power: Array) -> Array:
    """(12,) energy [J] of (8760,) power [W]."""
    return HOUR * np.add.reduceat(power, _ENDS)


def chained(start: Array, steps: Sequence[Step]) -> tuple[Loss, ...]:
    """The chain as entries; what each took adds up to start less the end.

    What is no more than the rounding of a month's sum is written as nothing.
    """
    found = []
    before, nothing = start, _ROUNDING * monthly(start)
    for step in steps:
        month = monthly(before - step.left)
        month = np.where(np.abs(month) <= nothing, 0.0, month)
        came = HOUR * float(before.sum())
        energy = float(month.sum())
        share = energy / came if came > 0.0 else 0.0
        found.append(Loss(step.name, step.words, share, energy, month, step.checked))
        before = step.left
    return tuple(found)
