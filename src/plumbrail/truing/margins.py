"""How much room moves have to leave inside the limits: from much to none.

A value v is estimated with standard deviation s. After the moves it is really
v + (change) - (error of the estimate) + (error of setting), and is then read once more with an
error of about s. With t standard deviations for the stated confidence:

========================  =====================================================  ==============
aim                       room planned                                           room kept
========================  =====================================================  ==============
next readings             t s + t √(2 s² + s_m²): the next verdict is *inside*   t √(2 s² + s_m²)
as measured, with care    t √(2 s² + s_m²): the next estimate is inside          t s
as measured               t √(s² + s_m²): it really is inside                    t s
on paper only             a little for rounding, then none                       0
========================  =====================================================  ==============

s_m is the error of setting a move. The first line that some amounts can keep is taken. *Room kept*
is what the amounts rounded to the tape must still leave. Between the first and the second line each
value is asked for as much of the first line's room as all can have together (``shares``).

A value that reads *inside* today never asks for more room than it has: at rest it stays feasible,
so that what is good does not force a move; but it may not come nearer to its limit than the planned
room either. A value too coarse for its own limits (2 t s is more than they are apart) is asked for
no room; then the outcome is *readings too coarse* whatever else is kept.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.freedom import Freedom
from plumbrail.truing.parts import Built, Verdict

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SETTING = 0.0008
"""1/32 in: standard deviation of setting one point on site (common practice, no published
source)."""
NEXT, MEASURED, PAPER = "next readings", "as measured", "on paper only"


@dataclass(frozen=True)
class Rung:
    """One line of the table above. Axis: value."""

    aim: str
    planned: Array
    kept: Array


def judged(built: Built) -> Mask:
    """Values that are measured and have a limit."""
    stated = np.isfinite(built.low) | np.isfinite(built.high)
    return stated & np.isfinite(built.sd) & np.isfinite(built.value)


def room(built: Built) -> Array:
    """Present distance to the nearer limit, negative beyond it."""
    return np.asarray(np.minimum(built.value - built.low, built.high - built.value))


def too_coarse(built: Built) -> Mask:
    """Values that could not read inside even in the middle of their limits."""
    return judged(built) & (2.0 * built.factor * built.sd > built.high - built.low)


def wanting(built: Built, often: Mask | None = None) -> Mask:
    """Values that call for a move: estimated beyond the limit, or so near it that even four times
    the readings (half the standard deviation) could not settle it either. Those read ``often``
    already (values,) call for a move wherever they are unsure."""
    near = room(built) < 0.5 * built.factor * built.sd
    near |= np.zeros_like(near) if often is None else often
    unsure = built.has(Verdict.UNSURE) & near & ~too_coarse(built)
    return judged(built) & (unsure | (room(built) < 0.0))


def setting_sd(built: Built, freedom: Freedom, use: Mask, step: float) -> Array:
    """Standard deviation that setting the moves adds to each value.

    Every post and beam that may move along an axis counts as moved, by its most telling action;
    reading the amount off a tape adds a rounding of a step.
    """
    each = np.sqrt(SETTING**2 + step**2 / 12.0)
    change = np.abs(built.slope @ freedom.effect[use].T)
    key = [(p.split()[0], a) for p, a, u in zip(freedom.place, freedom.axis, use, strict=True) if u]
    total = np.zeros(len(built.value))
    for k in dict.fromkeys(key):
        total += change[:, [i for i, other in enumerate(key) if other == k]].max(axis=1) ** 2
    return each * np.sqrt(total)


def rungs(built: Built, freedom: Freedom, use: Mask, step: float) -> tuple[Rung, ...]:
    """From the most room to none."""
    t, s = built.factor, np.where(judged(built), built.sd, 0.0)
    s_m = setting_sd(built, freedom, use, step)
    measured = t * s
    again = t * np.sqrt(2.0 * s**2 + s_m**2)
    table = (
        (NEXT, measured + again, again), (MEASURED, again, measured),
        (MEASURED, t * np.sqrt(s**2 + s_m**2), measured),
        (PAPER, 0.5 * s_m, np.zeros_like(s)), (PAPER, np.zeros_like(s), np.zeros_like(s)),
    )  # fmt: skip
    has = np.maximum(room(built), 0.0)
    inside, coarse = built.has(Verdict.INSIDE), too_coarse(built)

    def fair(margin: Array) -> Array:
        margin = np.where(inside, np.minimum(margin, has), margin)
        return np.where(coarse, 0.0, margin)

    return tuple(Rung(aim, fair(planned), fair(kept)) for aim, planned, kept in table)
