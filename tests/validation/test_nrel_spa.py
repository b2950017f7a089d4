"""Sun position: the worked example of the solar position algorithm, and the air it looks through.

I. Reda, A. Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302,
revised 2008, example of the appendix.
"""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from plumbrail.site.sun import Air, Place, pressure_at, sun_at

SPA = "NREL/TP-560-34302 (rev. 2008), example"
ICAO = "ICAO Standard Atmosphere, table by geopotential height"
GOLDEN = Place(float(np.radians(39.742476)), float(np.radians(-105.1786)), 1830.14)
NOON = np.array([datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC).timestamp()])


def test_worked_example(published):
    sun = sun_at(GOLDEN, NOON, delta_t=67.0, air=Air(82000.0, 284.15))
    published(
        SPA, "topocentric zenith angle", 50.11162, 90 - np.degrees(sun.height[0]), 5e-6, "deg"
    )
    published(SPA, "topocentric azimuth", 194.34024, np.degrees(sun.bearing[0]), 5e-6, "deg")


def test_our_own_air_and_time_hardly_move_it(published):
    """Standard air of the site's height and today's delta T in place of those of the example."""
    sun = sun_at(GOLDEN, NOON)
    published(SPA, "zenith with standard air, 10 °C", 50.11162, 90 - np.degrees(sun.height[0]),
              5e-4, "deg")  # fmt: skip
    published(SPA, "azimuth with delta T 69.184 s", 194.34024, np.degrees(sun.bearing[0]), 5e-5,
              "deg")  # fmt: skip


@pytest.mark.parametrize(("metres", "hpa"), [(0, 1013.25), (1000, 898.75), (2000, 794.95),
                                             (3000, 701.08)])  # fmt: skip
def test_standard_air(published, metres, hpa):
    # From memory. The exponent is printed rounded: one unit of the last digit.
    published(ICAO, f"{metres} m", hpa, pressure_at(np.array(float(metres))) / 100, 0.01, "hPa",
              "memory")  # fmt: skip
