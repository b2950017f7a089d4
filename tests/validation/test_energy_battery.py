"""Off-grid balance on a published typical year.

The table of short hours is derived: no printed example of a loss-of-load share was found. It was
made with another program on the same published year (Greensboro, TMY3 723170, as shipped with
pvlib 0.16.1): Perez sky, tilt 50° south, albedo 0.2, 77 % of the light's rated yield, 0.95 in and
0.95 out of the battery, a flat load of 5 kWh a day, second year.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from plans import plan_with
from plumbrail.energy.battery import cycle
from plumbrail.energy.sizing import through
from plumbrail.plan.models import OffGrid

KWH = 3.6e6
DOCUMENT = "Off-grid balance of Greensboro, TMY3 (another program)"
SHORT = {
    1500.0: ((0.1115, 1180), (0.0614, 641), (0.0483, 502), (0.0428, 442)),
    2000.0: ((0.0643, 673), (0.0255, 266), (0.0123, 127), (0.0049, 55)),
    2500.0: ((0.0414, 434), (0.0137, 141), (0.0065, 66), (0.0003, 4)),
    3000.0: ((0.0293, 305), (0.0100, 99), (0.0037, 36), (0.0000, 0)),
}
BATTERIES = np.array([5.0, 10.0, 15.0, 25.0]) * KWH


@cache
def per_watt() -> np.ndarray:
    """(8760,) power of each rated watt, by the library alone."""
    import pvlib

    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    data, place = pvlib.iotools.read_tmy3(path, coerce_year=1990, map_variables=True)
    site = pvlib.location.Location(place["latitude"], place["longitude"], "Etc/GMT+5",
                                   place["altitude"])  # fmt: skip
    middle = data.index - np.timedelta64(30, "m")
    sun = site.get_solarposition(middle)
    sun.index = data.index
    found = pvlib.irradiance.get_total_irradiance(
        50, 180, sun["apparent_zenith"], sun["azimuth"], data["dni"], data["ghi"], data["dhi"],
        dni_extra=pvlib.irradiance.get_extra_radiation(data.index),
        airmass=pvlib.atmosphere.get_relative_airmass(sun["apparent_zenith"]),
        model="perez", albedo=0.2,
    )  # fmt: skip
    return np.asarray(found["poa_global"].fillna(0.0).to_numpy() * 0.77 / 1000.0)


def off_grid() -> OffGrid:
    plan = plan_with({"energy.off_grid": {
        "daily": ["5 kWh"], "usable": "10 kWh", "efficiency": "90.25 %", "reliability": "99 %",
    }})  # fmt: skip
    assert plan.energy is not None
    assert plan.energy.off_grid is not None
    return plan.energy.off_grid


def test_short_hours_of_sixteen_systems(published: Any) -> None:
    load = np.full(8760, 5000.0 / 24.0)
    found = through(per_watt(), load, off_grid(), np.array(list(SHORT)), BATTERIES)
    published(DOCUMENT, "yield of each rated kW", 1317.4, per_watt().sum(), 0.5, "kW*h", "derived")
    for a, (watts, row) in enumerate(SHORT.items()):
        for b, (share, hours) in enumerate(row):
            name = f"{watts / 1000:g} kW, {BATTERIES[b] / KWH:g} kWh"
            published(DOCUMENT, f"{name}, share", share, found.short_share[a, b], 1e-4, "-",
                      "derived")  # fmt: skip
            published(DOCUMENT, f"{name}, hours", hours, found.short_hours[a, b], 2.0, "-",
                      "derived")  # fmt: skip


@pytest.mark.parametrize("watts", SHORT)
def test_hour_by_hour_and_all_at_once_agree(watts: float) -> None:
    load = np.full(8760, 5000.0 / 24.0)
    one = off_grid()
    many = through(per_watt(), load, one, np.array([watts]), np.array([one.usable]))
    alone = cycle(watts * per_watt(), load, one)
    assert alone.short_hours == many.short_hours[0, 0]
    assert alone.short_share == pytest.approx(many.short_share[0, 0], abs=1e-12)
