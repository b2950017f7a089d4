"""Covers: sets of actions of which at least one has to be used.

With all its actions at rest, some weighted sum of rows would stay outside its limits. Three ways
give them without solving anything: one row; the difference of two rows, which cancels the mean
that makes rows of a level or of parallel beams dense; and three rows weighted so that two hubs
cancel, the ends of a straight line that every row of it refers to.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

COLUMNS = 12
"""Covers of more actions say little."""
KEPT = 800
"""Of so many small ones those are kept that contain no other."""
HUB = 5
"""Columns in more sparse rows than this are hubs."""
MISS = 5e-4
"""By how much rows have to miss, in steps; wider than the rows of a proof are taken (``milp``)."""


def first_covers(A: Array, low: Array, high: Array, counted: Mask) -> list[Mask]:
    """Covers (actions,) of low <= A m <= high, none of which contains another."""
    used = np.concatenate([_single(A, low, high), _pairs(A, low, high), _triples(A, low, high)])
    used = used[(used.sum(axis=1) <= COLUMNS) & ~(used & ~counted).any(axis=1)]
    used = np.unique(used, axis=0)
    used = used[np.argsort(used.sum(axis=1), kind="stable")]
    return minimal(used[:KEPT])


def _single(A: Array, low: Array, high: Array) -> Mask:
    return np.asarray(np.abs(A[(low > MISS) | (high < -MISS)]) > 1e-9)


def _pairs(A: Array, low: Array, high: Array) -> Mask:
    found = [np.zeros((0, A.shape[1]), dtype=bool)]
    for i in range(len(A) - 1):
        apart = (low[i] - high[i + 1 :] > MISS) | (high[i] - low[i + 1 :] < -MISS)
        if apart.any():
            found.append(np.abs((A[i] - A[i + 1 :])[apart]) > 1e-9)
    return np.concatenate(found)


def _triples(A: Array, low: Array, high: Array) -> Mask:
    """Rows that share hubs of rank two, three at a time."""
    some = np.abs(A) > 1e-9
    sparse = np.flatnonzero((some.sum(axis=1) <= COLUMNS) & np.isfinite(low) & np.isfinite(high))
    hub = some[sparse].sum(axis=0) > HUB
    groups: dict[bytes, list[int]] = {}
    for row in sparse:
        if some[row, hub].any():
            groups.setdefault((some[row] & hub).tobytes(), []).append(int(row))
    found = [np.zeros((0, A.shape[1]), dtype=bool)]
    for rows in groups.values():
        if len(rows) >= 3:
            found.append(_triples_of(A[rows], low[rows], high[rows], hub))
    return np.concatenate(found)


def _triples_of(A: Array, low: Array, high: Array, hub: Mask) -> Mask:
    u, s, _ = np.linalg.svd(A[:, hub], full_matrices=False)
    if len(s) < 2 or s[1] < 1e-9 * s[0] or (len(s) > 2 and s[2] > 1e-9 * s[0]):
        return np.zeros((0, A.shape[1]), dtype=bool)
    u = u[:, :2] * s[:2]
    t = np.array(list(combinations(range(len(A)), 3)))

    def cross(a: int, b: int) -> Array:
        return u[t[:, a], 0] * u[t[:, b], 1] - u[t[:, a], 1] * u[t[:, b], 0]

    weight = np.column_stack([cross(1, 2), cross(2, 0), cross(0, 1)])
    least = np.where(weight > 0, weight * low[t], weight * high[t]).sum(axis=1)
    most = np.where(weight > 0, weight * high[t], weight * low[t]).sum(axis=1)
    off = (least > MISS) | (most < -MISS)
    used = (np.abs(A) > 1e-9) & ~hub
    return np.asarray(used[t[off]].any(axis=1))


def minimal(used: Mask) -> list[Mask]:
    """Covers that contain no other."""
    used = np.unique(used, axis=0)
    used = used[np.argsort(used.sum(axis=1), kind="stable")]
    size, ones = used.sum(axis=1), used.astype(np.float32)  # exact, and much faster than integers
    inside = ones @ ones.T == size[:, None]
    # inside[i, j]: cover i lies in cover j; rows are unique, so equal size means the same cover.
    kept = ~(inside & (size[:, None] < size)).any(axis=0)
    return list(used[kept])
