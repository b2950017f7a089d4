"""Published values: each comparison is asserted and kept for the generated report."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

ROWS: list[dict[str, Any]] = []


@pytest.fixture
def published(request: pytest.FixtureRequest) -> Callable[..., None]:
    """Assert that our value is within ``tolerance`` of the printed one, and keep the row."""

    def compare(
        document: str, item: str, printed: float, ours: Any, tolerance: float,
        unit: str = "-", certainty: str = "confirmed",
    ) -> None:  # fmt: skip
        assert certainty in {"confirmed", "second_hand", "memory", "derived", "practice"}
        value = float(ours)
        ROWS.append({
            "document": document, "item": item, "printed": printed, "ours": value,
            "tolerance": tolerance, "unit": unit, "certainty": certainty,
            "test": request.node.nodeid.rpartition("/")[2],
        })  # fmt: skip
        assert abs(value - printed) <= tolerance * (1 + 1e-9), (
            f"{document}, {item}: printed {printed:g} {unit}, ours {value:g}, "
            f"allowed difference {tolerance:g}"
        )

    return compare


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Write the rows when the report is asked for with ``--validation-rows FILE``."""
    target = session.config.getoption("--validation-rows")
    if target and ROWS:
        Path(target).write_text(json.dumps(ROWS, indent=1), encoding="utf-8")
