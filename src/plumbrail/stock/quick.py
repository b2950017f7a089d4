"""A first cut list at once, for an answer while somebody types: sound, and hardly ever the best.

Splices are walked from the left end, as far as full sticks reach, in a fixed number of ways; sticks
are filled longest first. The same job always gives the same list. Bounds come from the material
alone, so that nothing is claimed that is not so.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

from plumbrail.stock.bounds import fewest_parts, material
from plumbrail.stock.decode import make_stick
from plumbrail.stock.job import Job, LongKind
from plumbrail.stock.outcome import Outcome
from plumbrail.stock.records import Cut, Level, Splices, Stick

Ints = NDArray[np.int64]
WALKS = 24
"""Ways to splice that are tried where there are few parts; fewer where there are many."""
WORK = 1500
"""Parts and pieces placed in all tries together, about."""
NODES = 400
ROOMS = 12
SEED = 20
NEVER = 1_000_000


@dataclass(frozen=True)
class _Item:
    """A part or piece to cut [steps]."""

    length: int
    cut: Cut


class _Walker:
    """Splices of one long piece from its left end, never into a dead end."""

    def __init__(self, job: Job, beam: LongKind) -> None:
        self.beam, self.longest = beam, job.longest
        self.lows = [z.low for z in beam.zones]
        zones = beam.zones
        step = max(1, sum(z.high - z.low for z in zones) // NODES)
        spots = [np.append(np.arange(z.low, z.high, step), z.high) for z in zones]
        self.place: Ints = np.concatenate([*spots, [beam.length]])
        spans = [np.full(len(s), z.span) for s, z in zip(spots, zones, strict=True)]
        self.span: Ints = np.concatenate([*spans, [NEVER]])
        self.left = np.full(len(self.place), NEVER)
        self.left[-1] = 0
        for n in range(len(self.place) - 2, -1, -1):
            self.left[n] = self.parts_left(int(self.place[n]), int(self.span[n]))
        self.fewest = self.parts_left(0, -1)

    def parts_left(self, at: int, span: int) -> int:
        """Fewest parts from a place to the right end; NEVER and more: there is no way."""
        if at == 0 and self.beam.length <= self.longest:
            return 1  # a whole piece may be as short as it likes, a part not
        first = int(np.searchsorted(self.place, at + max(1, self.beam.min_segment)))
        stop = int(np.searchsorted(self.place, at + self.longest, side="right"))
        there = self.left[first:stop][self.span[first:stop] > span]
        return NEVER if not len(there) else min(NEVER, 1 + int(there.min()))

    def walk(self, rooms: list[int], choose: Random | None) -> list[int]:
        """Places of the splices: each the farthest that a room allows, the first room that does."""
        at, span, found = 0, -1, list[int]()
        spare = 0 if choose is None else choose.choice((0, 0, 1))
        while self.beam.length - at > self.longest or (at and self._short(at)):
            most = self.fewest - len(found) - 1 + spare
            order = rooms if choose is None else choose.sample(rooms, len(rooms))
            steps = (self._step(at, span, room, most) for room in order)
            step = next((s for s in steps if s is not None), None) or self._sure(at, span, most)
            at, span = step
            found.append(at)
        return found

    def _short(self, at: int) -> bool:
        return self.beam.length - at < self.beam.min_segment

    def _step(self, at: int, span: int, room: int, most: int) -> tuple[int, int] | None:
        """The farthest splice within a room from which the rest still goes with so many parts."""
        n = bisect_right(self.lows, at + room) - 1
        if n < 0 or self.beam.zones[n].span <= span:
            return None
        place, own = min(self.beam.zones[n].high, at + room), self.beam.zones[n].span
        if place - at < max(1, self.beam.min_segment):
            return None
        return (place, own) if self.parts_left(place, own) <= most else None

    def _sure(self, at: int, span: int, most: int) -> tuple[int, int]:
        """The farthest of the places tried beforehand, which is known to go on."""
        reach = (self.place - at <= self.longest) & (self.place - at >= self.beam.min_segment)
        good = np.flatnonzero(reach & (self.span > span) & (self.left <= most) & (self.left > 0))
        n = int(good[-1])
        return int(self.place[n]), int(self.span[n])


def solve(job: Job) -> Outcome | None:
    """A first plan, or None: limited sticks run out, or no way to splice was seen at once."""
    walkers = [_Walker(job, b) for b in job.longs]
    if any(w.fewest >= NEVER for w in walkers):
        return None
    best: Outcome | None = None
    for places in _tries(job, walkers):
        found = _packed(job, places)
        if found is not None and (best is None or found.rank < best.rank):
            best = found
    return best


def _tries(job: Job, walkers: list[_Walker]) -> Iterator[dict[str, list[int]]]:
    """Splices of every long piece, one way after the other."""
    usable = sorted({k.capacity - job.kerf for k in job.kinds}, reverse=True)
    lengths = [p.length + job.kerf for p in job.pieces]
    beside = {u - n for u in usable for n in lengths} - set(usable)
    rooms = usable + sorted((r for r in beside if r > 0), reverse=True)[:ROOMS]
    orders: list[Random | None] = [None, Random(SEED)]
    items = sum(len(p.ids) for p in job.pieces) + fewest_parts(job)
    count = min(WALKS, max(2, WORK // items)) if walkers else 1
    for n in range(count):
        choose = orders[min(n, 1)]
        yield {
            name: w.walk(rooms if choose is not None else usable, choose)
            for w in walkers for name in w.beam.ids
        }  # fmt: skip


def _packed(job: Job, places: dict[str, list[int]]) -> Outcome | None:
    """The plan of these splices."""
    items = [
        _Item(p.length, Cut(i, 1, 1, 0.0, p.length * job.grid)) for p in job.pieces for i in p.ids
    ]
    for beam in job.longs:
        for name in beam.ids:
            items += _parts(job, name, beam.length, places[name])
    items.sort(key=lambda i: -i.length)
    sticks = _filled(job, items)
    if sticks is None:
        return None
    splices = tuple(Splices(n, tuple(p * job.grid for p in at)) for n, at in places.items())
    value = float(sum(s.price for s in sticks))
    opened = float(sum(round(s.length / job.grid) for s in sticks))
    parts = float(sum(len(at) + 1 for at in places.values()))
    levels = (
        Level("cost", value, min(value, _least(job, [k.price for k in job.kinds]))),
        Level("waste", opened, min(opened, _least(job, [float(k.length) for k in job.kinds]))),
        Level("splices", parts, min(parts, float(fewest_parts(job)))),
    )
    return Outcome(tuple(sticks), splices, levels, levels[0].bound, 1)


def _parts(job: Job, name: str, length: int, at: list[int]) -> Iterator[_Item]:
    stops = [0, *at, length]
    for k in range(len(stops) - 1):
        long = stops[k + 1] - stops[k]
        cut = Cut(name, k + 1, len(at) + 1, stops[k] * job.grid, long * job.grid)
        yield _Item(long, cut)


def _filled(job: Job, items: list[_Item]) -> list[Stick] | None:
    """Own offcuts first, then the kind that costs least for what goes on it; None: run out."""
    had = [math.inf if k.available is None else k.available for k in job.kinds]
    sticks = []
    for kind, stick in enumerate(job.kinds):
        while stick.own and had[kind] and items:
            taken, rest = _fill(stick.capacity, job.kerf, items)
            had[kind] = had[kind] - 1 if taken else 0
            if taken:
                sticks.append(make_stick(job, kind, [i.cut for i in taken]))
                items = rest
    bought = [k for k, stick in enumerate(job.kinds) if not stick.own]
    while items:
        room = [k for k in bought if had[k] and items[0].length + job.kerf <= job.kinds[k].capacity]
        if not room:
            return None
        tries = [(k, *_fill(job.kinds[k].capacity, job.kerf, items)) for k in room]
        kind, taken, items = min(tries, key=lambda t: _rate(job, t[0], t[1]))
        had[kind] -= 1
        sticks.append(make_stick(job, kind, [i.cut for i in taken]))
    return sticks


def _rate(job: Job, kind: int, taken: list[_Item]) -> float:
    return job.kinds[kind].price / sum(i.length for i in taken)


def _fill(room: int, kerf: int, items: list[_Item]) -> tuple[list[_Item], list[_Item]]:
    """What goes on a stick, longest first, and what is left over."""
    taken, rest = list[_Item](), list[_Item]()
    for item in items:
        if item.length + kerf <= room:
            taken.append(item)
            room -= item.length + kerf
        else:
            rest.append(item)
    return taken, rest


def _least(job: Job, per_stick: list[float]) -> float:
    """No sticks that hold the material come to less: what is free first, then the best share."""
    need, shares = float(material(job)), list[float]()
    for value, kind in zip(per_stick, job.kinds, strict=True):
        if value > 0.0:
            shares.append(value / kind.capacity)
        else:
            need -= math.inf if kind.available is None else kind.available * kind.capacity
    return max(0.0, need) * min(shares, default=0.0) if need > 0.0 else 0.0
