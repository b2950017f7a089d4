"""The load standards of the basis by the title a plan writes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from plumbrail.bases.us import asce7_16, asce7_22
from plumbrail.bases.us.loads import LoadStandard
from plumbrail.errors import RangeError

_BOTH: tuple[LoadStandard, ...] = (asce7_16.STANDARD, asce7_22.STANDARD)
STANDARDS: Mapping[str, LoadStandard] = MappingProxyType({s.title: s for s in _BOTH})


def load_standard(title: str) -> LoadStandard:
    """The standard a plan names in ``basis.us.loads``; raises RangeError for another."""
    if title not in STANDARDS:
        raise RangeError(f"basis.us.loads is {title!r}; write {' or '.join(STANDARDS)}")
    return STANDARDS[title]
