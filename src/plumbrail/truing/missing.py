"""Which readings to take so that everything wanted is determined: the fewest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plumbrail.notebook.entries import Kind
from plumbrail.truing.candidates import candidate_rows
from plumbrail.truing.determined import SLIGHT, span, unit_rows
from plumbrail.truing.gather import Gathered
from plumbrail.truing.instruments import TAPED
from plumbrail.truing.parts import Array, Mask, Wanted

_HELPS = 1e-3
"""A reading with less than this share inside the space of what is missing does not help."""
_FIRST: tuple[tuple[Kind, ...], ...] = (
    (), (Kind.ROD, Kind.PLUMB, Kind.STRING_SIDE, Kind.STRING_HEIGHT), TAPED,
)  # fmt: skip
"""Kinds that are tried before all others; the fewest readings of all these attempts count."""
_WITHIN = 0.99
"""Share of a reading inside the space of what is missing, from which it counts as inside."""


@dataclass(frozen=True)
class Missing:
    """The readings that settle what is not determined."""

    wanted: tuple[Wanted, ...]
    """In the order of the candidates; empty when nothing is missing."""
    proven: bool
    """No fewer of the candidates can do it."""
    least: int
    """Number that is needed in any case."""
    still_open: tuple[int, ...]
    """Values that no candidate settles."""


@dataclass(frozen=True)
class _Search:
    """In coordinates of what is loose (d of them)."""

    values: Array
    """(q, d) of the values wanted, scaled to their most telling coordinate."""
    readings: Array
    """(c, d)"""
    loose: Array
    """(unknowns, d)"""
    direct: Array
    """(c,) how directly each reads the values, 0 to 1."""

    def left(self, taken: Sequence[int]) -> Array:
        """(d, d) projection on what stays loose after some readings."""
        eye = np.eye(self.loose.shape[1])
        if not taken:
            return eye
        Q = _basis(self.readings[list(taken)].T, 1e-9)
        return eye - Q @ Q.T

    def open(self, taken: Sequence[int]) -> Array:
        """(q,) mask of values that are still not determined."""
        seen = self.values @ self.left(taken) @ self.loose.T
        far, size = np.abs(seen).max(axis=1, initial=0.0), (seen**2).sum(axis=1)
        return np.asarray(size > SLIGHT * far)

    def within(self, taken: Sequence[int], rows: Array) -> Array:
        """(c,) share of each reading inside the space of some values, after what is taken."""
        P = self.left(taken)
        V, b = _basis((rows @ P).T, SLIGHT), self.readings @ P
        size = np.linalg.norm(b, axis=1)
        told = size > 1e-6 * np.linalg.norm(self.readings, axis=1).max(initial=1.0)
        share = np.linalg.norm(b @ V, axis=1) / np.where(told, size, 1.0)
        return np.where(told, share**2, 0.0)


def _basis(columns: Array, share: float) -> Array:
    """Orthonormal basis of the columns, without what is slight against the largest."""
    if not columns.size:
        return columns[:, :0]
    U, s, _ = np.linalg.svd(columns, full_matrices=False)
    return np.asarray(U[:, s > share * s[0]]) if s[0] > 0 else U[:, :0]


def missing(network: Gathered, slopes: Array, candidates: Sequence[Wanted]) -> Missing:
    """The fewest readings that determine all values with ``slopes`` (q, 3 points).

    Each reading settles one direction of the space that the values see of what is loose, so that
    space's dimension is a least number; ``proven`` when it is met.
    """
    search, wanted = _search(network, slopes, candidates)
    first = search.open([])
    if not first.any():
        return Missing((), True, 0, ())
    kinds = np.array([w.kind for w in wanted])
    plans = [_prune(search, _greedy(search, np.isin(kinds, first_kinds))) for first_kinds in _FIRST]
    taken = min(plans, key=lambda plan: (search.open(plan).sum(), len(plan)))
    still = search.open(taken)
    least = _least(search, first)
    return Missing(
        tuple(wanted[i] for i in sorted(taken)), not still.any() and len(taken) == least, least,
        tuple(int(i) for i in np.flatnonzero(still)),
    )  # fmt: skip


def measuring(network: Gathered, slopes: Array, candidates: Sequence[Wanted]) -> tuple[Wanted, ...]:
    """Few readings that determine all values with ``slopes`` (q, 3 points), for many at once.

    The same choice as ``missing``, one reading at a time, with the space of what is still open kept
    up to date in place of being built anew. Where that leaves something open, ``missing`` answers.
    """
    search, wanted = _search(network, slopes, candidates)
    first = search.open([])
    if not first.any():
        return ()
    early = np.isin(np.array([w.kind for w in wanted]), _FIRST[1])
    taken = _in_turn(search, _basis(search.values[first].T, SLIGHT), early)
    if search.open(taken).any():
        return missing(network, slopes, candidates).wanted
    return tuple(wanted[i] for i in sorted(taken))


def _in_turn(search: _Search, V: Array, early: Mask) -> list[int]:
    """Candidates one by one, as ``_greedy`` takes them; ``V`` (d, k) spans what values see."""
    b, taken = search.readings.copy(), list[int]()
    told = 1e-6 * np.linalg.norm(b, axis=1).max(initial=1.0)
    direct = 2.0 + np.round(search.direct, 2)
    while V.shape[1]:
        size = np.linalg.norm(b, axis=1)
        size = np.where(size > told, size, np.inf)
        share = (np.linalg.norm(b @ V, axis=1) / size) ** 2
        share[taken] = 0.0
        if share.max(initial=0.0) <= _HELPS:
            break
        helping = share * early if (share * early).max() > _HELPS else share
        i = int(np.argmax(np.where(helping >= _WITHIN, direct, helping)))
        u = b[i] / size[i]
        taken.append(i)
        b -= np.outer(b @ u, u)
        V = _less(V, u)
    return taken


def _less(V: Array, u: Array) -> Array:
    """Orthonormal basis of the columns of V (d, k) without their parts along the unit vector u."""
    a = u @ V
    share = float(a @ a)
    h = a.copy()
    h[0] += np.copysign(np.sqrt(share), a[0])  # a reflection turns the first column along a
    V = V - np.outer(V @ h, 2.0 * h / (h @ h))
    rest, along = V[:, 1:], V[:, 0]
    if share >= _WITHIN:
        return rest
    along = along - u * (u @ along)
    return np.column_stack([rest, along / np.linalg.norm(along)])


def _greedy(search: _Search, early: Mask) -> list[int]:
    """Candidates one by one, each the one that lies best in the space of what is still open.

    Those marked ``early`` come before all others wherever one of them helps.
    """
    taken: list[int] = []
    while (rows := search.open(taken)).any():
        share = search.within(taken, search.values[rows])
        share[taken] = 0.0
        if share.max(initial=0.0) <= _HELPS:
            break
        helping = share * early if (share * early).max() > _HELPS else share
        inside = helping >= _WITHIN
        taken.append(int(np.argmax(np.where(inside, 2.0 + np.round(search.direct, 2), helping))))
    return taken


def _prune(search: _Search, taken: list[int]) -> list[int]:
    """Without those that the others make needless, the latest first."""
    still = search.open(taken)
    for i in taken[::-1]:
        fewer = [t for t in taken if t != i]
        if np.array_equal(search.open(fewer), still):
            taken = fewer
    return taken


def _search(
    network: Gathered, slopes: Array, candidates: Sequence[Wanted]
) -> tuple[_Search, tuple[Wanted, ...]]:
    rows = candidate_rows(network, candidates)
    loose, new = network.loose(), rows.new
    n, d = loose.shape
    wide = np.zeros((n + new, d + new))
    wide[:n, :d], wide[n:, d:] = loose, np.eye(new)
    values = network.from_current(slopes)
    size = np.abs(values).max(axis=1, keepdims=True, initial=0.0)
    values = np.pad(values / np.where(size > 0, size, 1.0), ((0, 0), (0, new)))
    direct = np.linalg.norm(unit_rows(rows.pattern) @ span(values.T), axis=1)
    return _Search(values @ wide, rows.pattern @ wide, wide, direct), rows.wanted


def _least(search: _Search, first: Array) -> int:
    """Number of readings needed in any case.

    The rank of the values that are open; one more when the readings that lie wholly inside their
    space do not span it.
    """
    rows = search.values[first]
    V = _basis(rows.T, SLIGHT)
    inside = search.readings[search.within([], rows) >= _WITHIN] @ V
    spans = _basis(inside.T, 1e-3).shape[1] == V.shape[1]
    return int(V.shape[1] + (0 if spans else 1))
