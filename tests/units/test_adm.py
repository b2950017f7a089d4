"""Aluminium rails: section route, maker's figures, deflection."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from plumbrail.bases.us.adm import rails, stated, thrust
from plumbrail.errors import RangeError, TableError
from plumbrail.trace import Certainty, recording

KSI = 6894757.293168361


def one_rail(**changes: float) -> rails.Rails:
    a = rails.alloy("6005A-T61")
    values = {"M_y": -400.0, "M_z": 20.0, "V": -900.0, "S_y": 8e-6, "S_z": 4e-6, "A_w": 2e-4,
              "F_ty": a.F_ty, "F_tu": a.F_tu, "E": a.E, "A": 7e-4, "N": 0.0,
              "lam": 120.0} | changes  # fmt: skip
    return rails.Rails(**{k: np.full((1, 1, 1), v) for k, v in values.items()})


def test_rupture_governs_6005a_by_asd_and_both_senses_count() -> None:
    batch = one_rail()
    result = rails.ratios(batch, "ASD")
    stress = 400.0 / 8e-6 + 20.0 / 4e-6
    np.testing.assert_allclose(result.yielding, stress * 1.65 / batch.F_ty)
    np.testing.assert_allclose(result.rupture, stress * 1.95 / batch.F_tu)
    np.testing.assert_allclose(result.shear, 900 * 1.65 / (0.6 * batch.F_ty * 2e-4))
    assert (result.rupture > result.yielding).all()
    np.testing.assert_array_equal(result.largest, result.rupture)


def test_lrfd_uses_its_own_factors_from_memory() -> None:
    batch = one_rail()
    with recording() as record:
        result = rails.ratios(batch, "LRFD")
    stress = 400.0 / 8e-6 + 20.0 / 4e-6
    np.testing.assert_allclose(result.rupture, stress / (0.75 * batch.F_tu))
    assert record.certainty == Certainty.MEMORY
    assert record.loose() == []
    assert record.misfits() == []


def test_a_missing_section_property_is_refused() -> None:
    with pytest.raises(RangeError, match="S_z"):
        rails.ratios(one_rail(S_z=0.0), "ASD")


def test_an_unknown_alloy_is_refused() -> None:
    with pytest.raises(TableError, match="6063-T6"):
        rails.alloy("6082-T6")


TABLE = stated.SpanTable(
    np.array([1.0, 2.0, 3.0]), np.array([4000.0, 2000.0, 900.0]), "invented rail", Certainty.MAKER
)


def test_the_makers_table_is_read_between_its_spans() -> None:
    """At the spans themselves as printed; halfway on a logarithmic axis the geometric mean."""
    found = TABLE.allowable([1.0, 2.0**0.5, 6.0**0.5, 3.0])
    np.testing.assert_allclose(found, [4000, 8e6**0.5, 1.8e6**0.5, 900])


@pytest.mark.parametrize("governs", ["shear", "moment", "deflection", "all in turn"])
def test_between_its_spans_a_table_never_gives_more_than_mechanics(governs: str) -> None:
    """Simple beam: w falls as 1/L in shear, 1/L**2 in bending, 1/L**3 in deflection."""
    laws: dict[str, Callable[[Any], Any]] = {
        "shear": lambda L: 9e3 / L,
        "moment": lambda L: 9e3 / L**2,
        "deflection": lambda L: 9e3 / L**3,
        "all in turn": lambda L: np.minimum.reduce([9e3 / L, 16e3 / L**2, 36e3 / L**3]),
    }
    law, spans, between = laws[governs], np.array([1.0, 1.6, 2.4, 4.0]), np.linspace(1.0, 4.0, 301)
    table = stated.SpanTable(spans, law(spans), "invented rail", Certainty.MAKER)
    assert (table.allowable(between) <= law(between) * (1 + 1e-12)).all()
    np.testing.assert_allclose(table.allowable(spans), law(spans))
    plain = np.interp(between, spans, law(spans))
    assert (plain > law(between) * 1.01).any(), "a chord on plain axes is on the unsafe side"


@pytest.mark.parametrize("span", [0.9, 3.1, np.nan])
def test_outside_the_makers_table_is_refused(span: float) -> None:
    with pytest.raises(RangeError, match="invented rail"):
        TABLE.allowable(span)


@pytest.mark.parametrize(
    ("spans", "loads"),
    [([1.0], [2.0]), ([1.0, 1.0], [2.0, 2.0]), ([1.0, 2.0], [2.0, 0.0]), ([1.0, 2.0], [2.0])],
)
def test_a_damaged_table_is_refused(spans: Any, loads: Any) -> None:
    with pytest.raises(TableError, match="x"):
        stated.SpanTable(np.array(spans), np.array(loads), "x", Certainty.MAKER)


def test_line_loads_against_the_makers_table() -> None:
    loads = stated.LineLoads(w=np.array([[-1000.0, 500.0]]), span=np.array([[2.0**0.5]]))
    with recording() as record:
        ratio = stated.load_ratios(loads, TABLE)
    np.testing.assert_allclose(ratio, np.array([[1000.0, 500.0]]) / 8e6**0.5)
    assert record.loose() == []
    assert record.misfits() == []


def test_moments_against_the_makers_moment() -> None:
    batch = stated.StatedMoments(M=np.full((1, 1, 2), -300.0), M_stated=np.full((1, 1, 1), 600.0))
    np.testing.assert_allclose(stated.moment_ratios(batch), 0.5)
    with pytest.raises(RangeError, match="maker"):
        stated.moment_ratios(dataclasses.replace(batch, M_stated=np.zeros((1, 1, 1))))


def test_midspan_deflection_by_integration() -> None:
    """Unit-load theorem on the parabola of moments, by Simpson's rule (exact to the cube)."""
    w, L, E, inertia = 700.0, 2.4, 7e10, 3e-7
    x = np.linspace(0, L / 2, 2001)
    real, unit = w * x * (L - x) / 2, x / 2
    weights = np.ones_like(x)
    weights[1:-1:2], weights[2:-1:2] = 4, 2
    expected = 2 * float(np.sum(weights * real * unit)) * (x[1] - x[0]) / 3 / (E * inertia)
    assert float(stated.simple_span_deflection(w, L, E, inertia)) == pytest.approx(
        expected, rel=1e-9
    )
    limit = stated.deflection_limit(2.4, 180.0)
    assert float(stated.deflection_ratio(0.01, limit)) == pytest.approx(0.75)


def test_thrust_and_pull_add_to_bending() -> None:
    """Elastic buckling by hand at a slenderness of 120; pull against rupture of the section."""
    still, pushed, pulled = (rails.ratios(one_rail(N=N), "ASD") for N in (0.0, -2000.0, 2000.0))
    bending = max(still.yielding.item(), still.rupture.item())
    assert still.together.item() == pytest.approx(bending)

    F_c = 0.85 * np.pi**2 * 10100 * KSI / 120**2
    assert pushed.together.item() == pytest.approx(2000 / (F_c * 7e-4 / 1.65) + bending)
    T_c = min(35 / 1.65, 38 / 1.95) * KSI * 7e-4
    assert pulled.together.item() == pytest.approx(2000 / T_c + bending)


def test_a_stocky_rail_reaches_the_yield_strength_and_no_more() -> None:
    stocky = rails.ratios(one_rail(N=-2000.0, lam=1.0, M_y=0.0, M_z=0.0), "ASD")
    B_c = 35 * (1 + (35 / 2250) ** 0.5)
    D_c = B_c / 10 * (B_c / 10100) ** 0.5
    F_c = min(35, 0.85 * (B_c - D_c)) * KSI
    assert stocky.together.item() == pytest.approx(2000 / (F_c * 7e-4 / 1.65))


def test_buckling_strength_falls_with_slenderness_without_a_jump() -> None:
    lam = np.linspace(1, 250, 2000)
    B_c = thrust.buckling_intercept(np.array(35 * KSI))
    D_c = thrust.buckling_slope(B_c, np.array(10100 * KSI))
    C_c = thrust.elastic_limit(B_c, D_c)
    F_c = thrust.buckling_stress(lam, B_c, D_c, C_c, np.array(35 * KSI), np.array(10100 * KSI))
    assert (np.diff(F_c) <= 0).all()
    assert np.abs(np.diff(F_c)).max() < 0.02 * F_c.max()
