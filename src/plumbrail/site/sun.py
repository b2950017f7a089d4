"""Where the sun stands over the site, by the solar position algorithm of NREL/TP-560-34302."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from importlib.machinery import PathFinder
from importlib.util import find_spec, module_from_spec
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from plumbrail.trace import Certainty, provision

Array = NDArray[np.float64]
D = Certainty.DERIVED
M = Certainty.MEMORY
ASTRONOMY = "Spherical triangle of pole, zenith and sun"

DELTA_T = 69.184
"""Terrestrial time less the clock's time [s]: TT = TAI + 32.184 s (IAU) and TAI = UTC + 37 s since
2017 (IERS Bulletin C). 10 s more or less turn a shadow by 0.0002° or less."""
AIR = 283.15
"""Air temperature [K] for the bending of light; 30 K more or less move the sun's height by 0.01°
at 10° and its bearing not at all."""
HORIZON_REFRACTION = 0.5667
"""Bending of light at the horizon [deg], as in the algorithm's own example."""
EARTH = 2 * np.pi / 86400
"""Rate of the sun's hour angle [rad/s]: 15° an hour."""


@dataclass(frozen=True)
class Place:
    """A spot on the earth."""

    latitude: float
    """North positive [rad]."""
    longitude: float
    """East positive [rad]."""
    elevation: float
    """Above sea level [m]."""


@dataclass(frozen=True)
class Air:
    """What bends the sun's light."""

    pressure: float
    """[Pa]"""
    temperature: float
    """[K]"""


@dataclass(frozen=True)
class Sun:
    """Where the sun stands. Axis: moment. Angles in rad."""

    bearing: Array
    """Clockwise from true north."""
    height: Array
    """Above the horizon as it is seen, with the bending of light."""
    true_height: Array
    """Without it."""
    rate: Array
    """Change of the bearing per time [rad/s]."""
    by_latitude: Array
    """Change of the bearing per change of the latitude, at the same clock time."""


def sun_at(place: Place, seconds: Array, delta_t: float = DELTA_T, air: Air | None = None) -> Sun:
    """The sun at moments (n,) [s since 1970-01-01 UTC]; still air of the site's height if not said.

    Bearings are good to 0.0003° by the algorithm's own claim; UTC in place of the earth's own
    clock (within 0.9 s) adds 0.004° of hour angle at most.
    """
    air = air or Air(float(pressure_at(np.array(place.elevation))), AIR)
    found = _algorithm().solar_position(
        np.asarray(seconds, dtype=float), float(np.degrees(place.latitude)),
        float(np.degrees(place.longitude)), place.elevation, air.pressure / 100,
        air.temperature - 273.15, delta_t, HORIZON_REFRACTION,
    )  # fmt: skip
    _, _, height, true_height, bearing = np.radians(found[:5])
    phi = np.array(place.latitude)
    return Sun(
        bearing, height, true_height, bearing_rate(phi, true_height, bearing),
        bearing_by_latitude(true_height, bearing),
    )  # fmt: skip


@provision(
    "ICAO Standard Atmosphere, troposphere", "p [Pa]", "p_0*(1 - c*H)**n", M, H="m",
    constants={"p_0": (101325.0, "Pa"), "c": (2.25577e-5, "1/m"), "n": (5.25588, "-")},
    ranges={"H": (-400.0, 6100.0)},
)  # fmt: skip
def pressure_at(H: Array) -> Array:
    """Air pressure at a height above sea level."""
    return 101325.0 * (1 - 2.25577e-5 * H) ** 5.25588


@provision(
    ASTRONOMY, "Z_t [rad/s]", "omega*(sin(phi) - cos(phi)*tan(h)*cos(Z))", D,
    phi="rad", h="rad", Z="rad", constants={"omega": (EARTH, "rad/s")},
    ranges={"phi": (-1.15, 1.15), "h": (0.1, 1.3), "Z": (0.0, 6.28)},
)  # fmt: skip
def bearing_rate(phi: Array, h: Array, Z: Array) -> Array:
    """How fast the sun's bearing changes; its own motion over the sky is left out."""
    return EARTH * (np.sin(phi) - np.cos(phi) * np.tan(h) * np.cos(Z))


@provision(
    ASTRONOMY, "Z_phi [-]", "sin(Z)*tan(h)", D, h="rad", Z="rad",
    ranges={"h": (0.1, 1.3), "Z": (0.1, 3.0)},
)  # fmt: skip
def bearing_by_latitude(h: Array, Z: Array) -> Array:
    """Change of the sun's bearing per change of latitude, at one moment."""
    return np.sin(Z) * np.tan(h)


def _algorithm() -> ModuleType:
    """The module ``spa`` of pvlib on its own: it needs numpy only.

    ``import pvlib.spa`` would first load the whole package with pandas, a quarter of a thousand
    times as long.
    """
    loaded = sys.modules.get("pvlib.spa") or sys.modules.get(_ALONE)
    if loaded is not None:
        return loaded
    package = find_spec("pvlib")
    spec = PathFinder.find_spec("spa", package.submodule_search_locations) if package else None
    if spec is None or spec.loader is None:
        raise ImportError("pvlib, which plumbrail depends on, is not installed whole")
    module = module_from_spec(spec)
    sys.modules[_ALONE] = module
    spec.loader.exec_module(module)
    return module


_ALONE = "plumbrail.site._solar_position_algorithm"
