"""From light on the open plane to light on every strip of cells, and what each step takes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.cells import Passed
from plumbrail.energy.parts import PlaneLight, Shading
from plumbrail.energy.patches import Patches
from plumbrail.energy.shading import MonthlyShading
from plumbrail.weather.year import month_of_hours

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
_CHUNK = 1_000_000
"""Numbers worked on at once."""


@dataclass(frozen=True)
class Spot:
    """The patches that work: those of modules in a string. Strips run by module, then strip."""

    points: IntArray
    """(points,) that lie on them."""
    each: int
    """Points a patch."""
    halves: int
    height: Array
    """(patches,) of each patch's lowest point, 0 at the low edge of the slope, 1 at the high."""
    string: IntArray
    """(strips,) string of each strip."""

    @property
    def strips(self) -> int:
        """Strips that work."""
        return len(self.string)


def spot(patches: Patches, string: IntArray, bypass: int, halves: int, tilt: float) -> Spot:
    """``string`` (modules,) index of the string or -1."""
    works = string[patches.module] >= 0
    points = np.flatnonzero(works[patches.patch])
    up = patches.xyz @ np.array([0.0, np.cos(tilt), np.sin(tilt)])
    low = up.reshape(-1, patches.each).min(axis=1)
    span = max(float(up.max() - low.min()), 1e-9)
    of_strip = patches.module[works].reshape(-1, halves)[:, 0]
    return Spot(points, patches.each, halves, ((low - low.min()) / span)[works], string[of_strip])


@dataclass(frozen=True)
class Lit:
    """Light in the hours of day [W/m2]. Axis: hour of day."""

    hours: IntArray
    """Which hours of the year."""
    beam_shaded: Array
    """Mean of the working patches behind what hides the sun."""
    shaded: Array
    """And behind what hides the sky."""
    glass: Array
    """Under the glass."""
    dust: Array
    """Under dust."""
    snow: Array
    """Under snow."""
    strips: Array
    """(hours, strips) mean light on each strip of cells."""
    weakest: Array
    """(hours, strips) light its weakest cells get, mean of its halves."""


def lit(
    light: PlaneLight, through: Passed, clean: Array, snow: Array, shading: Shading | None,
    place: Spot,
) -> Lit:  # fmt: skip
    """All light from the plane down to the strips.

    ``clean`` (hours,) share that dust lets through, ``snow`` (hours,) share of the slope covered.
    A patch that snow reaches is dark.
    """
    hours = np.flatnonzero(light.total > 0.0)
    step = max(1, _CHUNK // max(1, len(place.points)))
    parts = [
        _part(light, through, clean, snow, shading, place, hours[k : k + step])
        for k in range(0, len(hours), step)
    ]
    names = [name for name in Lit.__dataclass_fields__ if name != "hours"]
    return Lit(hours, *(np.concatenate([getattr(p, name) for p in parts]) for name in names))


def _part(
    light: PlaneLight, through: Passed, clean: Array, snow: Array, shading: Shading | None,
    place: Spot, hours: IntArray,
) -> Lit:  # fmt: skip
    seen = _Seen(shading, place, hours)
    beam = (light.beam + light.halo)[hours, None]
    dome, band, ground = (a[hours, None] for a in (light.dome, light.skyline, light.ground))
    open_sky = (dome + band + ground)[:, 0]
    shaded = beam * seen.sun + dome * seen.dome + band * seen.band + ground * seen.ground
    K = through.straight[hours, None]
    under = np.maximum(
        K * beam * seen.sun + through.sky * (dome * seen.dome + band * seen.band)
        + through.ground * ground * seen.ground, 0.0,
    )  # fmt: skip
    under = np.broadcast_to(under, (len(hours), len(place.points)))
    glass = under.mean(axis=1)
    dusty = clean[hours, None] * under
    cells = dusty.reshape(len(hours), -1, place.each)
    bare = ~((snow[hours, None] > 0.0) & (snow[hours, None] > place.height))
    mean, least = cells.mean(axis=2) * bare, cells.min(axis=2) * bare
    halved = (len(hours), place.strips, place.halves)
    return Lit(
        hours, beam[:, 0] * np.broadcast_to(seen.sun, under.shape).mean(axis=1) + open_sky,
        np.broadcast_to(shaded, under.shape).mean(axis=1), glass, cells.mean(axis=2).mean(axis=1),
        mean.mean(axis=1), mean.reshape(halved).mean(axis=2), least.reshape(halved).mean(axis=2),
    )  # fmt: skip


class _Seen:
    """Shares of sun, dome, skyline and ground that reach the working points; (hours, points)."""

    def __init__(self, shading: Shading | None, place: Spot, hours: IntArray) -> None:
        self.sun = self.dome = self.band = self.ground = np.ones((1, 1))
        if shading is None:
            return
        at = place.points
        self.sun = shading.through[np.ix_(hours, at)].astype(float)
        if isinstance(shading, MonthlyShading):
            month = month_of_hours()[hours] - 1
            self.dome = shading.dome_month[np.ix_(month, at)]
            self.band = shading.skyline_month[np.ix_(month, at)]
            self.ground = shading.ground_month[np.ix_(month, at)]
        else:
            self.dome, self.band = shading.dome[None, at], shading.skyline[None, at]
            self.ground = self.dome
