"""Wanted readings without those that the others make needless."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plumbrail.truing.gather import Gathered
from plumbrail.truing.hidden import ALONE, ANGLE, FOOT
from plumbrail.truing.instruments import ANGLES
from plumbrail.truing.parts import Array, IntArray, Mask
from plumbrail.truing.quality import least_detectable, noncentrality
from plumbrail.truing.scheme import covariance

SPARED = 1e-3
"""A reading with a larger redundancy determines nothing by itself: the others determine as much."""


@dataclass(frozen=True)
class Asked:
    """What readings have to tell. Axis: value."""

    slope: Array
    """(values, 3 points)"""
    need: Array
    """Standard deviation that is enough."""
    room: Array
    """Distance to the nearer limit."""


@dataclass(frozen=True)
class Told:
    """How well readings tell values, for one set of conditions. Axes: value, reading."""

    cov: Array
    """(unknowns, unknowns)"""
    rows: Array
    """(readings, unknowns)"""
    sd: Array
    values: Array
    """(values, unknowns)"""
    cross: Array
    """(values, readings) covariance of values with adjusted readings."""
    lever: Array
    """(readings,) variance of adjusted readings."""
    variance: Array
    """(values,)"""

    @classmethod
    def by(cls, network: Gathered, slopes: Array) -> Told:
        """All readings of a network, none of them wrong."""
        cov, values = covariance(network), network.from_current(slopes)
        rows, seen = network.pattern, values @ cov
        return cls(
            cov, rows, network.sd, values, seen @ rows.T,
            np.einsum("ij,ij->i", rows @ cov, rows), np.einsum("ij,ij->i", seen, values),
        )  # fmt: skip

    @property
    def redundancy(self) -> Array:
        """(readings,)"""
        return np.clip(1.0 - self.lever / self.sd**2, 0.0, 1.0)

    def without(self, i: int) -> Told:
        """One reading less (Sherman and Morrison 1950); the others must determine as much."""
        u = self.cov @ self.rows[i]
        d = self.sd[i] ** 2 - self.lever[i]
        seen, told = self.rows @ u, self.values @ u
        return replace(
            self, cov=self.cov + np.outer(u, u / d), cross=self.cross + np.outer(told, seen / d),
            lever=self.lever + seen**2 / d, variance=self.variance + told**2 / d,
        )  # fmt: skip


def thinned(
    network: Gathered, first: int, asked: Asked, enlarged: float = 1.0
) -> IntArray:  # fmt: skip
    """Indices of the readings from the ``first`` wanted one on that are needed.

    One by one, the latest first, a reading is left out where the others determine as much, make
    every value as certain as needed (or as all together do), and no value comes to hang on a
    reading that nothing checks.
    """
    tied, alone = Told.by(network, asked.slope), Told.by(network.untied(), asked.slope)
    enough = np.maximum((asked.need / enlarged) ** 2, tied.variance * (1.0 + 1e-9))
    size = np.where([r.kind in ANGLES for r in network.readings], ANGLE, FOOT)
    kept = np.ones(len(network.readings), dtype=bool)
    for i in range(len(kept) - 1, first - 1, -1):
        if alone.redundancy[i] < SPARED or tied.redundancy[i] < SPARED:
            continue
        less = tied.without(i)
        kept[i] = False
        if (less.variance > enough).any() or hangs(less, kept, size, asked.room):
            kept[i] = True
            continue
        tied, alone = less, alone.without(i)
    return np.flatnonzero(kept[first:])


def hangs(told: Told, kept: Mask, size: Array, room: Array) -> bool:
    """Whether some value could come outside by a slip in a reading that nothing checks."""
    r = told.redundancy
    picks = np.flatnonzero(kept & (r < ALONE))
    safe = np.maximum(r[picks], 1e-4)
    found = least_detectable(np.array(noncentrality()), told.sd[picks], safe)
    slip = np.minimum(np.where(r[picks] > 1e-4, found, np.inf), size[picks])
    shift = np.abs(told.cross[:, picks]) / told.sd[picks] ** 2 * slip
    return bool((shift > room[:, None]).any())
