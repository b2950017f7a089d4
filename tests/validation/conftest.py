"""Published values: each comparison is asserted and kept for the generated report."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest


@pytest.fixture
def published(request: pytest.FixtureRequest) -> Callable[..., None]:
    """Assert that our value is within ``tolerance`` of the printed one, and keep the row."""

    def compare(
        document: str, item: str, printed: float, ours: Any, tolerance: float,
        unit: str = "-", certainty: str = "confirmed",
    ) -> None:  # fmt: skip
        assert certainty in {"confirmed", "second_hand", "memory", "derived", "practice"}
        value = float(ours)
        request.node.user_properties.append(("published", {
            "document": document, "item": item, "printed": float(printed), "ours": value,
            "tolerance": float(tolerance), "unit": unit, "certainty": certainty,
            "test": request.node.nodeid.rpartition("/")[2],
        }))  # fmt: skip
        assert abs(value - printed) <= tolerance * (1 + 1e-9), (
            f"{document}, {item}: printed {printed:g} {unit}, ours {value:g}, "
            f"allowed difference {tolerance:g}"
        )

    return compare
