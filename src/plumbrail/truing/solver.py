"""One call of the mixed-integer solver (HiGHS by scipy)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SECONDS = 20.0
"""Only against a solver that hangs: branchings end it long before, so that runs repeat."""


@dataclass(frozen=True)
class Part:
    """Rows low <= A x <= high."""

    A: Array
    low: Array | float
    high: Array | float


def program(
    cost: Array, parts: Sequence[Part], lower: Array, upper: Array, whole: Mask | None = None,
    nodes: int = 0, gap: float = 1e-6, presolve: bool = True,
) -> Any:  # fmt: skip
    """Least cost @ x; ``whole`` columns in whole numbers, with so many branchings at most.

    Returns scipy's result: ``status`` 0 solved, 1 stopped, 2 impossible; ``x`` None when nothing
    was found.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csc_array

    call: Any = milp
    some = [p for p in parts if len(p.A)]
    A = csc_array(np.vstack([p.A for p in some]))
    low = np.concatenate([np.broadcast_to(p.low, len(p.A)) for p in some])
    high = np.concatenate([np.broadcast_to(p.high, len(p.A)) for p in some])
    options = {"time_limit": SECONDS, "mip_rel_gap": gap, "presolve": presolve}
    if whole is not None:
        options["node_limit"] = nodes
    return call(
        cost, constraints=LinearConstraint(A, low, high), bounds=Bounds(lower, upper),
        integrality=None if whole is None else whole.astype(int), options=options,
    )  # fmt: skip
