"""What to measure again after the moves: a crew that takes just these readings gets a decision.

Frames and readings come from the simulator of ``benchmarks/truing_site.py``, whose formulas are its
own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from benchmarks.bench_truing import STATIONS, _closer, _site
from benchmarks.truing_site import INCH, Crew, frame_off_plan

from plumbrail.notebook.entries import Hold, Kind
from plumbrail.truing.grouping import grouped
from plumbrail.truing.parts import Outcome, Ready, Wanted
from plumbrail.truing.points import Place
from plumbrail.truing.run import Trued, measured_again, true_up
from plumbrail.truing.scheme import field_readings

SEEDS = range(8)
"""Two frames each of 3, 4, 5 and 6 stations."""
UNREAD = ("not measured", "nothing checks this", "no readings")


class Exact(np.random.Generator):
    """A crew without errors, once it has got used to the frame."""

    def normal(self, *args, **given):
        return 0.0 * super().normal(*args, **given)


@dataclass
class Site:
    """A frame, its crew and what the program says of their notebook."""

    stations: int
    crew: Crew
    trued: Trued

    @property
    def again(self) -> Trued:
        plan, model, pins, _ = _site(self.stations)
        return measured_again(plan, model, self.crew.notebook(), pins, self.trued)

    def judged(self) -> Trued:
        plan, model, pins, _ = _site(self.stations)
        return true_up(plan, model, self.crew.notebook(), pins)


def site(seed: int, exact: bool = False) -> Site:
    stations = STATIONS[seed % len(STATIONS)]
    plan, model, pins, points = _site(stations)
    rng = np.random.default_rng(seed)
    crew = Crew(points, frame_off_plan(points, rng), rng, 0.0)
    crew.begin(Hold.SET)
    scheme = field_readings(points)
    crew.measure([*scheme, *_closer(scheme)])
    crew.rng = Exact(np.random.PCG64(seed)) if exact else rng
    return Site(stations, crew, true_up(plan, model, crew.notebook(), pins))


def one_low(seed: int = 3) -> Site:
    """A frame as planned but for one post, an inch low."""
    plan, model, pins, points = _site(4)
    rng = np.random.default_rng(seed)
    xyz = points.planned.copy()
    xyz[points.index("F3"), 2] -= INCH
    crew = Crew(points, xyz, rng, 0.0)
    crew.begin(Hold.SET)
    scheme = field_readings(points)
    crew.measure([*scheme, *_closer(scheme), *scheme])
    return Site(4, crew, true_up(plan, model, crew.notebook(), pins))


def unread(trued: Trued) -> list[str]:
    return [r for r in trued.gate.reasons if r.startswith(UNREAD)]


@pytest.mark.parametrize("exact", [False, True])
@pytest.mark.parametrize("seed", SEEDS)
def test_the_gate_asks_for_nothing_unread_after_just_these(seed, exact):
    here = site(seed, exact)
    assert here.trued.mending.outcome is Outcome.MOVES
    wanted = here.again.again
    here.crew.do(here.trued.mending.moves)
    assert any(r.startswith("not measured") for r in here.judged().gate.reasons)
    here.crew.measure(wanted)
    after = here.judged()
    assert unread(after) == [] and not after.missing
    assert 0 < len(wanted) < 0.75 * len(field_readings(here.crew.points))


def test_one_move_asks_for_a_few_readings_and_opens_the_gate():
    here = one_low()
    (move,) = here.trued.mending.moves
    assert (move.place, move.axis) == ("F3 post", "up")
    told = here.again
    assert told.mending.remeasure == grouped(told.again) and len(told.again) <= 6
    assert all("F3" in (w.start, w.end, w.at) or w.kind is Kind.ROD for w in told.again)
    here.crew.do(here.trued.mending.moves)
    here.crew.measure(told.again)
    assert here.judged().gate.ready is Ready.READY


def test_none_of_these_few_can_be_left_out():
    wanted = one_low().again.again
    for i in range(len(wanted)):
        here = one_low()
        here.crew.do(here.trued.mending.moves)
        here.crew.measure([*wanted[:i], *wanted[i + 1 :]])
        assert here.judged().gate.ready is not Ready.READY, wanted[i]


def test_nothing_to_move_nothing_to_read_again():
    plan, model, pins, points = _site(4)
    crew = Crew(points, points.planned.copy(), np.random.default_rng(1), 0.0)
    crew.begin(Hold.SET)
    crew.measure([*field_readings(points)] * 2)
    trued = true_up(plan, model, crew.notebook(), pins)
    assert not trued.mending.moves
    again = measured_again(plan, model, crew.notebook(), pins, trued)
    assert (again.again, again.mending.remeasure) == ((), ())


def test_a_beam_end_that_was_measured_is_measured_again():
    """Its value would go out of the table in silence: nobody asks for ends that were never read."""
    here = one_low()
    crew, ends = here.crew, ("front left", "front right")
    heads = [crew.points.ids[i] for i in crew.points.of(Place.HEAD, 0)]
    crew.measure([Wanted(Kind.ROD, p, setup="E") for p in (*ends, *heads)] * 2)
    crew.xyz[crew.points.index("F1"), 2] -= INCH
    scheme = [w for w in field_readings(crew.points) if w.kind is Kind.ROD]
    crew.readings = [r for r in crew.readings if r.start != "F1" or r.kind is not Kind.ROD]
    crew.measure([*scheme, *(Wanted(Kind.ROD, p, setup="E") for p in (*ends, *heads))])
    trued = here.judged()
    assert any(m.place.startswith("F1") and m.axis == "up" for m in trued.mending.moves)
    told = Site(4, crew, trued).again.again
    assert "front left" in {p for w in told for p in (w.start, w.end, w.at)}
