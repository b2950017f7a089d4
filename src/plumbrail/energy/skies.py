"""How the sky's light is spread over it, apart from any plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import SunYear
from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import WeatherYear

Array = NDArray[np.float64]
GRAZING = float(np.radians(89))


@dataclass(frozen=True)
class Sky:
    """Shares of the sky's light. Axis: hour. By night all of it is an even dome."""

    halo: Array
    """F1: share that comes from close about the sun."""
    skyline: Array
    """F2: from the band at the horizon, on an upright plane; may be negative."""
    spread: Array
    """b: cosine of the sun's zenith angle, held from 0."""


def even_sky(sun: SunYear) -> Sky:
    """Equally bright all over (Liu and Jordan 1960)."""
    none = np.zeros(sun.up.size)
    return Sky(none, none, np.ones(sun.up.size))


def average_sky(sun: SunYear, year: WeatherYear) -> Sky:
    """For years of average days, ``synthesis.monthly_year``: a halo in proportion to the beam.

    A model fitted to single hours would take every average day for one of thin cloud, and make
    tilted planes 2 to 6 % too bright.
    """
    share = beam_share(year.dni, sun.outside)
    sine = np.maximum(np.sin(sun.height), np.cos(GRAZING))
    return Sky(np.where(sun.up, share, 0.0), np.zeros(sun.up.size), sine)


@provision(
    "Hay and Davies 1980, First Canadian Solar Radiation Data Workshop", "A_i [-]", "I_bn/I_on",
    Certainty.MEMORY, I_bn="W/m**2", I_on="W/m**2",
)  # fmt: skip
def beam_share(I_bn: Array, I_on: Array) -> Array:
    """Share of the sun's power outside the air that comes straight through."""
    return np.asarray(I_bn / I_on)
