"""An hourly year from twelve monthly means.

Two routes: ``monthly_year`` makes every day of a month the average one, which is enough for yields;
``battery_year`` makes clear and dull days follow one another, without which a battery would never
run empty.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from plumbrail.energy.daily import MEAN_DAY, hourly_sky_share, monthly_sky_share
from plumbrail.energy.means import (
    clearness_of_months,
    month_means,
    of_days,
    of_hours,
    smooth_air,
)
from plumbrail.energy.sequence import day_clearness, noisy_hours
from plumbrail.energy.shapes import DayShapes, day_shapes, parted
from plumbrail.site.sun import Place
from plumbrail.weather.usual import DAILY_SWING, GRASS, WARMEST
from plumbrail.weather.year import Origin, WeatherYear

Array = NDArray[np.float64]

DULLEST = 0.3
"""Monthly clearness below which the correlation has no data."""


def monthly_year(
    place: Place, utc_offset: float, sun12: Array, air12: Array, wind: float,
    albedo: Array | None,
) -> WeatherYear:  # fmt: skip
    """A year of average days.

    ``sun12`` (12,) [J/m2] is the light of a mean day on level ground, ``air12`` (12,) [K], ``wind``
    [m/s] at the modules, ``albedo`` (12,) or None for grass. Each day has the clearness of its
    month, and the monthly means are kept exactly. Raises RangeError for light that cannot be.
    """
    shapes = day_shapes(place, utc_offset)
    K_T = clearness_of_months(sun12, shapes)
    share = sky_shares(K_T, shapes)
    H = of_days(K_T) * shapes.outside
    ghi = np.repeat(H, 24) * shapes.total / 3600
    dhi = np.repeat(of_days(share) * H, 24) * shapes.even / 3600
    notes = (
        "Every day of a month is its average day. Measured on three typical years made again from "
        "their own monthly means: light of the year on a tilted plane within 2 % (with the average "
        "sky), of a month within 3 to 15 %, the most beyond 50° of latitude.",
        "No dull spells are in it: not for sizing a battery.",
    )
    return _year(place, utc_offset, shapes, ghi, dhi, air12, wind, albedo, notes)


def battery_year(
    place: Place, utc_offset: float, sun12: Array, air12: Array, wind: float,
    albedo: Array | None, seed: int,
) -> WeatherYear:  # fmt: skip
    """A year of clear and dull days in a likely order, the same for the same ``seed``.

    Arguments as for ``monthly_year``. Monthly means are kept exactly.
    """
    (year,) = battery_years(place, utc_offset, sun12, air12, wind, albedo, (seed,))
    return year


def battery_years(
    place: Place, utc_offset: float, sun12: Array, air12: Array, wind: float,
    albedo: Array | None, seeds: Sequence[int],
) -> tuple[WeatherYear, ...]:  # fmt: skip
    """One :func:`battery_year` for each seed; what they share is worked out once."""
    shapes = day_shapes(place, utc_offset)
    K_T = clearness_of_months(sun12, shapes)
    found = []
    for seed in seeds:
        ghi, dhi = _dull_and_clear(sun12, K_T, shapes, seed)
        note = (
            f"Clear and dull days in a likely order (seed {seed}), not those of any real year. "
            "Measured on three typical years made again from their own monthly means: light of the "
            "year on a tilted plane within 3 %, of a month within 3 to 15 %, the most beyond 50° "
            "of latitude."
        )
        found.append(_year(place, utc_offset, shapes, ghi, dhi, air12, wind, albedo, (note,)))
    return tuple(found)


def _dull_and_clear(
    sun12: Array, K_T: Array, shapes: DayShapes, seed: int
) -> tuple[Array, Array]:  # fmt: skip
    """(8760,) light on level ground, and that of the sky [W/m2]."""
    rng = np.random.default_rng(seed)
    H = day_clearness(K_T, rng) * shapes.outside
    H *= of_days(_over(sun12, month_means(H)))
    ghi = noisy_hours(H, shapes, rng) / 3600
    outside = np.repeat(shapes.outside, 24) * shapes.even / 3600
    return ghi, ghi * hourly_sky_share(_over(ghi, outside))


def sky_shares(K_T: Array, shapes: DayShapes) -> Array:
    """(12,) share of the sky's light in each month.

    Below a clearness of 0.3, where the correlation has no data, on the line to 1 at none.
    """
    sunset = shapes.sunset[MEAN_DAY - 1]
    inside = monthly_sky_share(np.maximum(K_T, DULLEST), sunset)
    return np.where(K_T < DULLEST, 1 - (1 - inside) * K_T / DULLEST, inside)


def _over(a: Array, b: Array) -> Array:
    """a/b, 0 where b is 0."""
    return np.asarray(np.where(b > 0, a / np.where(b > 0, b, 1.0), 0.0))


def _year(
    place: Place, utc_offset: float, shapes: DayShapes, ghi: Array, dhi: Array, air12: Array,
    wind: float, albedo: Array | None, notes: tuple[str, ...],
) -> WeatherYear:  # fmt: skip
    light = parted(shapes, ghi, dhi)
    more = [
        f"Air: smooth through the monthly means, {DAILY_SWING:g} K between the coldest and the "
        f"warmest hour of a day, {WARMEST:g}:00 (common practice)."
    ]
    if albedo is None:
        more.append(f"Albedo: none stated, {GRASS:.0%} taken (grass).")
    ground = np.full(12, GRASS) if albedo is None else np.asarray(albedo, dtype=float)
    return WeatherYear(
        ghi, light.dni, light.dhi, smooth_air(air12), np.full(ghi.size, float(wind)), None,
        of_hours(ground), place.latitude, place.longitude, place.elevation, utc_offset,
        Origin.MONTHS, "plan, energy.weather.sun and air", (*notes, *more),
    )  # fmt: skip
