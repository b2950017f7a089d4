"""From a measured shadow back to the base line: how it really lies, and how far to swing it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.setout.base import BaseLine
from plumbrail.setout.shadow import (
    Errors,
    clockwise_side,
    errors_of,
    shadow_bearing,
    turned,
)
from plumbrail.site.sun import Sun

Array = NDArray[np.float64]

SURE = 2.0
"""Differences within this many standard deviations cannot be told from none: 95 in 100."""
LARGE = float(np.radians(15.0))
"""A base line further off than this is more likely a wrong clock, side or longitude. A judgement:
one hour of clock turns a shadow by 10° or more."""
LEAST_MARK = 0.3
"""A mark nearer to pin 1 than this [m] gives no direction worth the name."""


@dataclass(frozen=True)
class Swing:
    """How the base line lies by one measured shadow. Angles in rad."""

    bearing: float
    """Of the base line as it really lies, from pin 1 to pin 2, clockwise from true north."""
    errors: Errors
    """Axis of one."""
    turn: float
    """Clockwise from how it lies to how the plan has it, -pi to pi."""
    move: float
    """How far pin 2 goes, pin 1 staying [m]; the chord."""
    across: float
    """The part of it square to the base line as it lies, as ``base.across`` points [m]."""

    @property
    def sd(self) -> float:
        """Standard deviation of the bearing."""
        return float(self.errors.total[0])

    @property
    def told(self) -> bool:
        """The turn is more than the measurement is unsure by."""
        return abs(self.turn) > SURE * self.sd

    @property
    def large(self) -> bool:
        """So large that a mistake is likelier than a wrong pin."""
        return abs(self.turn) > LARGE


def swing(base: BaseLine, sun: Sun, mark: Array) -> Swing:
    """The base line from a mark (2,) in the shadow: along the string and across it from pin 1 [m].

    ``sun`` is the sun at that moment, axis of one. Raises RangeError for a mark beside pin 1.
    """
    distance = float(np.hypot(*mark))
    if distance < LEAST_MARK:
        raise RangeError(
            f"the mark is {distance:.3f} m from pin 1: too near to tell a direction. Measure at "
            f"{10 * LEAST_MARK} m or more."
        )
    seen = float(np.arctan2(clockwise_side(base) * mark[1], mark[0]))
    lies = float(np.mod(shadow_bearing(sun)[0] - seen, 2 * np.pi))
    turn = float(turned(np.array(base.bearing), lies))
    return Swing(
        lies, errors_of(sun, base, np.array([distance])), turn,
        2 * base.length * abs(float(np.sin(turn / 2))),
        clockwise_side(base) * base.length * float(np.sin(turn)),
    )  # fmt: skip
