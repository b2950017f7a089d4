"""What must hold of any battery: books that balance, and more that never makes it worse."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plumbrail.energy.battery import HOUR, cycle, load_year, simulate
from plumbrail.energy.sizing import smallest, through
from plumbrail.errors import RangeError
from plumbrail.plan.energy import Generator, OffGrid
from plumbrail.weather.year import HOURS, Origin, WeatherYear, hour_of_day, month_of_hours

KWH = 3.6e6


def off_grid(
    usable: float = 10.0, efficiency: float = 0.9, limits: tuple[float, float] | None = None,
    generator: float | None = None, reliability: float = 0.95,
) -> OffGrid:  # fmt: skip
    plain = OffGrid.model_construct(
        daily=(9.0 * KWH,), hours=(1.0,) * 24, usable=usable * KWH, efficiency=efficiency,
        charge_power=limits[0] if limits else None, draw_power=limits[1] if limits else None,
        reliability=reliability,
        generator=Generator.model_construct(power=generator, start=0.3, stop=0.8)
        if generator else None,
    )  # fmt: skip
    return plain


def sun(seed: int, scale: float = 2500.0) -> np.ndarray:
    rng = np.random.default_rng(seed)
    day = np.clip(np.sin((hour_of_day() + 0.5 - 6) / 12 * np.pi), 0.0, None)
    return np.asarray(scale * day * np.repeat(rng.uniform(0.05, 1.0, 365), 24))


def demand(seed: int, mean: float = 400.0) -> np.ndarray:
    return np.random.default_rng(seed + 1000).uniform(0.2, 1.8, HOURS) * mean


def weather(origin: Origin) -> WeatherYear:
    z = np.zeros(HOURS)
    return WeatherYear(z, z, z, z, z, None, z, 0.7, 0.0, 0.0, 0.0, origin, "made up", ())


some = settings(max_examples=12, deadline=None)
seeds = st.integers(0, 1000)
limit = st.one_of(st.none(), st.tuples(st.floats(200, 3000), st.floats(200, 3000)))


@some
@given(seeds, st.floats(1.0, 40.0), st.floats(0.6, 1.0), limit, st.one_of(st.none(), st.just(2e3)))
def test_the_books_balance(
    seed: int, usable: float, efficiency: float, limits: Any, generator: float | None
) -> None:
    found = cycle(sun(seed), demand(seed), off_grid(usable, efficiency, limits, generator))
    throughput = found.array.sum() + found.load.sum()
    assert abs(found.imbalance) <= 1e-9 * throughput
    for part in (found.unmet, found.spilled, found.generator, found.lost, found.charge):
        assert part.min() >= -1e-6
    assert found.charge.max() <= usable * KWH * (1 + 1e-12)
    if efficiency == 1.0:
        assert found.lost.max() == pytest.approx(0.0, abs=1e-6)


@some
@given(seeds, st.floats(1.0, 30.0), st.floats(1.0, 2.0), limit)
def test_a_bigger_battery_never_leaves_more_unmet(
    seed: int, usable: float, more: float, limits: Any
) -> None:
    small = cycle(sun(seed), demand(seed), off_grid(usable, limits=limits))
    big = cycle(sun(seed), demand(seed), off_grid(usable * more, limits=limits))
    assert big.unmet.sum() <= small.unmet.sum() + 1.0
    assert big.short_hours <= small.short_hours


@some
@given(seeds, st.floats(1.0, 1.5), limit)
def test_more_load_is_never_short_less_often(seed: int, more: float, limits: Any) -> None:
    plain = cycle(sun(seed), demand(seed), off_grid(limits=limits))
    heavy = cycle(sun(seed), more * demand(seed), off_grid(limits=limits))
    assert heavy.short_hours >= plain.short_hours
    assert heavy.unmet.sum() >= plain.unmet.sum() - 1.0


@some
@given(seeds)
def test_a_generator_never_leaves_more_unmet_and_burns_only_what_is_used(seed: int) -> None:
    without = cycle(sun(seed), demand(seed), off_grid())
    with_one = cycle(sun(seed), demand(seed), off_grid(generator=3000.0))
    assert with_one.unmet.sum() <= without.unmet.sum() + 1.0
    assert with_one.generator.sum() > 0.0
    assert with_one.generator.max() <= 3000.0 * HOUR * (1 + 1e-12)
    assert with_one.generator_hours > 0


@settings(max_examples=4, deadline=None)
@given(seeds)
def test_sizes_on_the_grid(seed: int) -> None:
    arrays, batteries = np.array([1e3, 2e3, 4e3, 8e3]), np.array([2.0, 6.0, 18.0, 54.0]) * KWH
    found = through(sun(seed, 1.0), demand(seed), off_grid(), arrays, batteries)
    assert (np.diff(found.short_share, axis=0) <= 1e-12).all()
    assert (np.diff(found.short_share, axis=1) <= 1e-12).all()
    assert (np.diff(found.short_hours, axis=0) <= 0).all()
    assert (np.diff(found.short_hours, axis=1) <= 0).all()
    ok = found.enough
    assert ok.any()
    assert not ok.all()
    for b, watts in enumerate(found.smallest_array):
        expected = [w for a, w in enumerate(arrays) if ok[a, b]]
        assert watts == (min(expected) if expected else np.inf)
    for a, joules in enumerate(found.smallest_battery):
        expected = [j for b, j in enumerate(batteries) if ok[a, b]]
        assert joules == (min(expected) if expected else np.inf)
    for a, b in found.corners:
        assert ok[a, b]
        assert a == 0 or not ok[a - 1, b]
        assert b == 0 or not ok[a, b - 1]


@pytest.mark.parametrize(
    ("origin", "sequence", "fine"),
    [(Origin.FILE, False, True), (Origin.MONTHS, True, True), (Origin.MONTHS, False, False),
     (Origin.CLEAR, False, False), (Origin.CLEAR, True, False)],
)  # fmt: skip
def test_no_battery_on_average_days(origin: Origin, sequence: bool, fine: bool) -> None:
    power, load, year = sun(1), demand(1), weather(origin)
    arrays, batteries = np.array([2e3]), np.array([5.0 * KWH])
    if fine:
        simulate(power, load, off_grid(), weather=year, daily_sequence=sequence)
        return
    with pytest.raises(RangeError, match="weather file"):
        simulate(power, load, off_grid(), weather=year, daily_sequence=sequence)
    with pytest.raises(RangeError, match="weather file"):
        smallest(power, load, off_grid(), arrays, batteries, weather=year, daily_sequence=sequence)


def test_a_grid_that_does_not_rise_is_refused() -> None:
    with pytest.raises(RangeError, match="arrays must be positive and rise"):
        through(sun(1), demand(1), off_grid(), np.array([2.0, 1.0]), np.array([KWH]))
    with pytest.raises(RangeError, match="8760"):
        cycle(np.zeros(24), np.zeros(24), off_grid())


def test_load_follows_months_and_the_clock() -> None:
    hours = [0.0] * 24
    hours[18], hours[7] = 3.0, 1.0
    one = off_grid().model_copy(update={
        "daily": tuple(KWH * m for m in range(1, 13)), "hours": tuple(hours)
    })  # fmt: skip
    load = load_year(one)
    months = np.bincount(month_of_hours(), weights=load * HOUR, minlength=13)[1:]
    np.testing.assert_allclose(months, KWH * np.arange(1, 13)
                               * [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])  # fmt: skip
    assert load[18] == pytest.approx(3.0 * load[7])
    summer = np.where((month_of_hours() > 3) & (month_of_hours() < 11), HOUR, 0.0)
    shifted = load_year(one, summer)
    at = 24 * 200
    assert shifted[at + 17] == pytest.approx(load[at + 18]), "18 h on the clock is 17 h standard"


def test_hand_worked_day() -> None:
    """Full 10 kWh at 81 %: 0.9 each way. 1.8 kWh asked draw 2 kWh; 5 kWh offered fill them."""
    power, load = np.zeros(HOURS), np.zeros(HOURS)
    load[5], power[9] = 1800.0, 5000.0
    found = cycle(power, load, off_grid(10.0, 0.81))
    assert found.charge[5] == pytest.approx(8.0 * KWH)
    assert found.charge[9] == pytest.approx(10.0 * KWH)
    assert found.spilled[9] == pytest.approx((5.0 - 2.0 / 0.9) * KWH)
    assert found.lost.sum() == pytest.approx((0.2 + 2.0 / 0.9 - 2.0) * KWH)
