"""The fewest, then smallest amounts that bring rows of numbers inside limits (HiGHS by scipy).

Continuous amounts; what is counted is how many are not zero.

* A *draft* comes from linear programs: least totals, each time weighted by the inverse of the last
  amounts, so that small ones vanish; then single actions are left out as long as the rest suffices.
* Its number is a proven least where that many *covers* share no action. A cover is a set of actions
  of which at least one has to be used.
* If not, one mixed-integer program with all covers in it is asked for fewer than the draft has.
  That there are none is quickly shown; what it finds instead is the new draft. A large block only
  gets the bound of that program with actions in parts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.covers import first_covers
from plumbrail.truing.solver import Part, program

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

ZERO = 1e-6
"""Amounts under this share of a step are none."""
SLACK = 1e-6
"""Share of a row's largest coefficient times one step within which it counts as held."""
PROOF = 1e-4
"""The same for a proof that fewer will not do: rows are taken this much wider, far beyond what the
solver rounds, so that a number called proven does not hang on its last digits."""
THINNINGS = 3
NODES = 400
PROVE = 64
"""Blocks with more counted actions than this are only bounded by a linear program."""
PROVE_SIZES = 8
"""Blocks with more counted actions than this get their sizes by exchange, not by proof."""
EXCHANGES = 4


@dataclass(frozen=True)
class Block:
    """low <= A m <= high with least <= m <= most; rows scaled to a largest coefficient of 1."""

    A: Array
    low: Array
    high: Array
    least: Array
    most: Array
    ease: Array | None = None
    """(actions,) factors about one on the amounts in the total: among equals the easier one."""

    @property
    def weight(self) -> Array:
        """Factors of the total."""
        return np.ones(len(self.least)) if self.ease is None else self.ease


@dataclass(frozen=True)
class Choice:
    """Amounts and what is known about their number."""

    amount: Array
    count: int
    """Counted actions in use."""
    bound: int
    """No choice has fewer."""
    smallest: bool
    """Proven that none with this count has a smaller total."""


def scaled(
    A: Array, low: Array, high: Array, least: Array, most: Array, ease: Array | None = None
) -> Block:
    """Rows scaled, those that cannot be broken left out."""
    size = np.abs(A).max(axis=1, initial=0.0)
    top = np.where(A > 0, A * most, A * least).sum(axis=1)
    bottom = np.where(A > 0, A * least, A * most).sum(axis=1)
    keep = (top > high + 0.1 * SLACK * size) | (bottom < low - 0.1 * SLACK * size)
    size = np.where(size > 0, size, 1.0)[keep]
    return Block(A[keep] / size[:, None], low[keep] / size, high[keep] / size, least, most, ease)


def at_rest(block: Block) -> bool:
    """Whether every row is kept by no amounts at all."""
    return bool((block.low <= SLACK).all() and (block.high >= -SLACK).all())


def least(block: Block, support: Mask, weight: Array) -> Array | None:
    """Amounts of a support with the least weighted total; None when none will do."""
    amount = np.zeros(len(support))
    if not support.any() or not len(block.A):
        return amount if at_rest(block) else None
    # A row that nothing in the support touches would only be a hidden contradiction.
    A, n = block.A[:, support], int(support.sum())
    part = Part(np.hstack([A, -A]), block.low - SLACK, block.high + SLACK)
    most = np.concatenate([block.most[support], -block.least[support]])
    result = program(np.tile(weight[support], 2), [part], np.zeros(2 * n), most)
    if result.x is None:
        return None
    amount[support] = result.x[:n] - result.x[n:]
    return np.where(np.abs(amount) > ZERO, amount, 0.0)


def feasible(block: Block, support: Mask) -> bool:
    """Whether some amounts of a support keep every row."""
    return least(block, support, np.zeros(len(support))) is not None


def fewest(
    block: Block, counted: Mask, start: Array | None = None, bound: int = 0
) -> Choice | None:
    """Fewest counted amounts, then least total of them; None when no amounts will do.

    ``counted`` (actions,): the others may be used freely. ``start``: amounts that keep all rows;
    ``bound``: a number already known to be needed.
    """
    weight = np.where(counted, block.weight, 1e-3)
    first = least(block, np.ones_like(counted), weight) if start is None else start
    if first is None:
        return None
    if not _count(counted, first):
        return Choice(first, 0, 0, True)
    covers = first_covers(block.A, block.low, block.high, counted)
    amount = first
    if start is None:
        amount = _thinned(block, counted, first)
        amount = pruned(block, counted, amount, counted & ~_needed(covers, amount))
    bound = max(bound, _apart(covers))
    if bound < _count(counted, amount):
        prove = _by_program if counted.sum() <= PROVE else _by_relaxing
        bound, amount = prove(block, counted, covers, bound, amount)
    count = _count(counted, amount)
    bound = min(bound, count)
    if counted.sum() > PROVE_SIZES:
        return Choice(_exchanged(block, counted, amount), count, bound, False)
    amount, proven = _smallest(block, counted, covers, amount)
    return Choice(amount, count, bound, proven)


def pruned(block: Block, counted: Mask, amount: Array, doubtful: Mask) -> Array:
    """Amounts that still keep all rows, with single doubtful actions left out, small ones first."""
    weight = np.where(counted, block.weight, 1e-3)
    span = block.most - block.least
    for j in np.argsort(np.abs(amount) / span / weight, kind="stable"):
        if doubtful[j] and amount[j] != 0.0:
            support = ~counted | (amount != 0.0)
            support[j] = False
            trial = least(block, support, weight)
            amount = amount if trial is None else trial
    return amount


def _needed(covers: list[Mask], amount: Array) -> Mask:
    """Actions in use that are the only ones of a cover."""
    used = np.array(covers, dtype=bool).reshape(len(covers), len(amount)) & (amount != 0.0)
    return np.asarray(used[used.sum(axis=1) == 1].any(axis=0))


def _count(counted: Mask, amount: Array) -> int:
    return int((counted & (amount != 0.0)).sum())


def _thinned(block: Block, counted: Mask, amount: Array) -> Array:
    """Least totals weighted by the inverse of the last amounts."""
    best = amount
    for _ in range(THINNINGS):
        weight = np.where(counted, block.weight / (np.abs(amount) + 0.5), 1e-3)
        trial = least(block, ~counted | (best != 0.0), weight)
        if trial is None:  # the same rows with another answer of the solver: keep what there is
            break
        if _count(counted, trial) >= _count(counted, best) and best is not amount:
            break
        amount = trial
        best = trial if _count(counted, trial) <= _count(counted, best) else best
    return best


def _apart(covers: list[Mask]) -> int:
    """A number of covers that share no action, small ones first."""
    number, taken = 0, np.zeros(len(covers[0]) if covers else 0, dtype=bool)
    for cover in sorted(covers, key=lambda c: int(c.sum())):
        if not (cover & taken).any():
            number, taken = number + 1, taken | cover
    return number


def _switched(block: Block, counted: Mask, covers: list[Mask]) -> list[Part]:
    """Rows of the programs in whole numbers. Columns: amounts, on (counted actions)."""
    n, k = len(counted), int(counted.sum())
    one, none = np.eye(n)[counted], np.zeros((len(block.A), k))
    parts = [
        Part(np.hstack([block.A, none]), block.low - PROOF, block.high + PROOF),
        Part(np.hstack([one, -np.diag(block.most[counted])]), -np.inf, 0.0),
        Part(np.hstack([-one, np.diag(block.least[counted])]), -np.inf, 0.0),
    ]
    if covers:
        used = np.array(covers, dtype=float)[:, counted]
        parts.append(Part(np.hstack([np.zeros((len(covers), n)), used]), 1.0, np.inf))
    return parts


def _counting(
    block: Block, counted: Mask, parts: list[Part], whole: bool, presolve: bool = True
) -> Any:
    """Least number of counted actions, whole ones or in parts."""
    n, k = len(counted), int(counted.sum())
    on = np.concatenate([np.zeros(n), np.ones(k)])
    lower = np.concatenate([block.least, np.zeros(k)])
    upper = np.concatenate([block.most, np.ones(k)])
    return program(on, parts, lower, upper, on > 0 if whole else None, NODES,
                   presolve=presolve)  # fmt: skip


def _by_program(
    block: Block, counted: Mask, covers: list[Mask], bound: int, amount: Array
) -> tuple[int, Array]:
    """Whether fewer would do: (bound, amounts)."""
    n, count = len(counted), _count(counted, amount)
    parts = _switched(block, counted, covers)
    on = np.concatenate([np.zeros(n), np.ones(int(counted.sum()))])
    # No lower bound in this row: where both are equal the solver has called possible rows
    # impossible. What it calls impossible counts only when it says so without presolving, too.
    parts.append(Part(on[None, :], 0.0, count - 1.0))
    result = _counting(block, counted, parts, whole=True)
    if result.status == 2:
        result = _counting(block, counted, parts, whole=True, presolve=False)
        if result.status == 2:  # nothing fewer exists
            return count, amount
    if result.mip_dual_bound is not None and np.isfinite(result.mip_dual_bound):
        bound = max(bound, int(np.ceil(result.mip_dual_bound - 1e-6)))
    if result.x is not None:
        support = ~counted
        support[counted] = result.x[n:] > 0.5
        better = least(block, support, np.where(counted, block.weight, 1e-3))
        if better is not None:
            amount = better
    return min(bound, _count(counted, amount)), amount


def _by_relaxing(
    block: Block, counted: Mask, covers: list[Mask], bound: int, amount: Array
) -> tuple[int, Array]:
    """A bound of a large block: the program with parts of actions."""
    result = _counting(block, counted, _switched(block, counted, covers), whole=False)
    if result.status == 0:
        bound = max(bound, int(np.ceil(result.fun - 1e-6)))
    return bound, amount


def _smallest(block: Block, counted: Mask, covers: list[Mask], amount: Array) -> tuple[Array, bool]:
    """Least total with no more actions in use than ``amount`` has."""
    n, k = len(counted), int(counted.sum())
    parts = [
        Part(np.hstack([p.A[:, :n], -p.A[:, :n], p.A[:, n:]]), p.low, p.high)
        for p in _switched(block, counted, covers)
    ]
    on = np.concatenate([np.zeros(2 * n), np.ones(k)])
    parts.append(Part(on[None, :], 0.0, float(_count(counted, amount))))
    weight = np.where(counted, block.weight, 1e-3)
    cost = np.concatenate([weight, weight, np.zeros(k)])
    upper = np.concatenate([block.most, -block.least, np.ones(k)])
    result = program(cost, parts, np.zeros(2 * n + k), upper, on > 0, NODES)
    if result.x is None:
        return amount, False
    support = ~counted
    support[counted] = result.x[2 * n :] > 0.5
    better = least(block, support, weight)
    if better is None or weight @ np.abs(better) > weight @ np.abs(amount) + 1e-9:
        return amount, result.status == 0
    return better, result.status == 0


def _exchanged(block: Block, counted: Mask, amount: Array) -> Array:
    """A smaller total by exchanging one action in use for the one at rest most like it."""
    weight = np.where(counted, block.weight, 1e-3)
    size = np.maximum(np.linalg.norm(block.A, axis=0), 1e-12)
    alike = np.abs(block.A.T @ block.A) / size / size[:, None]
    count = _count(counted, amount)
    for out in np.argsort(-np.abs(amount) * counted, kind="stable")[:EXCHANGES]:
        if amount[out] == 0.0 or not counted[out]:
            continue
        rest = np.where(counted & (amount == 0.0), alike[out], 0.0)
        if rest.max() < 0.1:
            continue
        support = ~counted | (amount != 0.0)
        support[[out, int(rest.argmax())]] = False, True
        trial = least(block, support, weight)
        if trial is not None and _count(counted, trial) <= count:
            amount = min(amount, trial, key=lambda a: float(weight @ np.abs(a)))
    return amount
