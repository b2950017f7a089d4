"""Speed of the angle map beside the transposition of pvlib called for every angle, in one run.

A measured typical year (Greensboro, TMY3, inside pvlib) on 19 tilts by 37 azimuths, 8,760 hours.
Both use the same sun and the sky of Perez 1990, and the largest difference of a month's light is a
row of the report. The library is timed on a twelfth of the angles and scaled: its time is the same
for each.
Times are processor time of this process, the least of some runs.
Run: ``python -m benchmarks.bench_energy``.
"""

from __future__ import annotations

import warnings
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from benchmarks.timing import quickest
from plumbrail.energy.angle_band import band_words
from plumbrail.energy.angles import TILTS, angle_map, facing
from plumbrail.energy.parts import SunYear
from plumbrail.energy.sky import plane_light
from plumbrail.energy.sun import sun_year
from plumbrail.energy.synthesis import battery_year, monthly_year
from plumbrail.site.sun import Place
from plumbrail.weather.files import read_year
from plumbrail.weather.year import DAYS, WeatherYear, month_of_hours

EVERY = 12


def typical_year() -> Path:
    """The file of the year, found without importing the library."""
    package = find_spec("pvlib")
    assert package is not None
    assert package.submodule_search_locations
    return Path(package.submodule_search_locations[0]) / "data" / "723170TYA.CSV"


def library_plane(sun: SunYear, year: WeatherYear, tilt: float, azimuth: float) -> np.ndarray:
    """Light on one plane [W/m2], nothing where the library has no answer."""
    from pvlib.irradiance import get_total_irradiance

    found = get_total_irradiance(
        np.degrees(tilt), np.degrees(azimuth), 90 - np.degrees(sun.height),
        np.degrees(sun.bearing), year.dni, year.ghi, year.dhi, dni_extra=sun.outside,
        airmass=sun.air_mass, albedo=year.albedo, model="perez",
    )["poa_global"]  # fmt: skip
    known = sun.up & np.isfinite(found)
    # an hour of beam without any sky has no clearness, and no answer
    return np.where(known, found, plane_light(sun, year, tilt, azimuth).total)


def _library_time(sun: SunYear, year: WeatherYear, azimuths: np.ndarray) -> float:
    """Seconds for all angles, scaled from a part; a plane at a time as the library offers."""
    from pvlib.irradiance import get_total_irradiance

    zenith, bearing = 90 - np.degrees(sun.height), np.degrees(sun.bearing)
    planes = [(t, a) for t in np.degrees(TILTS) for a in np.degrees(azimuths)][::EVERY]

    def all_of_them() -> None:
        for tilt, azimuth in planes:
            get_total_irradiance(
                tilt, azimuth, zenith, bearing, year.dni, year.ghi, year.dhi,
                dni_extra=sun.outside, airmass=sun.air_mass, albedo=year.albedo, model="perez",
            )  # fmt: skip

    return quickest(all_of_them, 3) * TILTS.size * azimuths.size / len(planes)


def _difference(sun: SunYear, year: WeatherYear, azimuths: np.ndarray) -> float:
    ours = angle_map(sun, year, TILTS, azimuths).energy
    month, worst = month_of_hours(), 0.0
    for i in range(0, TILTS.size, 3):
        for j in range(0, azimuths.size, 6):
            light = library_plane(sun, year, TILTS[i], azimuths[j])
            theirs = np.array([3600 * light[month == k].sum() for k in range(1, 13)])
            worst = max(worst, float(np.abs(ours[i, j] / theirs - 1).max()))
    return worst


def run() -> list[tuple[str, float, str]]:
    """Rows (name, value, unit)."""
    file = typical_year()
    year = read_year(file)
    sun, azimuths = sun_year(year), facing(year.latitude)
    place = Place(year.latitude, year.longitude, year.elevation)
    sun12 = 3600 * year.ghi.reshape(365, 24).sum(axis=1)
    means = np.add.reduceat(sun12, np.append(0, np.cumsum(DAYS)[:-1])) / DAYS
    air = np.full(12, 285.0)
    light = angle_map(sun, year, TILTS, azimuths)
    ours = quickest(lambda: angle_map(sun, year, TILTS, azimuths), 9)
    rows = [
        ("angles of the map", float(light.energy[..., 0].size), "-"),
        ("read a TMY3 file", 1e3 * quickest(lambda: read_year(file), 3), "ms"),
        ("sun of the year", 1e3 * quickest(lambda: sun_year(year), 3), "ms"),
        ("one plane", 1e3 * quickest(lambda: plane_light(sun, year, 0.6, 3.1), 9), "ms"),
        ("year of average days",
         1e3 * quickest(lambda: monthly_year(place, -18000.0, means, air, 2.0, None), 3), "ms"),
        ("year of clear and dull days",
         1e3 * quickest(lambda: battery_year(place, -18000.0, means, air, 2.0, None, 1), 3), "ms"),
        ("words for the band of tilts",
         1e3 * quickest(lambda: band_words(light, 0.56, None, np.pi, 0.01), 9), "ms"),
        ("angle map, 19 x 37 angles x 8,760 h", 1e3 * ours, "ms"),
    ]  # fmt: skip
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = _library_time(sun, year, azimuths)
        rows.append((f"pvlib, the same, scaled from 1 angle in {EVERY}", 1e3 * theirs, "ms"))
        rows.append(("largest difference of a month", _difference(sun, year, azimuths), "-"))
    rows.append(("times faster, angle map", theirs / ours, "x"))
    return rows


if __name__ == "__main__":
    for name, value, unit in run():
        print(f"{name:60s} {value:12.4g} {unit}")
