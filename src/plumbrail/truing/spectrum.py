"""What readings determine and what they leave loose: rank, null space and datum of a design."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Bends = Callable[[Array], Array]
"""Steps (n, k) -> (k,) how far each step bends the readings, in standard deviations."""

NOTHING = 1e-10
"""Singular values below this share of the largest are zero: far above rounding (some 1e-14), far
below any real reading (it would be 1e10 times as coarse as the best combination)."""
STRAIGHT = 0.1
"""A firm direction may bend the readings by this much over one standard deviation of its own."""
WEAK = 0.02
"""Directions below this share of the largest singular value are tried for bending."""
DATUM = 1e-4
"""A loose direction that moves the datum points by less than this share is not held by them."""


@dataclass(frozen=True)
class Spectrum:
    """Singular directions of a whitened design B (m, n), sorted into firm and loose.

    A step of length 1/s along a firm direction changes the readings by one standard deviation.
    """

    s: Array
    """(rank,) singular values, largest first."""
    firm: Array
    """(n, rank) their directions."""
    loose: Array
    """(n, d) orthonormal basis of the rest."""
    slight: Array
    """(d,) singular values of the loose directions: 0, or too slight to count."""
    rows: Array
    """(d, n) the datum: ``rows @ (x - start) = 0``."""

    @property
    def rank(self) -> int:
        """Number of firm directions."""
        return len(self.s)

    def alike(self, other: Spectrum) -> bool:
        """Of the same rank, and with loose directions that are so by curvature only."""
        return self.rank == other.rank and bool((self.slight > 0.0).any())

    def to_datum(self, change: Array) -> Array:
        """Moves changes (n,) or (n, k) along the loose directions until they meet the datum."""
        if not len(self.slight):
            return change
        return change - self.loose @ np.linalg.solve(self.rows @ self.loose, self.rows @ change)

    def levers(self, B: Array) -> Array:
        """(m, rank) readings as seen from the firm directions; B's projector is ``U U'``."""
        return (B @ self.firm) / self.s

    def determines(self, B: Array) -> NDArray[np.bool_]:
        """Which rows of a design depend on firm directions only.

        A row may lean on a loose direction as much as the readings do that left it loose.
        """
        size = np.linalg.norm(B, axis=1, keepdims=True)
        return np.all(np.abs(B @ self.loose) <= 1e-7 * size + 3.0 * self.slight, axis=1)


def spectrum(B: Array, datum: Array, bends: Bends, most: int | None = None) -> Spectrum:
    """Sorts the singular directions of a whitened design (m, n).

    Loose are the exact null space, and directions that are determined by curvature only: where a
    step of one standard deviation bends the readings by more than a tenth of that, as for the side
    of a straight row under its own tapes. No linear result can be trusted there, and least squares
    would run away. ``most`` caps the rank.
    """
    n = B.shape[1]
    R = np.linalg.qr(B, mode="r") if B.shape[0] > n else B
    _, s, Vt = np.linalg.svd(R, full_matrices=True)
    s = np.concatenate([s, np.zeros(n - len(s))])
    firm = s > NOTHING * max(float(s.max(initial=0.0)), np.finfo(float).tiny)
    weak = np.flatnonzero(firm & (s <= WEAK * s.max(initial=0.0)))
    if len(weak):
        firm[weak] = bends(Vt[weak].T / s[weak]) <= STRAIGHT
    if most is not None and firm.sum() > most:
        firm[np.flatnonzero(firm)[most:]] = False
    loose = Vt[~firm].T
    slight = np.where(s[~firm] > NOTHING * s.max(initial=0.0), s[~firm], 0.0)
    return Spectrum(s[firm], Vt[firm].T, loose, slight, datum_rows(loose, datum))


def datum_rows(loose: Array, datum: Array) -> Array:
    """(d, n) conditions of least change from the start, weighted by ``datum``.

    Loose directions that the weighted unknowns do not feel are held by least change of all.
    """
    if not loose.shape[1]:
        return np.zeros((0, loose.shape[0]))
    root = np.sqrt(datum)[:, None]
    U, s, Vt = np.linalg.svd(root * loose, full_matrices=False)
    held = s > DATUM * max(float(root.max()), np.finfo(float).tiny)
    rows = np.vstack([(root * U).T[held], Vt[~held] @ loose.T])
    return rows / np.linalg.norm(rows, axis=1, keepdims=True)
