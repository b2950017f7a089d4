"""Directions over the sky, with the weight of the light from each on a tilted plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.site.bearings import bearing_of
from plumbrail.site.horizon import Horizon

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SUN_WIDTH = float(np.radians(0.533))
"""Of the sun's disc [rad]."""
SKYLINE = float(np.radians(6.5))
"""Height [rad] up to which the sky counts as the bright band at the horizon: see ``skyline``."""
LOW_BANDS, BANDS, AROUND = 8, 56, 180
"""Bands in the lowest 6.5° and above, and cells in each, 2° wide. Shares come out to 0.001."""
GOLDEN = 0.6180339887498949


@dataclass(frozen=True)
class Dome:
    """Cells of the sky that a plane sees. Axis: direction."""

    toward: Array
    """(n, 3) unit vectors to the middle of each cell."""
    weight: Array
    """(n,) cosine to the plane times solid angle [sr]; pi (1 + cos tilt) / 2 in all."""
    low: Array
    """(n,) sine of the height of the cell's lower edge."""
    high: Array
    """(n,) of its upper edge."""

    @property
    def skyline(self) -> Mask:
        """(n,) cells of the band at the horizon.

        The usual anisotropic sky models put this light in a line at the horizon, which any bush
        would hide altogether. Here it is spread over the lowest 6.5° (the width that the models'
        authors once gave it; from memory).
        """
        return np.asarray(self.high <= np.sin(SKYLINE) + 1e-12)


def dome(normal: Array) -> Dome:
    """The sky before a plane with the upward normal (3,): equal bearings by bands of equal solid
    angle, finer in the lowest 6.5°, each band turned a little against the next."""
    edge = np.sin(SKYLINE)
    edges = np.concatenate([
        np.linspace(0.0, edge, LOW_BANDS + 1), np.linspace(edge, 1.0, BANDS + 1)[1:]
    ])  # fmt: skip
    low, high = np.repeat(edges[:-1], AROUND), np.repeat(edges[1:], AROUND)
    band, step = np.divmod(np.arange(len(low)), AROUND)
    angle = 2.0 * np.pi * (step + np.mod(band * GOLDEN, 1.0)) / AROUND
    z = 0.5 * (low + high)
    flat = np.sqrt(1.0 - z * z)
    toward = np.stack([flat * np.cos(angle), flat * np.sin(angle), z], axis=-1)
    weight = (toward @ normal) * (high - low) * (2.0 * np.pi / AROUND)
    seen = weight > 0.0
    return Dome(toward[seen], weight[seen], low[seen], high[seen])


def cells_above(sky: Dome, skyline: Horizon, row_bearing: float) -> Array:
    """(n,) share of each cell of the sky that lies above the horizon of the land."""
    edge = np.sin(skyline.at(bearing_of(sky.toward, row_bearing)))
    return np.clip((sky.high - edge) / (sky.high - sky.low), 0.0, 1.0)


def disc_above(toward: Array, skyline: Horizon, row_bearing: float) -> Array:
    """(n,) share of the sun's disc above the horizon of the land, for unit vectors (n, 3).

    The skyline is level over the width of the disc: a circle cut by a straight line.
    """
    over = np.arcsin(np.clip(toward[:, 2], -1.0, 1.0)) - skyline.at(bearing_of(toward, row_bearing))
    u = np.clip(over / (0.5 * SUN_WIDTH), -1.0, 1.0)
    return np.asarray(0.5 + (np.arcsin(u) + u * np.sqrt(1.0 - u * u)) / np.pi)
