"""Which readings to set aside: shifts of readings as unknowns of the linear network.

With R the projector onto residuals (whitened cofactor matrix of the residuals) and e the residuals
with all readings kept, setting the readings S aside leaves

    e_S = e - R[:, S] R[S, S]^-1 e[S],   q_S = diag(R) - diag(R[:, S] R[S, S]^-1 R[S, :])

and lowers v'Pv by e[S]' R[S, S]^-1 e[S]; no adjustment is repeated.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.adjust import CHECKED
from plumbrail.truing.network import Linear, Network
from plumbrail.truing.spectrum import Spectrum

Array = NDArray[np.float64]
GAIN = 1e-6
"""Steps of the search gain at least this much, so that it ends."""


@dataclass(frozen=True)
class Shifts:
    """The network at one place, with every reading kept."""

    U: Array
    """(m, rank) readings as seen from the firm directions."""
    free: Array
    """(m,) diagonal of ``R``."""
    e: Array
    """(m,) observed less adjusted with every reading kept, in standard deviations."""
    off: Array
    """(m,) observed less computed at this place, in standard deviations."""

    @classmethod
    def at(cls, network: Network, linear: Linear, sp: Spectrum | None = None) -> Shifts:
        """At a place; with the spectrum of all readings there, if it is known."""
        if sp is None:
            sp = network.spectrum(linear, np.ones(len(linear.y), dtype=bool))
        U = sp.levers(linear.B)
        free = 1.0 - np.einsum("ij,ij->i", U, U)
        return cls(U, free, linear.y - U @ (U.T @ linear.y), linear.y)

    @cached_property
    def R(self) -> Array:
        """(m, m) projector onto residuals, divided by standard deviations."""
        return np.asarray(np.eye(len(self.U)) - self.U @ self.U.T)

    def outliers(self, limit: float) -> tuple[int, ...]:
        """Readings that are far off at this place itself, the worst first."""
        far = np.abs(self.off) / np.sqrt(np.maximum(self.free, CHECKED))
        order = np.argsort(-far, kind="stable")
        return tuple(int(i) for i in order[: int(np.sum(far > limit))])

    def without(self, aside: Sequence[int]) -> tuple[Array, Array]:
        """Residuals (m,) and their cofactors (m,) with some readings set aside."""
        S = list(aside)
        if not S:
            return self.e, self.free.copy()
        X = np.linalg.solve(self.R[np.ix_(S, S)], self.R[S])
        return self.e - self.e[S] @ X, self.free - np.sum(X * self.R[S], axis=0)

    def against(self, aside: Sequence[int], one: int) -> tuple[Array, Array, Array]:
        """As ``without``, and the correlation (m,) of each normalised residual with that of one."""
        e, q = self.without(aside)
        S = list(aside)
        row = self.R[one]
        if S:
            row = row - self.R[one, S] @ np.linalg.solve(self.R[np.ix_(S, S)], self.R[S])
        return e, q, row / np.sqrt(np.maximum(q * q[one], CHECKED**2))

    def excess(self, aside: Sequence[int]) -> Array:
        """(k,) squared test value of each reading set aside, against the rest."""
        S = list(aside)
        inverse = np.linalg.inv(self.R[np.ix_(S, S)])
        return (inverse @ self.e[S]) ** 2 / inverse.diagonal()

    def squares(self, aside: Sequence[int]) -> Array:
        """(m,) squared normalised residuals; 0 for those aside or that nothing checks."""
        e, q = self.without(aside)
        open_ = q > CHECKED
        open_[list(aside)] = False
        return np.where(open_, e**2 / np.where(open_, q, 1.0), 0.0)


def search(shifts: Shifts, limit: float, most: int, first: Sequence[int]) -> tuple[int, ...]:
    """The better of two searches: from no suspects, and from those named first."""
    none = improved(shifts, limit, most, [])
    named = improved(shifts, limit, most, removable(shifts, first, most)) if first else none
    return min(none, named, key=lambda S: cost(shifts, limit, S))


def cost(shifts: Shifts, limit: float, aside: Sequence[int]) -> float:
    """Change of v'Pv with the suspects aside, plus the price of each."""
    S = list(aside)
    gain = shifts.e[S] @ np.linalg.solve(shifts.R[np.ix_(S, S)], shifts.e[S]) if S else 0.0
    return limit**2 * len(S) - float(gain)


def removable(shifts: Shifts, wanted: Sequence[int], most: int) -> list[int]:
    """Those of the wanted that can be aside together, in their order."""
    aside: list[int] = []
    for i in wanted:
        if len(aside) < most and shifts.without(aside)[1][i] > CHECKED:
            aside.append(i)
    return aside


def improved(shifts: Shifts, limit: float, most: int, aside: list[int]) -> tuple[int, ...]:
    """Adds, drops and swaps suspects while that lowers the cost."""
    while True:
        better = (
            dropped(shifts, limit, aside)
            or added(shifts, limit, most, aside)
            or swapped(shifts, aside)
        )
        if better is None:
            return tuple(sorted(aside))
        aside = better


def dropped(shifts: Shifts, limit: float, aside: list[int]) -> list[int] | None:
    """Brings the least contradicted suspect back, if it fits."""
    if not aside:
        return None
    excess = shifts.excess(aside)
    least = int(excess.argmin())
    if excess[least] > limit**2 - GAIN:
        return None
    return aside[:least] + aside[least + 1 :]


def added(shifts: Shifts, limit: float, most: int, aside: list[int]) -> list[int] | None:
    """Sets the worst reading aside, if the rest contradict it."""
    squares = shifts.squares(aside)
    if len(aside) >= most or squares.max(initial=0.0) <= limit**2:
        return None
    return [*aside, int(squares.argmax())]


def swapped(shifts: Shifts, aside: list[int]) -> list[int] | None:
    """The exchange of one suspect for another reading that gains most, if any gains."""
    best, choice = GAIN, None
    for place, excess in enumerate(shifts.excess(aside)) if aside else ():
        others = aside[:place] + aside[place + 1 :]
        squares = shifts.squares(others)
        c = int(squares.argmax())
        if squares[c] - excess > best:
            best, choice = float(squares[c] - excess), [*others, c]
    return choice
