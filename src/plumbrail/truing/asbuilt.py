"""As built against plan: every value with its uncertainty and verdict.

Definitions, with symbols, are on the method page ``as-built``.
"""

from __future__ import annotations

from itertools import chain

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from plumbrail.plan.truing import Tolerances
from plumbrail.trace import require
from plumbrail.truing.block import Block, Limits
from plumbrail.truing.parallel import parallel, spacing_across, square, tilt
from plumbrail.truing.parts import Built, Mask, Positions, Verdict
from plumbrail.truing.shape import Shape
from plumbrail.truing.standing import height, plane, plumb
from plumbrail.truing.straight import level, spacing_along, straight

Array = NDArray[np.float64]

_LOOSE_SD = 0.1
"""What the readings leave open is known to about this [m] all the same: from the plan."""
_SETTLED = 0.05
"""A value counts as measured while no more than this share of its slope is left open."""
_SLACK = 1e-9
"""Rounding of floats at a limit [m, rad]."""


def built(
    positions: Positions, tolerances: Tolerances, tilt_band: tuple[float, float], confidence: float
) -> Built:  # fmt: skip
    """Every value of straightness, level, parallelism, plumb, plane, tilt, spacing, squareness and
    height.

    ``positions.cov`` is already enlarged where the readings disagree; ``tilt_band`` in radians,
    lowest first; ``confidence`` two-sided, between 0 and 1 (RangeError otherwise).
    """
    require("truing.confidence", 0.5, confidence, 1 - 1e-9, "confidence of a verdict",
            "Write a share such as 95 %.")  # fmt: skip
    blocks = _blocks(positions, tolerances, Limits(*tilt_band))
    count = [len(b.ids) for b in blocks]
    slope = np.concatenate([b.measured.slope for b in blocks])
    slope = slope.reshape(len(slope), -1)
    value = np.concatenate([b.measured.value for b in blocks])
    open_share = np.linalg.norm(slope @ positions.loose, axis=1)
    size = np.linalg.norm(slope, axis=1)
    known = (open_share <= _SETTLED * size) & np.isfinite(value)
    kept = known | ~np.repeat([b.optional for b in blocks], count)
    variance = np.einsum("ij,ij->i", slope @ positions.cov, slope)
    sd = np.sqrt(np.maximum(variance, 0.0) + (_LOOSE_SD * open_share) ** 2)
    sd = np.where(known, sd, np.inf)
    low = np.repeat([b.limits.low for b in blocks], count)
    high = np.repeat([b.limits.high for b in blocks], count)
    factor = float(ndtri(0.5 + 0.5 * confidence))
    verdict = _verdicts(value, low, high, factor * sd)

    def words(parts: list[tuple[str, ...]]) -> tuple[str, ...]:
        return tuple(w for w, keep in zip(chain(*parts), kept, strict=True) if keep)

    return Built(
        ids=words([b.ids for b in blocks]),
        family=words([(b.family,) * len(b.ids) for b in blocks]),
        subject=words([b.subject for b in blocks]),
        what=words([b.what for b in blocks]),
        angle=np.repeat([b.angle for b in blocks], count)[kept],
        value=value[kept], low=low[kept], high=high[kept], sd=sd[kept], slope=slope[kept],
        verdict=tuple(v for v, keep in zip(verdict, kept, strict=True) if keep),
        factor=factor,
    )  # fmt: skip


def _blocks(positions: Positions, tolerances: Tolerances, band: Limits) -> list[Block]:
    shape = Shape(positions.points, positions.xyz)
    planned = Shape(positions.points, positions.points.planned)
    return [
        *straight(shape, tolerances),
        *level(shape, tolerances),
        *parallel(shape, tolerances),
        *plumb(shape, tolerances),
        *plane(shape, tolerances),
        *tilt(shape, band),
        *spacing_along(shape, planned, tolerances),
        *spacing_across(shape, planned, tolerances),
        *square(shape, planned, tolerances),
        *height(shape, planned, tolerances),
    ]


def _verdicts(value: Array, low: Array, high: Array, margin: Array) -> list[Verdict]:
    """Verdict of each value; ``margin`` is infinite where it is not measured."""
    inside: Mask = (value - margin >= low - _SLACK) & (value + margin <= high + _SLACK)
    outside: Mask = (value - margin > high + _SLACK) | (value + margin < low - _SLACK)
    cases = [np.isinf(low) & np.isinf(high), np.isinf(margin), inside, outside]
    picks = np.select(cases, [0, 1, 2, 3], 4)
    names = (Verdict.UNSTATED, Verdict.UNMEASURED, Verdict.INSIDE, Verdict.OUTSIDE, Verdict.UNSURE)
    return [names[pick] for pick in picks]
