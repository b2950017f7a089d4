"""Bounds that need no cutting plan: what can be bought at all."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import CuttingError
from plumbrail.stock.job import Job
from plumbrail.stock.solver import Program, Total, minimise, single
from plumbrail.stock.words import show

Floats = NDArray[np.float64]


def fewest_parts(job: Job) -> int:
    """Least number of parts that the long pieces together can be made of."""
    return sum(-(-b.length // job.longest) * len(b.ids) for b in job.longs)


def material(job: Job) -> int:
    """Capacity [steps] that any plan needs: all lengths, and one kerf per part."""
    parts = sum(len(p.ids) for p in job.pieces) + fewest_parts(job)
    return job.total + parts * job.kerf


def lifted(job: Job, aim: Floats, least: float, caps: list[tuple[Floats, float]]) -> float:
    """Smallest sum of ``aim`` over whole numbers of sticks that is not below ``least``.

    The sticks hold the material and keep the ``caps`` (weights per kind, most). A bound of a
    relaxation is lifted by this to the next sum that can be bought. inf: no such sticks.
    """
    size = float(np.max(aim, initial=0.0)) or 1.0
    capacity = np.array([k.capacity for k in job.kinds], dtype=float)
    upper = np.array([np.inf if k.available is None else k.available for k in job.kinds])
    count, need = len(aim), float(material(job))
    program = Program(
        aim / size, single(capacity / need), np.array([1.0 - 1e-9]),
        np.array([np.inf]), np.zeros(count), upper, np.ones(count, dtype=bool),
    )  # fmt: skip
    totals = [Total(weights, -np.inf, most + 1e-9 * max(1.0, abs(most))) for weights, most in caps]
    totals.append(Total(aim / size, least / size - 1e-6, np.inf))
    answer = minimise(program, totals, 5.0)
    if answer.infeasible:
        return float(np.inf)
    if answer.x is None or not answer.finished:
        return least
    return float(aim @ np.round(answer.x))


def check_amount(job: Job) -> None:
    """Raise CuttingError when all sticks on offer together are too short."""
    prices = np.array([k.price for k in job.kinds])
    if np.isinf(lifted(job, prices, -np.inf, [])):
        raise CuttingError(
            f"the sticks on offer are shorter together than the pieces, which need "
            f"{show(job.total * job.grid, job.grid)} and the saw cuts. Raise the number of sticks "
            "available, or offer another length"
        )
