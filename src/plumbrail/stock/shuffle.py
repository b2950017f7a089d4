"""Many quick plans on chance splices: good columns for the search to choose from."""

from __future__ import annotations

import time

import numpy as np

from plumbrail.stock.greedy import Item, as_column
from plumbrail.stock.job import Job
from plumbrail.stock.network import Network
from plumbrail.stock.pricing import Column

SEED = 20
"""Fixed, so that the same job gives the same plans as long as time allows."""


class Shuffler:
    """Draws splices by chance and fills sticks as full as they go."""

    def __init__(self, job: Job, net: Network) -> None:
        self.job, self.net = job, net
        self.rng = np.random.default_rng(SEED)
        self.out: dict[int, list[int]] = {}
        arrives = {int(s) for s in net.sinks}
        for arc in np.lexsort((-net.tail,)):
            if int(net.head[arc]) in arrives:
                arrives.add(int(net.tail[arc]))
                self.out.setdefault(int(net.tail[arc]), []).append(int(arc))
        for arcs in self.out.values():
            arcs.sort(key=lambda a: int(net.length[a]))

    def plans(self, count: int, until: float) -> list[tuple[float, list[Column]]]:
        """Up to ``count`` plans with their costs, cheapest first, stopping at ``until``."""
        found = []
        for _ in range(count):
            if time.monotonic() > until:
                break
            columns = self._plan()
            if columns is not None:
                cost = sum(self.job.kinds[c.kind].price for c in columns)
                found.append((cost, columns))
        return sorted(found, key=lambda f: f[0])

    def _plan(self) -> list[Column] | None:
        job = self.job
        items = [(p.length + job.kerf, t, False) for t, p in enumerate(job.pieces) for _ in p.ids]
        for number, beam in enumerate(job.longs):
            for _ in beam.ids:
                path = self._path(number)
                items += [(int(self.net.length[a]) + job.kerf, a, True) for a in path]
        items.sort(key=lambda i: -i[0])
        liking = self.rng.uniform(0.9, 1.1, len(job.kinds))
        had = [10**9 if k.available is None else k.available for k in job.kinds]
        columns = []
        while items:
            choices = []
            for k, kind in enumerate(job.kinds):
                if had[k] and items[0][0] <= kind.capacity:
                    taken = self._fill(kind.capacity, items)
                    rate = kind.price / sum(items[i][0] for i in taken) * liking[k]
                    choices.append((rate, k, taken))
            if not choices:
                return None
            _, k, taken = min(choices)
            had[k] -= 1
            columns.append(as_column(job, k, [items[i] for i in taken]))
            items = [item for i, item in enumerate(items) if i not in set(taken)]
        return columns

    def _path(self, number: int) -> list[int]:
        """Arcs from end to end, longer parts more likely."""
        path: list[int] = []
        node, sink = int(self.net.sources[number]), int(self.net.sinks[number])
        while node != sink:
            arcs = self.out[node]
            path.append(arcs[int(len(arcs) * self.rng.uniform() ** 0.5)])
            node = int(self.net.head[path[-1]])
        return path

    def _fill(self, room: int, items: list[Item]) -> list[int]:
        """Positions of the items that fill the room best, the first one among them."""
        sums: dict[int, tuple[int, ...]] = {items[0][0]: (0,)}
        for i in range(1, len(items)):
            weight = items[i][0]
            for total, taken in list(sums.items()):
                if total + weight <= room and total + weight not in sums:
                    sums[total + weight] = (*taken, i)
            if room in sums or len(sums) > 400:
                break
        return list(sums[max(sums)])
