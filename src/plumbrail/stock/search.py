"""The search in the order of its aims: cost, then waste, then splices."""

from __future__ import annotations

import math
import time
from collections import Counter
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import CuttingError
from plumbrail.stock.arcflow import solve_exactly
from plumbrail.stock.bounds import fewest_parts, lifted
from plumbrail.stock.decode import decode
from plumbrail.stock.greedy import longest_first
from plumbrail.stock.integer import Whole, best_of
from plumbrail.stock.job import Job
from plumbrail.stock.master import Cap, Master, Weights
from plumbrail.stock.network import build, positions, shortest_paths
from plumbrail.stock.outcome import Outcome, untidiness
from plumbrail.stock.pricing import Column
from plumbrail.stock.records import Level
from plumbrail.stock.shuffle import Shuffler

Floats = NDArray[np.float64]
SLACK = 1e-7
TRIES = 2_000
"""Plans drawn by chance before the search."""
KEPT = 60
"""Of these, plans whose columns are kept."""


@dataclass
class Search:
    """State of one search: the columns, the best plan so far, and what is proven."""

    master: Master
    deadline: float
    best: Whole | None = None
    caps: tuple[Cap, ...] = ()
    levels: list[Level] = field(default_factory=list)

    @property
    def job(self) -> Job:
        """The job that is cut."""
        return self.master.job

    def value(self, aim: Weights, whole: Whole) -> float:
        """The sum of ``aim`` over a plan."""
        pairs = zip(self.master.columns, whole.times, strict=False)  # later columns are unused
        return sum(aim.of(c) * int(n) for c, n in pairs if n)

    def seconds(self, share: float) -> float:
        """A share of the time that is left."""
        return max(0.0, self.deadline - time.monotonic()) * share

    def most_sticks(self, aim: Weights) -> float:
        """No plan worth having opens more sticks of one kind that is not limited."""
        parts = sum(len(p.ids) for p in self.job.pieces)
        parts += sum(len(b.ids) * (len({z.span for z in b.zones}) + 1) for b in self.job.longs)
        if self.best is None:
            return float(parts)
        least = min((a for a, k in zip(aim.kinds, self.job.kinds, strict=True)
                     if k.available is None), default=0.0)  # fmt: skip
        return min(parts, self.value(aim, self.best) / least) if least > 0 else float(parts)


def start(search: Search) -> None:
    """Take the cheapest of some quick plans as the first plan, and keep the good ones' columns."""
    job, net = search.job, search.master.net
    for only in [None, *range(len(job.kinds))]:
        _take(search, longest_first(job, net, only))
    if job.longs:
        until = time.monotonic() + search.seconds(0.1)
        for _, columns in Shuffler(job, net).plans(TRIES, until)[:KEPT]:
            _take(search, columns)


def _take(search: Search, columns: list[Column] | None) -> None:
    if columns is None:
        return
    search.master.add(columns)
    count = Counter(columns)
    times = np.array([count[c] for c in search.master.columns], dtype=np.int64)
    moves = np.zeros(int((search.master.net.left >= 0).sum()), dtype=np.int64)
    _keep(search, cost_of(search.job), Whole(times, moves, False))


def cost_of(job: Job) -> Weights:
    """Price per stick."""
    return Weights(np.array([k.price for k in job.kinds]), 0.0)


def opened(job: Job) -> Weights:
    """Length per stick put under the saw [steps]."""
    return Weights(np.array([k.length for k in job.kinds], dtype=float), 0.0)


def pursue(search: Search, name: str, aim: Weights, share: float, first: float) -> None:
    """Find the least of one aim within the earlier ones, and how far that is proven.

    ``first``: a bound known beforehand. Adds a level, and a cap that holds the level from now on.
    """
    bound = first
    if search.best is None or search.value(aim, search.best) > bound + SLACK:
        bound = max(bound, _generated(search, aim, share))
        bound = _whole_plan(search, aim, share, bound)
    if search.best is None:
        return
    value = search.value(aim, search.best)
    search.levels.append(Level(name, value, min(bound, value)))
    search.caps += (Cap(aim, value + 1e-9 * max(1.0, value)),)


def _generated(search: Search, aim: Weights, share: float) -> float:
    """Bound of the linear program, lifted to what can be bought."""
    top = np.inf if search.best is None else search.value(aim, search.best)
    until = time.monotonic() + search.seconds(share)
    bound, done = search.master.generate(aim, search.caps, top, search.most_sticks(aim), until)
    duals = search.master.solve(aim, search.caps)
    if done is False and duals.short > 1e-6 and search.best is None and not search.caps:
        _check_stock(search, duals.short, until)
    if aim.part:
        return math.ceil(bound - 1e-6)
    return lifted(search.job, aim.kinds, bound, _kind_caps(search))


def _check_stock(search: Search, short: float, until: float) -> None:
    if time.monotonic() < until and not search.job.longs:
        raise CuttingError(
            f"the sticks on offer do not hold all pieces: at least {math.ceil(short - 1e-6)} of "
            "them cannot be cut, whatever the plan. Raise the number of sticks available, or "
            "offer another length"
        )


def _kind_caps(search: Search) -> list[tuple[Floats, float]]:
    return [(c.weights.kinds, c.most) for c in search.caps if not c.weights.part]


def _whole_plan(search: Search, aim: Weights, share: float, bound: float) -> float:
    """Better plans in whole sticks; returns the bound, raised when the exact model finishes."""
    _keep(search, aim, best_of(search.master, aim, search.caps, bound, search.seconds(share)))
    if search.job.longs or (
        search.best is not None and search.value(aim, search.best) <= bound + SLACK
    ):
        return bound
    whole = solve_exactly(search.master, aim, search.caps, bound, search.seconds(share))
    _keep(search, aim, whole)
    if whole is not None and whole.finished:
        return search.value(aim, whole)
    return bound


def _keep(search: Search, aim: Weights, whole: Whole | None) -> None:
    if whole is None:
        return
    if search.best is None or search.value(aim, whole) < search.value(aim, search.best) - SLACK:
        search.best = whole


def run(search: Search) -> None:
    """All aims in their order."""
    job, cost = search.job, cost_of(search.job)
    least = lifted(job, cost.kinds, -np.inf, [])
    start(search)
    pursue(search, "cost", cost, 0.45, least)
    if search.best is None:
        return
    length = opened(job)
    pursue(search, "waste", length, 0.4, lifted(job, length.kinds, -np.inf, _kind_caps(search)))
    parts = Weights(np.zeros(len(job.kinds)), 1.0)
    pursue(search, "splices", parts, 0.6, float(fewest_parts(job)))
    _tidy(search)


def _tidy(search: Search) -> None:
    """Among the columns at hand, and equal in every aim, like with like and few offcuts."""
    taste = Taste(search.master)
    whole = best_of(search.master, taste, search.caps, -np.inf, min(1.0, search.seconds(0.5)))
    if whole is not None and search.best is not None:
        pairs = [zip(search.master.columns, w.times, strict=False) for w in (whole, search.best)]
        new, old = (sum(taste.of(c) * int(n) for c, n in p if n) for p in pairs)
        search.best = whole if new < old else search.best


@dataclass(frozen=True)
class Taste:
    """Untidiness per column, in place of weights."""

    master: Master

    def of(self, column: Column) -> float:
        """The column's untidiness."""
        job = self.master.job
        room = job.kinds[column.kind].capacity - column.used(job, self.master.net)
        return untidiness(job, column.kind, column.counts, len(column.arcs), room)


def solve(job: Job, seconds: float) -> Outcome | None:
    """A plan by column generation, with its bounds; None when none was found.

    Raises CuttingError when the sticks on offer are proven to be too few.
    """
    spots = positions(job)
    net = build(job, spots, relaxed=False)
    if None in shortest_paths(net):
        return None
    search = Search(Master(job, net), time.monotonic() + seconds)
    run(search)
    if search.best is None:
        return None
    sticks, splices = decode(search.master, search.best)
    cost, length, parts = search.levels
    anywhere = bound_anywhere(search, spots)
    return Outcome(tuple(sticks), tuple(splices), (cost, length, parts), anywhere, net.spacing)


def bound_anywhere(search: Search, spots: list[list[NDArray[np.int64]]]) -> float:
    """Bound on cost for splices on any grid step within the zones."""
    job, cost = search.job, cost_of(search.job)
    if search.master.net.spacing <= 1:
        return search.levels[0].bound
    value = search.levels[0].value
    least = lifted(job, cost.kinds, -np.inf, [])
    if least >= value - SLACK or search.seconds(1.0) < 0.2:
        return min(least, value)
    loose = Search(Master(job, build(job, spots, relaxed=True)), search.deadline)
    start(loose)
    until = time.monotonic() + search.seconds(0.9)
    sticks = search.most_sticks(cost)
    bound, _ = loose.master.generate(cost, (), value, sticks, until)
    return min(value, max(least, lifted(job, cost.kinds, bound, [])))
