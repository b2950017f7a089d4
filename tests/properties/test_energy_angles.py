"""The map of angles: the same as plane by plane, and what it says about bands."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import typical_years as ty
from plumbrail.energy.angle_band import band_words
from plumbrail.energy.angles import TILTS, angle_map, facing
from plumbrail.energy.parts import AngleMap
from plumbrail.energy.perez import perez_sky
from plumbrail.energy.skies import even_sky
from plumbrail.energy.sky import plane_light
from plumbrail.errors import RangeError
from typical_years import made

SOUTH = facing(0.7)


def agrees(sun, year, tilts, azimuths, sky=None):
    light = angle_map(sun, year, tilts, azimuths, sky)
    for i, tilt in enumerate(tilts):
        for j, azimuth in enumerate(azimuths):
            alone = ty.months(plane_light(sun, year, tilt, azimuth, sky).total)
            np.testing.assert_allclose(light.energy[i, j], alone, rtol=1e-9, atol=1e-3)


@pytest.mark.parametrize("name", ty.FILES)
def test_it_is_the_sum_of_every_plane(name):
    agrees(ty.sun(name), ty.year(name), TILTS[::6], SOUTH[::9])


@settings(max_examples=8)
@given(st.integers(0, 10**6), st.lists(st.floats(0, np.pi / 2), min_size=1, max_size=3),
       st.lists(st.floats(0, 6.28), min_size=1, max_size=3))  # fmt: skip
def test_for_any_hours_and_planes(seed, tilts, azimuths):
    sun, year = made(seed)
    agrees(sun, year, np.array(tilts), np.array(azimuths))
    agrees(sun, year, np.array(tilts), np.array(azimuths), even_sky(sun))


def test_skylines_darker_than_the_sky():
    """Where the horizon would take more light than there is, as in no hour of the three years."""
    sun, year = made(5)
    sky = perez_sky(sun, year)
    dark = replace(sky, skyline=sky.skyline - np.where(np.arange(8760) % 40 == 0, 0.9, 0.0))
    assert (plane_light(sun, year, 1.4, 2.0, dark).skyline < -1).any()
    agrees(sun, year, TILTS[10::4], SOUTH[::12], dark)


def test_a_month_without_sun_is_nought():
    sun, year = made(3)
    dark = np.arange(8760) < 31 * 24
    sun = replace(sun, up=sun.up & ~dark)
    year = replace(year, ghi=np.where(dark, 0, year.ghi), dni=np.where(dark, 0, year.dni),
                   dhi=np.where(dark, 0, year.dhi))  # fmt: skip
    light = angle_map(sun, year, TILTS, SOUTH)
    assert (light.energy[:, :, 0] == 0).all() and (light.energy[:, :, 1:] > 0).all()


def test_a_level_plane_has_no_azimuth_and_a_mirrored_year_a_mirrored_map():
    sun, year = ty.sun("Miami"), ty.year("Miami")
    light = angle_map(sun, year, TILTS, SOUTH).energy
    np.testing.assert_allclose(light[0], np.broadcast_to(light[0, :1], light[0].shape), rtol=1e-12)
    mirrored = replace(sun, bearing=2 * np.pi - sun.bearing)
    other = angle_map(mirrored, year, TILTS, SOUTH).energy
    np.testing.assert_allclose(other[:, ::-1], light, rtol=1e-9)


def test_tilts_over_the_back_are_refused():
    with pytest.raises(RangeError, match="0 to 90"):
        angle_map(ty.sun("Miami"), ty.year("Miami"), np.array([1.7]), SOUTH)


def test_which_way_the_map_looks():
    assert np.degrees(facing(0.7)[[0, 18, -1]]) == pytest.approx([90, 180, 270])
    assert np.degrees(facing(-0.7)[[0, 18, -1]]) == pytest.approx([-90, 0, 90])


def test_splines_between_the_angles_hold():
    """The map of every 5° read between them, against the planes themselves: 0.1 % of the year."""
    sun, year = ty.sun("Greensboro"), ty.year("Greensboro")
    light = angle_map(sun, year, TILTS, SOUTH)
    for tilt, azimuth in ((22.5, 177.5), (47.5, 141.0), (3.0, 200.0)):
        found = band_words(light, np.radians(tilt), None, np.radians(azimuth), 0.01)
        own = plane_light(sun, year, np.radians(tilt), np.radians(azimuth)).total.sum() * 3600
        best = plane_light(sun, year, found.map_tilt, found.map_azimuth).total.sum() * 3600
        assert found.map_cost == pytest.approx(1 - own / best, abs=1e-3)


def hand_made():
    """Year 1 − (tilt − 30°)² in units of 50°, December better the steeper, all south alike."""
    tilts, azimuths = np.radians(np.arange(0.0, 91, 5)), SOUTH
    x = (np.degrees(tilts) - 30) / 50
    energy = np.tile(((1 - x**2) / 12)[:, None, None], (1, 37, 12))
    energy[:, :, 11] = (0.02 + 0.0002 * np.degrees(tilts))[:, None]
    energy[:, :, 10] += ((1 - x**2) / 12)[:, None] - energy[:, :, 11]
    return AngleMap(tilts, azimuths, energy)


def test_a_band_worked_by_hand():
    found = band_words(hand_made(), np.radians(25), (np.radians(20), np.radians(35)), np.pi, 0.01)
    assert np.degrees(found.flat.low) == pytest.approx(25, abs=0.11)
    assert np.degrees(found.flat.high) == pytest.approx(35, abs=0.11)
    assert np.degrees(found.best_tilt) == pytest.approx(30, abs=0.06)
    assert found.worst_month == 12
    assert found.tilt_cost == pytest.approx(0.01, abs=1e-6)
    assert found.planned is not None
    assert found.planned.year == pytest.approx(0.04, abs=1e-6)
    assert np.degrees(found.best_month_tilt) == pytest.approx(90, abs=0.06)
    assert found.planned.month == pytest.approx(1 - 0.024 / 0.038, abs=1e-6)
    assert found.planned.month_within == pytest.approx(1 - 0.024 / 0.027, abs=1e-6)
    assert found.month_cost == pytest.approx(1 - 0.025 / 0.038, abs=1e-6)


def test_bands_of_a_measured_year():
    year = ty.year("Greensboro")
    light = angle_map(ty.sun("Greensboro"), year, TILTS, SOUTH)
    own = band_words(light, np.radians(32), (np.radians(30), np.radians(35)), np.radians(178), 0.01)
    assert own.planned is not None
    assert own.flat.low < own.best_tilt < own.flat.high
    assert own.flat.year == pytest.approx(0.01, abs=2e-4)
    assert own.planned.year < 0.01 < own.planned.month_within
    assert own.map_cost >= own.tilt_cost - 1e-9
    assert own.worst_month in (1, 11, 12)
    wider = band_words(light, np.radians(32), None, np.radians(178), 0.05)
    assert wider.flat.low < own.flat.low and wider.flat.high > own.flat.high
    assert wider.planned is None


@pytest.mark.parametrize(("tilt", "azimuth"), [(30.0, 10.0), (95.0, 180.0)])
def test_angles_outside_the_map_are_refused(tilt, azimuth):
    with pytest.raises(RangeError, match="outside the angle map"):
        band_words(hand_made(), np.radians(tilt), None, np.radians(azimuth), 0.01)


def test_a_turn_more_is_the_same_azimuth():
    light = hand_made()
    one = band_words(light, 0.5, None, np.pi, 0.01)
    assert band_words(light, 0.5, None, 3 * np.pi, 0.01).tilt_cost == pytest.approx(one.tilt_cost)
