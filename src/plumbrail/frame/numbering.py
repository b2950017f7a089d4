"""Which node direction is which unknown, and where each stiffness term goes in the band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import reverse_cuthill_mckee

from plumbrail.frame.model import Array, Frame, IntArray


@dataclass(frozen=True)
class Numbering:
    """Unknowns of the frame, numbered so that the stiffness has a narrow band."""

    unknown: IntArray
    """(nodes, 6) number of the unknown; ``count`` where the direction is supported."""
    count: int
    width: int
    """Half band width: the largest difference of two coupled unknowns."""
    group: IntArray
    """(nodes, 6) number of the balance that a node direction belongs to: its own, or that of the
    node it is tied to. Counted over nodes x 6."""

    def of_members(self, frame: Frame) -> IntArray:
        """(members, 12) unknown of each end direction."""
        return self.unknown[frame.ends].reshape(-1, 12)


@dataclass(frozen=True)
class Gather:
    """Adds many entries into few places by one sorted reduction."""

    order: IntArray
    starts: IntArray
    places: IntArray

    @classmethod
    def to(cls, place: IntArray, keep: IntArray) -> Gather:
        """``place`` (k,) target of the entries whose indices are ``keep`` (k,)."""
        order = np.argsort(place, kind="stable")
        places, starts = np.unique(place[order], return_index=True)
        return cls(keep[order], starts, places)

    def add(self, entries: Array, out: Array) -> None:
        """Add entries (n, k) to ``out`` (n, places)."""
        if self.places.size:
            out[:, self.places] += np.add.reduceat(entries[:, self.order], self.starts, axis=1)


def number(frame: Frame) -> Numbering:
    """Number the unknowns; tied directions share one. The same for all candidates."""
    nodes = len(frame.node_ids)
    group = np.arange(nodes * 6).reshape(nodes, 6)
    for (leader, follower), tied in zip(frame.ties, frame.tied, strict=True):
        group[follower, tied] = group[leader, tied]
    best: Numbering | None = None
    for order in _orders(frame):
        trial = _numbered(frame, group, order)
        if best is None or trial.width < best.width:
            best = trial
    assert best is not None
    return best


def _orders(frame: Frame) -> list[IntArray]:
    """Orders of the nodes to try: along each axis, and reverse Cuthill-McKee."""
    xyz = frame.xyz.reshape(-1, len(frame.node_ids), 3).mean(axis=0)
    xyz = np.round(xyz / max(float(np.ptp(xyz)), 1e-300), 6)  # not to depend on their sequence
    pairs = np.concatenate([frame.ends, frame.ties])
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(xyz),) * 2)
    graph = (links + links.T).tocsr()
    mckee = reverse_cuthill_mckee(graph, symmetric_mode=True)
    return [np.lexsort((xyz[:, 1], xyz[:, 2], xyz[:, 0])), np.asarray(mckee, dtype=np.int64)]


def _numbered(frame: Frame, group: IntArray, order: IntArray) -> Numbering:
    free = ~frame.fixed & (group == np.arange(group.size).reshape(group.shape))
    flat = np.zeros(group.size, dtype=np.int64)
    ordered = free[order]
    count = int(free.sum())
    numbers = np.full(ordered.shape, count)
    numbers[ordered] = np.arange(count)
    unknown = np.empty_like(numbers)
    unknown[order] = numbers
    flat[:] = unknown.reshape(-1)
    unknown = flat[group]
    trial = Numbering(unknown, count, 0, group)
    own = trial.of_members(frame)
    high = np.where(own < count, own, -1).max(axis=1, initial=-1)
    low = own.min(axis=1, initial=count)
    width = int(np.maximum(high - low, 0).max(initial=0))
    return Numbering(unknown, count, width, group)


def band_places(frame: Frame, numbering: Numbering) -> Gather:
    """From member stiffness terms (members x 12 x 12) to the lower band (unknowns x (width+1)).

    The band is stored by columns: place column * (width + 1) + (row - column).
    """
    own = numbering.of_members(frame)
    row, column = own[:, :, None], own[:, None, :]
    keep = (row >= column) & (row < numbering.count)
    place = column * (numbering.width + 1) + (row - column)
    return Gather.to(place[keep], np.flatnonzero(keep.reshape(-1)))


def node_places(frame: Frame, numbering: Numbering) -> Gather:
    """From member end forces (members x 12) to the balances (nodes x 6)."""
    place = numbering.group[frame.ends].reshape(-1)
    return Gather.to(place, np.arange(place.size))
