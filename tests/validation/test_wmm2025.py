"""Magnetic declination: the official test values of the World Magnetic Model 2025.

NOAA/NCEI and British Geological Survey, World Magnetic Model 2025, table of test values: year,
height over the ellipsoid [km], latitude, longitude -> X, Y, Z [nT], D [deg], dD/dt [deg/year].
"""

from __future__ import annotations

import numpy as np
import pytest

from plumbrail.setout.compass import field_at
from plumbrail.site.sun import Place

WMM = "World Magnetic Model 2025, table of test values"
MORE = "World Magnetic Model 2025, further points from public test suites"
OFFICIAL = [
    (2025.0, 0, 80, 0, 6521.6, 145.9, 54791.5, 1.28, 0.52),
    (2025.0, 0, 0, 120, 39677.8, -109.6, -10580.2, -0.16, -0.03),
    (2025.0, 0, -80, 240, 6117.5, 15751.9, -52022.5, 68.78, -0.12),
    (2025.0, 100, 80, 0, 6216.0, 92.4, 52598.8, 0.85, 0.52),
    (2025.0, 100, 0, 120, 37688.6, -96.2, -10152.1, -0.15, -0.03),
    (2025.0, 100, -80, 240, 5907.6, 14780.3, -49540.7, 68.21, -0.11),
    (2027.5, 0, 80, 0, 6500.8, 294.5, 54869.4, 2.59, 0.53),
    (2027.5, 0, 0, 120, 39701.6, -167.4, -10381.8, -0.24, -0.03),
    (2027.5, 0, -80, 240, 6200.7, 15730.3, -51783.7, 68.49, -0.12),
    (2027.5, 100, 80, 0, 6196.7, 233.8, 52670.5, 2.16, 0.52),
    (2027.5, 100, 0, 120, 37711.5, -148.7, -9969.8, -0.23, -0.03),
    (2027.5, 100, -80, 240, 5984.0, 14760.1, -49317.7, 67.93, -0.11),
]
FURTHER = [
    (2025.0, 28, 89, -121, -99.77, 0.005), (2025.0, 48, 80, -96, -29.91, 0.005),
    (2025.5, 6, -36, -137, 20.28, 0.005),
    (2026.50411, 0, -33.8688, 151.2093, 12.82083, 2e-5),
    (2026.50411, 0, 51.5074, -0.1278, 1.16280, 2e-5),
    (2026.50411, 0, 64.1466, -21.9426, -11.13349, 2e-5),
]  # fmt: skip


def at(latitude, longitude, km):
    return Place(float(np.radians(latitude)), float(np.radians(longitude)), 1000.0 * km)


@pytest.mark.parametrize(("year", "km", "lat", "lon", "x", "y", "z", "d", "rate"), OFFICIAL)
def test_official_values(published, year, km, lat, lon, x, y, z, d, rate):
    field = field_at(at(lat, lon, km), year)
    item = f"{year}, {km} km, {lat}, {lon}"
    published(WMM, f"{item}: X", x, field.north, 0.05, "nT")
    published(WMM, f"{item}: Y", y, field.east, 0.05, "nT")
    published(WMM, f"{item}: Z", z, field.down, 0.05, "nT")
    published(WMM, f"{item}: D", d, np.degrees(field.declination), 0.005, "deg")
    published(WMM, f"{item}: change of D", rate, np.degrees(field.yearly), 0.005, "deg/year")


@pytest.mark.parametrize(("year", "km", "lat", "lon", "d", "tolerance"), FURTHER)
def test_further_values(published, year, km, lat, lon, d, tolerance):
    # The year is printed to five decimals: at most 5e-6 year times 0.2 deg a year, and rounding.
    field = field_at(at(lat, lon, km), year)
    published(MORE, f"{year}, {km} km, {lat}, {lon}: D", d, np.degrees(field.declination),
              tolerance, "deg")  # fmt: skip
