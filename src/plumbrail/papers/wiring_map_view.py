"""The array as seen square to its modules, and how it is shared out over strips and pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plumbrail.papers.furniture import Area, widest
from plumbrail.papers.sheet import SCALES, Point, Scale
from plumbrail.papers.wire_facts import Task
from plumbrail.papers.words import say

Array = NDArray[np.float64]

ABOVE, BELOW, ASIDE, BETWEEN = 6.0, 5.4, 4.0, 3.0
"""Room for words over and under a strip, at its sides, and between two strips [mm]."""
HIGH_ENOUGH, SLIM, FLAT, BROAD = 11.75, 1.6, 9.0, 5.8
"""A module's words fit over its sign (height, width over the words) or beside it [mm]."""


@dataclass(frozen=True)
class Seen:
    """The array along the row (u) and up the slope (v), from its lower left corner [m]."""

    task: Task

    def of(self, points: Array) -> Array:
        """(..., 2) of points (..., 3) in local axes."""
        plane = self.task.model.plane
        off = np.asarray(points) - plane.point(0.0, 0.0)
        return np.stack([off @ plane.row, off @ plane.up_slope], axis=-1)

    @property
    def modules(self) -> Array:
        """(modules, 4, 2) corners: low left, low right, high right, high left."""
        return self.of(self.task.model.modules.corners)

    @property
    def heights(self) -> Point:
        """Lowest and highest v of anything that is drawn."""
        shown = [
            self.modules.reshape(-1, 2),
            self.of(self.task.wired.boxes),
            *(self.of(p.points) for p in self.task.wired.paths if drawn(p.kind, p.what)),
        ]
        v = np.concatenate([s[:, 1] for s in shown])
        return float(v.min()), float(v.max())

    def columns(self, first: int, last: int) -> Point:
        """Left and right end of some columns, the first being 1."""
        column = self.task.model.modules.column
        u = self.modules[(column >= first) & (column <= last)][..., 0]
        return float(u.min()), float(u.max())


def drawn(kind: str, what: str) -> bool:
    """Whether a path is on the map: wires of the strings, and wires from box to box."""
    return kind in ("home run", "jumper") or (kind == "run" and what.startswith("from"))


@dataclass(frozen=True)
class Strip:
    """Some columns of the array at a scale."""

    scale: Scale
    first: int
    last: int
    whole: bool
    left: float
    right: float
    low: float
    high: float

    @property
    def k(self) -> float:
        """Millimetres on paper of a metre."""
        return 1000.0 / self.scale.ratio

    @property
    def height(self) -> float:
        """On paper, with its words [mm]."""
        return (self.high - self.low) * self.k + ABOVE + BELOW

    def origin(self, area: Area, top: float) -> Point:
        """Where (0, 0) of the array comes to lie when the strip hangs from ``top`` [mm]."""
        wide = (self.right - self.left) * self.k
        x = area.left + 0.5 * (area.width - wide)
        return x - self.left * self.k, top - ABOVE - self.high * self.k

    def clipped(self, points: Array) -> list[tuple[Point, ...]]:
        """The pieces of a polyline (n, 2) between the strip's ends."""
        if self.whole:
            return [tuple((float(a), float(b)) for a, b in points)]
        found: list[list[Point]] = [[]]
        for one, two in pairwise(points):
            part = _between(one, two, self.left, self.right)
            if part is None:
                continue
            if not found[-1] or not np.allclose(found[-1][-1], part[0]):
                found.append([part[0]])
            found[-1].append(part[1])
        return [tuple(f) for f in found if len(f) > 1]

    def holds(self, u: float) -> bool:
        """A place lies on this strip."""
        return self.whole or self.left <= u <= self.right


def _between(one: Array, two: Array, left: float, right: float) -> tuple[Point, Point] | None:
    """A straight piece cut off at two uprights; None where nothing is left."""
    step = two - one
    if abs(step[0]) < 1e-12:
        low, high = (0.0, 1.0) if left <= one[0] <= right else (1.0, 0.0)
    else:
        a, b = sorted(((left - one[0]) / step[0], (right - one[0]) / step[0]))
        low, high = max(0.0, float(a)), min(1.0, float(b))
    if low >= high:
        return None
    p, q = one + low * step, one + high * step
    return (float(p[0]), float(p[1])), (float(q[0]), float(q[1]))


def strips(task: Task, area: Area) -> list[list[Strip]]:
    """Strips by pages: the fewest pages on which the words of a module still fit into it.

    Raises ValueError when the array is too high for that at any standard scale.
    """
    best: list[list[Strip]] = []
    seen = Seen(task)
    for scale in SCALES[task.job.units]:
        if not _legible(task, 1000.0 / scale.ratio, seen.modules):
            break
        found = _shared(task, scale, seen, area)
        if found and (not best or len(found) < len(best)):
            best = found
    if not best:
        raise ValueError("the array is too high for this page; take a larger page")
    return best


def words(task: Task) -> list[str]:
    """What stands in modules: string and place."""
    s = task.wired.strings
    return [f"{s.ids[k]}-{place + 1}" if k >= 0 else say("spare")
            for k, place in zip(s.string.tolist(), s.place.tolist(), strict=True)]  # fmt: skip


def _legible(task: Task, k: float, modules: Array) -> bool:
    side = modules.max(axis=1) - modules.min(axis=1)
    wide, high = (float(x) * k for x in side.min(axis=0))
    label = widest([*task.model.modules.ids, *words(task)])
    over = high >= HIGH_ENOUGH and wide >= label + SLIM
    return over or (high >= FLAT and wide >= label + BROAD)


def _shared(task: Task, scale: Scale, seen: Seen, area: Area) -> list[list[Strip]]:
    """The columns in strips of one scale, by pages; empty where a strip is too high."""
    count, (low, high) = int(task.model.modules.column.max()), seen.heights
    left, right = seen.columns(1, count)
    k, room = 1000.0 / scale.ratio, area.width - 2 * ASIDE
    per = min(int(room / (k * (right - left) / count)), count)
    if per < 1:
        return []
    parts = -(-count // per)
    ends = [round(i * count / parts) for i in range(parts + 1)]
    found = [
        Strip(scale, a + 1, b, parts == 1, *seen.columns(a + 1, b), low, high)
        for a, b in pairwise(ends)
    ]
    fit = int((area.height + BETWEEN) / (found[0].height + BETWEEN))
    return [found[i : i + fit] for i in range(0, parts, fit)] if fit else []


def stacked(found: Sequence[Strip], area: Area) -> list[float]:
    """Top of every strip of a page, the spare height shared out [mm]."""
    spare = (area.height - sum(s.height for s in found)) / (len(found) + 1)
    tops, top = [], area.top - spare
    for s in found:
        tops.append(top)
        top -= s.height + spare
    return tops
