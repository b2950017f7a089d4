"""Load combinations read from the tables of either edition."""

from __future__ import annotations

from functools import cache
from types import MappingProxyType

from plumbrail.bases.us.asce7.lookup import FOLDER
from plumbrail.bases.us.loads import METHODS, NATURES, Combination
from plumbrail.errors import RangeError
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty


@cache
def read_combinations(name: str, method: str) -> tuple[Combination, ...]:
    """Combinations of table ``asce7/name`` for ``ASD`` or ``LRFD``, in printed order."""
    if method not in METHODS:
        raise RangeError(f"basis.us.method is {method!r}; write {' or '.join(METHODS)}")
    table = load(FOLDER, name)
    words, numbers = table.words, table.numbers
    return tuple(
        Combination(
            id=words["id"][row],
            text=words["text"][row],
            source=f"{table.document} {words['clause'][row]}",
            certainty=Certainty[words["certainty"][row].upper()],
            factors=MappingProxyType(
                {n: float(numbers[n][row]) for n in NATURES if numbers[n][row]}
            ),
            leading=tuple(words["leading"][row].split()),
        )
        for row in range(len(words["id"]))
        if words["method"][row] == method
    )
