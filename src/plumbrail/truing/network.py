"""A network of readings made linear at a place, and the steps of weighted Gauss-Newton."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.blas import dsyrk
from scipy.linalg.lapack import dpotrf, dpotrs

from plumbrail.errors import SurveyError
from plumbrail.truing.spectrum import Spectrum, spectrum

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Observe = Callable[[Array], tuple[Array, Array]]
"""Unknowns x (n,) -> computed readings f (m,) and their design A (m, n)."""


@runtime_checkable
class Batched(Protocol):
    """An ``Observe`` that can also look at many places at once."""

    def __call__(self, x: Array, /) -> tuple[Array, Array]:
        """One place, with the design."""

    def values(self, places: Array) -> Array:
        """Computed readings (k, m) at places (k, n), without design."""


NO_MATTER = 1e-8
"""Steps that still go round in circles after all rounds, but move nothing by more than this [m]."""
SETTLED = 1e-11
"""A last step below this share of the largest unknown (at least 1) is convergence."""
TRIALS = 12
GAIN = 0.25
"""A step is taken when it gains this share of what the linear network promised."""
LEAST_DAMPING = 1e-6
ROUNDING = 1e-12
NO_GAIN = 1e-8
"""Steps that stop shrinking end when they promise less of v'Pv than this."""
SLOW = 0.3
"""Steps that shrink by less call for a fresh look at what is determined, ``LOOKS`` times."""
LOOKS = 4


@dataclass(frozen=True)
class Linear:
    """The network at ``x``, every row divided by the standard deviation of its reading."""

    x: Array
    y: Array
    """(m,) observed less computed."""
    B: Array
    """(m, n) design."""


@dataclass(frozen=True)
class Network:
    """Readings with their standard deviations, where to start, and what holds a free datum."""

    observe: Observe
    observed: Array
    sd: Array
    start: Array
    datum: Array

    @classmethod
    def of(
        cls, observe: Observe, observed: Array, sd: Array, start: Array, datum: Array | None
    ) -> Network:
        """Checks what was given; SurveyError in words."""
        observed, sd, start = (np.asarray(v, dtype=float) for v in (observed, sd, start))
        for name, values in (("reading", observed), ("start of unknown", start)):
            if len(bad := np.flatnonzero(~np.isfinite(values))):
                raise SurveyError(f"{name} {bad[0] + 1} is not a number.")
        if len(bad := np.flatnonzero(~(np.isfinite(sd) & (sd > 0.0)))):
            raise SurveyError(
                f"reading {bad[0] + 1} has a standard deviation of {sd[bad[0]]:g}. "
                "Write a precision above 0."
            )
        weight = np.ones(len(start)) if datum is None else np.asarray(datum, dtype=float)
        if weight.shape != start.shape or np.any(weight < 0.0):
            raise ValueError("datum needs one weight of 0 or more for each unknown")
        return cls(observe, observed, sd, start, weight)

    def at(self, x: Array) -> Linear:
        """The network made linear at x."""
        f, A = self.observe(x)
        if not (np.isfinite(f).all() and np.isfinite(A).all()):
            raise SurveyError(
                "the readings lead to a place where they cannot be computed, for example two "
                "points in one place. Look for swapped points or start nearer."
            )
        return Linear(x, (self.observed - f) / self.sd, A / self.sd[:, None])

    def spectrum(self, linear: Linear, kept: Mask, most: int | None = None) -> Spectrum:
        """What the kept readings determine at this place."""

        def bends(steps: Array) -> Array:
            with np.errstate(all="ignore"):
                sides = (self._computed(linear.x + sign * steps.T) for sign in (1.0, -1.0))
                bent = 0.5 * sum(sides) + linear.y - self.observed / self.sd
            return np.nan_to_num(np.linalg.norm(bent[:, kept], axis=1), nan=np.inf)

        return spectrum(linear.B[kept], self.datum, bends, most)

    def _computed(self, places: Array) -> Array:
        if isinstance(self.observe, Batched):
            return np.asarray(self.observe.values(places) / self.sd)
        return np.stack([self.observe(x)[0] / self.sd for x in places])

    def sure_step(self, linear: Linear, kept: Mask, sp: Spectrum) -> Array:
        """Gauss-Newton step from the singular directions, onto the datum."""
        dx = sp.firm @ ((sp.firm.T @ (linear.B[kept].T @ linear.y[kept])) / sp.s**2)
        gone = linear.x - self.start
        return sp.to_datum(gone + dx) - gone

    def step(self, linear: Linear, weight: Array, sp: Spectrum, fresh: bool) -> Array:
        """Full Gauss-Newton step; ``fresh``: the spectrum belongs to this very place."""
        if not fresh:
            try:
                return self.quick_step(linear, weight, sp)
            except np.linalg.LinAlgError:
                sp = self.spectrum(linear, weight > 0.0, sp.rank)
        return self.sure_step(linear, weight > 0.0, sp)

    def quick_step(
        self, linear: Linear, weight: Array, sp: Spectrum, damping: float = 0.0
    ) -> Array:  # fmt: skip
        """The same from normal equations bordered with the datum of an earlier place.

        Ten times as fast. LinAlgError when they are singular. Rounding in them costs digits of the
        step, not of the solution, because the misclosures are computed afresh each time.
        ``damping`` (a share of the stiffest diagonal) shortens the step where it is least sure.
        """
        BtW = linear.B.T * weight
        K = normal(linear.B, weight)
        R, h = sp.rows, -sp.rows @ (linear.x - self.start)
        stiff = max(float(K.diagonal().max(initial=0.0)), np.finfo(float).tiny)
        if len(R):
            K += stiff * (R.T @ R)
        K.flat[:: len(K) + 1] += stiff * damping
        right = np.column_stack([BtW @ linear.y + stiff * (R.T @ h), R.T])
        solved = positive(K, right)
        dx, Z = solved[:, 0], solved[:, 1:]
        return dx + Z @ np.linalg.solve(R @ Z, h - R @ dx) if len(h) else dx

    def walk(
        self, linear: Linear, weight: Array, sp: Spectrum, step: Array, damping: float
    ) -> tuple[Linear, float]:
        """Takes a step, damped (Levenberg-Marquardt) while it gains less than it promised.

        Returns the new place and the damping to go on with.
        """
        before = float(weight @ linear.y**2)
        if damping:
            step = self.quick_step(linear, weight, sp, damping)
        for _ in range(TRIALS):
            there = self.at(linear.x + step)
            promised = self.promise(linear, weight, step)
            gained = before - float(weight @ there.y**2)
            if gained >= GAIN * promised or promised <= ROUNDING * (before + 1.0):
                lower = damping / 8.0 if gained >= 0.75 * promised else damping
                return there, lower if lower > LEAST_DAMPING else 0.0
            damping = max(8.0 * damping, LEAST_DAMPING)
            step = self.quick_step(linear, weight, sp, damping)
        return there, damping

    def promise(self, linear: Linear, weight: Array, step: Array) -> float:
        """By how much v'Pv would fall if the network were linear."""
        change = linear.B @ step
        return float((weight * change) @ (2.0 * linear.y - change))

    def settled(self, step: Array, x: Array) -> bool:
        """The step is too small to matter."""
        size = max(1.0, float(np.abs(x).max(initial=0.0)))
        return largest(step) <= SETTLED * size


@dataclass(frozen=True)
class Settled:
    """Where Gauss-Newton came to rest."""

    linear: Linear
    spectrum: Spectrum
    iterations: int
    last_step: float


def settle(
    network: Network, kept: Mask, start: Array | Linear, most: int, sp: Spectrum | None = None
) -> Settled:
    """Weighted Gauss-Newton over the kept readings; SurveyError when it does not settle.

    Rank and datum are decided by singular values at the first place, at the last, and where the
    steps shrink slowly; the steps between use normal equations. ``sp`` is the spectrum of the kept
    readings at the start, if it is known.
    """
    here = start if isinstance(start, Linear) else network.at(start)
    weight, cap, looks, damping = kept.astype(float), None, 0, 0.0
    sp = network.spectrum(here, kept) if sp is None else sp
    fresh, size = True, np.inf
    for count in range(1, most + 1):
        before, step = size, network.step(here, weight, sp, fresh)
        size = largest(step)
        slow = size > SLOW * before
        # Blunders of feet can make the last digits go round in circles: no more to gain.
        stuck = slow and looks >= LOOKS and network.promise(here, weight, step) < NO_GAIN
        done = stuck or network.settled(step, here.x)
        if not fresh and (done or (slow and looks < LOOKS)):
            old, sp = sp, network.spectrum(here, kept, cap)
            fresh, looks, cap = True, looks + 1, sp.rank  # from here on the rank only falls
            step = network.step(here, weight, sp, fresh)
            # Where curvature leaves directions loose, their basis has no exact fixed point.
            done = done and (stuck or network.settled(step, here.x) or sp.alike(old))
        if done:
            return Settled(here, sp, count, size)
        last = here
        here, damping = network.walk(last, weight, sp, step, damping)
        fresh = fresh and np.array_equal(last.B, here.B)
    if size <= NO_MATTER:
        return Settled(here, network.spectrum(here, kept, cap), most, size)
    raise SurveyError(
        f"the adjustment did not settle in {most} rounds; the last changed a coordinate by "
        f"{largest(step):.3g} m. The readings contradict each other too much, or the start "
        "is too far off: look for swapped points and misread feet."
    )


def normal(B: Array, weight: Array) -> Array:
    """B' diag(weight) B; only its lower triangle is right, as for a Cholesky factor."""
    return np.asarray(dsyrk(1.0, (B * np.sqrt(weight)[:, None]).T, lower=1))


def positive(K: Array, right: Array) -> Array:
    """Solves K X = right from K's lower triangle; LinAlgError where K is not positive definite."""
    factor, trouble = dpotrf(K, lower=1, clean=0)
    if trouble:
        raise np.linalg.LinAlgError("not positive definite")
    return np.asarray(dpotrs(factor, right, lower=1)[0])


def largest(step: Array) -> float:
    """Largest change of an unknown."""
    return float(np.abs(step).max(initial=0.0))
