"""What readings determine, and what they leave loose.

Rank is decided at the planned places with all ground level, where a lean or a slope of nearly
nothing cannot seem to tell a height. A value counts as determined when everything that is loose,
moved by any amount, changes it by no more than a small share of what its own points would.
"""

from __future__ import annotations

import numpy as np
from scipy.linalg.lapack import dtrcon

from plumbrail.truing.parts import Array, Mask

NULL = 1e-8
"""Singular values below this share of the largest are zero; rows have unit length."""
SURE = 1e-4
"""A reciprocal condition number (1-norm, estimated) above this leaves no singular value near
``NULL``: estimates are seldom off by 10, and the norms differ by no more than the unknowns."""
SLIGHT = 0.05
"""A value may lean on what is loose by this share: a post 3° off plumb, whose lean turns an unknown
height into a twentieth of it, is still measured by its level."""


def unit_rows(matrix: Array) -> Array:
    """Rows scaled to length 1; rows of nothing stay."""
    length = np.linalg.norm(matrix, axis=1, keepdims=True)
    return matrix / np.where(length > 0, length, 1.0)


def null_space(matrix: Array) -> Array:
    """(n, d) orthonormal basis of what the rows (m, n) do not see."""
    n = matrix.shape[1]
    if not matrix.shape[0]:
        return np.eye(n)
    rows = unit_rows(matrix)
    square = np.linalg.qr(rows, mode="r") if len(rows) > n else rows
    if len(rows) > n and dtrcon(square)[0] > SURE:
        return np.zeros((n, 0))
    _, s, Vt = np.linalg.svd(square, full_matrices=True)
    return _tidy(Vt[int((s > NULL * s[0]).sum()) :].T)


def span(matrix: Array) -> Array:
    """(n, d) orthonormal basis of the columns of a matrix (n, k)."""
    if not matrix.size:
        return matrix[:, :0]
    U, s, _ = np.linalg.svd(matrix, full_matrices=False)
    return _tidy(U[:, s > NULL * max(float(s[0]), 1.0)])


def _tidy(basis: Array) -> Array:
    """Rounding taken for what it is, so that loose things never touch the others."""
    return np.where(np.abs(basis) < 1e-12, 0.0, basis)


def open_ratio(slopes: Array, loose: Array) -> Array:
    """(values,) how much each value (values, n) leans on what is loose (n, d): 0 not at all,
    1 wholly.

    The change of the value by the loose displacement that changes it most, over the change by its
    own most telling coordinate moved just as far as the farthest moved one.
    """
    seen = (slopes @ loose) @ loose.T
    far, own = np.abs(seen).max(axis=1), np.abs(slopes).max(axis=1)
    size = (seen**2).sum(axis=1)
    return np.asarray(size / np.where(far > 0, far * own, 1.0))


def determined(slopes: Array, loose: Array) -> Mask:
    """Which values the readings determine."""
    return np.asarray(open_ratio(slopes, loose) <= SLIGHT)
