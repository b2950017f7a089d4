"""Years made from monthly means: how near they come to the years the means were taken from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import typical_years as ty
from plumbrail.energy.clear import clear_year
from plumbrail.energy.means import smooth_air
from plumbrail.energy.skies import average_sky
from plumbrail.energy.sky import plane_light
from plumbrail.energy.sun import sun_year
from plumbrail.energy.synthesis import battery_year, monthly_year
from plumbrail.errors import RangeError
from plumbrail.site.sun import Place
from plumbrail.weather.year import DAYS, Origin

GRASS = np.full(12, 0.2)
SEED = 1


def measured(name, tilt):
    year = replace(ty.year(name), albedo=np.full(8760, 0.2))
    return ty.months(plane_light(ty.sun(name), year, np.radians(tilt), np.pi).total)


def average(name):
    sun12, air12 = ty.means(name)
    return monthly_year(ty.place(name), ty.year(name).utc_offset, sun12, air12, 2.0, GRASS)


def wavering(name, seed=SEED):
    sun12, air12 = ty.means(name)
    return battery_year(ty.place(name), ty.year(name).utc_offset, sun12, air12, 2.0, GRASS, seed)


# Measured, with room for rounding: error of the year, and of the worst month, as shares; for clear
# and dull days the worst of 20 seeds. For three places only, which is what ships as open data.
AVERAGE = {
    ("Greensboro", 36.1): (0.015, 0.06), ("Greensboro", 30.0): (0.015, 0.06),
    ("Sand Point", 45.0): (0.015, 0.15), ("Sand Point", 30.0): (0.015, 0.15),
    ("Miami", 25.8): (0.01, 0.035), ("Miami", 30.0): (0.01, 0.035),
}  # fmt: skip
WAVERING = {
    ("Greensboro", 36.1): (0.013, 0.06), ("Greensboro", 30.0): (0.012, 0.055),
    ("Sand Point", 45.0): (0.031, 0.145), ("Sand Point", 30.0): (0.024, 0.13),
    ("Miami", 25.8): (0.005, 0.035), ("Miami", 30.0): (0.005, 0.035),
}  # fmt: skip


@pytest.mark.parametrize(("name", "tilt"), AVERAGE)
def test_error_band_of_average_days(name, tilt):
    year = average(name)
    sun = sun_year(year)
    light = plane_light(sun, year, np.radians(tilt), np.pi, average_sky(sun, year))
    ours, other = ty.months(light.total), measured(name, tilt)
    most, month = AVERAGE[name, tilt]
    assert ours.sum() == pytest.approx(other.sum(), rel=most)
    np.testing.assert_allclose(ours, other, rtol=month)


@pytest.mark.parametrize(("name", "tilt"), WAVERING)
@pytest.mark.parametrize("seed", range(5))
def test_error_band_of_clear_and_dull_days(name, tilt, seed):
    year = wavering(name, seed)
    ours = ty.months(plane_light(sun_year(year), year, np.radians(tilt), np.pi).total)
    other = measured(name, tilt)
    most, month = WAVERING[name, tilt]
    assert ours.sum() == pytest.approx(other.sum(), rel=most)
    np.testing.assert_allclose(ours, other, rtol=month)


def test_a_sky_fitted_to_hours_is_wrong_for_average_days():
    """Why there is another sky for them: 2 to 7 % too bright."""
    for name, tilt in (("Greensboro", 36.1), ("Sand Point", 45.0), ("Miami", 25.8)):
        year = average(name)
        ours = ty.months(plane_light(sun_year(year), year, np.radians(tilt), np.pi).total)
        assert 1.02 < ours.sum() / measured(name, tilt).sum() < 1.07


@pytest.mark.parametrize("make", [average, wavering])
@pytest.mark.parametrize("name", ty.FILES)
def test_light_closes_and_keeps_the_means(make, name):
    year, sun12 = make(name), ty.means(name)[0]
    sun = sun_year(year)
    level = np.where(sun.up, year.dni * np.sin(sun.height), 0.0) + year.dhi
    np.testing.assert_allclose(level, year.ghi, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(ty.months(year.ghi) / DAYS, sun12, rtol=1e-12)
    for light in (year.ghi, year.dni, year.dhi):
        assert (light >= 0).all()
    assert (year.ghi[~sun.up] == 0).all()
    assert (year.dni <= sun.outside).all() and year.dni.max() < 1100
    assert year.origin is Origin.MONTHS and year.snowfall is None
    assert any("15 %" in n for n in year.notes)


def test_each_day_of_a_month_has_its_share():
    year = average("Miami")
    days = year.ghi.reshape(365, 24).sum(axis=1)
    assert np.ptp(days[:31]) / days[:31].mean() < 0.15  # the sun climbs, the clearness stands


def test_dull_spells_come_and_go():
    """Days differ as days do, or more: the distribution is wider than that of humid summers, so
    a battery sized with it errs to the safe side."""
    for name in ty.FILES:
        ours = wavering(name).ghi.reshape(365, 24).sum(axis=1)
        other = ty.year(name).ghi.reshape(365, 24).sum(axis=1)
        spread = [np.std(d[150:240]) / d[150:240].mean() for d in (ours, other)]
        assert 1.0 < spread[0] / spread[1] < 1.9
    flat = average("Greensboro").ghi.reshape(365, 24).sum(axis=1)
    assert np.std(flat[150:240]) / flat[150:240].mean() < 0.1


def test_the_same_seed_gives_the_same_year_and_another_another():
    one, same, other = (wavering("Miami", s) for s in (7, 7, 8))
    np.testing.assert_array_equal(one.ghi, same.ghi)
    assert np.abs(one.ghi - other.ghi).max() > 100
    assert any("seed 7" in n for n in one.notes)


def test_air_keeps_its_monthly_means_and_swings():
    air12 = np.array([270.0, 272, 275, 279, 283, 287, 292, 291, 286, 280, 274, 270])
    air = smooth_air(air12)
    np.testing.assert_allclose(ty.months(air) / DAYS / 86400, air12, rtol=1e-12)
    days = air.reshape(365, 24)
    np.testing.assert_allclose(np.ptp(days, axis=1), 10.0, atol=0.2)
    assert np.isin(days.argmax(axis=1), (14, 15)).all()  # the hour before 15:00, or after
    assert np.abs(np.diff(days.mean(axis=1))).max() < 0.5  # no steps between months
    assert abs(days[0].mean() - days[-1].mean()) < 0.5
    np.testing.assert_allclose(smooth_air(np.full(12, 280.0)).reshape(365, 24).mean(axis=1), 280)


@pytest.mark.parametrize(
    ("month", "value", "words"),
    [(0, 60e6, "January"), (6, 0.1e6, "July"), (3, 5.5, "April"), (11, 0.0, "December")],
)
@pytest.mark.parametrize("make", [monthly_year, battery_year])
def test_light_that_cannot_be_is_refused(make, month, value, words):
    sun12, air12 = ty.means("Greensboro")
    sun12 = sun12.copy()
    sun12[month] = value
    more = () if make is monthly_year else (1,)
    with pytest.raises(RangeError, match=words):
        make(ty.place("Greensboro"), -18000.0, sun12, air12, 2.0, GRASS, *more)


def test_north_and_south_mixed_up_are_refused():
    sun12, air12 = ty.means("Sand Point")
    here = ty.place("Sand Point")
    with pytest.raises(RangeError, match="check the latitude"):
        monthly_year(Place(-here.latitude, here.longitude, 7.0), -32400.0, sun12, air12, 2.0, None)


@pytest.mark.parametrize("make", ["average", "battery"])
def test_polar_night(make):
    place = Place(np.radians(75.0), np.radians(20.0), 10.0)
    sun12 = 1e6 * np.array([0, 0.25, 4, 12, 19, 22, 18, 11, 5, 1.0, 0.0, 0])
    more = (1,) if make == "battery" else ()
    build = battery_year if make == "battery" else monthly_year
    year = build(place, 3600.0, sun12, np.full(12, 263.0), 3.0, None, *more)
    np.testing.assert_allclose(ty.months(year.ghi) / DAYS, sun12, rtol=1e-9, atol=1e-6)
    assert year.ghi[:24].sum() == 0


@pytest.mark.parametrize("latitude", [-60.0, -35.0, 0.0, 48.0, 64.0])
@pytest.mark.parametrize("clearness", [0.12, 0.3, 0.5, 0.75])
def test_any_place_and_clearness(latitude, clearness):
    from plumbrail.energy.means import month_means
    from plumbrail.energy.shapes import day_shapes

    place = Place(np.radians(latitude), np.radians(10.0), 200.0)
    sun12 = clearness * month_means(day_shapes(place, 3600.0).outside)
    for year in (
        monthly_year(place, 3600.0, sun12, np.full(12, 283.0), 1.0, None),
        battery_year(place, 3600.0, sun12, np.full(12, 283.0), 1.0, None, 3),
    ):
        np.testing.assert_allclose(ty.months(year.ghi) / DAYS, sun12, rtol=1e-9)
        assert np.isfinite(year.dni).all() and (year.dni >= 0).all() and (year.dhi >= 0).all()


@pytest.mark.parametrize("name", ty.FILES)
def test_a_clear_sky_is_an_upper_bound(name):
    found = ty.year(name)
    clear = clear_year(ty.place(name), found.utc_offset, ty.means(name)[1], 2.0, None)
    assert clear.origin is Origin.CLEAR
    assert any("upper bound" in n for n in clear.notes)
    sun = sun_year(clear)
    for other in (found, average(name), wavering(name)):
        assert (ty.months(clear.ghi) > 0.99 * ty.months(other.ghi)).all()
        assert clear.dni.sum() > other.dni.sum()
    light = plane_light(sun, clear, np.radians(30.0), np.pi).total
    assert light.sum() * 3600 > measured(name, 30.0).sum()
    level = np.where(sun.up, clear.dni * np.sin(sun.height), 0.0) + clear.dhi
    np.testing.assert_allclose(level, clear.ghi, rtol=1e-6, atol=1e-3)


def test_standard_air_where_none_is_stated():
    year = clear_year(Place(0.7, -2.0, 1000.0), -28800.0, None, 2.0, GRASS)
    np.testing.assert_allclose(year.air, 288.15 - 6.5)
    assert any("none stated" in n for n in year.notes)
    assert not any("Albedo" in n for n in year.notes)
