"""The runtime check must catch every way of spoiling a cut list."""

from __future__ import annotations

from dataclasses import replace

import pytest

from plumbrail.errors import CuttingError
from plumbrail.stock.cutting import cut
from plumbrail.stock.records import LongPiece, Piece, Splices, Stock, StockLength
from plumbrail.stock.verify import verify

STOCK = Stock("bar", (StockLength(10.0, 5.0),), 1.0, 0.0)
PIECES = [Piece("p", 4.0), Piece("q", 5.0)]
BEAM = LongPiece("b", 14.0, ((5.0, 9.0),), (2.0, 12.0), 3.0)
PLAN = cut(STOCK, PIECES, [BEAM], grid=1.0)


def stick_of(name: str) -> int:
    return next(i for i, s in enumerate(PLAN.sticks) if any(c.id == name for c in s.cuts))


def with_stick(i: int, **change):
    sticks = list(PLAN.sticks)
    sticks[i] = replace(sticks[i], **change)
    return replace(PLAN, sticks=tuple(sticks))


def stretched(name: str):
    i = stick_of(name)
    cuts = tuple(replace(c, length=c.length + 7) if c.id == name else c
                 for c in PLAN.sticks[i].cuts)  # fmt: skip
    return with_stick(i, cuts=cuts)


def without(name: str):
    i = stick_of(name)
    return replace(PLAN, sticks=PLAN.sticks[:i] + PLAN.sticks[i + 1 :])


def test_the_plan_itself_passes():
    verify(PLAN, STOCK, PIECES, [BEAM])


@pytest.mark.parametrize(
    ("spoiled", "words"),
    [
        (stretched("p"), "needs"),
        (without("p"), "p is not cut exactly once"),
        (replace(PLAN, sticks=PLAN.sticks + PLAN.sticks[:1]), "not cut exactly once"),
        (replace(PLAN, splices=(Splices("b", (3.0,)),)), "outside every zone"),
        (replace(PLAN, splices=(Splices("b", (1.0,)),)), "in an overhang"),
        (replace(PLAN, splices=(Splices("b", (6.0, 8.0)),)), "two splices in one span"),
        (replace(PLAN, splices=()), "do not end at its splices"),
        (replace(PLAN, cost=PLAN.cost - 1), "added up wrongly"),
        (replace(PLAN, bought=()), "sticks to buy"),
        (with_stick(0, offcut=3.0), "adds up to"),
        (with_stick(0, own=True), "more own offcuts"),
        (replace(PLAN, levels=(replace(PLAN.levels[0], bound=99.0), *PLAN.levels[1:])),
         "bound lies above"),
    ],
)  # fmt: skip
def test_spoiled_plans_are_refused(spoiled, words):
    with pytest.raises(CuttingError, match=words):
        verify(spoiled, STOCK, PIECES, [BEAM])


def test_a_plan_for_other_pieces_is_refused():
    with pytest.raises(CuttingError, match="q is cut but not wanted"):
        verify(PLAN, STOCK, PIECES[:1], [BEAM])
    with pytest.raises(CuttingError, match="r is not cut exactly once"):
        verify(PLAN, STOCK, [*PIECES, Piece("r", 1.0)], [BEAM])


def test_limits_of_stock_are_checked():
    few = Stock("bar", (StockLength(10.0, 5.0, 1),), 1.0, 0.0)
    with pytest.raises(CuttingError, match="more sticks of"):
        verify(PLAN, few, PIECES, [BEAM])


def test_a_short_part_is_refused():
    with pytest.raises(CuttingError, match="shorter than allowed"):
        verify(PLAN, STOCK, PIECES, [replace(BEAM, min_segment=8.0)])
