"""The exact way: all patterns, splices anywhere in their zones, one aim after the other."""

from __future__ import annotations

import math
import time
from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import CuttingError
from plumbrail.stock.bounds import fewest_parts, lifted
from plumbrail.stock.decode import make_stick
from plumbrail.stock.job import Job
from plumbrail.stock.outcome import Outcome
from plumbrail.stock.patterns import MANAGEABLE, beams_of, fullest, parts_of, patterns_of
from plumbrail.stock.records import Cut, Level, Splices, Stick
from plumbrail.stock.zonal import Solution, Zonal

Floats = NDArray[np.float64]
SLACK = 1e-6


def solve(job: Job, seconds: float) -> Outcome | None:
    """A plan with its proof, or None: too many patterns, or no plan in the time."""
    parts = parts_of(job)
    patterns = patterns_of(job, parts)
    if patterns is None:
        return None
    whole = len(patterns) <= MANAGEABLE
    if not whole:
        patterns = fullest(job, parts, patterns)
    model = Zonal(job, parts, patterns)
    deadline = time.monotonic() + seconds
    kinds = np.array([p.kind for p in patterns])
    prices = np.array([k.price for k in job.kinds])
    lengths = np.array([k.length for k in job.kinds], dtype=float)
    count = np.array([len(p.parts) for p in patterns], dtype=float)
    best: Solution | None = None
    caps: list[tuple[Floats, float]] = []
    kind_caps: list[tuple[Floats, float]] = []
    levels: list[Level] = []
    for name, per_kind in (("cost", prices), ("waste", lengths), ("splices", None)):
        aim = count if per_kind is None else per_kind[kinds]
        least = (float(fewest_parts(job)) if per_kind is None
                 else lifted(job, per_kind, -np.inf, kind_caps))  # fmt: skip
        best, bound = _improved(model, best, aim, caps, least, (deadline - time.monotonic()) * 0.7)
        bound = bound if whole else least
        if best is None:
            return None
        value = float(aim @ best.times)
        lift = math.ceil(bound - SLACK) if per_kind is None else lifted(
            job, per_kind, bound, kind_caps)  # fmt: skip
        levels.append(Level(name, value, min(lift, value)))
        caps.append((aim, value + 1e-9 * max(1.0, value)))
        if per_kind is not None:
            kind_caps.append((per_kind, caps[-1][1]))
    sticks, splices = _decode(model, best)
    cost, waste, spliced = levels
    return Outcome(tuple(sticks), tuple(splices), (cost, waste, spliced), cost.bound, 1)


def _improved(
    model: Zonal, best: Solution | None, aim: Floats, caps: list[tuple[Floats, float]],
    least: float, seconds: float,
) -> tuple[Solution | None, float]:  # fmt: skip
    """The better of the plan at hand and a new one, with a bound on the aim."""
    if best is not None and float(aim @ best.times) <= least + SLACK:
        return best, least
    found = model.solve(aim, caps, least, seconds)
    if found is not None and not len(found.times):
        if best is None and len(model.patterns) < MANAGEABLE:
            raise CuttingError(
                "no choice of splices and sticks makes all pieces from the stock on offer. Raise "
                "the number of sticks available, or offer a longer stock length"
            )
        return best, least  # caught between two rounding tolerances: nothing is claimed
    if found is None:
        return best, least
    if best is None or float(aim @ found.times) < float(aim @ best.times) - SLACK:
        best = found
    return best, max(least, found.bound)


def _decode(model: Zonal, solution: Solution) -> tuple[list[Stick], list[Splices]]:
    job, beams = model.job, beams_of(model.job)
    names = [i for b in job.longs for i in b.ids]
    used: dict[int, list[int]] = defaultdict(list)
    for pattern, times in zip(model.patterns, solution.times, strict=True):
        for n in pattern.parts if times else ():
            used[model.parts[n].beam].append(n)
    cuts: dict[int, Cut] = {}
    splices = []
    for beam, mine in sorted(used.items()):
        mine.sort(key=lambda n: model.parts[n].tail)
        at = [int(solution.places[model.first[beam] + model.parts[n].tail]) for n in mine]
        splices.append(Splices(names[beam], tuple(p * job.grid for p in at[1:])))
        stops = [*at[1:], beams[beam].length]
        for i, n in enumerate(mine):
            cuts[n] = Cut(names[beam], i + 1, len(mine), at[i] * job.grid,
                          (stops[i] - at[i]) * job.grid)  # fmt: skip
    left = [list(p.ids) for p in job.pieces]
    sticks = []
    for pattern, times in zip(model.patterns, solution.times, strict=True):
        for _ in range(times):
            here = [cuts[n] for n in pattern.parts]
            for t, n in enumerate(pattern.counts):
                ids, left[t] = left[t][:n], left[t][n:]
                here += [Cut(i, 1, 1, 0.0, job.pieces[t].length * job.grid) for i in ids]
            if here:
                sticks.append(make_stick(job, pattern.kind, here))
    return sticks, splices
