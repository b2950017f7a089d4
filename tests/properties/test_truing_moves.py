"""What holds for every search for moves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from made_frames import Frame, back_held, frame_of, mirrored, random_off, scaled
from plumbrail.notebook.entries import Hold
from plumbrail.truing.margins import judged, rungs
from plumbrail.truing.moves import mend
from plumbrail.truing.parts import Mending, Outcome
from plumbrail.truing.steps import STEP

HOLDS = st.sampled_from([None, Hold.SET, Hold.CONCRETED])
SEEDS = st.integers(0, 2**32 - 1)


def made(seed: int, hold: Hold | None, stations: int = 3, flip: bool = False) -> Frame:
    off = random_off(stations, np.random.default_rng(seed))
    if flip:
        off = mirrored(off, stations)
    return frame_of(stations, off, held={} if hold is None else back_held(stations, hold))


def mended(f: Frame) -> Mending:
    return mend(f.built, f.freedom, "us", 0.95)


@given(SEEDS, HOLDS)
@settings(max_examples=25)
def test_moves_keep_their_promise(seed: int, hold: Hold | None) -> None:
    f = made(seed, hold)
    m = mended(f)
    amount = np.zeros(f.built.slope.shape[1])
    for move in m.moves:
        i = [k for k, key in enumerate(zip(f.freedom.place, f.freedom.axis, strict=True))
             if key == (move.place, move.axis)]  # fmt: skip
        amount += move.amount * f.freedom.effect[i[0]]
        steps = move.amount / STEP["us"]
        assert abs(steps - round(steps)) < 1e-6 and round(steps) != 0
        free = [k for k in i if not f.freedom.fixed[k]]
        if m.outcome is not Outcome.IMPOSSIBLE:
            assert free and not move.fixed
            assert f.freedom.least[free[0]] - 1e-9 <= move.amount <= f.freedom.most[free[0]] + 1e-9
    assert np.allclose(m.after, f.built.value + f.built.slope @ amount, atol=1e-12)
    if m.outcome is Outcome.MOVES:
        kept = min(
            (r for r in rungs(f.built, f.freedom, ~f.freedom.fixed, STEP["us"]) if r.aim == m.aim),
            key=lambda r: float(r.kept.sum()),
        ).kept
        changed = judged(f.built) & (np.abs(m.after - f.built.value) > 1e-12)
        room = np.minimum(m.after - f.built.low, f.built.high - m.after)
        assert (room >= kept - 1e-7)[changed].all()
    if m.outcome in (Outcome.MOVES, Outcome.NONE_NEEDED):
        assert ((m.after > f.built.low) & (m.after < f.built.high)).all()
    assert (0.0 if m.proven else 1e-12) <= m.gap < 1.0


@given(SEEDS, HOLDS)
@settings(max_examples=10)
def test_a_mirrored_frame_gets_mirrored_moves(seed: int, hold: Hold | None) -> None:
    """Equal counts; equal totals but for the rounding of each move to a step."""
    one, other = mended(made(seed, hold)), mended(made(seed, hold, flip=True))
    assert (one.outcome, one.aim) == (other.outcome, other.aim)
    assert len(one.moves) == len(other.moves)
    totals = [sum(abs(x.amount) for x in m.moves) for m in (one, other)]
    assert abs(totals[0] - totals[1]) <= STEP["us"] * (len(one.moves) + 1)


@given(SEEDS, st.sampled_from([0.125, 8.0, 1024.0]))
@settings(max_examples=8)
def test_the_measure_of_a_value_does_not_matter(seed: int, factor: float) -> None:
    f = made(seed, Hold.SET)
    one = mended(f)
    other = mended(replace(f, built=scaled(f.built, factor)))
    assert (one.outcome, one.aim, len(one.moves)) == (other.outcome, other.aim, len(other.moves))
    assert np.allclose(sum(abs(x.amount) for x in one.moves),
                       sum(abs(x.amount) for x in other.moves))  # fmt: skip


@given(SEEDS)
@settings(max_examples=8)
def test_wider_tolerances_never_need_more_moves(seed: int) -> None:
    """With the room taken out of it: exact readings, nothing set aside for setting."""
    f = made(seed, Hold.SET)
    wide = replace(f.built, low=2 * f.built.low, high=2 * f.built.high)
    one, other = mended(f), mended(replace(f, built=wide))
    if one.outcome is Outcome.MOVES and one.aim == other.aim == "next readings":
        assert len(other.moves) <= len(one.moves)
