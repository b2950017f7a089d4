"""The fewest, then smallest amounts that bring rows of numbers inside limits (HiGHS by scipy).

Continuous amounts; what is counted is how many are not zero. Three tools work together:

* *covers*: sets of actions of which at least one has to be used, since with all of them at rest
  some weighted sum of rows stays outside. They come from single rows, from differences of two
  rows (which cancel the means that make rows dense), and from the rays of infeasible programs.
* the least hitting set of the covers is a lower bound; if its actions suffice, it is the optimum.
* where that does not close after a few rounds, one mixed-integer program with the covers decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.covers import first_covers

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SLACK = 1e-7
"""Share of a row's largest coefficient times one metre within which it counts as held."""
FEASIBLE = 1e-5
"""Sum over all rows of what may be missed, in the same measure."""
ROUNDS = 6
THINNINGS = 4
NODES = 3000
SECONDS = 4.0
PROVE_SIZES = 60
"""Blocks with more counted actions than this get their sizes by exchange, not by proof."""


@dataclass(frozen=True)
class Block:
    """low <= A m <= high with least <= m <= most; rows scaled to a largest coefficient of 1."""

    A: Array
    low: Array
    high: Array
    least: Array
    most: Array


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


def scaled(A: Array, low: Array, high: Array, least: Array, most: Array) -> Block:
    """Rows scaled, those that cannot be broken left out."""
    size = np.abs(A).max(axis=1, initial=0.0)
    top = np.where(A > 0, A * most, A * least).sum(axis=1)
    bottom = np.where(A > 0, A * least, A * most).sum(axis=1)
    keep = (top > high + SLACK * size) | (bottom < low - SLACK * size)
    size = np.where(size > 0, size, 1.0)[keep]
    return Block(A[keep] / size[:, None], low[keep] / size, high[keep] / size, least, most)


def fewest(block: Block, counted: Mask) -> Choice | None:
    """Fewest counted amounts, then least total of them; None when no amounts will do.

    ``counted`` (actions,): the others may be used freely.
    """
    if not feasible(block, np.ones_like(counted)):
        return None
    if not counted.any():
        return Choice(_least(block, ~counted, counted), 0, 0, True)
    covers = first_covers(block.A, block.low, block.high, counted)
    bound, support = _by_covers(block, counted, covers)
    count = int((support & counted).sum())
    if bound < count:
        bound, support = _by_program(block, counted, covers, bound, support)
        count = int((support & counted).sum())
    amount = _least(block, support, counted)
    proven = False
    if count and (counted.sum() <= PROVE_SIZES):
        amount, proven = _smallest(block, counted, covers, amount)
    elif count:
        amount = _exchange(block, counted, support, amount)
    return Choice(amount, count, bound, proven or not count)


def widened(block: Block, counted: Mask, support: Mask) -> Choice:
    """A choice from a support that may not suffice: with more actions until it does.

    The bound is what the support had. The rows must be possible with all actions.
    """
    few = int((support & counted).sum())
    if not feasible(block, support):
        support = _completed(block, counted, support, [])
    amount = _least(block, support, counted)
    count = int((counted & (np.abs(amount) > SLACK)).sum())
    return Choice(amount, count, min(few, count), smallest=False)


def _by_covers(block: Block, counted: Mask, covers: list[Mask]) -> tuple[int, Mask]:
    """Hitting sets and rays in turn: (lower bound, a support that suffices)."""
    best = _thinned(block, counted)
    bound = 0
    for _ in range(ROUNDS):
        hit = _hitting(covers, counted)
        if hit is None:
            break
        bound = max(bound, int(hit.sum()))
        support = _completed(block, counted, hit | ~counted, covers)
        if (support & counted).sum() < (best & counted).sum():
            best = support
        if (best & counted).sum() <= bound:
            break
    return bound, best


def _thinned(block: Block, counted: Mask) -> Mask:
    """A support that suffices and has few actions: least totals, each time weighted by the inverse
    of the last amounts, so that small amounts vanish."""
    support = np.ones_like(counted)
    weight = np.ones(len(counted))
    for _ in range(THINNINGS):
        amount = _least(block, support, counted, weight)
        support = support & (~counted | (np.abs(amount) > SLACK))
        weight = 1.0 / (np.abs(amount) + 0.5)
    return support


def _hitting(covers: list[Mask], counted: Mask) -> Mask | None:
    """Least set of actions that hits every cover; None when not solved to the end."""
    if not covers:
        return np.zeros_like(counted)
    n = len(counted)
    result = _milp(np.ones(n), [(np.array(covers, dtype=float), 1.0, np.inf)],
                   np.zeros(n), np.ones(n), np.ones(n, dtype=bool))  # fmt: skip
    return None if result.status != 0 else np.asarray(result.x > 0.5)


def _completed(block: Block, counted: Mask, support: Mask, covers: list[Mask]) -> Mask:
    """A support that suffices, by adding covers (found on the way) until it does; then pruned."""
    support = support.copy()
    added = False
    for _ in range(len(counted)):
        miss, ray = _elastic(block, support)
        if miss <= FEASIBLE:
            break
        pull = np.abs(ray @ block.A)
        cover = (pull > 1e-9 * pull.max()) & counted & ~support
        if not cover.any():
            support[:] = True
            break
        covers.append(cover)
        reach = pull * np.maximum(block.most, -block.least) * cover
        support[int(reach.argmax())] = True
        added = True
    return _pruned(block, counted, support) if added else support


def _pruned(block: Block, counted: Mask, support: Mask) -> Mask:
    """Without the actions that a least total leaves at rest."""
    amount = _least(block, support, counted)
    return support & (~counted | (np.abs(amount) > SLACK))


def feasible(block: Block, support: Mask) -> bool:
    """Whether some amounts of a support keep every row."""
    return _elastic(block, support)[0] <= FEASIBLE


def _rows(block: Block) -> tuple[Array, Array, Array]:
    """One-sided rows B m <= b, with the row's sign."""
    up, down = np.isfinite(block.high), np.isfinite(block.low)
    sign = np.concatenate([np.flatnonzero(up) + 1.0, -np.flatnonzero(down) - 1.0])
    return (
        np.concatenate([block.A[up], -block.A[down]]),
        np.concatenate([block.high[up], -block.low[down]]), sign,
    )  # fmt: skip


def _elastic(block: Block, support: Mask) -> tuple[float, Array]:
    """Least total by which rows are missed with a support, and the ray that proves it."""
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    call: Any = linprog
    B, b, sign = _rows(block)
    if not len(B):
        return 0.0, np.zeros(0)
    n, m = int(support.sum()), len(B)
    A = csr_array(np.hstack([B[:, support], -np.eye(m)]))
    bounds = np.column_stack([
        np.concatenate([block.least[support], np.zeros(m)]),
        np.concatenate([block.most[support], np.full(m, np.inf)]),
    ])  # fmt: skip
    result = call(np.concatenate([np.zeros(n), np.ones(m)]), A_ub=A, b_ub=b, bounds=bounds,
                  method="highs-ds")  # fmt: skip
    if result.x is None:
        raise RuntimeError(f"linear program of the moves failed: {result.message}")
    ray = np.zeros(len(block.A))
    np.add.at(ray, np.abs(sign).astype(int) - 1, np.sign(sign) * result.ineqlin.marginals)
    return float(result.fun), ray


def _least(block: Block, support: Mask, counted: Mask, weights: Array | None = None) -> Array:
    """Amounts of a support that suffices with the least total of the counted ones."""
    n = int(support.sum())
    amount = np.zeros(len(counted))
    if not n:
        return amount
    A = block.A[:, support]
    weight = np.where(counted, 1.0 if weights is None else weights, 1e-3)[support]
    for slack in (0.0, FEASIBLE):  # a support that just suffices may miss by what the solver allows
        result = _milp(
            np.concatenate([weight, weight]),
            [(np.hstack([A, -A]), block.low - slack, block.high + slack)],
            np.zeros(2 * n), np.concatenate([block.most[support], -block.least[support]]),
            np.zeros(2 * n, dtype=bool),
        )  # fmt: skip
        if result.x is not None:
            break
    else:
        raise RuntimeError(f"linear program of the moves failed: {result.message}")
    amount[support] = result.x[:n] - result.x[n:]
    return amount


def _switched(block: Block, counted: Mask) -> tuple[Array, list[Any]]:
    """Columns (right, left, on) and the rows that every program in whole numbers shares."""
    n = len(counted)
    one, none = np.eye(n), np.zeros((n, n))
    rows: list[Any] = [
        (np.hstack([block.A, -block.A, np.zeros_like(block.A)]), block.low, block.high),
        (np.hstack([one, none, -np.diag(block.most)])[counted], -np.inf, 0.0),
        (np.hstack([none, one, np.diag(block.least)])[counted], -np.inf, 0.0),
    ]
    return np.concatenate([block.most, -block.least, counted.astype(float)]), rows


def _on(covers: list[Mask], n: int) -> Array:
    return np.hstack([np.zeros((len(covers), 2 * n)), np.array(covers, dtype=float)])


def _by_program(
    block: Block, counted: Mask, covers: list[Mask], bound: int, support: Mask
) -> tuple[int, Mask]:
    """The mixed-integer program; keeps ``support`` where it finds nothing better."""
    n = len(counted)
    upper, rows = _switched(block, counted)
    cost = np.concatenate([np.zeros(2 * n), np.ones(n)])
    if covers:
        rows.append((_on(covers, n), 1.0, np.inf))
    rows.append((cost[None, :], float(bound), float((support & counted).sum() - 1)))
    whole = cost > 0
    result = _milp(cost, rows, np.zeros(3 * n), upper, whole)
    if result.status == 2:  # nothing fewer exists
        return int((support & counted).sum()), support
    if result.mip_dual_bound is not None and np.isfinite(result.mip_dual_bound):
        bound = max(bound, int(np.ceil(result.mip_dual_bound - 1e-6)))
    if result.x is not None:
        found = np.asarray(result.x[2 * n :] > 0.5) | ~counted
        if feasible(block, found):
            support = found
            if result.status == 0:
                bound = int((support & counted).sum())
    return bound, support


def _smallest(block: Block, counted: Mask, covers: list[Mask], amount: Array) -> tuple[Array, bool]:
    """Least total with no more actions in use than ``amount`` has."""
    n = len(counted)
    upper, rows = _switched(block, counted)
    count = float((counted & (np.abs(amount) > SLACK)).sum())
    if covers:
        rows.append((_on(covers, n), 1.0, np.inf))
    on = np.concatenate([np.zeros(2 * n), np.ones(n)])
    rows.append((on[None, :], 0.0, count))
    weight = np.where(counted, 1.0, 1e-3)
    cost = np.concatenate([weight, weight, np.zeros(n)])
    result = _milp(cost, rows, np.zeros(3 * n), upper, on > 0)
    if result.x is None:
        return amount, False
    support = np.asarray(result.x[2 * n :] > 0.5) | ~counted
    if not feasible(block, support):
        return amount, False
    better = _least(block, support, counted)
    if weight @ np.abs(better) > weight @ np.abs(amount) + 1e-9:
        return amount, False
    return better, result.status == 0


def _exchange(block: Block, counted: Mask, support: Mask, amount: Array) -> Array:
    """A smaller total by exchanging one action in use for one at rest, as far as that goes."""
    for _ in range(4):
        pull = np.abs(block.A[:, counted & ~support])
        if not pull.size:
            break
        used = np.flatnonzero(support & counted)
        order = used[np.argsort(-np.abs(amount[used]), kind="stable")][:6]
        for out in order:
            trial = _without(block, counted, support, int(out))
            if trial is not None:
                better = _least(block, trial, counted)
                if np.abs(better[counted]).sum() < np.abs(amount[counted]).sum() - 1e-6:
                    support, amount = trial, better
                    break
        else:
            break
    return amount


def _without(block: Block, counted: Mask, support: Mask, out: int) -> Mask | None:
    """A support with one action exchanged for the one that pulls hardest against its loss."""
    trial = support.copy()
    trial[out] = False
    miss, ray = _elastic(block, trial)
    if miss <= FEASIBLE:
        return trial
    reach = np.abs(ray @ block.A) * np.maximum(block.most, -block.least)
    reach[support | ~counted] = 0.0
    if reach.max() <= 0.0:
        return None
    trial[int(reach.argmax())] = True
    return trial if feasible(block, trial) else None


def _milp(cost: Array, rows: list[Any], lower: Array, upper: Array, whole: Mask) -> Any:
    """One call of the solver; branchings end it before the clock does, so that runs repeat."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    call: Any = milp
    options = {"mip_rel_gap": 1e-6, "node_limit": NODES, "time_limit": SECONDS}
    return call(
        cost, constraints=[LinearConstraint(csr_array(A), low, high) for A, low, high in rows
                           if A.shape[0]],
        bounds=Bounds(lower, upper), integrality=whole.astype(int), options=options,
    )  # fmt: skip
