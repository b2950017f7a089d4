"""Amounts of chosen moves that leave the most room: a move set to the edge of a tolerance is one
that the next readings send back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.solver import Part, program
from plumbrail.truing.steps import Limits

Array = NDArray[np.float64]

SMALL = 0.05
"""Price of moving a step further, against missing the wished room by a step. A judgement."""


def roomier(limits: Limits, wish: Limits, amount: Array) -> Array:
    """The same actions, the same way, by amounts that miss the wished room least.

    A linear program: sum of what is missed of the limits of ``wish`` (each value in its own steps)
    plus a small price on each step moved; the limits of ``limits`` are kept as before. Gives
    ``amount`` back where there is nothing to better.
    """
    used = np.flatnonzero(np.abs(amount) > 1e-6)
    A = limits.A[:, used]
    sign = np.sign(amount[used])
    least = np.where(sign > 0, np.minimum(1.0, amount[used]), limits.least[used])
    most = np.where(sign > 0, limits.most[used], np.maximum(-1.0, amount[used]))
    bottom, top = (pick(A * least, A * most).sum(axis=1) for pick in (np.minimum, np.maximum))
    rows = (np.abs(A) > 0.0).any(axis=1) & np.isfinite(wish.low) & np.isfinite(wish.high)
    # Rows that no amounts within their bounds bring out of any limit have no say.
    rows &= (bottom < np.maximum(limits.low, wish.low)) | (top > np.minimum(limits.high, wish.high))
    if not rows.any():
        return amount
    A, n, m = A[rows], len(used), int(rows.sum())
    none, one = np.zeros((m, m)), np.eye(m)
    found = program(
        np.concatenate([SMALL * sign, np.ones(m)]),
        [Part(np.hstack([A, none]), limits.low[rows] - 1e-7, limits.high[rows] + 1e-7),
         Part(np.hstack([A, one]), wish.low[rows], np.inf),
         Part(np.hstack([A, -one]), -np.inf, wish.high[rows])],
        np.concatenate([least, np.zeros(m)]), np.concatenate([most, np.full(m, np.inf)]),
    )  # fmt: skip
    if found.x is None:
        return amount
    better = amount.copy()
    better[used] = found.x[:n]
    return better
