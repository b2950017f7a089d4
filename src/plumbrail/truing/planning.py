"""Amounts for all actions at once, taken apart into blocks that do not touch each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.milp import (
    QUICK,
    Block,
    Effort,
    Known,
    at_rest,
    feasible,
    fewest,
    least,
    pruned,
    scaled,
)

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]

FAINT = 0.02
"""A coefficient on another axis below this share of its row's largest is left out of the search:
a frame a little askew couples everything to everything. The whole row counts when amounts are
rounded and the result is checked."""
LOOKS = 3
SMALL_ONES = 5
"""So many small actions of a large draft are tried without, once others had to be added."""


@dataclass(frozen=True)
class Rows:
    """Linear limits on all actions. Axes: row, action."""

    A: Array
    low: Array
    high: Array
    least: Array
    most: Array
    axis: IntArray
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


@dataclass(frozen=True, slots=True)
class _Piece:
    """A block of its own and the least number its actions must have in use."""

    columns: IntArray
    bound: int
    smallest: bool


@dataclass(frozen=True)
class _Found:
    amount: Array
    count: int
    pieces: tuple[_Piece, ...]

    @property
    def bound(self) -> int:
        return sum(p.bound for p in self.pieces)

    @property
    def draft(self) -> Draft:
        return Draft(self.amount, self.count, self.bound, all(p.smallest for p in self.pieces))


def possible(rows: Rows) -> bool:
    """Whether any amounts keep all rows."""
    block = rows.block(rows.A, np.ones(len(rows.A), dtype=bool))
    return feasible(block, np.ones(len(rows.least), dtype=bool))


def draft(rows: Rows, counted: Mask, effort: Effort = QUICK) -> Draft | None:
    """Fewest, then smallest amounts; None when none keep all rows.

    Rows across several axes (a tilt depends on height and distance) wait aside and come in only
    when a draft breaks them. A bound on the fewest without them holds with them too: where the same
    actions by other amounts keep all rows, their number is proven. If not, actions are added; up to
    a limit of actions that number is then searched with all rows at once.
    """
    A = _without_faint(rows)
    axes = np.array([(np.abs(A[:, rows.axis == a]) > 0).any(axis=1) for a in range(3)]).sum(axis=0)
    found = _by_blocks(rows.block(A, axes <= 1), counted, effort)
    if found is None:
        return None
    broken = _broken(rows, A, found.amount)
    if not broken.any():
        return found.draft
    return _joined(rows, A, counted, found, axes <= 1, effort)


def _broken(rows: Rows, A: Array, amount: Array) -> Mask:
    y, size = A @ amount, 1e-5 * np.maximum(np.abs(A).max(axis=1, initial=0.0), 1e-12)
    return np.asarray((y > rows.high + size) | (y < rows.low - size))


def _joined(
    rows: Rows, A: Array, counted: Mask, found: _Found, active: Mask, effort: Effort
) -> Draft | None:
    """With the rows that join the blocks: the same actions, or a few more."""
    whole = rows.block(A, np.ones(len(A), dtype=bool))
    best = _mended(whole, counted, found.amount, effort)
    for _ in range(LOOKS):
        if best is None or _count(counted, best) <= found.bound:
            break
        active = active | _broken(rows, A, found.amount)
        found = _together(rows.block(A, active), counted, found, best, effort)
        if (found.amount == best).all():
            break
        better = least(whole, ~counted | (found.amount != 0.0), _weight(whole, counted))
        if better is not None:
            best = min(best, better, key=lambda a: _count(counted, a))
            break
    if best is None:
        return None
    count = _count(counted, best)
    return Draft(best, count, min(found.bound, count), smallest=False)


def _mended(whole: Block, counted: Mask, amount: Array, effort: Effort) -> Array | None:
    """Amounts that keep all rows, with few actions beyond those of a draft; None if none do."""
    weight, used = _weight(whole, counted), ~counted | (amount != 0.0)
    same = least(whole, used, weight)
    if same is not None:
        return same
    wide = least(whole, np.ones_like(used), np.where(used, 1e-3 * weight, weight))
    if wide is None or counted.sum() <= QUICK.prove:
        return None if wide is None else pruned(whole, counted, wide, counted)
    few = pruned(whole, counted, wide, counted & ~used)
    if not (few[counted & ~used] != 0.0).any():
        return few
    # What was added may do the work of some small ones.
    small = np.argsort(np.where(counted & used & (few != 0.0), np.abs(few), np.inf), kind="stable")
    tried = np.zeros_like(used)
    tried[small[:SMALL_ONES]] = True
    return pruned(whole, counted, few, tried & counted & used)


def _together(block: Block, counted: Mask, found: _Found, best: Array, effort: Effort) -> _Found:
    """Parts searched again that more rows have made of blocks; ``best`` keeps all rows."""
    amount, pieces = best.copy(), []
    for rows, columns in parts(block):
        known = [Known(np.isin(columns, p.columns), p.bound) for p in found.pieces
                 if np.isin(p.columns, columns).all()]  # fmt: skip
        bound, some = sum(k.number for k in known), counted[columns]
        if _count(some, best[columns]) > bound and some.sum() <= effort.joined:
            choice = fewest(_part(block, rows, columns), some, best[columns], known, effort)
            assert choice is not None  # the start is an answer
            amount[columns], bound = choice.amount, choice.bound
        pieces.append(_Piece(columns, bound, False))
    return _Found(amount, _count(counted, amount), tuple(pieces))


def _weight(block: Block, counted: Mask) -> Array:
    return np.where(counted, block.weight, 1e-3)


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


def _by_blocks(block: Block, counted: Mask, effort: Effort) -> _Found | None:
    amount = np.zeros(len(counted))
    pieces = []
    for rows, columns in parts(block):
        part = _part(block, rows, columns)
        if at_rest(part):
            continue
        choice = fewest(part, counted[columns], effort=effort)
        if choice is None:
            return None
        amount[columns] = choice.amount
        pieces.append(_Piece(columns, choice.bound, choice.smallest))
    return _Found(amount, _count(counted, amount), tuple(pieces))


def _part(block: Block, rows: IntArray, columns: IntArray) -> Block:
    return Block(block.A[np.ix_(rows, columns)], block.low[rows], block.high[rows],
                 block.least[columns], block.most[columns], block.weight[columns])  # fmt: skip


def parts(block: Block) -> list[tuple[IntArray, IntArray]]:
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
