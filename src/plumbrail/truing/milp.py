"""The fewest, then smallest amounts that bring rows of numbers inside limits (HiGHS by scipy).

Continuous amounts; what is counted is how many are not zero.

* A *draft* comes from linear programs: least totals, each time weighted by the inverse of the last
  amounts, so that small ones vanish; then single actions are left out as long as the rest suffices.
* Its number is a proven least where that many *covers* share no action. A cover is a set of actions
  of which at least one has to be used.
* If not, one mixed-integer program with all covers in it is asked for fewer than the draft has.
  That there are none is quickly shown; what it finds instead is the new draft. A block too large
  for the effort allowed only gets the bound of that program with actions in parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.covers import COLUMNS, first_covers
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
PROVE_SIZES = 8
"""Blocks with more counted actions than this get their sizes by exchange, not by proof."""
EXCHANGES = 2
LARGE = 64
"""Counted actions of a program from which each branching costs much."""


@dataclass(frozen=True)
class Effort:
    """How long to look for fewer and for a proof; counted, not timed, so that runs repeat."""

    prove: int
    """Blocks with more counted actions than this are only bounded by a linear program."""
    joined: int
    """Joined parts with more counted actions than this are not searched at once."""
    nodes: int
    """Branchings of one program."""
    large: int
    """The same for more than ``LARGE`` counted actions."""


ROUGH = Effort(0, 0, 0, 0)
"""A draft with its bound: for moves that nobody should make before reading again."""
QUICK = Effort(30, 30, 60, 10)
"""40 posts in a fifth of a second; long rows are only bounded. For simulations and while typing."""
THOROUGH = Effort(120, 100, 400, 20)
"""40 posts in a second or two: fewer moves, and far more of them proven."""


@dataclass(frozen=True)
class Known:
    """A number of a set of actions that has to be used at least."""

    actions: Mask
    number: int

    def wider(self, added: int) -> Known:
        """With more columns, which are none of the set."""
        return Known(np.pad(self.actions, (0, added)), self.number)


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
    block: Block, counted: Mask, start: Array | None = None, known: Sequence[Known] = (),
    effort: Effort = QUICK,
) -> Choice | None:  # fmt: skip
    """Fewest counted amounts, then least total of them; None when no amounts will do.

    ``counted`` (actions,): the others may be used freely. ``start``: amounts that keep all rows;
    ``known``: numbers already known to be needed, of sets that share no action.
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
    bound = max(sum(k.number for k in known), _apart(covers))
    if bound < _count(counted, amount):
        if counted.sum() <= effort.prove:
            sets = (*known, *(Known(c, 1) for c in covers))
            nodes = effort.nodes if counted.sum() <= LARGE else effort.large
            bound, amount = _by_program(block, counted, sets, bound, amount, nodes)
        else:
            bound = max(bound, _by_relaxing(block, counted, covers))
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


def _switched(block: Block, counted: Mask, sets: Sequence[Known]) -> list[Part]:
    """Rows of the programs in whole numbers. Columns: amounts, on (counted actions)."""
    n, k = len(counted), int(counted.sum())
    one, none = np.eye(n)[counted], np.zeros((len(block.A), k))
    parts = [
        Part(np.hstack([block.A, none]), block.low - PROOF, block.high + PROOF),
        Part(np.hstack([one, -np.diag(block.most[counted])]), -np.inf, 0.0),
        Part(np.hstack([-one, np.diag(block.least[counted])]), -np.inf, 0.0),
    ]
    if sets:
        used = np.array([s.actions for s in sets], dtype=float)[:, counted]
        number = np.array([s.number for s in sets], dtype=float)
        parts.append(Part(np.hstack([np.zeros((len(sets), n)), used]), number, np.inf))
    return parts


def _shared(block: Block, counted: Mask) -> tuple[Block, Mask]:
    """The same rows with what dense ones have in common as a column of its own.

    The mean in rows of a level or of parallel beams makes every one of them touch all actions;
    with the mean as an amount of its own they touch a post or two, which is far easier to solve.
    """
    some = np.abs(block.A) > 1e-9
    groups: dict[bytes, list[int]] = {}
    for row in np.flatnonzero(some.sum(axis=1) > COLUMNS):
        groups.setdefault(some[row].tobytes(), []).append(int(row))
    for rows in groups.values():
        common = np.median(block.A[rows], axis=0)
        rest = block.A[rows] - common
        rest[np.abs(rest) < 1e-9] = 0.0
        if len(rows) < 3 or 2 * np.count_nonzero(rest) > np.count_nonzero(block.A[rows]):
            continue
        block, counted = _with_common(block, rows, common, rest), np.append(counted, False)
    return block, counted


def _with_common(block: Block, rows: list[int], common: Array, rest: Array) -> Block:
    extra = len(block.least) - len(common)  # columns that earlier groups have added
    common, rest = np.pad(common, (0, extra)), np.pad(rest, ((0, 0), (0, extra)))
    column = np.zeros(len(block.A))
    column[rows] = 1.0
    A = block.A.copy()
    A[rows] = rest
    sides = np.stack([common * block.least, common * block.most])
    return Block(
        np.vstack([np.column_stack([A, column]), np.append(common, -1.0)]),
        np.append(block.low, 0.0), np.append(block.high, 0.0),
        np.append(block.least, sides.min(axis=0).sum()),
        np.append(block.most, sides.max(axis=0).sum()), np.append(block.weight, 1.0),
    )  # fmt: skip


def _counting(
    block: Block, counted: Mask, parts: list[Part], nodes: int | None, presolve: bool = True
) -> Any:
    """Least number of counted actions, whole ones or (no ``nodes``) in parts."""
    n, k = len(counted), int(counted.sum())
    on = np.concatenate([np.zeros(n), np.ones(k)])
    lower = np.concatenate([block.least, np.zeros(k)])
    upper = np.concatenate([block.most, np.ones(k)])
    whole = None if nodes is None else on > 0
    return program(on, parts, lower, upper, whole, nodes or 0, presolve=presolve)


def _by_program(
    block: Block, counted: Mask, sets: Sequence[Known], bound: int, amount: Array, nodes: int
) -> tuple[int, Array]:
    """Whether fewer would do: (bound, amounts)."""
    count, k = _count(counted, amount), int(counted.sum())
    sparse, marked = _shared(block, counted)
    added = len(marked) - len(counted)
    parts = _switched(sparse, marked, [s.wider(added) for s in sets])
    # With the draft's own number allowed a large program always has an answer, without which it
    # would state no bound when it ends early. Nothing fewer is asked of a small one: that is
    # quicker. No lower bound in this row: where both are equal the solver has called possible rows
    # impossible. What it calls impossible counts only when it says so without presolving, too.
    on = np.concatenate([np.zeros(len(marked)), np.ones(k)])
    parts.append(Part(on[None, :], -np.inf, count - (1.0 if k <= LARGE else 0.0)))
    result = _counting(sparse, marked, parts, nodes)
    if result.status == 2:
        result = _counting(sparse, marked, parts, nodes, presolve=False)
        if result.status == 2:  # nothing fewer exists
            return (count, amount) if k <= LARGE else (bound, amount)
    if result.mip_dual_bound is not None and np.isfinite(result.mip_dual_bound):
        bound = max(bound, int(np.ceil(result.mip_dual_bound - 1e-6)))
    if result.x is not None:
        support = ~counted
        support[counted] = result.x[len(marked) :] > 0.5
        better = least(block, support, np.where(counted, block.weight, 1e-3))
        if better is not None and _count(counted, better) < count:
            amount = better
    return min(bound, _count(counted, amount)), amount


def _by_relaxing(block: Block, counted: Mask, covers: list[Mask]) -> int:
    """A bound of a large block: the program with parts of actions."""
    parts = _switched(block, counted, [Known(c, 1) for c in covers])
    result = _counting(block, counted, parts, None)
    return int(np.ceil(result.fun - 1e-6)) if result.status == 0 else 0


def _smallest(block: Block, counted: Mask, covers: list[Mask], amount: Array) -> tuple[Array, bool]:
    """Least total with no more actions in use than ``amount`` has."""
    n, k = len(counted), int(counted.sum())
    parts = [
        Part(np.hstack([p.A[:, :n], -p.A[:, :n], p.A[:, n:]]), p.low, p.high)
        for p in _switched(block, counted, [Known(c, 1) for c in covers])
    ]
    on = np.concatenate([np.zeros(2 * n), np.ones(k)])
    parts.append(Part(on[None, :], 0.0, float(_count(counted, amount))))
    weight = np.where(counted, block.weight, 1e-3)
    cost = np.concatenate([weight, weight, np.zeros(k)])
    upper = np.concatenate([block.most, -block.least, np.ones(k)])
    result = program(cost, parts, np.zeros(2 * n + k), upper, on > 0, QUICK.nodes)
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
