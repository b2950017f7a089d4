"""What the text of a plan means as plain TOML data, read once for each text."""

from __future__ import annotations

import copy
import tomllib
from functools import lru_cache
from typing import Any


@lru_cache(16)
def _meant(text: str) -> dict[str, Any]:
    return tomllib.loads(text)


def look_at(text: str) -> dict[str, Any]:
    """The data, shared: not to be changed. Raises ValueError for what is no TOML."""
    return _meant(text)


def meant(text: str) -> dict[str, Any]:
    """The data, the caller's own. Raises ValueError for what is no TOML."""
    return copy.deepcopy(_meant(text))
