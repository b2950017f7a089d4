"""The plan judged while somebody types: the same statuses and ratios as the design proper.

Only the cut list may differ, and with it where beams are spliced; nothing outside is compared.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plans import plan_with, tilted

from plumbrail.check import Check
from plumbrail.errors import CuttingError
from plumbrail.jobs.cutting import Cutting
from plumbrail.jobs.designing import Design, analyse, judged, saw
from plumbrail.jobs.live import live
from plumbrail.plan.reader import LoadedPlan
from plumbrail.stock.cutting import cut, first_cut
from plumbrail.stock.records import SIXTEENTH, LongPiece, Piece, Stock, StockLength

INCH = 0.0254
FOOT = 12 * INCH


def loaded(base: str, **changes: object) -> LoadedPlan:
    return LoadedPlan(plan_with(changes, base=base), "", "0" * 64, "plan.toml")


def proper_design(plan: LoadedPlan) -> Design:
    """As the command line does it, with replays, and a shorter search for the cut list."""
    analysis = analyse(plan)
    return judged(plan, analysis, saw(analysis, 1.0))


def by_id(made: Design, spliced: bool) -> dict[str, Check]:
    """All checks, or all but what depends on where the beams are spliced."""
    return {c.id: c for c in made.checks.checks if spliced or c.family != "splice"}


def splices(cuts: Cutting) -> list[tuple[float, ...]]:
    return [tuple(row) for row in cuts.splices]


@settings(max_examples=6, deadline=None)
@given(
    base=st.sampled_from(["alder-creek", "dry-gulch"]),
    tilt=st.floats(28.0, 38.0).map(lambda v: round(v, 2)),
    spacing=st.floats(96.0, 112.0).map(lambda v: f"{v:.1f} in"),
)
def test_live_and_design_agree_on_every_check(base: str, tilt: float, spacing: str) -> None:
    plan = loaded(base, **tilted(tilt), **{"frame.spacing": spacing})
    quick, proper = live(plan), proper_design(plan)
    alike = splices(quick.cutting) == splices(proper.cutting)
    one, other = by_id(quick, alike), by_id(proper, alike)
    assert list(one) == list(other)
    for name, check in one.items():
        assert check.status is other[name].status, name
        assert check.title == other[name].title
        if check.ratio is None:
            assert other[name].ratio is None, name
        else:
            assert math.isclose(check.ratio, other[name].ratio or 0.0, rel_tol=1e-9), name
    assert quick.cutting.complete == proper.cutting.complete
    for first, best in zip(quick.cutting.sections, proper.cutting.sections, strict=True):
        assert first.section == best.section
        if first.plan is not None and best.plan is not None:
            assert first.plan.bound <= best.plan.cost + 1e-6  # nothing is claimed that is not so


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Stock, list[Piece], list[LongPiece], list[float]]:
    """Posts, beams over supports with zones about the quarter points, and sticks to cut from."""
    longs = []
    for n in range(draw(st.integers(0, 2))):
        spans, span = draw(st.integers(1, 9)), draw(st.integers(60, 130)) * INCH
        over = draw(st.integers(0, 40)) * INCH
        at = tuple(over + span * k for k in range(spans + 1))
        wide = draw(st.floats(0.02, 0.12))
        zones = [(at[k] + span * (q - wide), at[k] + span * (q + wide))
                 for k in range(spans) for q in (0.2, 0.8)]  # fmt: skip
        least = draw(st.integers(0, 48)) * INCH
        longs.append(LongPiece(f"beam {n}", at[-1] + over, tuple(zones), at, least))
    posts = draw(st.lists(st.integers(8, 1900), min_size=0 if longs else 1, max_size=12))
    pieces = [Piece(f"post {n}", length * SIXTEENTH) for n, length in enumerate(posts)]
    some = draw(st.lists(st.sampled_from([20, 21, 24, 40]), min_size=1, max_size=3, unique=True))
    had = st.sampled_from([None, None, None, 3, 30])
    lengths = [StockLength(n * FOOT, 7.0 * n + draw(st.integers(0, 30)), draw(had)) for n in some]
    stock = Stock("NPS 3 STD", tuple(lengths), draw(st.integers(0, 3)) * SIXTEENTH, 0.5 * INCH)
    own = draw(st.lists(st.integers(20, 200), max_size=3))
    return stock, pieces, longs, [n * INCH for n in own]


@settings(max_examples=60, deadline=None)
@given(jobs())
def test_the_first_cut_list_is_sound_and_claims_nothing_untrue(
    job: tuple[Stock, list[Piece], list[LongPiece], list[float]],
) -> None:
    """It has passed its own independent check, and its bounds hold for the list that is sought."""
    stock, pieces, longs, own = job
    try:
        first = first_cut(stock, pieces, longs, own, time_limit=1.0)
    except CuttingError:
        with pytest.raises(CuttingError):
            cut(stock, pieces, longs, own, time_limit=1.0)
        return
    best, words = None, ""
    try:
        best = cut(stock, pieces, longs, own, time_limit=1.0)
    except CuttingError as error:
        words = str(error)
    if best is None:
        assert "time" in words  # the search had too little of it; the first list stands
        return
    if best.proven_anywhere:
        assert first.cost >= best.cost - 1e-6
    assert first.bound <= best.cost + 1e-6
    assert first.bound_anywhere <= best.cost + 1e-6
    if math.isclose(first.cost, best.cost):
        assert first.levels[1].bound <= best.waste + 1e-6


@settings(max_examples=20, deadline=None)
@given(jobs())
def test_the_same_job_gives_the_same_first_list(
    job: tuple[Stock, list[Piece], list[LongPiece], list[float]],
) -> None:
    from plumbrail.stock import quick
    from plumbrail.stock.job import make_job

    try:
        made = make_job(*job, SIXTEENTH)
    except CuttingError:
        return
    assert quick.solve(made) == quick.solve(made)


def test_what_cannot_be_cut_is_said_as_the_design_says_it() -> None:
    stock = Stock("NPS 3 STD", (StockLength(10 * FOOT, 50.0),), 0.0, 0.0)
    beam = LongPiece("front beam", 30 * FOOT, ((4 * FOOT, 5 * FOOT),), (1.0, 8.0), 0.5)
    with pytest.raises(CuttingError) as first:
        first_cut(stock, [], [beam])
    with pytest.raises(CuttingError) as proper:
        cut(stock, [], [beam])
    assert str(first.value) == str(proper.value)
