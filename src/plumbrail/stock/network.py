"""Where the long pieces may be cut: splice positions as nodes, parts between them as arcs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import CuttingError
from plumbrail.stock.job import Job, LongKind, Zone
from plumbrail.stock.words import show

Ints = NDArray[np.int64]
NODES = 260
"""Splice positions tried in all, unless every zone needs its ends."""
SPECIALS = 150


@dataclass(frozen=True)
class Network:
    """Paths through every kind of long piece; node numbers run through all kinds.

    Arrays over nodes: ``owner`` (long kind), ``place`` [steps], ``left`` (the next splice
    position to the left in the same zone, or -1). Over arcs, sorted by length: ``tail``,
    ``head``, ``length`` [steps]. ``sources`` and ``sinks``: node per long kind. ``spacing``: the
    widest interval between neighbouring positions [steps].
    """

    owner: Ints
    place: Ints
    left: Ints
    tail: Ints
    head: Ints
    length: Ints
    sources: Ints
    sinks: Ints
    spacing: int


@dataclass(frozen=True)
class _Spots:
    place: Ints
    high: Ints
    """Last step that the position stands for (relaxed) or the position itself."""
    zone: Ints
    span: Ints


def positions(job: Job) -> list[list[Ints]]:
    """Splice positions to try [steps], per long kind and zone."""
    spacing = 1
    width = [z.high - z.low for b in job.longs for z in b.zones]
    while spacing < 4096 and sum(w // spacing + 2 for w in width) > NODES:
        spacing *= 2
    return [
        [_zone_positions(z, spacing, special) for z in beam.zones]
        for beam, special in ((b, _specials(job, b)) for b in job.longs)
    ]


def _zone_positions(zone: Zone, spacing: int, special: Ints) -> Ints:
    inside = special[(special >= zone.low) & (special <= zone.high)]
    return np.unique(
        np.concatenate([np.arange(zone.low, zone.high, spacing), [zone.low, zone.high], inside])
    )


def _residues(job: Job) -> list[int]:
    """Room on a stick beside none, one or two pieces, larger first."""
    lengths = [p.length for p in job.pieces[:12]]
    beside = {0} | {n + job.kerf for n in lengths}
    beside |= {a + b + 2 * job.kerf for a in lengths for b in lengths}
    usable = {k.capacity - job.kerf for k in job.kinds}
    rooms = sorted({u - b for u in usable for b in beside}, reverse=True)
    full = sorted(usable, reverse=True)
    return full + [r for r in rooms if r not in usable]


def _specials(job: Job, beam: LongKind) -> Ints:
    """Positions that fill sticks exactly, reached from either end of the long piece."""
    from_left = _filled(job, beam.zones, beam.min_segment)
    mirrored = tuple(
        Zone(beam.length - z.high, beam.length - z.low, -z.span) for z in reversed(beam.zones)
    )
    from_right = beam.length - _filled(job, mirrored, beam.min_segment)
    return np.union1d(from_left, from_right)


def _filled(job: Job, zones: tuple[Zone, ...], least: int) -> Ints:
    found: list[int] = []
    frontier = [0]
    rooms = [r for r in _residues(job) if r >= least]
    while frontier and len(found) < SPECIALS:
        following: list[int] = []
        for start in frontier:
            ends = [_last_not_after(start + room, zones) for room in rooms]
            following += [e for e in ends if e is not None and e - start >= least]
        fresh = [e for e in dict.fromkeys(following) if e not in found]
        frontier = fresh[: max(4, SPECIALS // 6)]
        found += frontier
    return np.array(sorted(found), dtype=np.int64)


def _last_not_after(place: int, zones: tuple[Zone, ...]) -> int | None:
    reach = [min(z.high, place) for z in zones if z.low <= place]
    return max(reach, default=None)


def build(job: Job, spots: list[list[Ints]], *, relaxed: bool) -> Network:
    """The network on the given positions.

    ``relaxed``: a position stands for all steps up to its right neighbour and a part between two
    of them has the least length that any such pair allows, so that no cutting is lost.
    """
    owner, place, left, tails, heads, lengths = [], [], [], [], [], []
    sources, sinks, start = [], [], 0
    for number, (beam, zones) in enumerate(zip(job.longs, spots, strict=True)):
        here = _spots(beam, zones, relaxed)
        tail, head, length = _arcs(beam, here, job.longest)
        size = len(here.place)
        same = np.flatnonzero(np.diff(here.zone, prepend=-9) == 0)
        neighbour = np.full(size, -1)
        if not relaxed:
            same = same[_safe_moves(beam, here, tail, head)[same]]
        neighbour[same] = same - 1 + start
        owner.append(np.full(size, number))
        place.append(here.place)
        left.append(neighbour)
        tails.append(tail + start)
        heads.append(head + start)
        lengths.append(length)
        sources.append(start)
        start += size
        sinks.append(start - 1)
    length = _joined(lengths)
    order = np.argsort(length, kind="stable")
    gaps = [int(np.diff(z).max()) for zones in spots for z in zones if len(z) > 1]
    return Network(
        _joined(owner), _joined(place), _joined(left), _joined(tails)[order],
        _joined(heads)[order], length[order], np.array(sources, dtype=np.int64),
        np.array(sinks, dtype=np.int64), max(gaps, default=1),
    )  # fmt: skip


def _joined(parts: list[Ints]) -> Ints:
    return np.concatenate([np.empty(0, dtype=np.int64), *parts]).astype(np.int64)


def _spots(beam: LongKind, zones: list[Ints], relaxed: bool) -> _Spots:
    place = np.concatenate([[0], *zones, [beam.length]]).astype(np.int64)
    sizes = [1, *(len(z) for z in zones), 1]
    zone = np.repeat(np.arange(len(sizes)), sizes)
    spans = np.array([-1, *(z.span for z in beam.zones), 10**6])
    high = place.copy()
    if relaxed:
        inner = np.flatnonzero(zone[1:] == zone[:-1])
        high[inner] = place[inner + 1] - 1
    return _Spots(place, high, zone, np.repeat(spans, sizes))


def _arcs(beam: LongKind, at: _Spots, longest: int) -> tuple[Ints, Ints, Ints]:
    """Tail, head and length of every part that the rules and the sticks allow."""
    i, j = np.triu_indices(len(at.place), 1)
    most = at.high[j] - at.place[i]
    least = np.maximum(at.place[j] - at.high[i], beam.min_segment)
    whole = (i == 0) & (j == len(at.place) - 1)
    least[whole] = beam.length
    fits = (at.span[i] < at.span[j]) & ((most >= beam.min_segment) | whole) & (least <= longest)
    return i[fits], j[fits], least[fits]


def _safe_moves(beam: LongKind, at: _Spots, tail: Ints, head: Ints) -> NDArray[np.bool_]:
    """Nodes from which a splice may move one position to the left, whatever part ends there.

    The part may have been cut to end further right in the zone; it must not get too short.
    """
    last = np.full(len(at.place), -1)
    np.maximum.at(last, head, at.place[tail])
    for n in range(len(last) - 2, 0, -1):
        if at.zone[n] == at.zone[n + 1]:
            last[n] = max(last[n], last[n + 1])
    before = np.concatenate([[0], at.place[:-1]])
    return np.asarray(before - last >= beam.min_segment)


def shortest_paths(net: Network) -> list[list[int] | None]:
    """Arcs of a path with the fewest parts per long kind, longest first; None: there is none."""
    paths: list[list[int] | None] = []
    for source, sink in zip(net.sources, net.sinks, strict=True):
        best: dict[int, tuple[int, int]] = {int(source): (0, -1)}
        mine = np.flatnonzero((net.tail >= source) & (net.tail <= sink))
        for arc in mine[np.lexsort((-net.head[mine], net.tail[mine]))]:
            tail, head = int(net.tail[arc]), int(net.head[arc])
            if tail in best and best[tail][0] + 1 < best.get(head, (10**9, 0))[0]:
                best[head] = (best[tail][0] + 1, int(arc))
        path: list[int] = []
        node = int(sink)
        while node in best and node != source:
            path.append(best[node][1])
            node = int(net.tail[best[node][1]])
        paths.append(path[::-1] if sink in best else None)
    return paths


def check_reach(job: Job, spots: list[list[Ints]]) -> None:
    """Raise CuttingError for a long piece that no choice of splices makes from the stock.

    The relaxed network decides, so that no piece is refused for positions that were not tried.
    """
    net = build(job, spots, relaxed=False)
    for number, path in enumerate(shortest_paths(build(job, spots, relaxed=True))):
        if path is not None:
            continue
        beam = job.longs[number]
        reached = {int(net.sources[number])}
        for tail, head in sorted(zip(net.tail.tolist(), net.head.tolist(), strict=True)):
            if tail in reached:
                reached.add(head)
        far = max(int(net.place[n]) for n in reached)
        grid = job.grid
        where = "; ".join(f"{show(z.low * grid, grid)} to {show(z.high * grid, grid)}"
                          for z in beam.zones)  # fmt: skip
        raise CuttingError(
            f"{', '.join(beam.ids)} of {show(beam.length * grid, grid)} cannot be made: from its "
            f"left end, parts of at most {show(job.longest * grid, grid)} and at least "
            f"{show(beam.min_segment * grid, grid)} reach {show(far * grid, grid)} and no further "
            f"with one splice per span, none over a support or in an overhang. Zones left: "
            f"{where or 'none'}. Offer a longer stock length, or move a post so that a zone of "
            "low moment comes within reach"
        )
