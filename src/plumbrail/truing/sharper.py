"""Which readings to repeat or add so that uncertain values can be decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plumbrail.truing.candidates import Candidates, candidate_rows
from plumbrail.truing.gather import Gathered
from plumbrail.truing.parts import Array, Wanted
from plumbrail.truing.scheme import covariance

_ANYWHERE = 10.0
"""Standard deviation [m] of a laser plane that is not set up yet."""
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
    sd = [_sd(values, cov)]
    taken: list[int] = []
    while len(taken) < most and (sd[-1] > need).any():
        choice, gain = _best(rows, values, cov, need, taken, enlarged)
        if gain <= _WORTH:
            break
        for i in choice:
            cov = _after(cov, rows.pattern[[i]], enlarged * rows.sd[[i]])
            taken.append(i)
            sd.append(_sd(values, cov))
    wanted = tuple(rows.wanted[i] for i in taken)
    return Sharper(wanted, np.array(sd), bool((sd[-1] <= need).all()))


def _sd(values: Array, cov: Array) -> Array:
    variance = np.einsum("ij,ij->i", values @ cov, values)
    return np.asarray(np.sqrt(np.maximum(variance, 0.0)))


def _after(cov: Array, rows: Array, sd: Array) -> Array:
    """Covariance after some more readings."""
    G = cov @ rows.T
    S = rows @ G + np.diag(sd**2)
    return np.asarray(cov - G @ np.linalg.solve(S, G.T))


def _best(
    rows: Candidates, values: Array, cov: Array, need: Array, taken: list[int], enlarged: float
) -> tuple[list[int], float]:
    """The reading (with the rod that ties a new set-up) of most use, and its use per reading."""
    tied = {rows.setup[i] for i in taken}
    before = values @ cov
    variance = np.einsum("ij,ij->i", before, values)
    excess = np.maximum(variance / need**2 - 1.0, 0.0)
    best: tuple[list[int], float] = ([], 0.0)
    for i in range(len(rows.wanted)):
        if i in taken:
            continue
        fresh = bool(rows.setup[i]) and rows.setup[i] not in tied
        choice = [_tying(rows, cov, i), i] if fresh else [i]
        if len(set(choice)) < len(choice):
            continue
        A = rows.pattern[choice]
        S = A @ cov @ A.T + np.diag((enlarged * rows.sd[choice]) ** 2)
        G = before @ A.T
        less = np.einsum("ij,ij->i", G, np.linalg.solve(S, G.T).T)
        rest = np.maximum((variance - less) / need**2 - 1.0, 0.0)
        use = float((excess - rest).sum() / excess.sum() / len(choice))
        if use > best[1]:
            best = choice, use
    return best


def _tying(rows: Candidates, cov: Array, i: int) -> int:
    """The rod of the same set-up on the best known point."""
    same = [j for j, name in enumerate(rows.setup) if name == rows.setup[i]]
    n = cov.shape[0] - rows.new
    points = rows.pattern[same, :n]
    known = np.einsum("ij,ij->i", points @ cov[:n, :n], points) + rows.sd[same] ** 2
    return same[int(np.argmin(known))]
