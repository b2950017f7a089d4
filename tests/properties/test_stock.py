"""Cut lists against an exhaustive search that shares no code with the package."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plumbrail.errors import CuttingError
from plumbrail.stock.concrete import concrete, make_piers
from plumbrail.stock.cutting import cut
from plumbrail.stock.records import LongPiece, Piece, Stock, StockLength
from plumbrail.stock.verify import verify

SLOW = settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)


def splice_sets(beam: LongPiece) -> list[tuple[int, ...]]:
    """Every allowed choice of splices on whole numbers, straight from the rules."""
    spans = list(pairwise(beam.supports))
    free = [
        x for x in range(1, int(beam.length))
        if any(a <= x <= b for a, b in beam.zones) and any(a < x < b for a, b in spans)
    ]  # fmt: skip
    found: list[tuple[int, ...]] = []
    for n in range(len(spans) + 1):
        for some in combinations(free, n):
            ends = [0, *some, int(beam.length)]
            parts = [b - a for a, b in pairwise(ends)]
            if n and min(parts) < beam.min_segment:
                continue
            if all(sum(a < x < b for x in some) <= 1 for a, b in spans):
                found.append(some)
    return found


def cheapest(parts: list[int], stock: Stock, offcuts: list[int]) -> tuple[float, float]:
    """Least cost, then least length opened, over all ways to share parts out among sticks."""
    size = 1 << len(parts)
    need = [0.0] * size
    for mask in range(1, size):
        inside = [p for i, p in enumerate(parts) if mask >> i & 1]
        need[mask] = sum(inside) + (len(inside) - 1) * stock.kerf + stock.trim
    best = [(0.0, 0.0)] + [(float("inf"), float("inf"))] * (size - 1)

    def improve(mask: int, options: list[tuple[float, float]], base: list[tuple[float, float]]):
        result = base[mask]
        sub = mask
        while sub:
            for length, price in options:
                if need[sub] <= length:
                    rest = base[mask ^ sub]
                    result = min(result, (rest[0] + price, rest[1] + length))
            sub = (sub - 1) & mask
        return result

    bought = [(s.length, s.price) for s in stock.lengths]
    for mask in range(1, size):
        low = mask & -mask  # the stick that holds the lowest part
        sub = mask
        while sub:
            if sub & low:
                for length, price in bought:
                    if need[sub] <= length:
                        rest = best[mask ^ sub]
                        best[mask] = min(best[mask], (rest[0] + price, rest[1] + length))
            sub = (sub - 1) & mask
    for own in offcuts:
        best = [best[0]] + [improve(mask, [(own, 0.0)], best) for mask in range(1, size)]
    return best[-1]


@st.composite
def small_jobs(draw):
    lengths = draw(st.lists(st.integers(8, 16), min_size=1, max_size=2, unique=True))
    prices = [float(draw(st.integers(n - 2, n + 2))) for n in lengths]
    stock = Stock("pipe", tuple(map(StockLength, map(float, lengths), prices)),
                  float(draw(st.integers(0, 1))), float(draw(st.integers(0, 1))))  # fmt: skip
    top = max(lengths) - int(stock.trim)
    short = draw(st.lists(st.integers(1, top), min_size=0, max_size=4))
    pieces = [Piece(f"P{i}", float(n)) for i, n in enumerate(short)]
    beams = []
    for i in range(draw(st.integers(0 if pieces else 1, 2 if len(pieces) < 3 else 1))):
        length = draw(st.integers(6, 22))
        supports = (2.0, float(length // 2), float(length - 1))
        zones = []
        for _ in range(draw(st.integers(1, 3))):
            a = draw(st.integers(0, length))
            zones.append((float(a), float(min(length, a + draw(st.integers(0, 5))))))
        beams.append(LongPiece(f"L{i}", float(length), tuple(zones), supports,
                               float(draw(st.integers(1, 3)))))  # fmt: skip
    if len(beams) == 2 and draw(st.booleans()):
        beams[1] = replace(beams[0], id="L1")  # twins, as front and back beams mostly are
    offcuts = draw(st.lists(st.integers(3, 9), max_size=1))
    return stock, pieces, beams, [float(x) for x in offcuts]


def by_hand(stock, pieces, beams, offcuts):
    """Least cost, then least length opened, then fewest splices."""
    best = (float("inf"), float("inf"), 0)
    choices = [[]]
    for beam in beams:
        choices = [[*c, (beam, s)] for c in choices for s in splice_sets(beam)]
    for choice in choices:
        parts = [int(p.length) for p in pieces]
        for beam, some in choice:
            ends = [0, *some, int(beam.length)]
            parts += [b - a for a, b in pairwise(ends)]
        if max(parts) + stock.trim <= max(s.length for s in stock.lengths):
            spliced = sum(len(some) for _, some in choice)
            best = min(best, (*cheapest(parts, stock, [int(x) for x in offcuts]), spliced))
    return best


@SLOW
@given(small_jobs())
def test_cost_waste_and_splices_equal_an_exhaustive_search(job):
    stock, pieces, beams, offcuts = job
    cost, length, spliced = by_hand(*job)
    try:
        plan = cut(stock, pieces, beams, offcuts, grid=1.0)
    except CuttingError:
        assert cost == float("inf")
        return
    verify(plan, stock, pieces, beams, offcuts)
    assert plan.bound <= plan.cost
    assert plan.bound_anywhere <= plan.cost
    assert plan.cost == cost or not plan.proven
    assert plan.bound <= cost + 1e-9
    if plan.proven and plan.levels[1].proven:
        total = sum(p.length for p in (*pieces, *beams))
        assert plan.waste == length - total
        assert plan.levels[2].bound <= spliced
        assert plan.splice_count == spliced or not plan.levels[2].proven
    assert plan.waste >= 0


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=30), st.integers(60, 90))
def test_bound_plan_and_longest_first_stand_in_this_order(lengths, stick):
    stock = Stock("bar", (StockLength(float(stick), 7.0),), 0.0, 0.0)
    plan = cut(stock, [Piece(str(i), float(n)) for i, n in enumerate(lengths)], grid=1.0)
    bins: list[int] = []
    for n in sorted(lengths, reverse=True):
        room = [i for i, used in enumerate(bins) if used + n <= stick]
        if room:
            bins[room[0]] += n
        else:
            bins.append(n)
    assert -(-sum(lengths) // stick) * 7.0 <= plan.bound + 1e-9
    assert plan.bound <= plan.cost <= 7.0 * len(bins)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.lists(st.integers(5, 40), min_size=1, max_size=8), st.integers(0, 2), st.integers(1, 3))
def test_a_wider_saw_never_saves_money(lengths, kerf, more):
    pieces = [Piece(str(i), float(n)) for i, n in enumerate(lengths)]
    offer = (StockLength(45.0, 10.0), StockLength(60.0, 12.5))
    thin, wide = (cut(Stock("bar", offer, float(k), 0.0), pieces, grid=1.0)
                  for k in (kerf, kerf + more))  # fmt: skip
    assert thin.proven
    assert wide.proven
    assert thin.cost <= wide.cost


metres = st.floats(0.05, 3.0)


@given(
    diameter=st.floats(0.2, 1.0), depth=metres, collar=st.floats(0, 0.5), share=st.floats(0, 1),
    pipe=st.floats(0.1, 0.9), bore=st.floats(0, 0.95), over=st.floats(0, 0.5),
    first=st.floats(0, 1),
)  # fmt: skip
def test_the_two_pours_and_the_pipe_fill_the_hole(
    diameter, depth, collar, share, pipe, bore, over, first
):
    outside = pipe * diameter
    piers = make_piers(
        ("F1",), diameter=diameter, depth=depth, above_grade=collar, outside=outside,
        bore=bore * outside, embedded=share * (depth + collar), over_break=over,
        holding=first * depth,
    )  # fmt: skip
    result = concrete(piers)
    hole = np.pi / 4 * diameter**2 * (depth * (1 + over) + collar)
    steel = np.pi / 4 * outside**2 * (1 - bore**2) * share * (depth + collar)
    assert np.isclose(result.total + steel, hole, rtol=1e-9)
    assert (result.volume >= 0).all()
    for bags in result.bags:
        made = bags.per_pier * bags.size.volume
        assert (made >= result.volume - 1e-6 * bags.size.volume).all()
        assert (made - result.volume < bags.size.volume * (1 + 1e-6)).all()
