"""Truing: simulated frames from the first readings to the pour, and the speed of one run."""

from __future__ import annotations

import os
import re
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import tomlkit

from benchmarks.truing_site import DISTURBED, INCH, SETTING, Crew, frame_off_plan
from plumbrail.jobs.truing import pin_tops
from plumbrail.model.build import build
from plumbrail.model.parts import Model
from plumbrail.notebook.entries import Hold, Kind, Notebook
from plumbrail.plan.demos import demo_text
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import read_plan
from plumbrail.truing.asbuilt import built
from plumbrail.truing.freedom import freedom
from plumbrail.truing.gate import gate
from plumbrail.truing.moves import mend
from plumbrail.truing.parts import (
    Array,
    Gate,
    Outcome,
    Positions,
    Ready,
    Verdict,
    Wanted,
)
from plumbrail.truing.points import Place, Points, points_of
from plumbrail.truing.run import Trued, true_up
from plumbrail.truing.scheme import field_readings
from plumbrail.truing.survey import survey

Row = tuple[str, float, str]
FRAMES = 5000
BRIEF = 200
"""Frames in ``make bench``; all 5,000 take an hour and a half on two cores."""
STATIONS = (3, 4, 5, 6)
BLUNDERS = 0.05
POWER = 3.2905 + 2.3263
"""A blunder this many times sd / sqrt(r) is found with 99 % power at the test's 0.1 % level."""
SPEED_FRAMES = 9
ROUNDS = 2
STEPS = 25
"""A crew that is sent back to look again more often than this gives up."""


@dataclass(frozen=True)
class Told:
    """What became of one frame."""

    ready: bool
    rounds: int
    steps: int
    false: bool
    """Called ready while a value was truly outside its tolerance."""
    beyond: float
    """By how much, as a share of the tolerance."""
    moves: int
    naive: int
    blunders: int
    detectable: int
    found: int
    wrongly: int
    """Good readings that were named as suspects."""
    readings: int
    why: str


@cache
def _site(stations: int) -> tuple[Plan, Model, Array, Points]:
    document = tomlkit.parse(demo_text("alder-creek"))
    document["frame"]["posts"] = stations  # type: ignore[index]
    document["array"]["columns"] = int(np.ceil(1.6 * (stations - 1))) + 1  # type: ignore[index]
    document["setout"].pop("pin_2")  # type: ignore[union-attr]
    plan = read_plan(tomlkit.dumps(document))
    model = build(plan)
    pins = pin_tops(plan, model)
    return plan, model, pins, points_of(model, pins)


def one(seed: int) -> Told:
    """One frame, from the first readings to ready or to giving up."""
    rng = np.random.default_rng(seed)
    plan, model, pins, points = _site(STATIONS[seed % len(STATIONS)])
    crew = Crew(points, frame_off_plan(points, rng), rng, BLUNDERS)
    crew.begin(Hold.SET)
    scheme = field_readings(points)
    closer = _closer(scheme)
    crew.measure([*scheme, *closer])
    naive = _naive(points, crew.xyz)
    rounds = moves = wrongly = 0
    why = "gave up"
    steps = 0
    while steps < STEPS:
        steps += 1
        trued = true_up(plan, model, crew.notebook(), pins)
        wrongly += _score(crew, trued)
        if trued.gate.ready is Ready.READY:
            break
        if doubtful := _doubtful(trued):
            crew.look_again(doubtful)
        elif trued.missing:
            crew.measure(trued.missing)
        elif trued.mending.outcome is Outcome.MOVES:
            if rounds == ROUNDS:
                why = "a third round of moves"
                break
            rounds, moves = rounds + 1, moves + len(trued.mending.moves)
            crew.do(trued.mending.moves)
            crew.measure([*scheme, *closer])
        elif trued.sharper:
            crew.measure(trued.sharper)
        else:
            why = f"{trued.mending.outcome}"
            break
    ready = trued.gate.ready is Ready.READY
    beyond = _beyond(plan, points, crew.xyz) if ready else 0.0
    seen = [b for b in crew.blunders.values() if b.detectable is not None]
    able = [b for b in seen if b.detectable]
    return Told(ready, rounds, steps, beyond > 0, beyond, moves, naive, len(seen), len(able),
                sum(b.found for b in able), wrongly, len(crew.readings),
                "" if ready else why)  # fmt: skip


def _doubtful(trued: Trued) -> set[int]:
    """Lines of readings that are named, be it as suspects or beside a doubtful move."""
    survey = trued.survey
    named = {survey.readings[i].line for s in survey.suspicions for i in s.readings}
    told = {
        int(n) for words in survey.doubts for n in re.findall(r"[0-9]+", words.partition("line")[2])
    }
    return named | (told & {r.line for r in survey.readings})


def _closer(scheme: Sequence[Wanted]) -> list[Wanted]:
    """What a crew reads twice each time: rods of the beams from a third set-up, strings, plumb and
    the tapes from beam to beam."""
    rods = [replace(w, setup="C") for w in scheme
            if w.kind is Kind.ROD and w.setup == "A" and "base" not in w.start]  # fmt: skip
    others = [w for w in scheme if w.kind in (Kind.STRING_SIDE, Kind.PLUMB)]
    across = [w for w in scheme if w.kind is Kind.TAPE and w.start[1:] == w.end[1:]]
    return [*rods, *(w for w in [*others, *across] if "base" not in w.start)]


def _score(crew: Crew, trued: Trued) -> int:
    """Note which blunders were found; returns how many good readings were named."""
    s, named = trued.survey, set()
    for suspicion in trued.survey.suspicions:
        lines = {s.readings[i].line for i in suspicion.readings}
        named |= lines if not lines & set(crew.blunders) else set()
        for line in lines & set(crew.blunders):
            crew.blunders[line].found = True
    for i, r in enumerate(s.readings):
        blunder = crew.blunders.get(r.line)
        if blunder is not None and blunder.detectable is None:
            least = POWER * s.sd[i] / np.sqrt(max(s.redundancy[i], 1e-9))
            blunder.detectable = bool(abs(blunder.size) >= least)
    return len(named)


def _naive(points: Points, xyz: Array) -> int:
    """Moves that set every head and base to its planned place, each direction that is off."""
    off = np.abs(xyz - points.planned)
    heads, bases = points.of(Place.HEAD), points.of(Place.BASE, 0)
    least = INCH / 16
    return int((off[heads] > least).sum() + (off[bases, :2] > least).sum())


def _beyond(plan: Plan, points: Points, xyz: Array) -> float:
    """How far the worst true value is outside its tolerance, as a share of it; 0 inside."""
    n = xyz.size
    truth = Positions(points, xyz, np.zeros((n, n)), np.zeros((n, 0)))
    found = built(truth, plan.tolerances, plan.array.tilt_band, plan.truing.confidence)
    stated = ~found.has(Verdict.UNSTATED)
    over = np.maximum(found.value - found.high, found.low - found.value)[stated]
    half = 0.5 * (found.high - found.low)[stated]
    return float(np.maximum(over / half, 0.0).max())


def simulate(frames: int) -> list[Told]:
    """Many frames on all cores; the same seeds give the same frames anywhere."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with ProcessPoolExecutor() as pool:
        return list(pool.map(one, range(frames), chunksize=20))


def rows_of(told: Sequence[Told]) -> list[Row]:
    """The shares that count."""
    n, ready = len(told), [t for t in told if t.ready]
    detectable = sum(t.detectable for t in told)
    return [
        ("frames simulated, 3 to 6 stations, 5 % of readings wrong", float(n), "-"),
        ("readings of a frame, all told, mean", float(np.mean([t.readings for t in told])), "-"),
        ("ready within two rounds of moves", 100 * len(ready) / n, "%"),
        ("false ready: a value truly outside its tolerance",
         100 * sum(t.false for t in ready) / max(len(ready), 1), "%"),
        ("the worst of these beyond its tolerance by",
         100 * max((t.beyond for t in ready), default=0.0), "% of it"),
        ("blunders made", float(sum(t.blunders for t in told)), "-"),
        ("of these detectable (99 % power at 0.1 %)", float(detectable), "-"),
        ("detectable blunders found and named",
         100 * sum(t.found for t in told) / max(detectable, 1), "%"),
        ("good readings named in vain, per frame", float(np.mean([t.wrongly for t in told])), "-"),
        ("moves per build, plumbrail", float(np.mean([t.moves for t in told])), "-"),
        ("moves per build, each point set to its planned place",
         float(np.mean([t.naive for t in told])), "-"),
        ("times the crew looks again, mean", float(np.mean([t.steps for t in told])), "-"),
    ]  # fmt: skip


def speed() -> list[Row]:
    """Adjust, moves and gate of 40 posts with 400 readings, several frames, and what to read again
    in the same run; each the quicker of two runs."""
    plan, model, pins, points = _site(20)
    wanted = _about(field_readings(points), 400)
    taken, closer = [], []
    for seed in range(SPEED_FRAMES):
        crew = Crew(points, frame_off_plan(points, np.random.default_rng(seed)),
                    np.random.default_rng(seed), 0.0)  # fmt: skip
        crew.begin(Hold.SET)
        crew.measure(wanted)
        book = crew.notebook()
        taken.append(min(_timed(asked, plan, model, book, pins) for _ in range(2)))
        closer.append(min(_timed(true_up, plan, model, book, pins) for _ in range(2)))
    return [
        (f"40 posts, {len(wanted)} readings: adjust, moves, gate, median", float(np.median(taken)),
         "s"),
        ("the slowest of the frames", max(taken), "s"),
        ("the median as a share of its 0.5 s", float(np.median(taken)) / 0.5, "-"),
        ("with what to measure once more, median", float(np.median(closer)), "s"),
    ]  # fmt: skip


def asked(plan: Plan, model: Model, book: Notebook, pins: Array) -> Gate:
    """Adjustment, values, moves and gate alone."""
    points = points_of(model, pins)
    surveyed, problems = survey(points, book, plan.truing)
    found = built(surveyed.positions, plan.tolerances, plan.array.tilt_band, plan.truing.confidence)
    free = freedom(model, surveyed.positions, book, plan.truing)
    mending = mend(found, free, plan.job.units, plan.truing.confidence)
    return gate(found, surveyed, mending, problems, book.struck, book.blank, plan.job.units)


def _timed(job: Callable[..., object], *given: object) -> float:
    start = time.perf_counter()
    job(*given)
    return time.perf_counter() - start


def _about(wanted: Sequence[Wanted], count: int) -> list[Wanted]:
    """The first of every kind in turn, so that all kinds stay."""
    if len(wanted) <= count:
        return list(wanted)
    keep = np.unique(np.linspace(0, len(wanted) - 1, count).round().astype(int))
    return [wanted[i] for i in keep]


def run(frames: int = BRIEF) -> list[Row]:
    """Rows (what, value, unit)."""
    return [*speed(), *rows_of(simulate(frames)),
            ("setting error of a move, sd", SETTING / INCH, "in"),
            ("disturbance of the neighbours, sd", DISTURBED / INCH, "in")]  # fmt: skip


if __name__ == "__main__":
    for name, value, unit in run(int(sys.argv[1]) if len(sys.argv) > 1 else FRAMES):
        print(f"{name:<72} {value:>12.4g} {unit}")
