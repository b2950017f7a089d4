"""Years from monthly means: what must hold for any means."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import typical_years as ty
from plumbrail.energy.clear import clear_year
from plumbrail.energy.means import month_means, of_days
from plumbrail.energy.sequence import (
    DULLEST_DAY,
    clearest_day,
    day_clearness,
    persistent,
    share_of_duller_days,
    steepness,
)
from plumbrail.energy.shapes import day_shapes
from plumbrail.energy.skies import average_sky
from plumbrail.energy.sky import plane_light
from plumbrail.energy.sun import sun_year
from plumbrail.energy.synthesis import battery_year, monthly_year
from plumbrail.site.sun import Place
from plumbrail.weather.year import DAYS

latitudes = st.floats(-62.0, 62.0)
twelve = st.lists(st.floats(0.25, 0.65), min_size=12, max_size=12)


@settings(max_examples=8)
@given(latitudes, st.floats(-30.0, 30.0), twelve, st.integers(0, 99))
def test_means_closure_and_signs(latitude, longitude, K_T, seed):
    place = Place(np.radians(latitude), np.radians(longitude), 100.0)
    zone = 3600.0 * round(longitude / 15)
    sun12 = np.array(K_T) * month_means(day_shapes(place, zone).outside)
    air12 = np.linspace(270, 290, 12)
    for year in (
        monthly_year(place, zone, sun12, air12, 2.0, None),
        battery_year(place, zone, sun12, air12, 2.0, None, seed),
    ):
        sun = sun_year(year)
        level = np.where(sun.up, year.dni * np.sin(sun.height), 0.0) + year.dhi
        np.testing.assert_allclose(level, year.ghi, rtol=1e-9, atol=1e-9)
        np.testing.assert_allclose(ty.months(year.ghi) / DAYS, sun12, rtol=1e-9)
        np.testing.assert_allclose(ty.months(year.air) / DAYS / 86400, air12, rtol=1e-9)
        assert (year.dni >= 0).all() and (year.dhi >= 0).all()


@settings(max_examples=5)
@given(latitudes, twelve)
def test_a_clear_sky_gives_more(latitude, K_T):
    """Than any months of a clearness that real months have."""
    place = Place(np.radians(latitude), 0.0, 300.0)
    sun12 = np.minimum(K_T, 0.55) * month_means(day_shapes(place, 0.0).outside)
    air12 = np.full(12, 283.0)
    year = monthly_year(place, 0.0, sun12, air12, 2.0, None)
    clear = clear_year(place, 0.0, air12, 2.0, None)
    assert clear.ghi.sum() > year.ghi.sum()
    sun = sun_year(year)
    toward = np.pi if latitude > 0 else 0.0
    one = plane_light(sun, clear, 0.5, toward).total.sum()
    assert one > plane_light(sun, year, 0.5, toward, average_sky(sun, year)).total.sum()


@settings(max_examples=5)
@given(st.floats(5.0, 60.0), st.lists(st.floats(0.3, 0.4), min_size=12, max_size=12))
def test_more_sun_gives_more_light_on_a_plane(latitude, K_T):
    place = Place(np.radians(latitude), 0.0, 0.0)
    sun12 = np.array(K_T) * month_means(day_shapes(place, 0.0).outside)
    found = []
    for times in (1.0, 1.1, 1.3):
        year = monthly_year(place, 0.0, times * sun12, np.full(12, 283.0), 2.0, None)
        sun = sun_year(year)
        found.append(ty.months(plane_light(sun, year, 0.5, np.pi, average_sky(sun, year)).total))
    assert (found[0] < found[1]).all() and (found[1] < found[2]).all()


def test_east_and_west_of_an_even_day_are_alike():
    """Average days are the same before and after the sun's noon."""
    place = Place(np.radians(40.0), 0.0, 0.0)
    sun12 = 0.5 * month_means(day_shapes(place, 0.0).outside)
    year = monthly_year(place, 0.0, sun12, np.full(12, 283.0), 2.0, None)
    sun = sun_year(year)
    sky = average_sky(sun, year)
    east, west = (
        plane_light(sun, year, 0.6, np.pi + t, sky).total.sum() for t in (-np.pi / 2, np.pi / 2)
    )
    assert east == pytest.approx(west, rel=5e-3)


@given(st.floats(0.07, 0.8))
def test_the_distribution_of_days_has_its_mean(K_T):
    gamma, high = steepness(K_T), float(clearest_day(np.array(max(K_T, 0.2))))
    K = np.linspace(DULLEST_DAY, high, 20001)
    if abs(gamma) * (high - DULLEST_DAY) > 500 or abs(gamma) < 1e-3:
        return
    F = share_of_duller_days(K, DULLEST_DAY, high, gamma)
    assert F[0] == pytest.approx(0) and F[-1] == pytest.approx(1)
    assert (np.diff(F) >= 0).all()
    mean = high - np.sum((F[1:] + F[:-1]) / 2 * np.diff(K))  # by parts
    assert mean == pytest.approx(max(K_T, DULLEST_DAY), abs=2e-3)


@given(st.integers(0, 1000), st.floats(0.1, 0.75))
def test_days_stay_within_the_distribution(seed, K_T):
    days = day_clearness(np.full(12, K_T), np.random.default_rng(seed))
    assert (days >= DULLEST_DAY).all()
    assert (days <= float(clearest_day(np.array(max(K_T, 0.2)))) + 1e-12).all()
    means = month_means(days)
    np.testing.assert_allclose(means, K_T, atol=0.02)
    assert of_days(means).size == 365


def test_neighbouring_days_are_a_little_alike():
    found = []
    for seed in range(20):
        days = day_clearness(np.full(12, 0.5), np.random.default_rng(seed))
        found.append(np.corrcoef(days[1:], days[:-1])[0, 1])
    assert np.mean(found) == pytest.approx(0.2, abs=0.06)  # ranked within months


def test_persistence():
    series = persistent(np.random.default_rng(2).standard_normal(200_000), 0.29)
    assert np.corrcoef(series[1:], series[:-1])[0, 1] == pytest.approx(0.29, abs=0.01)
    assert series.std() == pytest.approx(1, abs=0.01)
