"""Amounts in whole steps of the tape: 1/16 in or 1 mm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

STEP = {"us": 0.0254 / 16, "metric": 0.001}
TRIES = 200
HELD = 1e-6
"""Share of a step by which a limit may be missed: what arithmetic does, not people."""


@dataclass(frozen=True)
class Limits:
    """Rows A k in steps, with the limits that should and those that must be kept."""

    A: Array
    low: Array
    high: Array
    must_low: Array
    must_high: Array
    least: Array
    most: Array

    def of(self, rows: NDArray[np.bool_]) -> Limits:
        """Some of the rows."""
        return Limits(self.A[rows], self.low[rows], self.high[rows], self.must_low[rows],
                      self.must_high[rows], self.least, self.most)  # fmt: skip


def in_steps(limits: Limits, amount: Array) -> Array | None:
    """Whole steps near ``amount``; what is not zero stays at least one step, and nothing else
    moves. None when no such steps keep what must be kept.

    Rounds each, then changes one by one step as long as that misses the limits by less; where
    that ends short, a small integer program over the same actions decides.
    """
    used = np.flatnonzero(np.abs(amount) > 1e-6)
    sign = np.sign(amount[used])
    least = np.where(sign > 0, 1.0, np.ceil(limits.least[used] - HELD))
    most = np.where(sign > 0, np.floor(limits.most[used] + HELD), -1.0)
    if (least > most).any():
        return None
    k = np.clip(np.round(amount[used]), least, most)
    k = _improved(limits, used, k, least, most)
    if _missed(limits, limits.A[:, used] @ k).any():
        found = _by_program(limits, used, least, most)
        if found is None:
            return None
        k = found
    steps = np.zeros(len(amount))
    steps[used] = k
    return steps


def _missed(limits: Limits, y: Array) -> NDArray[np.bool_]:
    return np.asarray((y > limits.must_high + HELD) | (y < limits.must_low - HELD))


def _penalty(limits: Limits, y: Array) -> Array:
    """By how much what should and (much heavier) what must be kept is missed, per column of y."""

    def over(low: Array, high: Array) -> Array:
        beyond = np.maximum(np.maximum(y - high[:, None], low[:, None] - y), 0.0)
        return np.asarray(np.einsum("ij,ij->j", beyond, beyond))

    return over(limits.low, limits.high) + 1e3 * over(limits.must_low, limits.must_high)


def _improved(limits: Limits, used: IntArray, k: Array, least: Array, most: Array) -> Array:
    limits = limits.of(np.asarray((np.abs(limits.A[:, used]) > 0.0).any(axis=1)))
    A = limits.A[:, used]
    ways = np.concatenate([np.eye(len(used)), -np.eye(len(used))], axis=1)
    change = np.concatenate([A, -A], axis=1)
    now = float(_penalty(limits, (A @ k)[:, None])[0])
    for _ in range(TRIES):
        trial = k[:, None] + ways
        allowed = ((trial >= least[:, None]) & (trial <= most[:, None])).all(axis=0)
        if now <= 1e-12 or not allowed.any():
            break
        cost = np.where(allowed, _penalty(limits, (A @ k)[:, None] + change), np.inf)
        best = int(cost.argmin())
        if cost[best] >= now - 1e-12:
            break
        k, now = trial[:, best], float(cost[best])
    return k


def _by_program(limits: Limits, used: IntArray, least: Array, most: Array) -> Array | None:
    """Whole steps that keep what must be kept, near what should be."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    A = limits.A[:, used]
    touched = np.abs(A).max(axis=1, initial=0.0) > 1e-12
    if _missed(limits, np.zeros(len(A)))[~touched].any():
        return None
    A, n, m = A[touched], len(used), int(touched.sum())
    none, one = np.zeros((m, m)), np.eye(m)
    rows = [
        (np.hstack([A, none]), limits.must_low[touched], limits.must_high[touched]),
        (np.hstack([A, -one]), np.full(m, -np.inf), limits.high[touched]),
        (np.hstack([A, one]), limits.low[touched], np.full(m, np.inf)),
    ]
    result = milp(
        np.concatenate([np.zeros(n), np.ones(m)]),
        constraints=[LinearConstraint(csr_array(B), low, high) for B, low, high in rows],
        bounds=Bounds(np.concatenate([least, np.zeros(m)]),
                      np.concatenate([most, np.full(m, np.inf)])),
        integrality=np.concatenate([np.ones(n), np.zeros(m)]),
        options={"node_limit": 200, "time_limit": 2.0, "mip_rel_gap": 0.05},
    )  # fmt: skip
    if result.x is None:
        return None
    k = np.round(result.x[:n])
    return None if _missed(limits, limits.A[:, used] @ k).any() else k
