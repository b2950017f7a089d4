"""Which readings to repeat or add so that uncertain values can be decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plumbrail.truing.candidates import Candidates, candidate_rows
from plumbrail.truing.gather import Gathered
from plumbrail.truing.parts import Array, IntArray, Wanted
from plumbrail.truing.scheme import covariance

_ANYWHERE = 10.0
"""Standard deviation [m] of a laser plane that is not set up yet."""
_ROUNDING = 9
"""Decimals of a use; what differs by less is as good."""
_WORTH = 0.005
"""A reading that takes less than this share off the excess is not worth a walk."""


@dataclass(frozen=True)
class Sharper:
    """Readings in the order of their use."""

    wanted: tuple[Wanted, ...]
    sd: Array
    """(steps + 1, values) expected standard deviation, first as it is now."""
    enough: bool
    """At the end every value is as certain as it needs to be."""


def sharper(
    network: Gathered, slopes: Array, need: Array, candidates: Sequence[Wanted], *,
    enlarged: float = 1.0, most: int = 20,
) -> Sharper:  # fmt: skip
    """Greedy: each next reading takes most off the variances above what is needed.

    ``slopes`` (q, 3 points) of values that the readings determine, ``need`` (q,) the standard
    deviation that would decide each. A candidate may repeat a reading, once for each time it is
    listed. A rod in a new laser set-up comes with the rod that ties it to the rest.
    """
    rows = candidate_rows(network, candidates)
    n = len(network.unknown)
    cov = np.zeros((n + rows.new, n + rows.new))
    cov[:n, :n] = covariance(network) * enlarged**2
    cov[np.arange(n, n + rows.new), np.arange(n, n + rows.new)] = _ANYWHERE**2
    values = np.pad(network.from_current(slopes), ((0, 0), (0, rows.new)))
    seen = _Seen.at(rows, values, cov, enlarged)
    sd = [seen.sd]
    taken: list[int] = []
    while len(taken) < most and (sd[-1] > need).any():
        choice, gain = _best(rows, seen, need, taken)
        if gain <= _WORTH:
            break
        for i in choice:
            seen = seen.after(i)
            taken.append(i)
            sd.append(seen.sd)
    wanted = tuple(rows.wanted[i] for i in taken)
    return Sharper(wanted, np.array(sd), bool((sd[-1] <= need).all()))


@dataclass(frozen=True)
class _Seen:
    """Covariances as the candidates see them, so that none of the unknowns is touched again."""

    variance: Array
    """(q,) of the values."""
    G: Array
    """(q, c) of values with candidates."""
    H: Array
    """(c + f, c + f) of candidates among themselves, then of the places of the f rods in new
    set-ups without their laser plane."""
    noise: Array
    """(c,) variance of each reading."""
    fresh: IntArray
    """(f,) the rods in new set-ups."""

    @classmethod
    def at(cls, rows: Candidates, values: Array, cov: Array, enlarged: float) -> _Seen:
        """Before any of them is taken."""
        fresh = np.flatnonzero([bool(name) for name in rows.setup])
        places = rows.pattern[fresh].copy()
        places[:, cov.shape[0] - rows.new :] = 0.0
        every = np.vstack([rows.pattern, places])
        before = values @ cov
        return cls(
            np.einsum("ij,ij->i", before, values), before @ rows.pattern.T, every @ cov @ every.T,
            (enlarged * rows.sd) ** 2, fresh,
        )  # fmt: skip

    @property
    def sd(self) -> Array:
        """(q,) of the values."""
        return np.asarray(np.sqrt(np.maximum(self.variance, 0.0)))

    @property
    def own(self) -> Array:
        """(c,) variance with which each reading would come in."""
        return np.asarray(self.H.diagonal()[: len(self.noise)] + self.noise)

    def after(self, i: int) -> _Seen:
        """With one of them taken (Sherman and Morrison 1950)."""
        s, g, h = self.own[i], self.G[:, i], self.H[:, i]
        return _Seen(
            self.variance - g**2 / s, self.G - np.outer(g, h[: len(self.noise)] / s),
            self.H - np.outer(h, h / s), self.noise, self.fresh,
        )  # fmt: skip

    def tying(self, same: IntArray, sd: Array) -> int:
        """Among the rods of a new set-up the one on the best known point."""
        c = len(self.noise)
        known = self.H.diagonal()[c + np.searchsorted(self.fresh, same)] + sd[same] ** 2
        return int(same[np.argmin(known)])


def _best(rows: Candidates, seen: _Seen, need: Array, taken: list[int]) -> tuple[list[int], float]:
    """The reading (with the rod that ties a new set-up) of most use, and its use per reading."""
    c = len(rows.wanted)
    if not c:
        return [], 0.0
    tie = _ties(rows, seen, taken)
    paired = np.flatnonzero(tie >= 0)
    less, each = seen.G**2 / seen.own, np.ones(c)
    for t in np.unique(tie[paired]):
        after, with_ = seen.after(int(t)), paired[tie[paired] == t]
        first = seen.G[:, [t]] ** 2 / seen.own[t]
        less[:, with_] = first + after.G[:, with_] ** 2 / after.own[with_]
        each[with_] = 2.0
    ratio = seen.variance / need**2 - 1.0
    rest = np.maximum(ratio[:, None] - less / need[:, None] ** 2, 0.0).sum(axis=0)
    excess = float(np.maximum(ratio, 0.0).sum())
    use = (excess - rest) / excess / each
    use[taken] = 0.0
    use[tie == np.arange(c)] = 0.0
    best = int(np.argmax(np.round(use, _ROUNDING)))  # the first of those that are as good
    return ([int(tie[best]), best] if tie[best] >= 0 else [best]), float(use[best])


def _ties(rows: Candidates, seen: _Seen, taken: list[int]) -> IntArray:
    """(c,) the rod that has to come first, where a new set-up is not tied yet; else -1."""
    tie = np.full(len(rows.wanted), -1)
    tied = {rows.setup[i] for i in taken}
    names = np.array(rows.setup)
    for name in dict.fromkeys(rows.setup):
        if name and name not in tied:
            same = np.flatnonzero(names == name)
            tie[same] = seen.tying(same, rows.sd)
    return tie
