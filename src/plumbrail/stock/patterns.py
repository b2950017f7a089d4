"""Every way to fill a stick when a part of a long piece is known only by the zones it runs between.

A part between two zones has a least and a greatest length. A pattern is worth keeping when its
parts fit at their least lengths; how long they really are is settled by :mod:`zonal`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plumbrail.stock.job import Job, LongKind

MOST = 150_000
"""Patterns beyond this are too many even to list."""
MANAGEABLE = 8_000
"""Patterns beyond this are thinned to the fullest ones, and prove nothing any more."""


@dataclass(frozen=True)
class Part:
    """A part of one beam from place ``tail`` to ``head``: 0 its left end, then its zones."""

    beam: int
    tail: int
    head: int
    least: int
    most: int


@dataclass(frozen=True)
class Pattern:
    """What one stick of a kind is cut into; ``spare``: room when its parts are at their longest."""

    kind: int
    counts: tuple[int, ...]
    parts: tuple[int, ...]
    spare: int


@dataclass(frozen=True)
class Ends:
    """Interval for every place of a beam, from its left end over its zones to its right end."""

    low: tuple[int, ...]
    high: tuple[int, ...]
    span: tuple[int, ...]


def ends_of(beam: LongKind) -> Ends:
    """Places of a long piece; the two ends are intervals of no width."""
    inner = beam.zones
    return Ends(
        (0, *(z.low for z in inner), beam.length),
        (0, *(z.high for z in inner), beam.length),
        (-1, *(z.span for z in inner), 10**6),
    )


def beams_of(job: Job) -> list[LongKind]:
    """One entry per long piece, alike or not."""
    return [b for b in job.longs for _ in b.ids]


def parts_of(job: Job) -> list[Part]:
    """Parts of every long piece that fit some stick, shortest least length last."""
    found = []
    for number, beam in enumerate(beams_of(job)):
        at = ends_of(beam)
        last = len(at.low) - 1
        for i in range(last):
            for j in range(i + 1, last + 1):
                whole = i == 0 and j == last
                floor = 0 if whole else beam.min_segment
                least, most = max(floor, at.low[j] - at.high[i]), at.high[j] - at.low[i]
                if at.span[i] < at.span[j] and floor <= most and least <= job.longest:
                    found.append(Part(number, i, j, least, most))
    return sorted(found, key=lambda p: -p.least)


def patterns_of(job: Job, parts: list[Part], most: int = MOST) -> list[Pattern] | None:
    """All patterns worth having, or None when there are more than ``most``."""
    found: list[Pattern] = []
    top = max(k.capacity for k in job.kinds)
    for chosen in _part_sets(job, parts, top, 0, ()):
        least = sum(parts[n].least + job.kerf for n in chosen)
        loose = sum(parts[n].most - parts[n].least for n in chosen)
        for counts, room in _piece_sets(job, top - least, 0, ()):
            for kind, stick in enumerate(job.kinds):
                spare = room - top + stick.capacity - loose
                if (chosen or any(counts)) and spare + loose >= 0:
                    if not _extendable(job, counts, spare):
                        found.append(Pattern(kind, counts, chosen, spare))
                    if len(found) > most:
                        return None
    return found


def fullest(job: Job, parts: list[Part], patterns: list[Pattern]) -> list[Pattern]:
    """The patterns with the least room left, and those with a single part or few pieces."""

    def room(p: Pattern) -> tuple[bool, float]:
        loose = sum(parts[n].most - parts[n].least for n in p.parts)
        several = len(p.parts) + sum(p.counts) > 1
        return several, max(0, p.spare + loose) / job.kinds[p.kind].capacity

    return sorted(patterns, key=room)[:MANAGEABLE]


def _extendable(job: Job, counts: tuple[int, ...], spare: int) -> bool:
    """Another wanted piece fits even beside the longest parts: a larger pattern is as good."""
    return any(
        n < len(p.ids) and p.length + job.kerf <= spare
        for n, p in zip(counts, job.pieces, strict=True)
    )


def _part_sets(
    job: Job, parts: list[Part], room: int, start: int, chosen: tuple[int, ...]
) -> Iterator[tuple[int, ...]]:
    yield chosen
    for n in range(start, len(parts)):
        part = parts[n]
        rest = room - part.least - job.kerf
        apart = all(
            parts[c].beam != part.beam or part.tail > parts[c].head or part.head < parts[c].tail
            for c in chosen
        )
        if rest >= 0 and apart:
            yield from _part_sets(job, parts, rest, n + 1, (*chosen, n))


def _piece_sets(
    job: Job, room: int, t: int, counts: tuple[int, ...]
) -> Iterator[tuple[tuple[int, ...], int]]:
    if t == len(job.pieces):
        yield counts, room
        return
    weight = job.pieces[t].length + job.kerf
    for n in range(min(len(job.pieces[t].ids), room // weight), -1, -1):
        yield from _piece_sets(job, room - n * weight, t + 1, (*counts, n))
