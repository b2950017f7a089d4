"""Snow on the modules, after Marion, Schaefer, Caine and Sanchez 2013.

A fall of more than 1 cm in an hour covers the whole slope. From then on, in every hour that is warm
and bright enough, the cover slides down by 0.197 sin(tilt) of the slope, its upper edge first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import DAYS

Array = NDArray[np.float64]
MARION = "Marion, Schaefer, Caine and Sanchez 2013, Solar Energy 97"
COVERS = 0.01
"""More than this in an hour covers everything [m]."""
FALL = 0.05
"""A month's snow is laid out in falls of about this much [m]; common practice, no published
source."""
_FALLS_AT = 4
"""Hour of the day in which each falls."""
_FREEZING = 273.15


@provision(
    f"{MARION}, sliding", "s [-]", "where(T_a - T_0 > -G/m, k*sin(beta), 0)",
    Certainty.CONFIRMED,
    constants={"T_0": (_FREEZING, "K"), "m": (80.0, "W/(m**2*K)"), "k": (0.197, "-")},
    ranges={"T_a": (255.0, 285.0), "G": (0.0, 800.0), "beta": (0.1, 1.2)},
    T_a="K", G="W/m**2", beta="-",
)  # fmt: skip
def slide(T_a: Array, G: Array, beta: Array) -> Array:
    """Share of the slope that slides free in an hour, at the tilt beta [rad]."""
    return np.where(T_a - _FREEZING > -G / 80.0, 0.197 * np.sin(beta), 0.0)


def covered(snowfall: Array, light: Array, air: Array, tilt: float) -> Array:
    """(hours,) share of the slope under snow, from its low edge, at each hour.

    ``snowfall`` [m], ``light`` on the plane [W/m2], ``air`` [K]. The year is run twice, so that
    January starts with what December left.
    """
    falls = snowfall > COVERS
    slides = slide(air, light, np.asarray(tilt))
    first = _year(falls, slides, 0.0)
    return _year(falls, slides, float(first[-1]))


def _year(falls: NDArray[np.bool_], slides: Array, start: float) -> Array:
    found = np.empty(len(falls))
    now = start
    for hour, (fresh, away) in enumerate(zip(falls.tolist(), slides.tolist(), strict=True)):
        now = 1.0 if fresh else max(0.0, now - away)
        found[hour] = now
    return found


def laid_out(monthly: Array) -> Array:
    """(8760,) hourly snowfall [m] from (12,) depths of the months [m].

    Falls of about 5 cm, evenly spaced through the month, each within one hour before dawn.
    """
    year = np.zeros((365, 24))
    first = np.concatenate([[0], np.cumsum(DAYS)[:-1]])
    for depth, begin, days in zip(monthly.tolist(), first.tolist(), DAYS.tolist(), strict=True):
        if depth > 0.0:
            count = min(days, max(1, round(depth / FALL)))
            at = begin + ((np.arange(count) + 0.5) * days / count).astype(int)
            year[at, _FALLS_AT] = depth / count
    return year.reshape(-1)
