"""Amounts for all actions at once, taken apart into blocks that do not touch each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.milp import PROVE_SIZES, Block, feasible, fewest, scaled, widened

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

FAINT = 0.02
"""A coefficient on another axis below this share of its row's largest is left out of the search:
a frame a little askew couples everything to everything. The whole row counts when amounts are
rounded and the result is checked."""
LOOKS = 6


@dataclass(frozen=True)
class Rows:
    """Linear limits on all actions. Axes: row, action."""

    A: Array
    low: Array
    high: Array
    least: Array
    most: Array
    axis: NDArray[np.int64]
    """(actions,) along, across or up."""


@dataclass(frozen=True)
class Draft:
    """Amounts, how many of the counted ones are in use and how many must be."""

    amount: Array
    count: int
    bound: int
    smallest: bool


def possible(rows: Rows) -> bool:
    """Whether any amounts keep all rows."""
    block = scaled(rows.A, rows.low, rows.high, rows.least, rows.most)
    return feasible(block, np.ones(len(rows.least), dtype=bool))


def draft(rows: Rows, counted: Mask) -> Draft | None:
    """Fewest, then smallest amounts; None when none keep all rows.

    Rows across several axes (a tilt depends on height and distance) wait aside and come in only
    when a draft breaks them. A bound on the fewest without them holds with them too: where the same
    actions by other amounts keep all rows, their number is proven. If not, all of it is searched
    at once, or, with many actions, a few are added and the number is not proven.
    """
    A = _without_faint(rows)
    axes = np.array([(np.abs(A[:, rows.axis == a]) > 0).any(axis=1) for a in range(3)]).sum(axis=0)
    active = axes <= 1
    least = 0
    for look in range(LOOKS):
        if look == LOOKS - 1:
            active[:] = True
        found = _by_blocks(
            scaled(A[active], rows.low[active], rows.high[active], rows.least, rows.most), counted
        )
        if found is None:
            return None
        least = max(least, found.bound)
        y = A @ found.amount
        size = 1e-5 * np.maximum(np.abs(A).max(axis=1, initial=0.0), 1e-12)
        broken = ~active & ((y > rows.high + size) | (y < rows.low - size))
        if not broken.any():
            return Draft(found.amount, found.count, least, found.smallest)
        joined = scaled(A, rows.low, rows.high, rows.least, rows.most)
        if not feasible(joined, np.ones_like(counted)):
            return None
        wider = widened(joined, counted, (np.abs(found.amount) > 1e-6) | ~counted)
        if wider.count <= least or len(counted) > PROVE_SIZES:
            return Draft(wider.amount, wider.count, min(least, wider.count), smallest=False)
        active |= broken
    raise AssertionError("the last look has every row")


def _without_faint(rows: Rows) -> Array:
    """Rows without the faint coefficients on other axes than their own."""
    size = np.abs(rows.A)
    most = size.max(axis=1, keepdims=True, initial=0.0)
    own = np.zeros_like(size, dtype=bool)
    for a in range(3):
        mask = rows.axis == a
        strong = (size[:, mask] >= FAINT * most).any(axis=1, keepdims=True)
        own[:, mask] = strong
    return np.where(own & (size > 1e-9 * most), rows.A, 0.0)


def _by_blocks(block: Block, counted: Mask) -> Draft | None:
    amount = np.zeros(len(counted))
    count = bound = 0
    smallest = True
    for rows, columns in parts(block):
        part = Block(block.A[np.ix_(rows, columns)], block.low[rows], block.high[rows],
                     block.least[columns], block.most[columns])  # fmt: skip
        if ((part.low <= 0.0) & (part.high >= 0.0)).all():
            continue
        choice = fewest(part, counted[columns])
        if choice is None:
            return None
        amount[columns] = choice.amount
        count, bound = count + choice.count, bound + choice.bound
        smallest &= choice.smallest
    return Draft(amount, count, bound, smallest)


def parts(block: Block) -> list[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    """Rows and columns of each part; a row that no action touches is a part of its own."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    m, n = block.A.shape
    touch = np.zeros((m + n, m + n))
    touch[:m, m:] = np.abs(block.A) > 0.0
    number, label = connected_components(csr_array(touch), directed=False)
    found = []
    for part in range(number):
        rows = np.flatnonzero(label[:m] == part)
        if len(rows):
            found.append((rows, np.flatnonzero(label[m:] == part)))
    return found
