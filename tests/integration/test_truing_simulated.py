"""A small part of the simulation of ``benchmarks/bench_truing.py``: frames that really stand
somewhere, a crew that errs, from the first readings to the pour.

The readings come from formulas of the simulator's own. The shares over thousands of frames are
measured in the benchmark; here the same seeds give the same frames every time.
"""

from __future__ import annotations

import numpy as np
import pytest
from benchmarks.bench_truing import ROUNDS, Told, one

SEEDS = range(12)
"""Three frames each of 3, 4, 5 and 6 stations."""
BEYOND = 0.1
"""A value called inside at 95 % confidence may truly be outside, but only by a little: this share
of its tolerance, with 60 to 150 values to a frame."""


@pytest.fixture(scope="module")
def told() -> dict[int, Told]:
    return {seed: one(seed) for seed in SEEDS}


def test_most_frames_are_ready_within_two_rounds(told):
    waiting = {seed: t.why for seed, t in told.items() if not t.ready}
    assert len(waiting) <= 1, waiting
    assert all(t.rounds <= ROUNDS for t in told.values())


def test_none_is_called_ready_while_it_is_truly_off(told):
    assert all(t.beyond == 0.0 for t in told.values() if not t.false)
    assert {seed: t.beyond for seed, t in told.items() if t.beyond > BEYOND} == {}
    assert sum(t.false for t in told.values()) <= 1


def test_detectable_blunders_are_found_and_good_readings_left_alone(told):
    able, found = (sum(getattr(t, name) for t in told.values()) for name in ("detectable", "found"))
    assert able >= 100 and found / able >= 0.95
    assert np.median([t.wrongly for t in told.values()]) <= 2.0


def test_fewer_moves_than_setting_every_point_to_its_place(told):
    for seed, t in told.items():
        assert 0 < t.moves < t.naive, seed
    assert sum(t.moves for t in told.values()) < 0.6 * sum(t.naive for t in told.values())


def test_a_seed_gives_the_same_frame_again(told):
    assert one(SEEDS[0]) == told[SEEDS[0]]
