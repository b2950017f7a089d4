"""The exact way: all patterns, splices anywhere in their zones, one aim after the other."""

from __future__ import annotations

import math
import time
from collections import defaultdict
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import CuttingError
from plumbrail.stock.bounds import fewest_parts, lifted
from plumbrail.stock.climb import Climber, Laid
from plumbrail.stock.decode import make_stick
from plumbrail.stock.job import Job
from plumbrail.stock.outcome import Outcome, untidiness
from plumbrail.stock.patterns import (
    MANAGEABLE,
    MOST,
    Part,
    Pattern,
    beams_of,
    ends_of,
    fullest,
    parts_of,
    patterns_of,
)
from plumbrail.stock.records import Cut, Level, Splices, Stick
from plumbrail.stock.zonal import Solution, Zonal

Floats = NDArray[np.float64]
SLACK = 1e-6
HASTE = 1.0
"""With less time [s] no more than :data:`FEW` patterns are listed; more would take longer."""
FEW = 2000
RUNGS = 6
"""Purchases tried one by one before, and again after, the least cost is sought at large."""


@dataclass
class Run:
    """State of one run; ``complete``: the model holds every pattern, so its bounds count."""

    model: Zonal
    complete: bool
    deadline: float
    best: Solution | None = None
    caps: list[tuple[Floats, float]] = field(default_factory=list)
    kind_caps: list[tuple[Floats, float]] = field(default_factory=list)
    levels: list[Level] = field(default_factory=list)


def solve(job: Job, seconds: float) -> Outcome | None:
    """A plan with its proof, or None: too many patterns, or no plan in the time."""
    if seconds <= 0:
        return None
    deadline = time.monotonic() + seconds
    parts = parts_of(job)
    patterns = patterns_of(job, parts, MOST if seconds >= HASTE else FEW)
    complete = patterns is not None and len(patterns) <= MANAGEABLE
    climber = Climber(job, parts, patterns if complete else None, deadline)
    climbed = climber.climb(0.0, RUNGS)
    if climbed.laid is not None:
        return _laid_out(job, parts, climbed.laid)
    if complete and patterns is not None:
        return _searched(climber, patterns, True, climbed.cost)
    other = _without_longest(job, (deadline - time.monotonic()) * 0.5)
    if patterns is None:
        return other
    found = _searched(climber, patterns, False, climbed.cost)
    if found is None or other is None:
        return found or other
    return min(found, other, key=lambda o: o.rank)


def _laid_out(job: Job, parts: list[Part], laid: Laid) -> Outcome:
    sticks, splices = _decode(job, parts, laid.sticks, laid.places)
    bought = laid.purchase
    levels = (
        Level("cost", bought.cost, bought.cost),
        Level("waste", float(bought.length), float(bought.length)),
        Level("splices", float(laid.parts), min(math.ceil(laid.bound - 1e-6), laid.parts)),
    )
    return Outcome(tuple(sticks), tuple(splices), levels, bought.cost, 1)


def _without_longest(job: Job, seconds: float) -> Outcome | None:
    """A plan that leaves the longest bought stick aside: simpler, and bounds nothing."""
    longest = max((k.length for k in job.kinds if not k.own), default=0)
    kinds = tuple(k for k in job.kinds if k.own or k.length < longest)
    less = replace(job, kinds=kinds)
    if all(k.own for k in kinds) or any(p.length > less.longest for p in job.pieces):
        return None
    try:
        found = solve(less, seconds)
    except CuttingError:
        return None
    if found is None:
        return None
    cost, length, parts = found.levels
    prices = np.array([k.price for k in job.kinds])
    lengths = np.array([float(k.length) for k in job.kinds])
    least = lifted(job, prices, -np.inf, [])
    opened = lifted(job, lengths, -np.inf, [(prices, cost.value)])
    levels = (
        replace(cost, bound=min(least, cost.value)),
        replace(length, bound=min(opened, length.value)),
        replace(parts, bound=float(fewest_parts(job))),
    )
    return replace(found, levels=levels, anywhere=levels[0].bound)


def _searched(
    climber: Climber, patterns: list[Pattern], complete: bool, least: float
) -> Outcome | None:
    job, parts, deadline = climber.job, climber.parts, climber.deadline
    chosen = patterns if complete else fullest(job, parts, patterns)
    run = Run(Zonal(job, parts, chosen), complete, deadline)
    best = _pursue_kinds(run, "cost", np.array([k.price for k in job.kinds]), least)
    if best is not None and complete and run.levels[0].proven:
        laid = climber.climb(run.levels[0].value, RUNGS).laid
        if laid is not None:
            return _laid_out(job, parts, laid)
    if best is not None:
        best = _pursue_kinds(run, "waste", np.array([float(k.length) for k in job.kinds]))
    if best is not None:
        count = np.array([float(len(p.parts)) for p in chosen])
        best, bound = _improve(run, count, float(fewest_parts(job)))
        _settle(run, "splices", count, math.ceil(bound - SLACK))
        best = _tidied(run)
    if best is None:
        return None
    used = tuple(
        p for p, n in zip(run.model.patterns, best.times.tolist(), strict=True) for _ in range(n)
    )
    sticks, splices = _decode(job, parts, used, tuple(best.places.tolist()))
    cost, waste, spliced = run.levels
    return Outcome(tuple(sticks), tuple(splices), (cost, waste, spliced), cost.bound, 1)


def _pursue_kinds(run: Run, name: str, per_kind: Floats, known: float = -np.inf) -> Solution | None:
    """Least sum over sticks of so much per kind; its bound is lifted to what can be bought."""
    job = run.model.job
    aim = per_kind[np.array([p.kind for p in run.model.patterns])]
    best, bound = _improve(run, aim, max(known, lifted(job, per_kind, -np.inf, run.kind_caps)))
    if best is not None:
        _settle(run, name, aim, lifted(job, per_kind, bound, run.kind_caps))
        run.kind_caps.append((per_kind, run.caps[-1][1]))
    return best


def _settle(run: Run, name: str, aim: Floats, bound: float) -> None:
    """Note what an aim came to, and hold it from now on."""
    if run.best is not None:
        value = float(aim @ run.best.times)
        run.levels.append(Level(name, value, min(bound, value)))
        run.caps.append((aim, value + 1e-9 * max(1.0, value)))


def _improve(run: Run, aim: Floats, least: float) -> tuple[Solution | None, float]:
    """The better of the plan at hand and a new one, with a bound on the aim."""
    best = run.best
    if best is not None and float(aim @ best.times) <= least + SLACK:
        return best, least
    seconds = (run.deadline - time.monotonic()) * 0.7
    found = run.model.solve(aim, run.caps, least, seconds)
    if found is None:
        return best, least
    if not len(found.times):
        if best is None and run.complete:
            raise CuttingError(
                "no choice of splices and sticks makes all pieces from the stock on offer. Raise "
                "the number of sticks available, or offer a longer stock length"
            )
        return best, least  # between two rounding tolerances of the solver: nothing is claimed
    if best is None or float(aim @ found.times) < float(aim @ best.times) - SLACK:
        run.best = found
    return run.best, max(least, found.bound) if run.complete else least


def _tidied(run: Run) -> Solution | None:
    """Among plans that are equal in every aim, like with like and the offcuts in few sticks."""
    job = run.model.job
    untidy = np.array(
        [untidiness(job, p.kind, p.counts, len(p.parts), p.spare) for p in run.model.patterns]
    )
    found = run.model.solve(untidy, run.caps, -np.inf, min(1.0, run.deadline - time.monotonic()))
    if run.best is None or found is None or not len(found.times):
        return run.best
    return found if float(untidy @ found.times) < float(untidy @ run.best.times) else run.best


def _decode(
    job: Job, parts: list[Part], used: tuple[Pattern, ...], places: tuple[int, ...]
) -> tuple[list[Stick], list[Splices]]:
    cuts, splices = _cuts(job, parts, used, places)
    left = [list(p.ids) for p in job.pieces]
    sticks = []
    for pattern in used:
        here = [cuts[n] for n in pattern.parts]
        for t, n in enumerate(pattern.counts):
            ids, left[t] = left[t][:n], left[t][n:]
            here += [Cut(i, 1, 1, 0.0, job.pieces[t].length * job.grid) for i in ids]
        if here:
            sticks.append(make_stick(job, pattern.kind, here))
    return sticks, splices


def _cuts(
    job: Job, parts: list[Part], used: tuple[Pattern, ...], places: tuple[int, ...]
) -> tuple[dict[int, Cut], list[Splices]]:
    """The parts of every long piece, by number, at the places chosen."""
    beams = beams_of(job)
    names = [i for b in job.longs for i in b.ids]
    first = np.cumsum([0, *(len(ends_of(b).low) for b in beams)])
    of_beam: dict[int, list[int]] = defaultdict(list)
    for n in (n for pattern in used for n in pattern.parts):
        of_beam[parts[n].beam].append(n)
    cuts: dict[int, Cut] = {}
    splices = []
    for beam, mine in sorted(of_beam.items()):
        mine.sort(key=lambda n: parts[n].tail)
        at = [0, *(places[int(first[beam]) + parts[n].tail] for n in mine[1:])]
        splices.append(Splices(names[beam], tuple(p * job.grid for p in at[1:])))
        stops = [*at[1:], beams[beam].length]
        for i, n in enumerate(mine):
            cuts[n] = Cut(names[beam], i + 1, len(mine), at[i] * job.grid,
                          (stops[i] - at[i]) * job.grid)  # fmt: skip
    return cuts, splices
