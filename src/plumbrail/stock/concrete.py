"""Concrete for the piers: volumes in two stages, bags by size, ready-mix, mass."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plumbrail import units
from plumbrail.errors import GeometryError, Problem, RangeError
from plumbrail.stock.mixes import BagSize, bag_sizes, concrete_density

Array = NDArray[np.float64]
Counts = NDArray[np.int64]
STAGES = ("holding", "rest")
HAIR = 1e-9
"""Share of a bag by which rounding error may overshoot a whole number."""


@dataclass(frozen=True)
class Piers:
    """Holes and pipes, arrays (pier,) in SI.

    ``depth`` of the hole below ground and ``above_grade`` of the formed collar [m]; the pipe of
    ``outside`` diameter stands ``embedded`` deep in the concrete, from the top down. ``bore``:
    the inside diameter when the pipe fills with concrete, 0 when it is capped or stays empty.
    ``over_break``: volume that the hole takes beyond its diameter, as a share; the collar is
    formed and has none. ``holding``: height of the first pour above the bottom of the hole.
    """

    ids: tuple[str, ...]
    diameter: Array
    depth: Array
    above_grade: Array
    outside: Array
    bore: Array
    embedded: Array
    over_break: Array
    holding: Array


@dataclass(frozen=True)
class BagCount:
    """Bags of one size: (stage, pier) rounded up one by one, and per stage if mixed in one go."""

    size: BagSize
    per_pier: Counts
    per_stage: Counts

    @property
    def total(self) -> int:
        """Bags to buy when each pier and stage is mixed for itself."""
        return int(self.per_pier.sum())


@dataclass(frozen=True)
class Concrete:
    """Concrete for all piers: ``volume`` (stage, pier) [m3], stages as in :data:`STAGES`.

    ``ready_mix`` (stage,): order per stage in yd3, rounded up to the quarter; ``ready_mix_once``:
    for everything in one pour. ``mass`` (stage, pier) [kg].
    """

    ids: tuple[str, ...]
    volume: Array
    displaced: Array
    bags: tuple[BagCount, ...]
    ready_mix: Array
    ready_mix_once: float
    mass: Array

    @property
    def total(self) -> float:
        """Volume of everything [m3]."""
        return float(self.volume.sum())


def make_piers(
    ids: tuple[str, ...], *, diameter: ArrayLike, depth: ArrayLike, above_grade: ArrayLike,
    outside: ArrayLike, bore: ArrayLike, embedded: ArrayLike, over_break: ArrayLike,
    holding: ArrayLike,
) -> Piers:  # fmt: skip
    """Piers from numbers or arrays that broadcast to (pier,); refuses what cannot be built."""
    given = (diameter, depth, above_grade, outside, bore, embedded, over_break, holding)
    piers = Piers(ids, *(np.broadcast_to(np.asarray(x, dtype=float), len(ids)) for x in given))
    _check(piers)
    return piers


def _check(p: Piers) -> None:
    top = p.depth + p.above_grade
    rules = (
        ("diameter", p.diameter > 0, "must be above 0"),
        ("depth", p.depth > 0, "must be above 0"),
        ("above_grade", p.above_grade >= 0, "must be 0 or more"),
        ("outside", (p.outside > 0) & (p.outside < p.diameter),
         "must be above 0 and less than the hole"),
        ("bore", (p.bore >= 0) & (p.bore < p.outside), "must be less than the outside of the pipe"),
        ("embedded", (p.embedded >= 0) & (p.embedded <= top * (1 + HAIR)),
         "must not be more than depth and collar together"),
        ("over_break", (p.over_break >= 0) & (p.over_break <= 2),
         "is a share of the volume, 0 to 2; write 0.10 or \"10 %\" for ten per cent"),
        ("holding", (p.holding >= 0) & (p.holding <= p.depth * (1 + HAIR)),
         "must not be higher than the hole is deep"),
    )  # fmt: skip
    problems = [
        Problem(f"piers.{p.ids[int(np.argmin(good))]}.{name}", words)
        for name, good, words in rules
        if not good.all()
    ]
    if problems:
        raise GeometryError(problems, "piers")


def volumes(piers: Piers) -> tuple[Array, Array]:
    """Concrete and what the pipe displaces, both (stage, pier) [m3]."""
    p = piers
    hole, steel = np.pi / 4 * p.diameter**2, np.pi / 4 * (p.outside**2 - p.bore**2)
    below = p.depth + p.above_grade - p.embedded
    in_first = np.clip(p.holding - below, 0.0, p.embedded)
    displaced = np.stack([steel * in_first, steel * (p.embedded - in_first)])
    first = hole * p.holding * (1 + p.over_break)
    rest = hole * ((p.depth - p.holding) * (1 + p.over_break) + p.above_grade)
    return np.maximum(np.stack([first, rest]) - displaced, 0.0), displaced


def concrete(piers: Piers, sizes: tuple[BagSize, ...] | None = None) -> Concrete:
    """Volumes, bags of every size in the table (or ``sizes``), ready-mix and mass."""
    sizes = bag_sizes() if sizes is None else sizes
    if any(not s.volume > 0 for s in sizes):
        raise RangeError("the volume from one bag must be above 0; read it on the bag")
    volume, displaced = volumes(piers)
    bags = tuple(
        BagCount(s, whole_bags(volume, s.volume), whole_bags(volume.sum(axis=1), s.volume))
        for s in sizes
    )
    return Concrete(
        piers.ids, volume, displaced, bags, quarter_yards(volume.sum(axis=1)),
        float(quarter_yards(volume.sum())), volume * concrete_density(),
    )  # fmt: skip


def whole_bags(volume: ArrayLike, each: float) -> Counts:
    """Bags for a volume [m3], rounded up; any shape."""
    return np.ceil(np.asarray(volume, dtype=float) / each - HAIR).astype(np.int64)


def quarter_yards(volume: ArrayLike) -> Array:
    """Ready-mix to order [yd3] for a volume [m3], up to the next quarter yard; any shape.

    Common practice, no published source.
    """
    yards = np.asarray(units.from_si(np.asarray(volume, dtype=float), "yd3"))
    return np.maximum(np.ceil(yards * 4 - HAIR), 0.0) / 4
