"""The cutting job in whole grid steps, checked for what cannot be cut at all."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from plumbrail.errors import CuttingError
from plumbrail.stock.records import LongPiece, Piece, Stock
from plumbrail.stock.words import show

SLACK = 1e-4
"""Share of a grid step by which a length may miss the grid and still count as on it."""


@dataclass(frozen=True)
class StickKind:
    """One kind of stick in grid steps; ``capacity`` is usable length plus one kerf."""

    length: int
    capacity: int
    price: float
    available: int | None
    own: bool


@dataclass(frozen=True)
class PieceKind:
    """Pieces of one length."""

    length: int
    ids: tuple[str, ...]


@dataclass(frozen=True)
class Zone:
    """An interval where a splice may lie, within one span."""

    low: int
    high: int
    span: int


@dataclass(frozen=True)
class LongKind:
    """Long pieces that are alike in length, zones and shortest part."""

    length: int
    zones: tuple[Zone, ...]
    min_segment: int
    ids: tuple[str, ...]


@dataclass(frozen=True)
class Job:
    """Everything in whole steps of ``grid`` metres."""

    grid: float
    kerf: int
    trim: int
    kinds: tuple[StickKind, ...]
    pieces: tuple[PieceKind, ...]
    longs: tuple[LongKind, ...]

    @property
    def longest(self) -> int:
        """Longest part that can be cut from any stick."""
        return max(k.capacity for k in self.kinds) - self.kerf

    @property
    def total(self) -> int:
        """Length of all pieces together."""
        short = sum(p.length * len(p.ids) for p in self.pieces)
        return short + sum(b.length * len(b.ids) for b in self.longs)


def up(length: float, grid: float) -> int:
    """Grid steps, rounded up."""
    return math.ceil(length / grid - SLACK)


def down(length: float, grid: float) -> int:
    """Grid steps, rounded down."""
    return math.floor(length / grid + SLACK)


def make_job(
    stock: Stock, pieces: Sequence[Piece], longs: Sequence[LongPiece], offcuts: Sequence[float],
    grid: float,
) -> Job:  # fmt: skip
    """The job on the grid: pieces, kerf and trim rounded up, sticks down, zones inwards."""
    _check_input(stock, pieces, longs, offcuts, grid)
    kerf, trim = up(stock.kerf, grid), up(stock.trim, grid)
    kinds = [
        StickKind(down(s.length, grid), down(s.length, grid) - trim + kerf, s.price,
                  s.available, False)
        for s in stock.lengths
    ]  # fmt: skip
    own = sorted({down(length, grid) for length in offcuts})
    counts = [sum(down(length, grid) == o for length in offcuts) for o in own]
    kinds += [StickKind(o, o - trim + kerf, 0.0, n, True) for o, n in zip(own, counts, strict=True)]
    usable = tuple(k for k in kinds if k.capacity > kerf and k.available != 0)
    whole = [(up(p.length, grid), p.id) for p in pieces]
    whole += [(up(b.length, grid), b.id) for b in longs if not b.zones]
    job = Job(grid, kerf, trim, usable, _grouped(whole), _long_kinds(longs, grid))
    _check_longest(job, stock)
    return job


def _grouped(whole: list[tuple[int, str]]) -> tuple[PieceKind, ...]:
    lengths = sorted({length for length, _ in whole}, reverse=True)
    return tuple(PieceKind(n, tuple(i for length, i in whole if length == n)) for n in lengths)


def _long_kinds(longs: Sequence[LongPiece], grid: float) -> tuple[LongKind, ...]:
    alike: dict[tuple[int, tuple[Zone, ...], int], list[str]] = {}
    for beam in longs:
        if beam.zones:
            key = (up(beam.length, grid), _zones(beam, grid), max(1, up(beam.min_segment, grid)))
            alike.setdefault(key, []).append(beam.id)
    return tuple(LongKind(n, zones, least, tuple(ids)) for (n, zones, least), ids in alike.items())


def _zones(beam: LongPiece, grid: float) -> tuple[Zone, ...]:
    """Zones cut off at the supports, which belong to no span, and cleared of overlaps."""
    supports = [s / grid for s in sorted(beam.supports)]
    wanted = [(up(a, grid), down(b, grid)) for a, b in beam.zones]
    found: list[Zone] = []
    for span, (left, right) in enumerate(pairwise(supports)):
        first, last = math.floor(left + SLACK) + 1, math.ceil(right - SLACK) - 1
        parts = sorted((max(a, first), min(b, last)) for a, b in wanted if b >= first and a <= last)
        reached = first - 1
        for low, high in parts:
            low = max(low, reached + 1)
            if low <= high:
                found.append(Zone(low, high, span))
                reached = high
    return tuple(found)


def _check_input(
    stock: Stock, pieces: Sequence[Piece], longs: Sequence[LongPiece], offcuts: Sequence[float],
    grid: float,
) -> None:  # fmt: skip
    numbers = [grid, stock.kerf, stock.trim, *offcuts]
    numbers += [x for s in stock.lengths for x in (s.length, s.price)]
    numbers += [p.length for p in pieces] + [b.length for b in longs]
    if not all(math.isfinite(x) for x in numbers):
        raise CuttingError(f"{stock.section}: a length or price is not a finite number")
    if grid <= 0 or stock.kerf < 0 or stock.trim < 0:
        raise CuttingError(f"{stock.section}: grid must be above 0, kerf and trim 0 or more")
    for s in stock.lengths:
        if s.length <= 0 or s.price <= 0 or (s.available is not None and s.available < 0):
            raise CuttingError(
                f"{stock.section}: a stock length needs a length and a price above 0 and a number "
                "of sticks of 0 or more; write the price of one stick"
            )
    ids = [p.id for p in pieces] + [b.id for b in longs]
    twice = sorted({i for i in ids if ids.count(i) > 1})
    if twice:
        raise CuttingError(f"{stock.section}: two pieces are called {twice[0]!r}; rename one")
    _check_pieces(pieces, longs, offcuts)


def _check_pieces(
    pieces: Sequence[Piece], longs: Sequence[LongPiece], offcuts: Sequence[float]
) -> None:
    if any(length <= 0 for length in offcuts):
        raise CuttingError("an own offcut needs a length above 0")
    lengths = [(p.id, p.length) for p in pieces] + [(b.id, b.length) for b in longs]
    for name, length in lengths:
        if length <= 0:
            raise CuttingError(f"piece {name} needs a length above 0")
    for b in longs:
        if b.zones and len(b.supports) < 2:
            raise CuttingError(
                f"{b.id} may be spliced, but fewer than two supports are given: without them "
                "spans and overhangs are not known. Give the positions of its supports"
            )
        if b.min_segment < 0 or any(a > c for a, c in b.zones):
            raise CuttingError(f"{b.id}: the shortest part must not be negative, and a splice "
                               "zone must run from its left to its right end")  # fmt: skip


def _check_longest(job: Job, stock: Stock) -> None:
    if not job.pieces and not job.longs:
        return
    if not job.kinds:
        raise CuttingError(f"{stock.section}: no stock length is left after trim; give longer ones")
    for kind in job.pieces:
        if kind.length > job.longest:
            raise CuttingError(
                f"{', '.join(kind.ids)} needs {show(kind.length * job.grid, job.grid)}, but the "
                f"longest part that {stock.section} stock gives is "
                f"{show(job.longest * job.grid, job.grid)} after a trim of "
                f"{show(job.trim * job.grid, job.grid)}. Offer a longer stock length, or allow "
                "splices in it"
            )
