"""What must hold of any yield: no more light out of shade, warmth, dirt or a smaller array."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plans import plan_with
from plumbrail.energy.diode import Diode, best_point
from plumbrail.energy.module import fitted
from plumbrail.energy.parts import PlaneLight, Shading
from plumbrail.energy.patches import Patches, patches
from plumbrail.energy.run import Plant, plant, yielded
from plumbrail.energy.snow import covered
from plumbrail.energy.strings import string_power
from plumbrail.model.build import build
from plumbrail.weather.year import HOURS, Origin, WeatherYear, hour_of_day

SEARCH = 0.002
"""Of the best: how well the search over currents finds it where light is patched."""
some = settings(max_examples=6, deadline=None)
seeds = st.integers(0, 500)


def year(air: float = 283.15) -> WeatherYear:
    zero = np.zeros(HOURS)
    season = -9.0 * np.cos(2.0 * np.pi * np.arange(HOURS) / HOURS)
    return WeatherYear(zero, zero, zero, air + season, zero + 2.0, None, zero + 0.2, 0.77, -2.1,
                       1280.0, -8 * 3600.0, Origin.FILE, "made up", ())  # fmt: skip


def light() -> PlaneLight:
    k = np.clip(np.sin((hour_of_day() + 0.5 - 6) / 12 * np.pi), 0.0, None)
    clear = np.repeat(np.random.default_rng(5).uniform(0.1, 1.0, 365), 24)
    return PlaneLight(700 * k * clear, 50 * k * clear, 200 * k, 10 * k, 20 * k, k)


@cache
def points() -> Patches:
    plan = plan_with({"module.cells": 54})
    return patches(build(plan), plan)


@cache
def ready(air: float = 283.15, soiling: float = 2.0, inputs: bool = True) -> Plant:
    plan = plan_with({"module.cells": 54, "energy.losses.soiling": [f"{soiling} %"] * 12})
    strings = np.arange(24) // 4
    return plant(plan, year(air), light(), points(), strings, 0.01,
                 np.arange(6) if inputs else None)  # fmt: skip


@cache
def diode() -> Diode:
    return fitted(plan_with({"module.cells": 54}).module).diode


def shade(seed: int, share: float = 0.05) -> Shading:
    rng = np.random.default_rng(seed)
    count = len(points().patch)
    hidden = (rng.random((HOURS, 1)) < share) & (rng.random((1, count)) < 0.3)
    through = np.where(hidden, rng.random((1, count)), 1.0).astype(np.float32)
    return Shading(through, np.full(count, 0.96), np.full(count, 0.9))


@some
@given(seeds, seeds)
def test_more_shade_is_never_more_energy(one: int, other: int) -> None:
    first, second = shade(one), shade(other)
    both = replace(first, through=first.through * second.through, dome=0.98 * first.dome)
    little, much = (yielded(ready(), s).power for s in (first, both))
    assert (much <= little * (1.0 + SEARCH) + 1e-9).all()
    assert much.sum() < little.sum()
    assert (little <= yielded(ready(), None).power * (1.0 + SEARCH) + 1e-9).all()


@some
@given(st.floats(255.0, 300.0), st.floats(1.0, 25.0))
def test_hotter_air_is_never_more_power(air: float, more: float) -> None:
    cool, hot = (yielded(replace(ready(), year=year(a)), None).power for a in (air, air + more))
    assert (hot <= cool + 1e-9).all()


@some
@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_dirtier_is_never_more(clean: float, more: float) -> None:
    a, b = (yielded(ready(soiling=round(s, 3)), None).power for s in (clean, clean + more))
    assert (b <= a + 1e-9).all()


def test_twice_the_array_is_twice_the_power() -> None:
    strings = np.arange(24) // 4
    half = np.where(strings < 3, strings, -1)
    plan = plan_with({"module.cells": 54})
    whole, part = (
        yielded(plant(plan, year(), light(), points(), s, 0.01), None) for s in (strings, half)
    )
    np.testing.assert_allclose(whole.power, 2.0 * part.power, rtol=1e-12)
    assert whole.rated == 2.0 * part.rated


def test_one_voltage_is_never_better_than_each_its_own() -> None:
    apart, together = (yielded(ready(inputs=i), shade(7)).power for i in (True, False))
    assert (together <= apart * (1.0 + SEARCH) + 1e-9).all()


@some
@given(seeds)
def test_a_string_gives_no_more_than_its_strips_alone(seed: int) -> None:
    rng = np.random.default_rng(seed)
    lit, T = rng.uniform(20.0, 1000.0, (50, 12)), rng.uniform(265.0, 335.0, 50)
    alone = best_point(diode().under(lit, T[:, None])).power.sum(axis=1) / 3
    weakest = best_point(diode().under(lit.min(axis=1), T)).power * 4
    found = string_power(diode(), 3, lit, T, np.zeros(12, dtype=int), 1).power[0]
    assert (found <= alone * (1.0 + 1e-9)).all()
    assert (found >= weakest * (1.0 - 1e-6)).all()


@some
@given(seeds)
def test_even_light_needs_no_search(seed: int) -> None:
    rng = np.random.default_rng(seed)
    G, T = rng.uniform(20.0, 1000.0, 40), rng.uniform(265.0, 335.0, 40)
    found = string_power(diode(), 3, np.repeat(G[:, None], 12, axis=1), T,
                         np.zeros(12, dtype=int), 1)  # fmt: skip
    plain = best_point(diode().under(G, T)).power * 4
    np.testing.assert_allclose(found.power[0], plain, rtol=1e-6)


@some
@given(seeds, st.floats(0.1, 0.6), st.floats(0.05, 0.4))
def test_a_steeper_slope_clears_sooner(seed: int, tilt: float, more: float) -> None:
    rng = np.random.default_rng(seed)
    fall = np.where(rng.random(HOURS) < 0.02, 0.03, 0.0)
    air, sun = rng.normal(271.0, 6.0, HOURS), light().total
    flat, steep = (covered(fall, sun, air, t) for t in (tilt, tilt + more))
    assert (steep <= flat + 1e-12).all()
    assert flat.max() == pytest.approx(1.0)
