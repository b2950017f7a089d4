"""The base line between the two pins: refusals, axes, bearing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import RangeError
from plumbrail.model.parts import Model
from plumbrail.plan.models import SetOut
from plumbrail.setout import tapes
from plumbrail.site.bearings import row_bearing

Array = NDArray[np.float64]

SHORTEST = 0.3048
"""Pins closer than this [m] give no direction worth the name."""
DEFAULT_CLEAR = 1.8288
"""The default second pin stands this far [m] right of and before the last front hole."""


@dataclass(frozen=True)
class BaseLine:
    """Pin 1 to pin 2. Heights are in the model's axes; ``zero`` is the top of pin 1."""

    pins: Array
    """(2, 2) plan positions."""
    ground: Array
    """(2,) ground at the pins."""
    top: Array
    """(2,) tops of the pins."""
    along: Array
    """(2,) unit vector from pin 1 to pin 2."""
    across: Array
    """(2,) unit vector square to it, toward the back (to the right if the line runs backward)."""
    length: float
    slope_length: float
    """On the ground between the pins."""
    bearing: float
    """From pin 1 to pin 2 [rad], clockwise from true north."""
    row_bearing: float
    """Along the row, to the right [rad], clockwise from true north."""

    @property
    def zero(self) -> float:
        """Height of the datum in the model's axes: the top of pin 1."""
        return float(self.top[0])

    def offsets(self, xy: Array) -> Array:
        """(n, 2) distances along and across the base line of points (n, 2)."""
        from_pin = xy - self.pins[0]
        return np.column_stack([from_pin @ self.along, from_pin @ self.across])


def base_line(model: Model, setout: SetOut) -> BaseLine:
    """The base line of a plan; raises RangeError when a pin cannot be where it is."""
    pins = pin_positions(model, setout)
    _refuse(model, pins)
    step = pins[1] - pins[0]
    length = float(np.hypot(*step))
    along = step / length
    ground = model.terrain.height(pins[:, 0], pins[:, 1])
    row = row_bearing(model.plane.azimuth)
    turned = float(np.arctan2(along[1], along[0]))
    return BaseLine(
        pins, ground, ground + setout.pin_height, along, _toward_back(along), length,
        float(tapes.slope_distance(np.array(length), np.array(ground[1] - ground[0]))),
        float(np.mod(row - turned, 2 * np.pi)), row,
    )  # fmt: skip


def pin_positions(model: Model, setout: SetOut) -> Array:
    """(2, 2) plan positions of the pins; the second one follows the row when left out."""
    last_front = model.posts.xy[model.stations - 1]
    second = setout.pin_2 or (last_front[0] + DEFAULT_CLEAR, last_front[1] - DEFAULT_CLEAR)
    return np.array([setout.pin_1, second], dtype=float)


def _toward_back(along: Array) -> Array:
    left = np.array([-along[1], along[0]])
    sign = left[1] if abs(left[1]) > 1e-9 else left[0]
    return np.asarray(left if sign > 0 else -left)


def _refuse(model: Model, pins: Array) -> None:
    apart = float(np.hypot(*(pins[1] - pins[0])))
    if apart < SHORTEST:
        raise RangeError(
            f"setout.pin_1 and setout.pin_2 are {apart:.3f} m apart; a base line needs at least "
            f"{SHORTEST} m, better the length of the row. Move one of them."
        )
    gaps = np.linalg.norm(model.posts.xy - pins[:, None], axis=-1)
    for pin, hole in np.argwhere(gaps < 0.5 * model.piers.diameter)[:1]:
        raise RangeError(
            f"setout.pin_{pin + 1} stands {gaps[pin, hole]:.3f} m from the centre of hole "
            f"{model.posts.ids[hole]}, inside its radius of {0.5 * model.piers.diameter:.3f} m: it "
            "would be dug away. Move it clear of all holes and of the digging."
        )
