"""How the light of each day of the year falls on its hours, for one place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.daily import daily_outside, hour_of_sky, hour_of_total, sunset_angle
from plumbrail.energy.parts import SunYear
from plumbrail.energy.sun import LitHours, day_angle, lit_hours, normal_outside, sun_over
from plumbrail.site.sun import Place
from plumbrail.weather.almanac import days_since_2000, declination, hour_angle

Array = NDArray[np.float64]

FINE = 12
"""Parts of an hour over which the shapes are averaged."""
CLEANEST = 0.9
"""Share of the sun that air without any haze lets through, for each air mass: more does not come
straight from the sun. A judgement; keeps low suns from being made too strong."""


@dataclass(frozen=True)
class DayShapes:
    """Axes: day (365) or hour (8760)."""

    sun: SunYear
    lit: LitHours
    sunset: Array
    """(days,) hour angle [rad]."""
    outside: Array
    """(days,) H0 [J/m2]."""
    total: Array
    """(hours,) share of the day's light that falls in the hour; 1 in sum over a day."""
    even: Array
    """(hours,) the same for the light of the sky, and outside the air."""


@dataclass(frozen=True)
class Parted:
    """Light on level ground parted. Axis: hour [W/m2]."""

    dni: Array
    dhi: Array


def day_shapes(place: Place, utc_offset: float) -> DayShapes:
    """Shapes of the 365 days; a day without sun has shares of 0."""
    lit = lit_hours(place, utc_offset)
    sun = sun_over(place, lit)
    noon = np.asarray(24.0 * np.arange(365) + 12)
    phi = np.array(place.latitude)
    delta = declination(days_since_2000(noon, utc_offset))
    sunset = sunset_angle(phi, delta)
    H_0 = np.maximum(daily_outside(normal_outside(day_angle(noon)), phi, delta, sunset), 0.0)
    moments = (np.arange(8760 * FINE) + 0.5) / FINE
    omega = hour_angle(moments, place.longitude, utc_offset).reshape(365, -1)
    rises = np.maximum(sunset, 1e-3)[:, None]
    r_d = np.where(sunset[:, None] > 1e-3, hour_of_sky(omega, rises), 0.0)
    r_t = hour_of_total(omega, rises, r_d)
    return DayShapes(sun, lit, sunset, H_0, _hours(r_t, sun), _hours(r_d, sun))


def _hours(fine: Array, sun: SunYear) -> Array:
    """(8760,) sums of the parts of each hour in which the sun is up, 1 over each day."""
    sums = fine.reshape(365, 24, FINE).sum(axis=2) * sun.up.reshape(365, 24)
    whole = sums.sum(axis=1, keepdims=True)
    return np.asarray((sums / np.where(whole > 0, whole, 1.0)).ravel())


def parted(shapes: DayShapes, ghi: Array, dhi: Array) -> Parted:
    """Beam and sky so that dni·sin h + dhi = ghi in every hour; a beam that no air lets through is
    counted as sky."""
    sun = shapes.sun
    sine = np.where(sun.up, np.sin(sun.height), 1.0)
    mass = np.where(sun.up, sun.air_mass, np.inf)
    most = sun.outside * shapes.lit.share * CLEANEST**mass
    dni = np.clip((ghi - np.minimum(dhi, ghi)) / sine, 0.0, most)
    return Parted(dni, np.maximum(ghi - dni * sine, 0.0))
