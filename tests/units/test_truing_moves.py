"""The search for moves: the ladder, proofs against brute force, outcomes, words."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from scipy.optimize import linprog

from made_frames import (
    INCH,
    TOLERANCE,
    Frame,
    X,
    Y,
    Z,
    back_held,
    frame_of,
    random_off,
    verdict_of,
)
from plumbrail.notebook.entries import Hold
from plumbrail.truing.covers import first_covers, minimal
from plumbrail.truing.margins import rungs, too_coarse, wanting
from plumbrail.truing.milp import QUICK, THOROUGH, Block, Known, fewest
from plumbrail.truing.moves import mend
from plumbrail.truing.parts import Built, Mending, Outcome, Verdict
from plumbrail.truing.steps import STEP, Limits, in_steps
from plumbrail.truing.stuck import stuck_rows


def mended(frame: Frame, units: str = "us") -> Mending:
    return mend(frame.built, frame.freedom, units, 0.95)


def words(mending: Mending) -> list[str]:
    return [m.words for m in mending.moves]


def beyond(built: Built, after: np.ndarray) -> np.ndarray:
    return np.maximum(built.low - after, after - built.high)


# --- one thing wrong, one move ---------------------------------------------------------------


def test_a_straight_frame_needs_no_moves() -> None:
    m = mended(frame_of(4, {}))
    assert (m.outcome, m.moves, m.remeasure, m.stuck) == (Outcome.NONE_NEEDED, (), (), ())
    assert m.proven and m.gap == 0.0


def test_a_loose_post_too_low_is_raised() -> None:
    f = frame_of(4, {("F3", Z): -INCH})
    m = mended(f)
    assert (m.outcome, m.aim) == (Outcome.MOVES, "next readings")
    (move,) = m.moves
    assert (move.place, move.axis, move.fixed) == ("F3 post", "up", False)
    assert move.words.startswith("F3, whole post: up ") and move.words.endswith(" in")
    assert 0.5 * INCH < move.amount < INCH and move.amount == pytest.approx(
        round(move.amount / STEP["us"]) * STEP["us"]
    )
    assert (beyond(f.built, m.after) < 0).all()


def test_a_set_post_with_a_collar_is_moved_at_its_collar() -> None:
    held = back_held(4, Hold.SET) | {"F3": Hold.SET}
    f = frame_of(4, {("F3", Z): -INCH}, held=held, slides={"F3": (-INCH, 2 * INCH)})
    (move,) = mended(f).moves
    assert (move.place, move.axis) == ("F3", "up")
    assert move.words.startswith("front beam at F3: up ")


def test_a_leaning_post_has_its_top_or_foot_moved_once() -> None:
    f = frame_of(4, {("F2", Y): 1.2 * INCH})
    m = mended(f)
    (move,) = m.moves
    assert move.words.startswith("F2 top: toward the front")
    f = frame_of(4, {("F2 base", Y): 1.2 * INCH})
    (move,) = mended(f).moves
    assert move.words.startswith("F2 base: toward the front")


def test_a_post_off_its_place_is_shifted_whole() -> None:
    (move,) = mended(frame_of(4, {("F2", X): 1.5 * INCH, ("F2 base", X): 1.5 * INCH})).moves
    assert move.words.startswith("F2, whole post: to the left")


def test_metric_moves_are_whole_millimetres() -> None:
    (move,) = mended(frame_of(4, {("F3", Z): -INCH}), "metric").moves
    assert move.words == f"F3, whole post: up {round(move.amount * 1000)} mm"
    assert move.amount * 1000 == pytest.approx(round(move.amount * 1000))


# --- impossible ------------------------------------------------------------------------------


def test_what_is_fixed_moves_only_when_nothing_else_can() -> None:
    """One concreted back post stands high and no collar slides: it would have to come down."""
    held = {f"{r}{s}": Hold.CONCRETED for r in "FB" for s in range(1, 5)}
    f = frame_of(4, {("B3", Z): 0.75 * INCH}, held=held)
    m = mended(f)
    assert m.outcome is Outcome.IMPOSSIBLE
    (move,) = m.moves
    assert move.fixed and move.words.startswith("B3 would have to come down ")
    assert m.stuck and all("B3" in f.built.ids[i] or "3" in f.built.ids[i] for i in m.stuck[:1])
    assert (beyond(f.built, m.after) < 0).all()


def test_free_moves_go_with_a_fixed_one() -> None:
    """Everything is concreted but F2, which is loose and has sunk; B3 has to come down too."""
    held = {f"{r}{s}": Hold.CONCRETED for r in "FB" for s in range(1, 5)} | {"F2": Hold.LOOSE}
    m = mended(frame_of(4, {("B3", Z): 0.75 * INCH, ("F2", Z): -INCH}, held=held))
    assert m.outcome is Outcome.IMPOSSIBLE
    assert {x.place: x.fixed for x in m.moves} == {"B3 post": True, "F2 post": False}
    assert m.moves[0].fixed


def test_a_lift_that_is_too_short_is_named_as_fixed() -> None:
    m = mended(frame_of(4, {("F3", Z): -INCH}, lift=0.25 * INCH))
    assert m.outcome is Outcome.IMPOSSIBLE
    (move,) = [x for x in m.moves if x.fixed]
    assert move.words.startswith("F3 would have to go up ") and move.amount > 0.25 * INCH


def test_a_bent_beam_is_named_and_the_rest_is_still_mended() -> None:
    """A value that no action changes is far outside; the sunken post is raised all the same."""
    f = frame_of(4, {("F3", Z): -INCH})
    b = f.built
    built = replace(
        b, ids=(*b.ids, "bent"), family=(*b.family, "straight"), subject=(*b.subject, "bent"),
        what=(*b.what, "bent"), angle=np.append(b.angle, False), value=np.append(b.value, INCH),
        low=np.append(b.low, -0.1 * INCH), high=np.append(b.high, 0.1 * INCH),
        sd=np.append(b.sd, 0.0008), slope=np.vstack([b.slope, np.zeros(b.slope.shape[1])]),
        verdict=(*b.verdict, Verdict.OUTSIDE),
    )  # fmt: skip
    m = mended(replace(f, built=built))
    assert m.outcome is Outcome.IMPOSSIBLE and m.stuck == (len(b.ids),)
    (move,) = m.moves
    assert move.words.startswith("F3, whole post: up ") and not move.fixed


def test_stuck_values_are_as_few_as_possible() -> None:
    """Three heights of one movable number: two agree, one contradicts them."""
    A = np.ones((3, 1))
    low, high = np.array([1.0, 1.0, -2.0]), np.array([2.0, 2.0, -1.0])
    none = np.zeros((0, 1))
    broken = stuck_rows(A, low, high, np.array([-5.0]), np.array([5.0]), none, np.zeros(0),
                        np.zeros(0))  # fmt: skip
    assert broken.tolist() == [False, False, True]


# --- too coarse ------------------------------------------------------------------------------


def one_value(value: float, sd: float) -> Frame:
    """A frame of which only the height of F3 is judged."""
    f = frame_of(4, {})
    i = f.built.ids.index("height.F3")
    b = f.built
    verdict = verdict_of(value, b.low[i], b.high[i], sd, b.factor)
    low, high = np.full(len(b.ids), -np.inf), np.full(len(b.ids), np.inf)
    low[i], high[i] = b.low[i], b.high[i]
    values, sds = b.value.copy(), b.sd.copy()
    values[i], sds[i] = value, sd
    every = [Verdict.UNSTATED] * len(b.ids)
    every[i] = verdict
    built = replace(b, value=values, low=low, high=high, sd=sds, verdict=tuple(every))
    return replace(f, built=built)


def test_unsure_values_that_more_readings_can_settle_ask_for_no_moves() -> None:
    sd = 0.003
    f = one_value(INCH - 0.9 * 1.645 * sd, sd)
    assert f.built.has(Verdict.UNSURE).any()
    m = mended(f)
    assert (m.outcome, m.moves) == (Outcome.COARSE, ())


def test_unsure_values_beyond_their_limit_are_moved() -> None:
    sd = 0.003
    f = one_value(INCH + 0.5 * sd, sd)
    assert f.built.has(Verdict.UNSURE).any()
    m = mended(f)
    assert m.outcome is Outcome.MOVES and len(m.moves) == 1


def test_readings_coarser_than_the_tolerance_promise_nothing() -> None:
    f = one_value(1.5 * INCH, INCH)
    assert too_coarse(f.built).any()
    m = mended(f)
    assert (m.outcome, m.aim, len(m.moves)) == (Outcome.COARSE, "on paper only", 1)
    assert (beyond(f.built, m.after) <= 1e-9).all()


def test_a_band_narrower_than_a_step_is_not_called_impossible() -> None:
    """Amounts exist, but not in whole sixteenths."""
    f = one_value(0.0, 1e-5)
    i = f.built.ids.index("height.F3")
    low, high = f.built.low.copy(), f.built.high.copy()
    low[i], high[i] = 10.4 * STEP["us"], 10.6 * STEP["us"]
    verdict = tuple(Verdict.OUTSIDE if k == i else v for k, v in enumerate(f.built.verdict))
    m = mended(replace(f, built=replace(f.built, low=low, high=high, verdict=verdict)))
    assert (m.outcome, m.aim, m.moves, m.proven) == (Outcome.COARSE, "on paper only", (), False)


def test_the_ladder_asks_for_less_room_at_every_step_and_never_for_more_than_there_is() -> None:
    f = frame_of(4, random_off(4, np.random.default_rng(5)))
    ladder = rungs(f.built, f.freedom, ~f.freedom.fixed, STEP["us"])
    inside = f.built.has(Verdict.INSIDE)
    room = np.minimum(f.built.value - f.built.low, f.built.high - f.built.value)
    for upper, lower in pairwise(ladder):
        assert (upper.planned >= lower.planned - 1e-12).all()
        assert (upper.kept <= upper.planned + 1e-12).all()
    assert all((r.planned[inside] <= room[inside] + 1e-12).all() for r in ladder)
    assert wanting(f.built).any()


# --- proof -----------------------------------------------------------------------------------


def by_brute_force(block: Block) -> tuple[int, float]:
    """Least number of amounts, then least total: every subset, one linear program each."""
    n = len(block.least)
    for count in range(n + 1):
        totals = [t for s in combinations(range(n), count) if (t := least_total(block, s)) < np.inf]
        if totals:
            return count, min(totals)
    return -1, np.inf


def least_total(block: Block, support: tuple[int, ...]) -> float:
    A = block.A[:, list(support)]
    if not support:
        return 0.0 if ((block.low <= 1e-9) & (block.high >= -1e-9)).all() else np.inf
    up, down = np.isfinite(block.high), np.isfinite(block.low)
    B = np.concatenate([np.hstack([A, -A])[up], np.hstack([-A, A])[down]])
    b = np.concatenate([block.high[up], -block.low[down]])
    bounds = [(0.0, block.most[j]) for j in support] + [(0.0, -block.least[j]) for j in support]
    r = linprog(np.ones(2 * len(support)), A_ub=B, b_ub=b, bounds=bounds)
    return float(r.fun) if r.status == 0 else np.inf


@pytest.mark.parametrize("seed", range(12))
def test_fewest_and_smallest_agree_with_brute_force_on_random_rows(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n, m = 8, 9
    A = rng.normal(size=(m, n)) * (rng.random((m, n)) < 0.5)
    aim = A @ (rng.normal(size=n) * 4 * (rng.random(n) < 0.5))
    block = Block(A, aim - 0.7, aim + 0.7, np.full(n, -10.0), np.full(n, 10.0))
    count, total = by_brute_force(block)
    found = fewest(block, np.ones(n, dtype=bool))
    assert found is not None
    assert (found.count, found.bound, found.smallest) == (count, count, True)
    assert np.abs(found.amount).sum() == pytest.approx(total, abs=1e-4)
    y = A @ found.amount
    assert (y >= block.low - 1e-4).all() and (y <= block.high + 1e-4).all()


@pytest.mark.parametrize("seed", range(4))
def test_moves_of_a_small_frame_are_the_fewest(seed: int) -> None:
    """Two stations, the up moves only: 2⁴ subsets by brute force, with the same room."""
    rng = np.random.default_rng(seed)
    off = np.zeros((14, 3))
    off[:4, Z] = rng.uniform(-0.03, 0.03, 4)
    f = frame_of(2, off, held={})
    m = mended(f)
    use = ~f.freedom.fixed
    b = f.built
    rung = next(r for r in rungs(b, f.freedom, use, STEP["us"]) if r.aim == m.aim)
    up = use & np.array([p.endswith("post") and a == "up" for p, a in
                         zip(f.freedom.place, f.freedom.axis, strict=True)])  # fmt: skip
    A = b.slope @ f.freedom.effect[up].T * STEP["us"]
    size = np.maximum(np.abs(A).max(axis=1), 1e-6)
    low = np.minimum(b.low + rung.planned - b.value, np.where(b.has(Verdict.INSIDE), 0, np.inf))
    high = np.maximum(b.high - rung.planned - b.value, np.where(b.has(Verdict.INSIDE), 0, -np.inf))
    rows = np.abs(A).max(axis=1) > 1e-9
    block = Block(A[rows] / size[rows, None], low[rows] / size[rows], high[rows] / size[rows],
                  f.freedom.least[up] / STEP["us"], f.freedom.most[up] / STEP["us"])  # fmt: skip
    count, total = by_brute_force(block)
    assert m.proven and len(m.moves) == count
    assert sum(abs(x.amount) for x in m.moves) == pytest.approx(
        total * STEP["us"], abs=0.75 * count * STEP["us"]
    )


def test_a_large_block_states_a_bound_that_holds() -> None:
    """Nine copies of a block solved by brute force, tied by a row that never decides."""
    rng = np.random.default_rng(3)
    n, copies = 8, 9
    A = rng.normal(size=(9, n)) * (rng.random((9, n)) < 0.5)
    aim = A @ (rng.normal(size=n) * 4 * (rng.random(n) < 0.5))
    one = Block(A, aim - 0.7, aim + 0.7, np.full(n, -10.0), np.full(n, 10.0))
    count, _ = by_brute_force(one)
    every = np.vstack([np.kron(np.eye(copies), A), np.full((1, n * copies), 1e-3)])
    block = Block(every, np.append(np.tile(one.low, copies), -0.7),
                  np.append(np.tile(one.high, copies), 0.7), np.full(n * copies, -10.0),
                  np.full(n * copies, 10.0))  # fmt: skip
    found = fewest(block, np.ones(n * copies, dtype=bool))
    assert found is not None and count > 0
    assert 0 < found.bound <= copies * count <= found.count
    y = block.A @ found.amount
    assert (y >= block.low - 1e-4).all() and (y <= block.high + 1e-4).all()


def copies_of(one: Block, copies: int) -> Block:
    """Copies side by side, tied by a row that never decides."""
    n = copies * len(one.least)
    A = np.vstack([np.kron(np.eye(copies), one.A), np.full((1, n), 1e-3)])
    return Block(A, np.append(np.tile(one.low, copies), -0.7),
                 np.append(np.tile(one.high, copies), 0.7), np.full(n, -10.0),
                 np.full(n, 10.0))  # fmt: skip


def test_more_effort_finds_no_more_and_proves_no_less() -> None:
    rng = np.random.default_rng(3)
    A = rng.normal(size=(9, 8)) * (rng.random((9, 8)) < 0.5)
    aim = A @ (rng.normal(size=8) * 4 * (rng.random(8) < 0.5))
    one = Block(A, aim - 0.7, aim + 0.7, np.full(8, -10.0), np.full(8, 10.0))
    count, _ = by_brute_force(one)
    block = copies_of(one, 9)
    quick, long = (fewest(block, np.ones(72, dtype=bool), effort=e) for e in (QUICK, THOROUGH))
    assert quick is not None and long is not None
    assert quick.bound <= long.bound == 9 * count == long.count <= quick.count
    again = fewest(block, np.ones(72, dtype=bool), effort=THOROUGH)
    assert again is not None and (again.amount == long.amount).all()


@pytest.mark.parametrize("seed", range(3))
def test_rows_that_share_a_mean_agree_with_brute_force(seed: int) -> None:
    """A level over 14 heads: every row touches all of them."""
    rng = np.random.default_rng(seed)
    n = 14
    off = rng.normal(size=n) * 0.4
    off[rng.choice(n, 3, replace=False)] += [6.0, -5.0, 7.0]
    A = np.eye(n) - 1.0 / n
    block = Block(A, -1.2 - A @ off, 1.2 - A @ off, np.full(n, -16.0), np.full(n, 16.0))
    count = next(k for k in range(n) for s in combinations(range(n), k)
                 if np.isfinite(least_total(block, s)))  # fmt: skip
    found = fewest(block, np.ones(n, dtype=bool))
    assert found is not None and (found.count, found.bound) == (count, count) and count >= 2
    y = block.A @ found.amount
    assert (y >= block.low - 1e-4).all() and (y <= block.high + 1e-4).all()


def test_what_is_known_to_be_needed_counts_as_a_bound() -> None:
    """Two rows that one action would mend; someone else knows that two of the four are needed."""
    A = np.array([[1.0, 1.0, 1.0, 0.0], [0.0, 1.0, 1.0, 1.0]])
    block = Block(A, np.full(2, 1.0), np.full(2, 2.0), np.full(4, -5.0), np.full(4, 5.0))
    every, start = np.ones(4, dtype=bool), np.array([1.5, 0.0, 0.0, 1.5])
    alone = fewest(block, every, start)
    assert alone is not None and (alone.count, alone.bound) == (1, 1)
    known = fewest(block, every, start, [Known(np.array([True, False, False, True]), 2)])
    assert known is not None and (known.count, known.bound) == (2, 2)


def test_sizes_are_called_proven_only_where_they_are() -> None:
    assert mended(frame_of(4, {})).sizes_proven
    assert not mended(frame_of(4, {("F2", Y): 1.2 * INCH})).sizes_proven
    held = {f"{r}{s}": Hold.SET for r in "FB" for s in range(1, 5)}
    slides = {f"F{s}": (-2 * INCH, 2 * INCH) for s in range(1, 5)}
    m = mended(frame_of(4, {("F3", Z): -INCH}, held=held, slides=slides))
    assert m.proven and m.sizes_proven and len(m.moves) == 1


def test_among_equals_the_easier_action_is_taken() -> None:
    block = Block(np.array([[-1.0, 1.0]]), np.array([1.0]), np.array([2.0]), np.full(2, -5.0),
                  np.full(2, 5.0), np.array([1.001, 1.0]))  # fmt: skip
    for order in ([0, 1], [1, 0]):
        assert block.ease is not None
        turned = replace(block, A=block.A[:, order], ease=block.ease[order])
        found = fewest(turned, np.array([True, True]))
        assert found is not None and found.amount[order.index(0)] == 0.0


def test_no_amounts_at_all() -> None:
    A = np.array([[1.0], [1.0]])
    block = Block(A, np.array([1.0, -2.0]), np.array([2.0, -1.0]), np.array([-5.0]),
                  np.array([5.0]))  # fmt: skip
    assert fewest(block, np.array([True])) is None


def test_uncounted_amounts_are_free() -> None:
    """Two ways to the same end, one of them not counted."""
    block = Block(np.array([[1.0, 1.0]]), np.array([1.0]), np.array([2.0]), np.full(2, -5.0),
                  np.full(2, 5.0))  # fmt: skip
    found = fewest(block, np.array([True, False]))
    assert found is not None and found.count == 0 and found.amount[0] == 0.0


@pytest.mark.parametrize("seed", range(5))
def test_every_cover_is_one(seed: int) -> None:
    """With all of a cover's actions at rest no amounts of the others keep the rows."""
    rng = np.random.default_rng(seed)
    n = 7
    x = np.linspace(0, 1, n)
    eye, h = np.eye(n), rng.normal(size=n) * 3
    A = np.array([eye[i] - (1 - x[i]) * eye[0] - x[i] * eye[-1] for i in range(1, n - 1)])
    A = np.concatenate([A, eye - 1.0 / n])
    block = Block(A, -1 - A @ h, 1 - A @ h, np.full(n, -20.0), np.full(n, 20.0))
    covers = first_covers(block.A, block.low, block.high, np.ones(n, dtype=bool))
    assert covers
    for cover in covers:
        rest = tuple(int(i) for i in np.flatnonzero(~cover))
        assert least_total(block, rest) == np.inf


def test_minimal_covers_contain_no_other() -> None:
    used = np.array([[1, 1, 0], [1, 1, 1], [0, 0, 1], [1, 1, 0]], dtype=bool)
    assert {tuple(c.tolist()) for c in minimal(used)} == {
        (True, True, False), (False, False, True)
    }  # fmt: skip


# --- whole steps -----------------------------------------------------------------------------


def test_whole_steps_keep_what_must_be_kept_where_plain_rounding_does_not() -> None:
    """x + y between 0.9 and 1.1: 0.5 and 0.5 round to nothing that fits, 1 and 2 − 1 … do."""
    A = np.array([[1.0, 1.0], [1.0, -1.0]])
    limits = Limits(
        A, np.array([2.9, -1.5]), np.array([3.1, 1.5]), np.array([2.9, -1.5]),
        np.array([3.1, 1.5]), np.full(2, -9.0), np.full(2, 9.0),
    )  # fmt: skip
    k = in_steps(limits, np.array([1.5, 1.5]))
    assert k is not None and sorted(k.tolist()) == [1.0, 2.0]


def test_no_whole_steps() -> None:
    limits = Limits(
        np.array([[1.0]]), np.array([0.2]), np.array([0.8]), np.array([0.2]), np.array([0.8]),
        np.array([-9.0]), np.array([9.0]),
    )  # fmt: skip
    assert in_steps(limits, np.array([0.5])) is None


def test_tilt_is_kept_though_it_waits_aside() -> None:
    """Heights alone would let the back row stay; a tight tilt band does not."""
    tight = TOLERANCE | {"tilt": np.radians(0.15)}
    off = {(f"B{s}", Z): 0.7 * INCH for s in range(1, 5)}
    f = frame_of(4, off, held={}, tolerance=tight)
    m = mended(f)
    assert m.outcome is Outcome.MOVES and m.moves
    assert (beyond(f.built, m.after) < 0).all()
