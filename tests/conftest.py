"""Options shared by all rings of tests."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--validation-rows FILE`` keeps the published comparisons for the report."""
    parser.addoption("--validation-rows", default=None, help="write published comparisons as JSON")
