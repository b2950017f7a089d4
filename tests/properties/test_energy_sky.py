"""Light on planes: what must hold for any hours and any plane; and pvlib as another witness."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import typical_years as ty
from plumbrail.energy.perez import perez_sky
from plumbrail.energy.skies import average_sky, even_sky
from plumbrail.energy.sky import plane_light
from plumbrail.weather.year import HOURS
from typical_years import made

tilts = st.floats(0.0, np.pi / 2)
azimuths = st.floats(0.0, 2 * np.pi)


def theirs(sun, year, tilt, azimuth, model):
    from pvlib.irradiance import get_total_irradiance

    with np.errstate(all="ignore"):
        return get_total_irradiance(
            np.degrees(tilt), np.degrees(azimuth), 90 - np.degrees(sun.height),
            np.degrees(sun.bearing), year.dni, year.ghi, year.dhi, dni_extra=sun.outside,
            airmass=sun.air_mass, albedo=year.albedo, model=model,
        )  # fmt: skip


@settings(max_examples=25)
@given(st.integers(0, 10**6), tilts, azimuths)
def test_perez_agrees_with_the_library_in_every_hour(seed, tilt, azimuth):
    sun, year = made(seed)
    ours, other = plane_light(sun, year, tilt, azimuth), theirs(sun, year, tilt, azimuth, "perez")
    up = sun.up & (year.dhi > 0)
    np.testing.assert_allclose(ours.total[up], other["poa_global"][up], rtol=1e-9, atol=1e-9)
    sky = ours.halo + ours.dome + ours.skyline
    np.testing.assert_allclose(sky[up], other["poa_sky_diffuse"][up], rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(ours.beam[up], other["poa_direct"][up], rtol=1e-9, atol=1e-9)


@settings(max_examples=15)
@given(st.integers(0, 10**6), tilts, azimuths)
def test_the_other_skies_agree_with_the_library(seed, tilt, azimuth):
    sun, year = made(seed)
    for name, sky in (("isotropic", even_sky(sun)), ("haydavies", average_sky(sun, year))):
        other = theirs(sun, year, tilt, azimuth, name)
        ours = plane_light(sun, year, tilt, azimuth, sky)
        high = sun.height > np.radians(1.1)  # nearer the horizon the two hold the halo differently
        np.testing.assert_allclose(
            ours.total[high], other["poa_global"][high], rtol=1e-9, atol=1e-9
        )


@pytest.mark.parametrize("name", ty.FILES)
def test_perez_agrees_with_the_library_on_measured_years(name):
    sun, year = ty.sun(name), ty.year(name)
    for tilt, azimuth in ((0.3, 3.0), (0.9, 1.6), (np.pi / 2, 4.4)):
        ours = plane_light(sun, year, tilt, azimuth).total
        other = np.nan_to_num(theirs(sun, year, tilt, azimuth, "perez")["poa_global"])
        known = sun.up & (year.dhi > 0)  # without sky light the library says nothing at all
        np.testing.assert_allclose(ours[known], other[known], rtol=1e-9, atol=1e-9)


@settings(max_examples=25)
@given(st.integers(0, 10**6), tilts, azimuths)
def test_light_is_never_negative_and_the_sum_of_its_parts(seed, tilt, azimuth):
    sun, year = made(seed)
    light = plane_light(sun, year, tilt, azimuth)
    parts = sum(getattr(light, f.name) for f in fields(light) if f.name != "cosine")
    np.testing.assert_allclose(light.total, parts, rtol=1e-12)
    for name in ("beam", "halo", "ground", "cosine"):
        assert (getattr(light, name) >= 0).all(), name
    # the model's own share about the sun passes 1 under skies that do not occur
    assert (light.dome >= 0)[perez_sky(sun, year).halo <= 1].all()
    assert (light.total >= -1e-9).all()
    assert np.isfinite(light.total).all()


@settings(max_examples=15)
@given(st.integers(0, 10**6), tilts, azimuths, st.floats(0.1, 3.0))
def test_twice_the_light_under_the_same_sky_is_twice_the_light(seed, tilt, azimuth, times):
    sun, year = made(seed)
    more = replace(year, ghi=times * year.ghi, dni=times * year.dni, dhi=times * year.dhi)
    sky = perez_sky(sun, year)
    one, other = (plane_light(sun, y, tilt, azimuth, sky).total for y in (year, more))
    np.testing.assert_allclose(other, times * one, rtol=1e-9, atol=1e-9)


@settings(max_examples=15)
@given(st.integers(0, 10**6), azimuths)
def test_a_level_plane_gets_the_light_of_level_ground(seed, azimuth):
    """Of the beam and dome exactly; of the halo only while the sun is above 5°."""
    sun, year = made(seed)
    light = plane_light(sun, year, 0.0, azimuth).total
    high = sun.height > np.radians(5)
    np.testing.assert_allclose(light[high], year.ghi[high], rtol=1e-9, atol=1e-9)


@settings(max_examples=15)
@given(st.integers(0, 10**6), tilts, st.floats(0.0, np.pi))
def test_a_mirrored_sun_on_a_mirrored_plane(seed, tilt, turn):
    sun, year = made(seed)
    mirrored = replace(sun, bearing=2 * np.pi - sun.bearing)
    one = plane_light(sun, year, tilt, np.pi + turn).total
    other = plane_light(mirrored, year, tilt, np.pi - turn).total
    np.testing.assert_allclose(one, other, rtol=1e-9, atol=1e-9)


@settings(max_examples=10)
@given(st.integers(0, 10**6), st.floats(0.05, np.pi / 2), azimuths)
def test_brighter_ground_never_darkens_a_plane(seed, tilt, azimuth):
    sun, year = made(seed)
    one = plane_light(sun, year, tilt, azimuth).total
    other = plane_light(sun, replace(year, albedo=year.albedo + 0.3), tilt, azimuth).total
    assert (other >= one).all() and other.sum() > one.sum()


def test_twilight_is_an_even_dome():
    sun, year = made(1)
    dark = replace(sun, up=np.zeros(HOURS, dtype=bool))
    light = plane_light(dark, year, 0.6, 3.0)
    assert light.beam.sum() == light.halo.sum() == light.skyline.sum() == 0
    np.testing.assert_allclose(light.dome, year.dhi * (1 + np.cos(0.6)) / 2)
