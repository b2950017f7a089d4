"""Whole sticks: the best plan that the columns at hand allow."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.master import Cap, Master
from plumbrail.stock.pricing import Column
from plumbrail.stock.solver import Program, Total, minimise

Floats = NDArray[np.float64]


class Aim(Protocol):
    """A sum over columns."""

    def of(self, column: Column) -> float:
        """The column's share."""
        ...


@dataclass(frozen=True)
class Whole:
    """How often each column is used, and how often a splice is moved one position to the left.

    ``finished``: the solver proved that these columns allow nothing better.
    """

    times: NDArray[np.int64]
    moves: NDArray[np.int64]
    finished: bool


def best_of(
    master: Master, aim: Aim, caps: tuple[Cap, ...], least: float, seconds: float
) -> Whole | None:
    """Least ``aim`` over the master's columns within ``caps``; None when none was found in time.

    ``least``: a proven bound, given to the solver so that it stops when it gets there.
    """
    count = len(master.columns)
    A, sides = master.matrix(), master.sides()
    T, N = len(master.job.pieces), len(master.net.place)
    low, high = sides.copy(), sides.copy()
    high[:T], low[T + N :] = np.inf, -np.inf
    size = A.shape[1]

    def spread(weights: Aim) -> Floats:
        row = np.zeros(size)
        row[:count] = [weights.of(c) for c in master.columns]
        return row

    program = Program(spread(aim), A, low, high, np.zeros(size), np.full(size, np.inf),
                      np.ones(size, dtype=bool))  # fmt: skip
    totals = [Total(program.cost, least, np.inf)]
    totals += [Total(spread(cap.weights), -np.inf, cap.most) for cap in caps]
    answer = minimise(program, totals, seconds)
    if answer.x is None:
        return None
    x = np.round(answer.x).astype(np.int64)
    return Whole(x[:count], x[count:], answer.finished)
