"""Least-squares adjustment of any readings, free networks included.

Sources: Mikhail and Ackermann 1976, Observations and Least Squares; Ghilani, Adjustment
Computations; reliability by Baarda 1968. The method: docs/method/adjustment.md.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing import quality
from plumbrail.truing.network import Network, Observe, Settled, settle

__all__ = ["CHECKED", "Adjusted", "Observe", "adjust"]

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
CHECKED = 1e-4
"""A reading with a smaller redundancy number counts as not checked: only a blunder of more than
400 standard deviations would show."""


@dataclass(frozen=True)
class Adjusted:
    """An adjusted network. Axes: reading (m), unknown (n). Units as given, mostly metres."""

    x: Array
    """(n,) adjusted unknowns; along loose directions nearest to the start, as felt by the datum."""
    residual: Array
    """(m,) computed less observed, v = f(x) - l; also of readings not kept."""
    sd: Array
    """(m,) a priori standard deviations."""
    cov: Array
    """(n, n) covariance for sigma_0 = 1, in the datum of ``x``."""
    loose: Array
    """(n, d) orthonormal basis of what the kept readings do not determine; d may be 0."""
    redundancy: Array
    """(m,) r, 0 to 1. Not kept: the number it would have if it were."""
    w: Array
    """(m,) normalised residual; 0 where nothing checks the reading."""
    mdb: Array
    """(m,) least detectable blunder, power 80 % at alpha 0.1 %; infinite where nothing checks."""
    freedom: int
    """Kept readings less rank."""
    statistic: float
    """v'Pv of the kept readings."""
    iterations: int
    last_step: float
    """Largest change of an unknown in the step that was too small to take."""


def adjust(
    observe: Observe, observed: Array, sd: Array, start: Array, *,
    datum: Array | None = None, kept: Mask | None = None, most: int = 30,
) -> Adjusted:  # fmt: skip
    """Weighted least squares of readings ``observed`` (m,), iterated to convergence.

    ``datum`` (n,) is a mask or weights of the unknowns whose change from ``start`` is least where
    the readings leave a choice (inner constraints); all by default. Readings not ``kept`` (m,)
    take no part, but are compared with the rest. Raises SurveyError when the steps do not settle
    within ``most`` rounds.
    """
    network = Network.of(observe, observed, sd, start, datum)
    mask = np.ones(len(network.sd), dtype=bool) if kept is None else np.asarray(kept, dtype=bool)
    return finish(network, mask, settle(network, mask, network.start, most))


def finish(network: Network, kept: Mask, settled: Settled) -> Adjusted:
    """Covariance and reliability at the place where the adjustment settled."""
    linear, sp, sd = settled.linear, settled.spectrum, network.sd
    h = np.sum(sp.levers(linear.B) ** 2, axis=1)  # variance of the adjusted reading over sd^2
    known = kept | sp.determines(linear.B)
    s_f = sd * np.sqrt(np.where(kept, h, h / (1.0 + h)))
    r = np.where(known, np.clip(quality.redundancy_number(s_f, sd), 0.0, 1.0), 0.0)
    checked = r > CHECKED
    safe = np.where(checked, r, 1.0)
    v = -linear.y * sd
    own = np.where(kept, v, safe * v)  # the residual it would have if kept
    delta_0 = np.array(quality.noncentrality())
    spread = sp.to_datum(sp.firm) / sp.s
    return Adjusted(
        x=linear.x, residual=v, sd=sd, cov=spread @ spread.T, loose=sp.loose, redundancy=r,
        w=np.where(checked, quality.normalised_residual(own, sd, safe), 0.0),
        mdb=np.where(checked, quality.least_detectable(delta_0, sd, safe), np.inf),
        freedom=int(kept.sum()) - sp.rank, statistic=float(np.sum(linear.y[kept] ** 2)),
        iterations=settled.iterations, last_step=settled.last_step,
    )  # fmt: skip
