"""The one door to the solver (HiGHS through scipy); scipy is imported late, as that takes time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
GAP = 1e-9


def matrix(rows: ArrayLike, columns: ArrayLike, values: ArrayLike, shape: tuple[int, int]) -> Any:
    """A sparse matrix by rows; entries at one place add up."""
    from scipy.sparse import coo_array, csr_array

    at = (np.asarray(rows, dtype=np.int64), np.asarray(columns, dtype=np.int64))
    return csr_array(coo_array((np.asarray(values, dtype=float), at), shape=shape))


def single(row: Floats) -> Any:
    """A sparse matrix of one row."""
    from scipy.sparse import csr_array

    return csr_array(row[None, :])


def beside(left: Any, right: Any) -> Any:
    """Two matrices with the same rows as one."""
    from scipy.sparse import csr_array, hstack

    return csr_array(hstack([left, right]))


def stacked(parts: Sequence[Any]) -> Any:
    """Matrices with the same columns as one."""
    from scipy.sparse import csr_array, vstack

    return csr_array(vstack(parts))


@dataclass(frozen=True)
class Program:
    """Minimise cost x with low <= A x <= high, lower <= x <= upper, some x whole numbers."""

    cost: Floats
    A: Any
    low: Floats
    high: Floats
    lower: Floats
    upper: Floats
    whole: NDArray[np.bool_]


Terms = list[tuple[int, float]]


@dataclass
class Rows:
    """Rows of a program as they are written down: terms (column, factor) and their limits."""

    entries: list[tuple[int, int, float]] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def add(self, terms: Terms, low: float, high: float) -> None:
        """One more row: low <= sum of terms <= high."""
        self.entries += [(len(self.low), column, value) for column, value in terms]
        self.low.append(low)
        self.high.append(high)

    def limits(self, columns: int) -> tuple[Any, Floats, Floats]:
        """Matrix, low and high, as a program wants them."""
        r, c, v = (np.array(x) for x in zip(*self.entries, strict=True))
        A = matrix(r, c, v, (len(self.low), columns))
        return A, np.array(self.low), np.array(self.high)


@dataclass(frozen=True)
class Total:
    """A further row: low <= weights x <= high. It is scaled to its limits before it is used."""

    weights: Floats
    low: float
    high: float


@dataclass(frozen=True)
class Answer:
    """``x`` is None when nothing was found; ``bound`` holds in any case."""

    x: Floats | None
    bound: float
    infeasible: bool
    finished: bool


def minimise(
    program: Program, totals: list[Total], seconds: float, nodes: int | None = None
) -> Answer:
    """Solve a program in whole numbers within the time and a number of branchings.

    The number of branchings does not depend on the machine, so two runs give the same plan.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    p = program
    rows: list[Any] = [LinearConstraint(p.A, p.low, p.high)] if p.A.shape[0] else []
    for total in totals:
        limits = [abs(x) for x in (total.low, total.high) if np.isfinite(x)]
        if limits:
            size = max(1.0, *limits)
            row = single(total.weights / size)
            rows.append(LinearConstraint(row, total.low / size, total.high / size))
    options: dict[str, float] = {"mip_rel_gap": GAP, "time_limit": max(0.2, seconds)}
    if nodes is not None:
        options["node_limit"] = nodes
    call: Any = milp  # its stubs know fewer kinds of array than it takes
    res = call(
        p.cost, constraints=rows, bounds=Bounds(p.lower, p.upper), integrality=p.whole.astype(int),
        options=options,
    )  # fmt: skip
    finished = res.status == 0
    dual = res.mip_dual_bound
    bound = res.fun if finished else (-np.inf if dual is None else dual)
    return Answer(res.x, float(bound), res.status == 2, finished)


@dataclass(frozen=True)
class LinearAnswer:
    """Least cost, x, and the worth of one unit on each row."""

    value: float
    x: Floats
    upper: Floats
    equal: Floats


def linear(cost: Floats, A_ub: Any, b_ub: Floats, A_eq: Any, b_eq: Floats) -> LinearAnswer:
    """Solve a linear program with x >= 0 that is feasible and bounded by its making."""
    from scipy.optimize import linprog

    call: Any = linprog
    some = len(b_eq) > 0
    res = call(cost, A_ub=A_ub, b_ub=b_ub, A_eq=A_eq if some else None,
               b_eq=b_eq if some else None, method="highs-ds")  # fmt: skip
    if res.x is None:
        raise RuntimeError(f"linear program of the cutting failed: {res.message}")
    equal = np.asarray(res.eqlin.marginals) if some else np.empty(0)
    return LinearAnswer(float(res.fun), np.asarray(res.x), np.asarray(res.ineqlin.marginals), equal)
