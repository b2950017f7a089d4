"""Options shared by all rings of tests."""

import os

import pytest
from hypothesis import HealthCheck, settings

# Speed is measured in benchmarks; a busy machine must not fail a property.
settings.register_profile("plumbrail", deadline=None, suppress_health_check=[HealthCheck.too_slow])
# The gate draws the same examples each time; everywhere else they are new ones.
settings.register_profile("gate", settings.get_profile("plumbrail"), derandomize=True)
settings.load_profile("gate" if os.environ.get("CI") else "plumbrail")


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--validation-rows FILE`` keeps the published comparisons for the report."""
    parser.addoption("--validation-rows", default=None, help="write published comparisons as JSON")
