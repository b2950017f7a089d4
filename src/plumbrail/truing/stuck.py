"""Which rows have to stay broken when not all can be kept: as few as possible."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.milp import SLACK, Block, feasible
from plumbrail.truing.planning import parts

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


def stuck_rows(
    A: Array, low: Array, high: Array, least: Array, most: Array,
    hard: Array, hard_low: Array, hard_high: Array,
) -> Mask:  # fmt: skip
    """(rows,) the fewest that no amounts within their bounds keep together with the others.

    ``hard`` rows are kept in any case. Where the search ends before the proof, some few more.
    """
    m = len(A)
    block = Block(np.vstack([A, hard]), np.concatenate([low, hard_low]),
                  np.concatenate([high, hard_high]), least, most)  # fmt: skip
    broken = np.zeros(len(block.A), dtype=bool)
    for rows, columns in parts(block):
        part = Block(block.A[np.ix_(rows, columns)], block.low[rows], block.high[rows],
                     least[columns], most[columns])  # fmt: skip
        if not feasible(part, np.ones(len(columns), dtype=bool)):
            broken[rows] = _fewest_broken(part, rows < m)
    return broken[:m]


def _fewest_broken(block: Block, soft: Mask) -> Mask:
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    A = block.A
    top = np.maximum(A * block.most, A * block.least).sum(axis=1)
    bottom = np.minimum(A * block.most, A * block.least).sum(axis=1)
    over = np.where(soft, np.maximum(top - block.high, 0.0), 0.0)
    under = np.where(soft, np.maximum(block.low - bottom, 0.0), 0.0)
    n, m = A.shape[1], len(A)
    call: Any = milp
    rows: list[Any] = [(np.hstack([A, -np.diag(over)]), -np.inf, block.high + 0.5 * SLACK),
            (np.hstack([A, np.diag(under)]), block.low - 0.5 * SLACK, np.inf)]  # fmt: skip
    result = call(
        np.concatenate([np.zeros(n), np.ones(m)]),
        constraints=[LinearConstraint(csr_array(B), lo, hi) for B, lo, hi in rows],
        bounds=Bounds(np.concatenate([block.least, np.zeros(m)]),
                      np.concatenate([block.most, np.ones(m)])),
        integrality=np.concatenate([np.zeros(n), np.ones(m)]),
        options={"node_limit": 400, "time_limit": 2.0},
    )  # fmt: skip
    if result.x is None:  # no answer in time: what is outside today
        return soft & ((block.low > SLACK) | (block.high < -SLACK))
    return soft & np.asarray(result.x[n:] > 0.5)
