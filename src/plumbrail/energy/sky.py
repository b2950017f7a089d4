"""Light of each hour on one tilted plane that nothing shades."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.parts import PlaneLight, SunYear
from plumbrail.energy.perez import PEREZ, perez_sky
from plumbrail.energy.skies import Sky
from plumbrail.trace import Certainty, provision
from plumbrail.weather.year import WeatherYear

Array = NDArray[np.float64]
D = Certainty.DERIVED
TILT = (0.0, 1.57)


def plane_light(
    sun: SunYear, year: WeatherYear, tilt: float, azimuth: float, sky: Sky | None = None
) -> PlaneLight:
    """Light on a plane of tilt and azimuth [rad, clockwise from true north].

    ``sky`` says how the sky's light is spread; by Perez 1990 if left out, which is for hours as
    measured. In hours when the sun is down, twilight counts as an even dome.
    """
    beta = np.array(tilt)
    cosine = _cosine(sun, tilt, azimuth)
    sky = sky or perez_sky(sun, year)
    dome = from_dome(year.dhi, sky.halo, beta)
    halo = from_halo(year.dhi, sky.halo, cosine, sky.spread)
    skyline = from_skyline(year.dhi, sky.skyline, beta)
    # a dark horizon can take no more than there is: the sky gives nothing, not less than nothing
    skyline = np.maximum(skyline, -(dome + halo))
    return PlaneLight(
        np.where(sun.up, year.dni * cosine, 0.0), halo, dome, skyline,
        from_ground(year.ghi, year.albedo, beta), cosine,
    )  # fmt: skip


def _cosine(sun: SunYear, tilt: float, azimuth: float) -> Array:
    found = incidence_cosine(sun.height, sun.bearing, np.array(tilt), np.array(azimuth))
    return np.where(sun.up, np.maximum(found, 0.0), 0.0)


@provision(
    "Angle between two directions", "cos_theta [-]",
    "sin(h)*cos(beta) + cos(h)*sin(beta)*cos(Z - gamma)", D,
    h="rad", Z="rad", beta="rad", gamma="rad",
    ranges={"h": (0.0, 1.57), "Z": (0.0, 6.28), "beta": TILT, "gamma": (0.0, 6.28)},
)  # fmt: skip
def incidence_cosine(h: Array, Z: Array, beta: Array, gamma: Array) -> Array:
    """Cosine of the angle between the sun (height, bearing) and the normal of a plane."""
    return np.asarray(np.sin(h) * np.cos(beta) + np.cos(h) * np.sin(beta) * np.cos(Z - gamma))


@provision(
    PEREZ, "G_dome [W/m**2]", "I_d*(1 - F_1)*(1 + cos(beta))/2", Certainty.CONFIRMED,
    I_d="W/m**2", F_1="-", beta="rad", ranges={"F_1": (0.0, 1.0), "beta": TILT},
)  # fmt: skip
def from_dome(I_d: Array, F_1: Array, beta: Array) -> Array:
    """Light from the whole dome alike, on a tilted plane."""
    return np.asarray(I_d * (1 - F_1) * (1 + np.cos(beta)) / 2)


@provision(
    PEREZ, "G_halo [W/m**2]", "I_d*F_1*cos_theta/b", Certainty.CONFIRMED,
    I_d="W/m**2", F_1="-", cos_theta="-", b="-",
)  # fmt: skip
def from_halo(I_d: Array, F_1: Array, cos_theta: Array, b: Array) -> Array:
    """Light from close about the sun, on a tilted plane."""
    return np.asarray(I_d * F_1 * cos_theta / b)


@provision(
    PEREZ, "G_line [W/m**2]", "I_d*F_2*sin(beta)", Certainty.CONFIRMED, I_d="W/m**2", F_2="-",
    beta="rad", ranges={"F_2": (-0.5, 0.5), "beta": TILT},
)  # fmt: skip
def from_skyline(I_d: Array, F_2: Array, beta: Array) -> Array:
    """Light from the band at the horizon, on a tilted plane."""
    return np.asarray(I_d * F_2 * np.sin(beta))


@provision(
    "Even ground before the plane", "G_g [W/m**2]", "I*rho*(1 - cos(beta))/2", D,
    I="W/m**2", rho="-", beta="rad", ranges={"rho": (0.0, 1.0), "beta": TILT},
)  # fmt: skip
def from_ground(I: Array, rho: Array, beta: Array) -> Array:  # noqa: E741
    """Light that the ground throws back, on a tilted plane."""
    return np.asarray(I * rho * (1 - np.cos(beta)) / 2)
