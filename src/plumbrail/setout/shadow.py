"""The shadow of a plumb line over pin 1: which way it falls and how well it can be marked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.setout.base import BaseLine
from plumbrail.site.sun import ASTRONOMY, EARTH, Sun
from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
D = Certainty.DERIVED

SUN_WIDTH = 0.0093
"""The sun's disc [rad]: 0.533°, 1/107 of the distance."""


@dataclass(frozen=True)
class Care:
    """Standard deviations of what is read on site. Judgements, no published source."""

    clock: float = 15.0
    """Of the clock and of the hand that marks at its stroke [s]."""
    position: float = float(np.radians(0.01))
    """Of latitude and of longitude [rad]: about 1 km, as read off a map to two decimals."""
    mark: float = 0.003175
    """Of a mark on the ground, and of the plumb line over its pin [m]: 1/8 in."""
    edge: float = 1 / 6
    """Of the middle of the blurred shadow, as a share of the blur: it surely lies inside."""


CARE = Care()


@dataclass(frozen=True)
class Errors:
    """Parts of the standard deviation of a bearing [rad]. Axis: moment."""

    clock: Array
    position: Array
    mark: Array
    """Both ends of the shadow, one after the other over pin 1 and at its mark."""
    blur: Array
    pins: Array
    """The base line over its two pins."""

    @property
    def total(self) -> Array:
        """Standard deviation of all parts together."""
        return np.asarray(together(self.clock, self.position, self.mark, self.blur, self.pins))


def shadow_bearing(sun: Sun) -> Array:
    """Bearing of the shadow [rad], clockwise from true north, on level or sloping ground alike."""
    return np.mod(sun.bearing + np.pi, 2 * np.pi)


def turned(bearing: Array, reference: float) -> Array:
    """How far clockwise a bearing is from another [rad], -pi to pi."""
    return np.asarray(np.pi - np.mod(np.pi - (bearing - reference), 2 * np.pi))


def legs(base: BaseLine, bearing: Array, reach: float) -> Array:
    """(n, 2) where a ray from pin 1 meets a square of half-width ``reach`` [m] about it.

    Along the base line toward pin 2, and square to it as ``base.across`` points.
    """
    angle = turned(bearing, base.bearing)
    ray = np.column_stack([np.cos(angle), clockwise_side(base) * np.sin(angle)])
    return np.asarray(ray * (reach / np.abs(ray).max(axis=1, keepdims=True)))


def clockwise_side(base: BaseLine) -> float:
    """1 when ``base.across`` lies clockwise of the way to pin 2, -1 when it does not."""
    cross = base.along[0] * base.across[1] - base.along[1] * base.across[0]
    return -1.0 if cross > 0 else 1.0


def errors_of(sun: Sun, base: BaseLine, marked: Array, care: Care = CARE) -> Errors:
    """What the bearing of the base line is unsure by, from shadows marked at distances (n,) [m]."""
    by_longitude = sun.rate / EARTH
    place = care.position * np.hypot(by_longitude, sun.by_latitude)
    two = np.sqrt(2.0) * care.mark
    blur = care.edge * blur_width(marked, sun.height) / marked
    pins = np.full_like(marked, two / base.length)
    return Errors(care.clock * np.abs(sun.rate), place, two / marked, blur, pins)


@provision(
    "Plane geometry of a plumb line and its shadow on level ground", "s [m]", "q*cos(h)/sin(h)", D,
    q="m", h="rad", ranges={"h": (0.1, 1.4)},
)  # fmt: skip
def shadow_length(q: Array, h: Array) -> Array:
    """Length of the shadow of a plumb line of height q with the sun at height h."""
    return q * np.cos(h) / np.sin(h)


@provision(
    ASTRONOMY + ", and the sun's disc of 0.533°", "b [m]", "w*s/cos(h)", D, s="m", h="rad",
    constants={"w": (SUN_WIDTH, "rad")}, ranges={"h": (0.1, 1.4)},
)  # fmt: skip
def blur_width(s: Array, h: Array) -> Array:
    """Width of the blurred edge of a shadow, s along the ground from the foot of what casts it."""
    return SUN_WIDTH * s / np.cos(h)


@provision(
    "Propagation of independent errors", "s_Z [rad]", "sqrt(a**2 + b**2 + c**2 + d**2 + e**2)", D,
    a="rad", b="rad", c="rad", d="rad", e="rad",
)  # fmt: skip
def together(a: Array, b: Array, c: Array, d: Array, e: Array) -> Array:
    """Standard deviation of a bearing from its five independent parts."""
    return np.sqrt(a**2 + b**2 + c**2 + d**2 + e**2)
