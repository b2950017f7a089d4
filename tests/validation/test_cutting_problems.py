"""Cutting problems with published optima, and one check value from practice."""

from __future__ import annotations

import pytest

from plumbrail.stock.concrete import quarter_yards, whole_bags
from plumbrail.stock.cutting import cut
from plumbrail.stock.explain import explain_kerf
from plumbrail.stock.mixes import bag_sizes, concrete_density
from plumbrail.stock.records import LongPiece, Piece, Stock, StockLength

FOOT, INCH = 0.3048, 0.0254


def sticks(stick: float, demand: dict[int, int]) -> tuple[float, float, bool]:
    """Sticks, proven bound, and whether it is proven, for one stock length without kerf."""
    stock = Stock("-", (StockLength(float(stick), 1.0),), 0.0, 0.0)
    pieces = [Piece(f"{n} {i}", float(n)) for n, many in demand.items() for i in range(many)]
    plan = cut(stock, pieces, grid=1.0)
    return plan.cost, plan.bound, plan.proven


# Wikipedia, "Cutting stock problem", worked example: 5600 mm master rolls.
ROLLS = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12,
    2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
# AMPL book, cutting-stock model, data file cut.dat: rolls of 110.
AMPL = {20: 48, 45: 35, 50: 24, 55: 10, 75: 8}
# GAMS model library, cutstock: rolls of 100 (the width 100 is from memory).
GAMS = {45: 97, 36: 610, 31: 395, 14: 211}


@pytest.mark.parametrize(
    ("document", "item", "stick", "demand", "optimum", "certainty"),
    [
        ("Wikipedia, Cutting stock problem", "rolls of 5600 mm", 5600, ROLLS, 73, "confirmed"),
        ("AMPL book", "cutting rolls of 110, cut.dat", 110, AMPL, 47, "derived"),
        ("GAMS model library", "cutstock, rolls of 100", 100, GAMS, 453, "memory"),
    ],
)
def test_textbook_problems(published, document, item, stick, demand, optimum, certainty):
    count, bound, proven = sticks(stick, demand)
    published(document, item, optimum, count, 0.0, "sticks", certainty)
    published(document, f"{item}, proven bound", optimum, bound, 1e-6, "sticks", certainty)
    assert proven


def test_waste_of_the_5600_mm_problem(published):
    """Printed: 0.401 % waste."""
    stock = Stock("roll", (StockLength(5600.0, 1.0),), 0.0, 0.0)
    pieces = [Piece(f"{n} {i}", float(n)) for n, many in ROLLS.items() for i in range(many)]
    plan = cut(stock, pieces, grid=1.0)
    share = 100 * plan.waste / sum(s.length for s in plan.sticks)
    published("Wikipedia, Cutting stock problem", "rolls of 5600 mm, waste", 0.401, share, 5e-4,
              "%", "confirmed")  # fmt: skip


# OR-Library, file binpack1 (Falkenauer's uniform class): capacity 150, 120 items. For u120_08 and
# u120_19 old copies of the file give the best known then, 51 and 50; the optima are 50 and 49.
U120 = {
    "u120_00": (
        48,
        "42 69 67 57 93 90 38 36 45 42 33 79 27 57 44 84 86 92 46 38 85 33 82 73 49 70 "
        "59 23 57 72 74 69 33 42 28 46 30 64 29 74 41 49 55 98 80 32 25 38 82 30 35 39 "
        "57 84 62 50 55 27 30 36 20 78 47 26 45 41 58 98 91 96 73 84 37 93 91 43 73 85 "
        "81 79 71 80 76 83 41 78 70 23 42 87 43 84 60 55 49 78 73 62 36 44 94 69 32 96 "
        "70 84 58 78 25 80 58 66 83 24 98 60 42 43 43 39 ",
    ),
    "u120_02": (
        46,
        "38 100 60 42 20 69 24 23 92 32 84 36 65 84 34 68 64 33 69 27 47 21 85 88 59 61 "
        "50 53 37 75 64 84 74 57 83 28 31 97 61 36 46 37 96 80 53 51 68 90 64 81 66 67 "
        "80 37 92 67 64 31 94 45 80 28 76 29 64 38 48 40 29 44 81 35 51 48 67 24 46 38 "
        "76 22 30 67 45 41 29 41 79 21 25 90 62 34 73 50 79 66 59 42 90 79 70 66 80 35 "
        "62 98 97 37 32 75 91 91 48 26 23 32 100 46 29 26 ",
    ),
    "u120_05": (
        48,
        "26 25 67 77 67 79 47 84 50 21 87 83 44 88 78 53 78 37 47 52 32 88 85 82 55 41 "
        "60 66 78 72 34 64 20 60 100 62 80 34 68 38 32 32 37 82 98 90 58 97 56 34 70 39 "
        "56 69 36 20 99 84 53 27 88 53 42 45 42 31 54 60 55 27 36 31 39 91 45 97 26 80 "
        "41 56 70 97 48 87 23 32 75 100 97 51 78 78 21 72 72 79 46 30 48 27 95 48 67 58 "
        "46 92 21 82 91 40 56 24 94 44 91 92 81 24 84 44 ",
    ),
    "u120_08": (
        50,
        "100 22 25 51 95 58 97 30 79 23 53 80 20 65 64 21 26 100 81 98 70 85 92 97 86 71 "
        "91 29 63 34 67 23 33 89 94 47 100 37 40 58 73 39 49 79 54 57 98 69 67 49 38 34 "
        "96 27 92 82 69 45 69 20 75 97 51 70 29 91 98 77 48 45 43 61 36 82 89 94 26 35 "
        "58 58 57 46 44 91 49 52 65 42 33 60 37 57 91 52 95 84 72 75 89 81 67 74 87 60 "
        "32 76 85 59 62 39 64 52 88 45 29 88 85 54 40 57 ",
    ),
    "u120_12": (
        48,
        "88 49 57 78 87 66 91 37 51 49 84 32 62 36 52 72 59 77 54 46 57 69 81 80 99 87 "
        "33 45 43 66 28 30 54 23 79 69 56 24 82 58 37 56 82 23 78 63 64 37 66 36 41 71 "
        "48 42 26 45 26 86 64 54 64 42 86 65 47 68 20 45 69 78 44 96 50 27 58 55 81 87 "
        "76 38 79 71 60 76 91 69 77 57 33 22 76 51 66 90 34 46 74 62 93 74 29 22 73 26 "
        "72 41 91 88 95 35 84 32 59 56 84 71 78 82 78 52 ",
    ),
    "u120_19": (
        49,
        "49 95 38 62 63 97 42 62 100 43 44 77 97 94 68 23 50 36 89 58 97 27 64 65 54 58 "
        "24 35 33 63 32 50 58 90 44 50 48 21 72 75 21 74 28 95 77 69 96 24 57 85 72 96 "
        "50 83 65 62 99 93 23 77 94 31 50 33 79 73 23 55 44 78 84 66 31 59 97 95 22 76 "
        "90 66 29 100 90 92 50 49 47 43 37 40 60 52 54 99 34 46 88 97 85 39 32 51 95 54 "
        "99 86 48 90 28 25 86 39 74 26 38 60 41 67 80 33 ",
    ),
}


@pytest.mark.parametrize("name", U120)
def test_or_library(published, name):
    optimum, text = U120[name]
    sizes = [int(word) for word in text.split()]
    assert len(sizes) == 120
    count, bound, proven = sticks(150, {n: sizes.count(n) for n in sizes})
    published("OR-Library binpack1", name, optimum, count, 0.0, "bins", "confirmed")
    published("OR-Library binpack1", f"{name}, proven bound", optimum, bound, 1e-6, "bins",
              "confirmed")  # fmt: skip
    assert proven


# Check value from practice, no published source: two beams of 42 ft, four posts of 10 ft 6 in and
# four of 5 ft 3 in come out of seven 21 ft sticks when saw and trim take nothing.
POSTS = [Piece(f"B{i}", 10.5 * FOOT) for i in range(1, 5)]
POSTS += [Piece(f"F{i}", 5.25 * FOOT) for i in range(1, 5)]
SUPPORTS = tuple(x * FOOT for x in (3, 12, 21.5, 30.5, 39))
ZONES = ((9 * FOOT, 10 * FOOT), (19 * FOOT, 21.2 * FOOT), (24 * FOOT, 25 * FOOT))
BEAMS = [LongPiece(n, 42 * FOOT, ZONES, SUPPORTS, 3 * FOOT) for n in ("front", "back")]


def pipe(kerf: float) -> Stock:
    return Stock("pipe", (StockLength(21 * FOOT, 118.0),), kerf, 0.0)


def test_seven_sticks_from_practice(published):
    plan = cut(pipe(0.0), POSTS, BEAMS)
    published("common practice, no published source", "seven 21 ft sticks, no kerf", 7,
              sum(b.count for b in plan.bought), 0.0, "sticks", "practice")  # fmt: skip
    assert plan.proven_anywhere
    assert plan.waste == pytest.approx(0.0, abs=1e-9)


def test_a_real_saw_says_what_no_longer_fits():
    report = explain_kerf(pipe(INCH / 8), POSTS, BEAMS)
    assert report.more_sticks == 1
    assert report.real.proven_anywhere
    short = {m.parts[0][0]: m.short / INCH for m in report.misfits}
    # two halves: one cut; four quarters: three cuts
    assert short == {2: pytest.approx(1 / 8), 4: pytest.approx(3 / 8)}
    text = "\n".join(report.words)
    assert "no longer come out of one stick of 21'" in text
    assert 'short by 1/8"' in text
    assert 'short by 3/8"' in text
    assert "8 sticks" in text


@pytest.mark.parametrize(
    ("name", "cubic_feet", "certainty"),
    [
        ("80 lb", 0.60, "second_hand"),
        ("60 lb", 0.45, "second_hand"),
        ("50 lb", 0.375, "memory"),
        ("40 lb", 0.30, "second_hand"),
    ],
)
def test_bag_yields(published, name, cubic_feet, certainty):
    size = next(s for s in bag_sizes() if s.name == name)
    published("common practice, bagged concrete", f"concrete from a {name} bag", cubic_feet,
              size.volume / FOOT**3, 1e-9, "ft3", certainty)  # fmt: skip
    assert whole_bags(10 * size.volume, size.volume) == 10


def test_density(published):
    pound = 0.45359237
    published("common practice", "density of normal-weight concrete", 150,
              concrete_density() * FOOT**3 / pound, 1e-9, "lb/ft3", "second_hand")  # fmt: skip


def test_ready_mix_in_quarter_yards(published):
    """Common practice, no published source."""
    yard = (3 * FOOT) ** 3
    published("common practice", "1.01 yd3 of concrete to order", 1.25,
              quarter_yards(1.01 * yard), 1e-12, "yd3", "practice")  # fmt: skip
    assert quarter_yards(0.5 * yard) == 0.5
