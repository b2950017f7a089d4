"""The sun's year: the lit part of hours, day and night, high latitudes."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

import typical_years as ty
from plumbrail.energy.sun import HORIZON, LitHours, lit_hours, sun_over, sun_year
from plumbrail.site.sun import Place, sun_at
from plumbrail.weather.almanac import days_since_2000, declination, hour_angle, zenith_cosine
from plumbrail.weather.year import NEW_YEAR


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [(44.0, -120.6, -8), (0.0, 20.0, 1), (-38.0, 145.0, 10), (66.5, 25.0, 2), (78.0, 15.0, 1)],
)
def test_lit_parts_against_every_ten_seconds(latitude, longitude, zone):
    place = Place(np.radians(latitude), np.radians(longitude), 0.0)
    lit = lit_hours(place, 3600.0 * zone)
    for day in (20, 80, 171, 234):
        hours = np.arange(24 * day, 24 * day + 24)
        seconds = NEW_YEAR - 3600.0 * zone + 3600 * hours[:, None] + np.arange(5, 3600, 10)
        up = (sun_at(place, seconds.ravel()).true_height > HORIZON).reshape(24, -1)
        np.testing.assert_allclose(lit.share[hours], up.mean(axis=1), atol=0.015)
        some = up.mean(axis=1) > 0.03
        middle = (up * seconds).sum(axis=1)[some] / up.sum(axis=1)[some]
        np.testing.assert_allclose(lit.middle[hours][some], middle, atol=60)


def test_day_and_night():
    sun = sun_year(ty.year("Greensboro"))
    assert 12.0 < sun.up.reshape(365, 24).sum(axis=1).mean() < 14.0
    assert (sun.height[sun.up] > 0).all()
    assert np.isnan(sun.air_mass[~sun.up]).all()
    assert (sun.air_mass[sun.up] >= 0.999).all() and (sun.air_mass[sun.up] < 38).all()
    assert sun.outside.max() / sun.outside.min() == pytest.approx(1.069, abs=0.002)
    assert sun.outside.argmax() < 24 * 10  # the earth is nearest in early January


def test_full_hours_are_taken_at_their_middle():
    year = ty.year("Miami")
    lit = lit_hours(ty.place("Miami"), year.utc_offset)
    full = lit.share == 1
    np.testing.assert_array_equal(lit.middle[full], year.middle[full])


def test_polar_day_and_night():
    place = Place(np.radians(78.0), np.radians(15.0), 0.0)
    lit = lit_hours(place, 3600.0)
    share = lit.share.reshape(365, 24).sum(axis=1)
    assert share[171] == 24 and share[355] == 0
    sun = sun_over(place, lit)
    assert not sun.up[355 * 24 : 356 * 24].any()


def test_toward_points_at_the_sun():
    sun = ty.sun("Greensboro")
    to = sun.toward(np.radians(90.0))  # x to the east, y to the north
    noon = 171 * 24 + 12
    assert to[noon, 1] < 0 and abs(to[noon, 0]) < 0.4 and to[noon, 2] > 0.9
    morning = 171 * 24 + 8
    assert to[morning, 0] > 0
    np.testing.assert_allclose(np.linalg.norm(to, axis=1), 1.0)


def test_the_short_series_agree_with_the_long_algorithm():
    """0.05° of zenith angle."""
    year = ty.year("Sand Point")
    hours = np.arange(8760) + 0.5
    place = ty.place("Sand Point")
    omega = hour_angle(hours, place.longitude, year.utc_offset)
    ours = zenith_cosine(
        place.latitude, declination(days_since_2000(hours, year.utc_offset)), omega
    )
    exact = sun_at(place, year.middle).true_height
    assert np.abs(np.degrees(np.arcsin(ours) - exact)).max() < 0.05


def test_the_middle_of_the_hour_in_any_zone():
    year = ty.year("Sand Point")
    assert LitHours(year.middle, np.ones(8760)).middle[0] == NEW_YEAR + 9 * 3600 + 1800


def test_sun_and_files_do_without_the_slow_library():
    code = (
        "import sys; from pathlib import Path; from plumbrail.weather.files import read_year; "
        "from plumbrail.energy.sun import sun_year; "
        "from plumbrail.energy.angles import angle_map, TILTS, facing; "
        f"y = read_year(Path({str(ty.path('Miami'))!r})); "
        "angle_map(sun_year(y), y, TILTS, facing(0.7)); "
        "assert 'pandas' not in sys.modules and 'pvlib' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
