"""A year under a sky without any cloud: the most that a place can give."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.means import of_hours, smooth_air
from plumbrail.energy.sun import LitHours, lit_hours, sun_over
from plumbrail.site.sun import Place, pressure_at
from plumbrail.weather.usual import GRASS
from plumbrail.weather.year import HOURS, Origin, WeatherYear

Array = NDArray[np.float64]

STANDARD_AIR, LAPSE = 288.15, 0.0065
"""Air of the ICAO Standard Atmosphere at sea level [K], and its cooling with height [K/m]."""


def clear_year(
    place: Place, utc_offset: float, air12: Array | None, wind: float, albedo: Array | None
) -> WeatherYear:
    """Every hour clear, by Ineichen and Perez 2002 with a world map of turbidity by month.

    ``air12`` (12,) [K] or None for standard air of the height, ``wind`` [m/s] at the modules,
    ``albedo`` (12,) or None for grass.
    """
    from pvlib.clearsky import ineichen  # type: ignore[import-untyped]

    lit = lit_hours(place, utc_offset)
    sun = sun_over(place, lit)
    day = np.flatnonzero(sun.up)
    found = ineichen(
        90 - np.degrees(sun.height[day]),
        sun.air_mass[day] * float(pressure_at(np.array(place.elevation))) / 101325,
        turbidity(place, lit)[day], altitude=place.elevation, dni_extra=sun.outside[day],
    )  # fmt: skip
    light = np.zeros((3, HOURS))
    for row, name in enumerate(("ghi", "dni", "dhi")):
        light[row, day] = np.asarray(found[name]) * lit.share[day]
    notes = [
        "A sky without any cloud: an upper bound that no real year reaches. Give "
        "energy.weather.file, or the monthly means sun and air."
    ]
    air = np.full(HOURS, STANDARD_AIR - LAPSE * place.elevation)
    if air12 is None:
        notes.append(f"Air: none stated, {air[0] - 273.15:.0f} °C all year (standard atmosphere).")
    if albedo is None:
        notes.append(f"Albedo: none stated, {GRASS:.0%} taken (grass).")
    ground = np.full(12, GRASS) if albedo is None else np.asarray(albedo, dtype=float)
    return WeatherYear(
        light[0], light[1], light[2],
        air if air12 is None else smooth_air(air12), np.full(HOURS, float(wind)), None,
        of_hours(ground), place.latitude, place.longitude, place.elevation, utc_offset,
        Origin.CLEAR, "clear sky by Ineichen and Perez 2002", tuple(notes),
    )  # fmt: skip


def turbidity(place: Place, lit: LitHours) -> Array:
    """(8760,) Linke turbidity from the monthly world map that comes with pvlib."""
    import pandas as pd  # type: ignore[import-untyped]
    from pvlib.clearsky import lookup_linke_turbidity

    times = pd.to_datetime(lit.middle, unit="s", utc=True)
    return np.asarray(
        lookup_linke_turbidity(
            times, float(np.degrees(place.latitude)), float(np.degrees(place.longitude))
        ),
        dtype=float,
    )
