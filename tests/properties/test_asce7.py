"""Properties that wind, snow and combinations must have for any numbers."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plumbrail.bases.us.asce7 import components, snow, wind
from plumbrail.bases.us.asce7.cases import across_cases, plane_coefficients
from plumbrail.bases.us.asce7.resultant import Resultant, figure_resultant, halves_of
from plumbrail.bases.us.asce7_22.ground_mount import GroundMountCoefficients, governed
from plumbrail.bases.us.loads import LoadCase, expand
from plumbrail.bases.us.standards import STANDARDS

steep = st.floats(np.radians(7.5), np.radians(45.0))
tilts = st.floats(0.0, np.radians(45.0))
flows = st.sampled_from(wind.FLOWS)
letters = st.sampled_from(wind.CASES)
standards = st.sampled_from(list(STANDARDS.values()))
numbers = st.floats(-3.0, 3.0)


@given(steep, flows, letters)
def test_wind_on_the_high_edge_lifts(theta: float, flow: str, case: str) -> None:
    """gamma 0: wind meets the high edge, gets under the plane and lifts it."""
    found = wind.monoslope_coefficients(theta, flow, 0, case)
    assert found.C_NW + found.C_NL < 0


@given(steep, letters)
def test_wind_on_the_low_edge_presses_down(theta: float, case: str) -> None:
    """gamma 180, clear flow: wind meets the low edge and pushes on the top surface."""
    found = wind.monoslope_coefficients(theta, "clear", 180, case)
    assert found.C_NW + found.C_NL > 0


@given(tilts, flows, letters, st.sampled_from([0, 180]))
def test_halves_keep_the_sum_and_swap_with_the_wind(
    theta: float, flow: str, case: str, gamma: int
) -> None:
    found = wind.monoslope_coefficients(theta, flow, gamma, case)
    here, there = wind.halves(gamma, found), wind.halves(180 - gamma, found)
    assert here.C_low + here.C_high == pytest.approx(found.C_NW + found.C_NL)
    assert (here.C_low, here.C_high) == (there.C_high, there.C_low)


@given(steep, flows, letters, st.sampled_from([0, 180]))
def test_the_figure_has_no_jumps_above_7_5_degrees(
    theta: float, flow: str, case: str, gamma: int
) -> None:
    step = min(1e-6, np.radians(45.0) - theta)
    here = wind.monoslope_coefficients(theta, flow, gamma, case)
    next_to = wind.monoslope_coefficients(theta + step, flow, gamma, case)
    assert abs(next_to.C_NW - here.C_NW) < 1e-4
    assert abs(next_to.C_NL - here.C_NL) < 1e-4


@given(st.lists(tilts, min_size=1, max_size=5))
def test_a_batch_of_tilts_is_its_parts(thetas: list[float]) -> None:
    cases = across_cases(wind.FLOWS)
    whole = plane_coefficients(np.array(thetas), cases)
    for place, theta in enumerate(thetas):
        alone = plane_coefficients(theta, cases)
        np.testing.assert_array_equal(whole.C_low[:, place], alone.C_low)
        np.testing.assert_array_equal(whole.C_high[:, place], alone.C_high)


@given(numbers, numbers)
def test_halves_and_resultant_are_a_round_trip(force: float, moment: float) -> None:
    back = figure_resultant(1.0, halves_of(Resultant(np.array(force), np.array(moment))))
    assert back.GC_n == pytest.approx(force, abs=1e-12)
    assert back.GC_m == pytest.approx(moment, abs=1e-12)


@given(numbers, numbers, st.floats(0.5, 5.0))
def test_resultant_is_in_equilibrium_with_the_halves(
    windward: float, leeward: float, chord: float
) -> None:
    """Force and moment about mid-chord, summed over strips of the plane, gust factor 1."""
    found = figure_resultant(1.0, wind.Coefficients(np.array(windward), np.array(leeward)))
    x = (np.arange(1000) + 0.5) / 1000 * chord - chord / 2  # + towards the windward edge
    strips = np.where(x > 0, windward, leeward) * chord / 1000
    assert strips.sum() == pytest.approx(found.GC_n * chord, abs=1e-9)
    assert (strips * x).sum() == pytest.approx(found.GC_m * chord**2, abs=1e-5)


@given(standards, st.floats(20.0, 80.0), st.floats(0.5, 10.0), st.sampled_from("BCD"))
def test_velocity_pressure_grows_with_speed_and_height(
    standard: object, V: float, z: float, exposure: str
) -> None:
    at = {"exposure": exposure, "K_zt": 1.0, "K_e": 1.0, "K_d": 0.85}
    one = standard.velocity_pressure(V=V, z=z, **at)  # type: ignore[attr-defined]
    double = standard.velocity_pressure(V=2 * V, z=z, **at) if V < 60 else 4 * one  # type: ignore[attr-defined]
    assert double == pytest.approx(4 * one)
    assert standard.velocity_pressure(V=V, z=z + 2, **at) >= one  # type: ignore[attr-defined]
    rougher = standard.velocity_pressure(V=V, z=z, **{**at, "exposure": "B"})  # type: ignore[attr-defined]
    assert rougher <= one * (1 + 1e-12)


@given(st.floats(20.0, 80.0), st.floats(0.5, 6.0), st.sampled_from("BCD"), numbers)
def test_the_editions_agree_at_array_height(V: float, z: float, exposure: str, C_N: float) -> None:
    """Another height formula, directionality elsewhere: yet pressures within 1 %."""
    at = {"V": V, "exposure": exposure, "z": z, "K_zt": 1.0, "K_e": 1.0, "K_d": 0.85}
    old, new = (
        float(s.net_pressure(s.velocity_pressure(**at), 0.85, 0.85, C_N))  # type: ignore[arg-type]
        for s in STANDARDS.values()
    )
    assert new == pytest.approx(old, rel=0.01)


@given(tilts, flows, st.floats(0.1, 20.0), st.floats(0.9, 2.0))
def test_outer_zones_are_never_milder(theta: float, flow: str, area: float, a: float) -> None:
    found = [components.component_coefficients(theta, flow, z, area, a) for z in (1, 2, 3)]
    for inner, outer in pairwise(found):
        assert outer.down >= inner.down > 0
        assert outer.up <= inner.up < 0


@given(flows, st.sampled_from([0.0, 7.5, 15.0, 30.0, 45.0]))
def test_zone_coefficients_keep_their_ratios(flow: str, degrees: float) -> None:
    """Zone 2 is 1.5 and zone 3 twice zone 1 (lifting, below 10 deg: 3 times), within rounding."""
    one, two, three = (
        components.component_coefficients(np.radians(degrees), flow, z, 0.1, 0.9) for z in (1, 2, 3)
    )
    lifting = 3.0 if degrees < 10 else 2.0
    assert two.down == pytest.approx(1.5 * one.down, abs=0.051)
    assert two.up == pytest.approx(1.5 * one.up, abs=0.051)
    assert three.down == pytest.approx(2.0 * one.down, abs=0.051)
    assert three.up == pytest.approx(lifting * one.up, abs=0.051)


@given(st.floats(0.0, 1.5), st.floats(0.0, 1.5), st.floats(0.85, 1.3), st.booleans())
def test_steeper_planes_hold_less_snow(
    one: float, other: float, C_t: float, slippery: bool
) -> None:
    flat, steeper = sorted((one, other))
    less, more = (float(snow.slope_factor_of(t, C_t, slippery)) for t in (steeper, flat))
    assert 0.0 <= less <= more <= 1.0
    assert snow.slope_factor_of(one, C_t, True) <= snow.slope_factor_of(one, C_t, False)


@given(
    st.lists(numbers, min_size=2, max_size=2), st.lists(numbers, min_size=2, max_size=2),
    st.lists(numbers, min_size=2, max_size=2),
)  # fmt: skip
def test_governed_is_never_below_the_figure(
    figure: list[float], scale: list[float], moment: list[float]
) -> None:
    shown = Resultant(np.array(figure), np.array(moment))
    factors = np.abs(np.array(scale))
    mine = GroundMountCoefficients(("1", "2"), shown.GC_n * factors, shown.GC_m * factors, "L 1")
    result = governed(mine, shown, reduce_below_figure=False)
    assert (np.abs(result.used.GC_n) >= np.abs(shown.GC_n)).all()
    assert (np.abs(result.used.GC_n) >= np.abs(mine.GC_gn)).all()
    assert (np.abs(result.used.GC_m) >= np.abs(shown.GC_m)).all()
    kept = result.used.GC_n != mine.GC_gn
    assert (~kept | result.force_from_figure).all(), "what was replaced is told"


@given(
    standards, st.sampled_from(["ASD", "LRFD"]), st.integers(0, 2), st.integers(0, 3),
    st.integers(0, 2),
)  # fmt: skip
def test_combinations_spread_without_repeats(
    standard: object, method: str, snows: int, winds: int, shakes: int
) -> None:
    cases = [LoadCase("D", "D"), *(LoadCase(f"S{i}", "S") for i in range(snows))]
    cases += [LoadCase(f"W{i}", "W") for i in range(winds)]
    cases += [LoadCase(f"E{i}", "E_h") for i in range(shakes)]
    cases += [LoadCase("Ev", "E_v")] if shakes else []
    result = expand(standard.combinations(method), cases)  # type: ignore[attr-defined]
    assert len(set(result.ids)) == len(result.ids)
    assert len({tuple(r) for r in result.array}) == len(result.ids)
    assert (result.array[:, 0] > 0).all(), "dead load is in every combination"
    for nature in ("S", "W", "E_h"):
        columns = [i for i, c in enumerate(cases) if c.nature == nature]
        used = np.count_nonzero(result.array[:, columns], axis=1)
        assert (used <= 1).all()
        assert all(result.array[:, c].any() for c in columns), "every case is used somewhere"
    both = result.array[:, [i for i, c in enumerate(cases) if c.nature == "W"]].any(axis=1)
    quake = result.array[:, [i for i, c in enumerate(cases) if c.nature == "E_h"]].any(axis=1)
    assert not (both & quake).any(), "wind and earthquake never act together"
