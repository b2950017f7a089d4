"""Names of the pieces of a cut list, for their ticks: by what is sawn from what, not by place."""

from __future__ import annotations

import hashlib
from collections import Counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from plumbrail.stock.records import Stick

_STEP = 1e-4
"""Lengths [m] that differ by less are sawn alike: less than a saw follows a pencil line."""
_DIGITS = 8
_ROOM = 100
"""Letters of an item in the store."""


class Names:
    """Hands out the names of one cut list; of sticks that are alike the second says so."""

    def __init__(self) -> None:
        self._seen: Counter[str] = Counter()

    def of(self, section: str, stick: Stick) -> list[str]:
        """``NPS 4 STD post F3 #1f2e3d4c`` for each piece of a stick, in its order.

        The mark after # stands for the stick: its stock and everything that is sawn from it. A
        tick stays with its piece as long as that is the same, wherever in the list the stick comes.
        """
        mark = digest(section, stick)
        self._seen[mark] += 1
        again = f".{self._seen[mark]}" if self._seen[mark] > 1 else ""
        found: list[str] = []
        labels: Counter[str] = Counter()
        for part in stick.cuts:
            labels[part.label] += 1
            more = f" ({labels[part.label]})" if labels[part.label] > 1 else ""
            tail = f"{more} #{mark}{again}"
            found.append(f"{section} {part.label}"[: _ROOM - len(tail)] + tail)
        return found


def digest(section: str, stick: Stick) -> str:
    """What a stick is: section, length, whether from the yard, trim, and its pieces."""
    said = [
        section, _steps(stick.length), stick.own, _steps(stick.trim),
        sorted((part.label, _steps(part.length)) for part in stick.cuts),
    ]  # fmt: skip
    return hashlib.sha256(repr(said).encode()).hexdigest()[:_DIGITS]


def _steps(length: float) -> int:
    return round(length / _STEP)
