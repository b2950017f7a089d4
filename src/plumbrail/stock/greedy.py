"""A first plan by longest-first filling: never the answer, always a start."""

from __future__ import annotations

from plumbrail.stock.job import Job
from plumbrail.stock.network import Network, shortest_paths
from plumbrail.stock.pricing import Column

Item = tuple[int, int, bool]
"""Length with kerf, number of the piece kind or arc, whether it is an arc."""


def longest_first(job: Job, net: Network, only: int | None = None) -> list[Column] | None:
    """Columns of a whole plan, or None when limited stock runs out.

    Own offcuts are filled first, each by what fits; then sticks of the kind ``only``, or of the
    kind that costs least per step filled.
    """
    items = [(p.length + job.kerf, t, False) for t, p in enumerate(job.pieces) for _ in p.ids]
    for number, path in enumerate(shortest_paths(net)):
        for arc in path or []:
            length = int(net.length[arc]) + job.kerf
            items += [(length, arc, True)] * len(job.longs[number].ids)
    items.sort(key=lambda item: -item[0])
    left = {k: s.available if s.available is not None else 10**9 for k, s in enumerate(job.kinds)}
    columns = []
    for kind, stick in enumerate(job.kinds):
        while stick.own and left[kind] and items:
            taken, rest = _fill(stick.capacity, items)
            left[kind] -= 1
            if not taken:
                break
            items = rest
            columns.append(as_column(job, kind, taken))
    while items:
        choices = []
        for kind, stick in enumerate(job.kinds):
            if stick.own or not left[kind] or items[0][0] > stick.capacity:
                continue
            taken, rest = _fill(stick.capacity, items)
            filled = sum(n for n, _, _ in taken)
            choices.append((kind != only, stick.price / filled, kind, taken, rest))
        if not choices:
            return None
        *_, kind, taken, items = min(choices, key=lambda c: c[:3])
        left[kind] -= 1
        columns.append(as_column(job, kind, taken))
    return columns


def _fill(room: int, items: list[Item]) -> tuple[list[Item], list[Item]]:
    taken, rest = [], []
    for item in items:
        if item[0] <= room:
            taken.append(item)
            room -= item[0]
        else:
            rest.append(item)
    return taken, rest


def as_column(job: Job, kind: int, taken: list[Item]) -> Column:
    """The column that cuts the items from a stick of a kind."""
    counts = [0] * len(job.pieces)
    for _, number, is_arc in taken:
        if not is_arc:
            counts[number] += 1
    return Column(kind, tuple(counts), tuple(sorted(n for _, n, is_arc in taken if is_arc)))
