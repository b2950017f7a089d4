"""Long computations that the tests of one module look at from many sides: worked out once each.

What is kept is what the program's own function gave for the same plan at the same place, the same
files and the same settings; it is dropped with the module.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from plumbrail.jobs.book_parts_results import results
from plumbrail.jobs.demo import main_job
from plumbrail.plan.reader import LoadedPlan


@contextmanager
def shared() -> Iterator[None]:
    """Inside, books and demos of one plan share their computations."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("plumbrail.jobs.book.results", once(results))
        patch.setattr("plumbrail.cli.demo.main_job", once(main_job))
        yield


def once(function: Callable[..., Any]) -> Callable[..., Any]:
    """The function, its answers kept by what it is given."""
    kept: dict[Any, Any] = {}

    def asked(*given: Any) -> Any:
        key = tuple(_content(g) for g in given)
        if key not in kept:
            kept[key] = function(*given)
        return kept[key]

    return asked


def _content(given: Any) -> Any:
    """What an answer depends on; a function is only told how far the work is."""
    if isinstance(given, LoadedPlan):
        return given.source, given.text, given.plan.model_dump_json()
    if isinstance(given, str | Path):
        return str(given), Path(given).read_bytes()
    if isinstance(given, list | tuple):
        return tuple(_content(g) for g in given)
    assert given is None or callable(given)
    return None
