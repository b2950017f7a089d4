"""Options shared by all rings of tests, and the published values that they compared."""

import gc
import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

# Large results are kept for many tests: looking through all of them at every turn takes long.
gc.set_threshold(100_000, 50, 100)

# Speed is measured in benchmarks; a busy machine must not fail a property.
settings.register_profile("plumbrail", deadline=None, suppress_health_check=[HealthCheck.too_slow])
# The gate draws the same examples each time; everywhere else they are new ones.
settings.register_profile("gate", settings.get_profile("plumbrail"), derandomize=True)
settings.load_profile("gate" if os.environ.get("CI") else "plumbrail")


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--validation-rows FILE`` keeps the published comparisons for the report."""
    parser.addoption("--validation-rows", default=None, help="write published comparisons as JSON")


@pytest.fixture(scope="module")
def worked_once() -> Iterator[None]:
    """A module that asks for this works out the same book or demo once."""
    from worked_once import shared

    with shared():
        yield


ROWS: list[dict[str, Any]] = []


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Collect the comparisons of a test, also from another process."""
    if report.when == "call":
        ROWS.extend(row for name, row in report.user_properties if name == "published")


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Write the rows when the report is asked for with ``--validation-rows FILE``."""
    target = session.config.getoption("--validation-rows")
    if target and ROWS and not hasattr(session.config, "workerinput"):
        Path(target).write_text(json.dumps(ROWS, indent=1), encoding="utf-8")
