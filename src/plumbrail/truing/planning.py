"""Amounts for all actions at once, taken apart into blocks that do not touch each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.milp import (
    PROVE,
    Block,
    at_rest,
    feasible,
    fewest,
    least,
    pruned,
    scaled,
)

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

FAINT = 0.02
"""A coefficient on another axis below this share of its row's largest is left out of the search:
a frame a little askew couples everything to everything. The whole row counts when amounts are
rounded and the result is checked."""


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
    ease: Array
    """(actions,) factors about one: among equals the easier one."""

    def block(self, A: Array, rows: Mask) -> Block:
        """Some of the rows, with other coefficients."""
        return scaled(A[rows], self.low[rows], self.high[rows], self.least, self.most, self.ease)


@dataclass(frozen=True)
class Draft:
    """Amounts, how many of the counted ones are in use and how many must be."""

    amount: Array
    count: int
    bound: int
    smallest: bool


def possible(rows: Rows) -> bool:
    """Whether any amounts keep all rows."""
    block = rows.block(rows.A, np.ones(len(rows.A), dtype=bool))
    return feasible(block, np.ones(len(rows.least), dtype=bool))


def draft(rows: Rows, counted: Mask) -> Draft | None:
    """Fewest, then smallest amounts; None when none keep all rows.

    Rows across several axes (a tilt depends on height and distance) wait aside and come in only
    when a draft breaks them. A bound on the fewest without them holds with them too: where the same
    actions by other amounts keep all rows, their number is proven. If not, actions are added; up to
    a limit of actions that number is then searched with all rows at once.
    """
    A = _without_faint(rows)
    axes = np.array([(np.abs(A[:, rows.axis == a]) > 0).any(axis=1) for a in range(3)]).sum(axis=0)
    found = _by_blocks(rows.block(A, axes <= 1), counted)
    if found is None:
        return None
    y = A @ found.amount
    size = 1e-5 * np.maximum(np.abs(A).max(axis=1, initial=0.0), 1e-12)
    if not ((y > rows.high + size) | (y < rows.low - size))[axes > 1].any():
        return found
    return _joined(rows.block(A, np.ones(len(A), dtype=bool)), counted, found)


def _joined(block: Block, counted: Mask, found: Draft) -> Draft | None:
    """With the rows that join the blocks: the same actions, or a few more."""
    weight = np.where(counted, block.weight, 1e-3)
    used = ~counted | (found.amount != 0.0)
    amount = least(block, used, weight)
    bound = found.bound
    if amount is None:
        amount = least(block, np.ones_like(used), np.where(used, 1e-3, weight))
        if amount is None:
            return None
        amount = pruned(block, counted, amount)
        if _count(counted, amount) > bound and counted.sum() <= PROVE:
            choice = fewest(block, counted, amount, bound)
            assert choice is not None
            amount, bound = choice.amount, choice.bound
    count = _count(counted, amount)
    return Draft(amount, count, min(bound, count), smallest=False)


def _count(counted: Mask, amount: Array) -> int:
    return int((counted & (amount != 0.0)).sum())


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
                     block.least[columns], block.most[columns], block.weight[columns])  # fmt: skip
        if at_rest(part):
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
