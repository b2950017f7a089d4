"""From columns back to sticks with named parts."""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from plumbrail.stock.integer import Whole
from plumbrail.stock.job import Job
from plumbrail.stock.master import Master
from plumbrail.stock.network import Network
from plumbrail.stock.records import Cut, Splices, Stick

Path = list[tuple[int, int]]
"""Nodes where the parts of one long piece begin and end."""


def decode(master: Master, whole: Whole) -> tuple[list[Stick], list[Splices]]:
    """Sticks and splices of a whole-number solution."""
    job = master.job
    paths = _paths(master, whole)
    parts: dict[int, list[Cut]] = defaultdict(list)
    splices = []
    for number, beam in enumerate(job.longs):
        for name, (arcs, places) in zip(beam.ids, paths[number], strict=True):
            ends = [*places, beam.length]
            splices.append(Splices(name, tuple(p * job.grid for p in places[1:])))
            for i, arc in enumerate(arcs):
                start, stop = ends[i] * job.grid, ends[i + 1] * job.grid
                parts[arc].append(Cut(name, i + 1, len(arcs), start, stop - start))
    names = [list(p.ids) for p in job.pieces]
    sticks = []
    for column, times in zip(master.columns, whole.times, strict=False):
        for _ in range(times):
            cuts = [parts[a].pop() for a in column.arcs if parts[a]]
            for t, n in enumerate(column.counts):
                ids, names[t] = names[t][:n], names[t][n:]
                cuts += [Cut(i, 1, 1, 0.0, job.pieces[t].length * job.grid) for i in ids]
            if cuts:
                sticks.append(make_stick(job, column.kind, cuts))
    return sticks, splices


def make_stick(job: Job, kind: int, cuts: list[Cut]) -> Stick:
    """One stick with its cuts, longest first, and what saw and trim take from it."""
    stick = job.kinds[kind]
    cuts = sorted(cuts, key=lambda c: (-c.length, c.id, c.part))
    filled = sum(round(c.length / job.grid) for c in cuts)
    room = stick.capacity - job.kerf - filled
    kerf_lost = min(room, len(cuts) * job.kerf)
    last = room >= (len(cuts) - 1) * job.kerf + 1
    return Stick(
        stick.length * job.grid, stick.price, stick.own, tuple(cuts), job.trim * job.grid,
        kerf_lost * job.grid, (room - kerf_lost) * job.grid, len(cuts) - 1 + int(last),
    )  # fmt: skip


def _paths(master: Master, whole: Whole) -> list[list[tuple[list[int], list[int]]]]:
    """Per long kind and piece: its arcs, and where each of its parts begins [steps]."""
    net = master.net
    out: dict[int, list[int]] = defaultdict(list)
    for column, times in zip(master.columns, whole.times, strict=False):
        for arc in column.arcs:
            out[int(net.tail[arc])] += [arc] * int(times)
    moved = np.flatnonzero(net.left >= 0)
    moves = {int(n): int(m) for n, m in zip(moved, whole.moves, strict=True)}
    return [
        [_walk(net, out, moves, int(source), int(sink)) for _ in beam.ids]
        for beam, source, sink in zip(master.job.longs, net.sources, net.sinks, strict=True)
    ]


def _walk(
    net: Network, out: dict[int, list[int]], moves: dict[int, int], node: int, sink: int
) -> tuple[list[int], list[int]]:
    arcs: list[int] = []
    places: list[int] = []
    while node != sink:
        if out[node]:
            places.append(int(net.place[node]))
            arcs.append(out[node].pop())
            node = int(net.head[arcs[-1]])
        elif moves.get(node, 0) > 0:
            moves[node] -= 1
            node = int(net.left[node])
        else:
            raise RuntimeError("the parts of a long piece do not join up")
    return arcs, places
