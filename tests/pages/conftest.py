"""One browser for all tests of a file."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from tests.static_views import Views, opened_views


@pytest.fixture(scope="module")
def view() -> Iterator[Views]:
    """Opens pages with one view of the app each."""
    with opened_views() as views:
        yield views
