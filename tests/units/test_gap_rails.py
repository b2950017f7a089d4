"""How slender a rail counts, by the section of the demo: radii by hand from its I and A."""

from __future__ import annotations

from math import sqrt

import pytest

from plans import INCH, model_with, plan_with
from plumbrail.checks.rails import slenderness

R, R_SIDE = sqrt(1.44 / 1.09) * INCH, sqrt(0.29 / 1.09) * INCH
"""1.149 in across the plane, 0.516 in sideways."""


@pytest.mark.parametrize(("support", "sideways"), [
    (None, None), ("2 ft", 24 * INCH), ("5 ft", 60 * INCH), ("30 ft", None),
])  # fmt: skip
def test_a_side_support_shortens_only_the_way_it_holds(
    support: str | None, sideways: float | None
) -> None:
    """Derived: L/r, sideways between supports, never over more than the span itself.

    With 2 ft the span across the plane governs, 105 in over 1.149 in.
    """
    changes = {} if support is None else {"frame.rail.side_support": support}
    span = float(model_with(changes).rails.span.max())
    wanted = max(span / R, (sideways or span) / R_SIDE)
    assert slenderness(plan_with(changes), model_with(changes)) == pytest.approx(wanted, rel=1e-6)
    assert (wanted == span / R) is (support == "2 ft")
