"""Buying list and the words about saw and trim."""

from __future__ import annotations

import pytest

from plumbrail.errors import CuttingError
from plumbrail.stock.buying import buying_list, together
from plumbrail.stock.cutting import cut
from plumbrail.stock.explain import explain_kerf
from plumbrail.stock.records import Piece, Stock, StockLength

STOCK = Stock("bar", (StockLength(6.0, 20.0), StockLength(4.0, 15.0)), 0.003, 0.01)


def test_counts_prices_and_weights():
    plan = cut(STOCK, [Piece(str(i), 5.0) for i in range(3)] + [Piece("s", 3.5)], grid=0.001)
    bought = buying_list(plan, 8.0)
    assert [(n.length, n.count) for n in bought.lines] == [(4.0, 1), (6.0, 3)]
    assert bought.cost == plan.cost == 75.0
    assert bought.mass == pytest.approx(8.0 * 22.0)
    assert bought.heaviest == pytest.approx(48.0)
    both = together([bought, bought])
    assert both.mass == pytest.approx(2 * bought.mass)
    assert len(both.lines) == 4


def test_a_mass_is_needed():
    with pytest.raises(CuttingError, match="mass per length"):
        buying_list(cut(STOCK, [Piece("s", 3.5)], grid=0.001), 0.0)


def test_saw_and_trim_that_change_nothing():
    report = explain_kerf(STOCK, [Piece("s", 3.5)], grid=0.001)
    assert report.misfits == ()
    assert "change nothing" in report.words[0]
    assert report.more_sticks == 0


def test_trim_alone_takes_a_whole_stick():
    report = explain_kerf(STOCK, [Piece("s", 4.0)], grid=0.001)
    (misfit,) = report.misfits
    assert misfit.short == pytest.approx(0.010)
    assert "comes out of one stick of 4.000 m: short by 10 mm" in misfit.words
    assert report.real.cost == 20.0
