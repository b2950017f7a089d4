"""What passes between the steps of the yield: frozen arrays, SI, axis hour (8760) if not said.

weather ─► SunYear ─► PlaneLight ─┐
surroundings ─► Shading ──────────┴─► Light on every patch ─► Power ─► Yield
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.weather.year import WeatherYear

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class SunYear:
    """Where the sun stands in each hour, for the middle of that part of it in which it is up."""

    height: Array
    """Above a level horizon, with the bending of light [rad]; below 0 at night."""
    bearing: Array
    """Clockwise from true north [rad]."""
    up: Mask
    """Some of the hour is day."""
    outside: Array
    """Sun's power above the air, on a plane that faces it [W/m2]."""
    air_mass: Array
    """Relative, by Kasten and Young; nan at night."""

    def toward(self, row_bearing: float) -> Array:
        """(hours, 3) unit vectors to the sun in local axes; ``row_bearing`` is the true bearing of
        the x axis [rad]."""
        turned = self.bearing - row_bearing  # clockwise from x; y lies 90° counter-clockwise of it
        flat = np.cos(self.height)
        return np.stack(
            [flat * np.cos(turned), -flat * np.sin(turned), np.sin(self.height)], axis=-1
        )


@dataclass(frozen=True)
class PlaneLight:
    """Light on an unshaded tilted plane [W/m2], by where it comes from."""

    beam: Array
    """Straight from the sun."""
    halo: Array
    """From the sky close about the sun; shaded with it."""
    dome: Array
    """From the whole sky dome alike."""
    skyline: Array
    """From the bright band at the horizon; may be negative."""
    ground: Array
    cosine: Array
    """Cosine of the angle of incidence, 0 where the sun is behind the plane."""

    @property
    def total(self) -> Array:
        """All of it."""
        return self.beam + self.halo + self.dome + self.skyline + self.ground


@dataclass(frozen=True)
class Shading:
    """What the surroundings let through to points on the modules. Axes: hour, point."""

    through: Array
    """(hours, points) share of the sun's disc, 0 to 1; 1 at night. Single precision."""
    dome: Array
    """(points,) share of the dome's light on the plane that still arrives."""
    skyline: Array
    """(points,) the same of the band at the horizon."""


@dataclass(frozen=True)
class Loss:
    """One entry of the chain from light to delivered energy."""

    name: str
    """``soiling``, ``snow``, ``reflection``, ``warmth and weak light``, ``mismatch``, …"""
    words: str
    share: float
    """Of what came into this step, over the year; negative is a gain."""
    energy: float
    """[J] in the year."""
    month: Array
    """(12,) [J]."""
    checked: bool
    """False: an assumption nobody stated, or not modelled; shown as such."""


@dataclass(frozen=True)
class Culprit:
    """What one thing that shades costs."""

    name: str
    energy: float
    """[J] a year: yield without it, less yield with it."""
    month: Array
    """(12,) [J]."""


@dataclass(frozen=True)
class Yield:
    """What the array gives."""

    weather: WeatherYear
    plane: Array
    """(8760,) light on the unshaded plane [W/m2]."""
    power: Array
    """(8760,) delivered power [W], after all losses."""
    string_power: Array
    """(strings, 8760) [W] of each string at its own best point, before conversion."""
    losses: tuple[Loss, ...]
    """In order; the first starts from light on the unshaded plane at rated efficiency."""
    culprits: tuple[Culprit, ...]
    """Worst first."""
    rated: float
    """Sum of the modules' rated power [W]."""
    notes: tuple[str, ...]

    def months(self) -> Array:
        """(12,) delivered energy [J]."""
        ends = np.cumsum(24 * np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]))
        parts = np.split(self.power, ends[:-1])
        return np.array([3600.0 * p.sum() for p in parts])


@dataclass(frozen=True)
class AngleMap:
    """Yearly and December light on planes of many angles."""

    tilts: Array
    """(t,) [rad]"""
    azimuths: Array
    """(a,) [rad], clockwise from true north."""
    energy: Array
    """(t, a, 12) light of each month [J/m2]."""
