"""Direction from the sun: hour-angle method, rate of the bearing, shadow and its errors.

The formula is that of the sun observations in the US Navy training course Engineering Aid
(NAVEDTRA 14070/14071); the sun's place is that of the NREL/TP-560-34302 example. Figures marked
derived were worked by hand from these.
"""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from plumbrail.setout.shadow import blur_width, shadow_bearing, shadow_length, together
from plumbrail.site.sun import (
    Air,
    Place,
    bearing_by_latitude,
    bearing_rate,
    sun_at,
)

NAVY = "NAVEDTRA 14070/14071, hour-angle method, at the NREL/TP-560-34302 instant"
HAND = "Spherical triangle at the NREL/TP-560-34302 instant, by hand"
RATES = "Rate of the sun's bearing by latitude and day, by hand"
PHI, LON = 39.742476, -105.1786
MOMENT = np.array([datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC).timestamp()])
DEG_H = np.degrees(1.0) * 3600


def rad(x):
    return np.asarray(np.radians(x), dtype=float)


def golden(dlat=0.0, dlon=0.0, later=0.0):
    place = Place(float(rad(PHI + dlat)), float(rad(LON + dlon)), 1830.14)
    return sun_at(place, MOMENT + later, 67.0, Air(82000.0, 284.15))


def hour_angle_azimuth(H, delta, phi):
    H, delta, phi = rad(H), rad(delta), rad(phi)
    east = -np.sin(H)
    north = np.cos(phi) * np.tan(delta) - np.sin(phi) * np.cos(H)
    return np.degrees(np.arctan2(east, north)) % 360


def test_hour_angle_method(published):
    # 194.34026 by the printed, rounded hour angle and declination: they carry 1e-5 deg or so.
    published(NAVY, "azimuth by hand", 194.34026, hour_angle_azimuth(11.10629, -9.316179, PHI),
              5e-6, "deg", "derived")  # fmt: skip
    published(NAVY, "azimuth by hand against the program's", 194.34026,
              np.degrees(golden().bearing[0]), 3e-5, "deg", "derived")  # fmt: skip


def test_shadow(published):
    sun = golden()
    published(HAND, "shadow bearing", 14.3402, np.degrees(shadow_bearing(sun)[0]), 5e-5, "deg",
              "derived")  # fmt: skip
    h = sun.height
    published(HAND, "shadow of a 10 ft plumb line", 11.965, shadow_length(np.array(10.0), h)[0],
              5e-4, "ft", "derived")  # fmt: skip
    published(HAND, "shadow of a 2 m plumb line", 2.393, shadow_length(np.array(2.0), h)[0], 5e-4,
              "m", "derived")  # fmt: skip
    published(HAND, "true north at 50 ft along the shadow, offset", 12.782,
              50 * np.tan(shadow_bearing(sun)[0]), 5e-4, "ft", "derived")  # fmt: skip


def test_sensitivities(published):
    h, Z = rad(90 - 50.11162), rad(194.34024)
    rate = bearing_rate(rad(PHI), h, Z) * DEG_H
    published(HAND, "rate of the bearing", 18.93, rate, 0.005, "deg/h", "derived")
    numeric = np.degrees(golden(later=30.0).bearing - golden(later=-30.0).bearing)[0] * 60
    published(HAND, "rate of the bearing, by difference", 18.92, numeric, 0.005, "deg/h", "derived")
    published(HAND, "rate a minute", 0.315, rate / 60, 5e-4, "deg/min", "derived")
    published(HAND, "0.1 deg of latitude", 0.021, 0.1 * abs(bearing_by_latitude(h, Z)), 5e-4, "deg",
              "derived")  # fmt: skip
    published(HAND, "0.01 deg of longitude", 0.013, 0.01 * rate / 15, 5e-4, "deg", "derived")
    published(HAND, "1 deg of longitude", 1.26, rate / 15, 5e-3, "deg", "derived")


def test_errors_together(published):
    """A clock to 5 s, position to 0.01 deg, 1/8 in at 12 ft: about 0.06 deg; 30 s: 0.17 deg."""
    mark = np.asarray(0.125 / 144)
    zero = np.zeros(())
    place = rad(0.01) * np.hypot(18.93 / 15, 0.207)
    for clock, total in ((5.0, 0.06), (30.0, 0.17)):
        ours = together(rad(18.93 / 3600 * clock), place, mark, zero, zero)
        published(HAND, f"error with a clock to {clock:g} s", total, np.degrees(ours), 5e-3, "deg",
                  "derived")  # fmt: skip


def test_blur(published):
    # The sun's mean diameter of 0.533 deg; overhead the edge of a shadow blurs by 0.0093 of height.
    published(HAND, "sun's disc", 0.533, np.degrees(blur_width(np.array(1.0), np.array(0.0))), 5e-4,
              "deg", "derived")  # fmt: skip


@pytest.mark.parametrize(
    ("day", "hours", "rates", "declination"),
    [("21 Dec", 0, (0.29, 0.26, 0.24), -23.44), ("20 Mar", 0, (0.50, 0.39, 0.33), 0.0),
     ("21 Jun", 0, (2.00, 0.80, 0.51), 23.44), ("21 Jun", -4, (0.10, 0.16, 0.21), 23.44)],
)  # fmt: skip
def test_rates_by_latitude(published, day, hours, rates, declination):
    for latitude, rate in zip((30, 40, 50), rates, strict=True):
        H, d, phi = rad(15 * hours), rad(declination), rad(latitude)
        h = np.arcsin(np.sin(phi) * np.sin(d) + np.cos(phi) * np.cos(d) * np.cos(H))
        Z = rad(hour_angle_azimuth(15 * hours, declination, latitude))
        ours = bearing_rate(phi, h, Z) * DEG_H / 60
        # With the sun 6.6 deg from the zenith, 0.03 deg of its height is worth 0.01 deg/min.
        tolerance = 0.01 if rate > 1 else 0.005
        published(RATES, f"{day}, {hours:+d} h from noon, latitude {latitude}", rate, ours,
                  tolerance, "deg/min", "derived")  # fmt: skip
