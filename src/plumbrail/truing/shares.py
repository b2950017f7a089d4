"""Limits with as much room as there is, where the full room is not to be had everywhere."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from plumbrail.truing.parts import Array, Mask
from plumbrail.truing.solver import Part, program
from plumbrail.truing.steps import Limits

LEFT = 0.85
"""Of the room to be had above the least this share is asked for: all of it would leave one choice
of amounts only, which moves everything."""


def shared_out(full: Limits, least: Limits) -> Limits | None:
    """Limits between two, each row with the share of its own room that all can have together.

    A linear program makes the sum of the shares given up least; None when not even ``least`` can be
    kept, or when the full room is the same.
    """
    below, above = full.low - least.low, least.high - full.high
    rows = (below > 0.0) | (above > 0.0)
    if not rows.any():
        return None
    given_up = _given_up(full, below, above, rows)
    if given_up is None:
        return None
    share = np.ones(len(rows))
    share[rows] = 1.0 - LEFT * (1.0 - given_up)
    return replace(least, low=full.low - share * below, high=full.high + share * above)


def _given_up(full: Limits, below: Array, above: Array, rows: Mask) -> Array | None:
    A, n, k = full.A, full.A.shape[1], int(rows.sum())
    pick = np.zeros((len(A), k))
    pick[np.flatnonzero(rows), np.arange(k)] = 1.0
    found = program(
        np.concatenate([np.zeros(n), np.ones(k)]),
        [Part(np.hstack([A, pick * below[:, None]]), full.low - 1e-7, np.inf),
         Part(np.hstack([A, -pick * above[:, None]]), -np.inf, full.high + 1e-7)],
        np.concatenate([full.least, np.zeros(k)]), np.concatenate([full.most, np.ones(k)]),
    )  # fmt: skip
    return None if found.x is None else np.clip(found.x[n:], 0.0, 1.0)
