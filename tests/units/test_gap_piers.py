"""Friction of a pier's shaft against uplift, where the plan states it."""

from __future__ import annotations

from math import pi

import pytest

from plans import FOOT, PSF, alder_checks, checks_of, plan_with, response_with
from plumbrail.checks.foundations import _batch

FRICTION = {
    "piers.uplift_friction": "300 psf", "piers.uplift_factor": 3.0,
    "piers.friction_source": "geotechnical report",
}  # fmt: skip


@pytest.mark.parametrize(("post", "deep"), [("F2", 7.0), ("B2", 6.0)])
def test_friction_over_its_factor_below_the_frost_adds_to_the_weight(
    post: str, deep: float
) -> None:
    """IBC 1810.3.3.1.5: 300 psf over 3 on a shaft of 2 ft, below the 24 in of frost (practice)."""
    own = alder_checks().find(f"{post}.uplift")
    rough = checks_of(plan_with(FRICTION)).find(f"{post}.uplift")
    assert own.combination == rough.combination
    added = 100 * PSF * pi * 2 * FOOT * (deep - 2) * FOOT
    assert rough.capacity == pytest.approx(own.capacity + added, rel=1e-6)
    assert rough.demand == pytest.approx(own.demand)
    looser = checks_of(plan_with(FRICTION | {"piers.uplift_factor": 1.5})).find(f"{post}.uplift")
    assert looser.capacity == pytest.approx(own.capacity + 2 * added, rel=1e-6)


def test_an_earthquake_lightens_a_pier_and_never_makes_it_count_more_against_uplift() -> None:
    """ASCE 7 12.4.2.2: 0.2 S_DS D up or down, with 0.7: 0.6 D - 0.14 D, and D + 0.14 D in bearing.

    Against uplift no more than the whole weight counts, in bearing no less.
    """
    plan = plan_with({"site.seismic_sds": 1.0})
    batch, _ = _batch(plan, *response_with(plan))
    assert (batch.psi.min(), batch.psi.max()) == (pytest.approx(0.46), pytest.approx(1.0))
    assert (batch.psi_b.min(), batch.psi_b.max()) == (pytest.approx(1.0), pytest.approx(1.14))
