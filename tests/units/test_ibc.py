"""Piers: convergence, limits, uplift, bearing, refusals, replay."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from plumbrail.bases.us.ibc import embedment as em
from plumbrail.bases.us.ibc import holding, piers
from plumbrail.bases.us.ibc.soil import friction_from_ultimate, soil, uplift_factor
from plumbrail.errors import RangeError, TableError
from plumbrail.trace import Certainty, recording

CASES: dict[str, Any] = {
    "P_x": [[0.0, 3e3, 500.0, 0.0]], "P_y": [[0.0, 0.0, 500.0, 0.0]],
    "M_x": [[0.0, 0.0, 4e3, 3e3]], "M_y": [[0.0, 4e3, 0.0, 4e3]],
    "N_u": [[0.0, 5e3, 0.0, 0.0]], "N_c": [[0.0, 0.0, 9e3, 0.0]],
    "b": 0.4, "d": 1.5, "e": 0.1, "d_f": 0.6, "D": 0.073, "gamma_c": 23_560.0, "psi": 0.6,
    "B_2": 1.0, "psi_b": 1.0, "k": 1.0, "s": 23_563.0, "q": 95_760.0, "f_s": 15_960.0,
}  # fmt: skip


def some_piers(**changes: Any) -> piers.Piers:
    values = {k: np.asarray(v, dtype=float) for k, v in (CASES | changes).items()}
    return piers.Piers(**{k: v if v.ndim == 2 else v.reshape(1, 1) for k, v in values.items()})


def test_nothing_acting_needs_no_depth() -> None:
    result = piers.ratios(some_piers())
    assert result.required[0, 0] == 0
    assert result.embedment[0, 0] == 0


@pytest.mark.parametrize("combination", range(4))
def test_each_case_explains_itself(combination: int) -> None:
    batch = some_piers()
    whole = piers.ratios(batch)
    with recording() as record:
        one = piers.ratios(batch.at(pier=0, combination=combination))
    assert one.largest.item() == pytest.approx(whole.largest[0, combination], rel=1e-12)
    assert record.loose() == []
    assert record.misfits() == []
    assert all(step.holds() for step in record.steps)
    residuals = [s.residual for s in record.steps if s.kind == "analysis"]
    assert len(residuals) == 1
    assert residuals[0] is not None
    assert residuals[0] < 1e-12


def test_moment_alone_is_the_limit_of_the_printed_equation() -> None:
    """P falls, P h stays: Eq. 18-1 tends to sqrt(1.09 * 2.34 M / (S_1 b))."""
    result = piers.ratios(some_piers())
    d = result.required[0, 3]
    S_1 = 23_563.0 * d / 3
    assert d == pytest.approx(np.sqrt(1.09 * 2.34 * 5e3 / (S_1 * 0.4)), rel=1e-12)
    small = 1e-6
    A = em.embedment_factor(small, S_1, 0.4)
    assert em.embedment(A, 5e3 / small) == pytest.approx(d, rel=1e-6)


def test_the_printed_form_and_the_form_with_moment_agree() -> None:
    A, h = np.array([0.1, 0.5, 2.0]), np.array([0.2, 3.0, 9.0])
    np.testing.assert_allclose(em.embedment(A, h), em.embedment_with_moment(A, A * h))


def test_the_two_constrained_equations_agree() -> None:
    force = em.constrained_embedment_by_force(700.0, 2.0, 9e3, 0.4)
    assert force == pytest.approx(em.constrained_embedment(1400.0, 9e3, 0.4))


def test_pressure_stops_growing_at_the_limit() -> None:
    args = (np.array(1e5), np.array(9e5), np.array(0.5), np.array(1.5e4), np.array(1.0))
    d = float(em.converged_embedment(*args, np.array(3.0)))
    S_1 = em.pressure_at_third(args[4], args[3], d, 3.0)
    A = em.embedment_factor(args[0], S_1, args[2])
    assert d > 3
    assert em.embedment(A, 9.0) == pytest.approx(d, rel=1e-12)


def test_forces_and_moments_combine_as_resultants() -> None:
    both = piers.ratios(some_piers(P_x=[[300.0]], P_y=[[400.0]], M_x=[[600.0]], M_y=[[-800.0]]))
    one = piers.ratios(some_piers(P_x=[[500.0]], P_y=[[0.0]], M_x=[[0.0]], M_y=[[1000.0]]))
    np.testing.assert_allclose(both.required, one.required)


def test_uplift_capacity_by_hand() -> None:
    result = piers.ratios(some_piers())
    W = 23_560 * np.pi * 0.04 * 1.6
    F = 15_960 * np.pi * 0.4 * 0.9
    np.testing.assert_allclose(result.uplift_capacity, 0.6 * W + F)
    assert result.uplift[0, 1] == pytest.approx(5e3 / (0.6 * W + F))
    deep_frost = piers.ratios(some_piers(d_f=2.0))
    np.testing.assert_allclose(deep_frost.uplift_capacity, 0.6 * W)
    np.testing.assert_allclose(deep_frost.depth, 2.0 / 1.5)


def test_bearing_and_cover_by_hand() -> None:
    result = piers.ratios(some_piers())
    W, area = 23_560 * np.pi * 0.04 * 1.6, np.pi * 0.04
    assert result.bearing[0, 2] == pytest.approx((9e3 + W) / area / 95_760)
    np.testing.assert_allclose(result.cover, 0.0762 / ((0.4 - 0.073) / 2))
    np.testing.assert_allclose(piers.ratios(some_piers(d_f=0.0)).depth, 0.3048 / 1.5)


def test_isolated_poles_need_less_depth() -> None:
    one, two = piers.ratios(some_piers()), piers.ratios(some_piers(k=2.0))
    assert (two.required[0, 1:] < one.required[0, 1:]).all()


@pytest.mark.parametrize(
    ("field", "value"),
    [("b", 0.0), ("d", -1.0), ("s", 0.0), ("k", 3.0), ("psi", 0.0), ("psi", 1.2), ("D", 0.5),
     ("N_u", -1.0), ("q", np.nan), ("psi_b", 2.0)],
)  # fmt: skip
def test_what_makes_no_pier_is_refused(field: str, value: float) -> None:
    with pytest.raises(RangeError):
        piers.ratios(some_piers(**{field: value}))


def test_soil_classes_and_uplift_factors() -> None:
    assert soil("4").certainty == Certainty.CONFIRMED
    assert friction_from_ultimate(600.0, uplift_factor("wind or seismic", "analysis")) == 300
    with pytest.raises(TableError, match="soils report"):
        soil("6")
    with pytest.raises(TableError, match="load test"):
        uplift_factor("other", "guess")


def test_weight_is_that_of_a_cylinder() -> None:
    assert holding.pier_weight(24e3, 2.0, 0.9, 0.1) == pytest.approx(24e3 * np.pi)
