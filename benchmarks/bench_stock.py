"""How long cut lists take, and how far they are proven. Rows: (name, value, unit)."""

from __future__ import annotations

import time

from plumbrail.stock.cutting import cut
from plumbrail.stock.records import CutPlan, LongPiece, Piece, Stock, StockLength

FOOT, INCH = 0.3048, 0.0254
LIMIT = 6.0
"""Seconds for the jobs that are too large to be proven."""
Row = tuple[str, float, str]


def stock(*lengths: int) -> Stock:
    """Pipe with a saw of 1/8 in and 1/2 in of trim; invented prices."""
    prices = {20: 109.5, 21: 118.0, 24: 139.0, 40: 236.0}
    return Stock("pipe", tuple(StockLength(n * FOOT, prices[n]) for n in lengths),
                 INCH / 8, INCH / 2)  # fmt: skip


def beams(stations: int, spacing: float, overhang: float, low: float, high: float):
    """Two equal beams; splice zones at ``low`` to ``high`` of the span from inner supports."""
    at = [overhang + spacing * i for i in range(stations)]
    zones: list[tuple[float, float]] = []
    for s in range(stations - 1):
        if s > 0:
            zones.append((at[s] + low * spacing, at[s] + high * spacing))
        if s < stations - 2:
            zones.append((at[s + 1] - high * spacing, at[s + 1] - low * spacing))
    length = at[-1] + overhang
    feet = tuple((a * FOOT, b * FOOT) for a, b in zones)
    supports = tuple(x * FOOT for x in at)
    return [LongPiece(n, length * FOOT, feet, supports, 4 * FOOT) for n in ("front", "back")]


def posts(stations: int, step: float = 4.9) -> list[Piece]:
    """Two posts per station that grow along the row."""
    front = [
        Piece(f"F{i}", round((102 + step * (i % 9)) * 16) * INCH / 16) for i in range(stations)
    ]
    back = [Piece(f"B{i}", round((152 + step * (i % 9)) * 16) * INCH / 16) for i in range(stations)]
    return front + back


def timed(name: str, *args, **options) -> list[Row]:
    """One cut list: seconds, the gap of its cost, splices and how many of these may be spared."""
    begun = time.perf_counter()
    plan: CutPlan = cut(*args, **options)
    took = time.perf_counter() - begun
    unproven = plan.splice_count - plan.levels[2].bound
    return [(f"{name}: time", took, "s"), (f"{name}: gap", 100 * plan.gap, "%"),
            (f"{name}: splices", plan.splice_count, "-"),
            (f"{name}: splices not proven", unproven, "-")]  # fmt: skip


def run() -> list[Row]:
    """All rows."""
    narrow, wide = (0.20, 0.28), (0.12, 0.35)
    cut(stock(21), posts(1))  # load the solver before the clock runs
    rows = timed("4 stations, beams alone, 21 and 24 ft", stock(21, 24), [],
                 beams(4, 9, 2, *wide))  # fmt: skip
    rows += timed(
        "4 stations, posts and beams, 21 ft", stock(21), posts(4), beams(4, 9, 2, *narrow)
    )
    rows += timed("4 stations, 21 and 24 ft", stock(21, 24), posts(4), beams(4, 9, 2, *narrow))
    rows += timed("5 stations, 20, 21 and 24 ft", stock(20, 21, 24), posts(5),
                  beams(5, 9.5, 2, *narrow))  # fmt: skip
    rows += timed("4 stations, wide zones, 21 and 24 ft", stock(21, 24), posts(4),
                  beams(4, 9, 2, *wide))  # fmt: skip
    rows += timed("5 stations, 21 and 40 ft", stock(21, 40), posts(5), beams(5, 9.5, 2, *narrow),
                  time_limit=LIMIT)  # fmt: skip
    rows += timed("24 equal rails", stock(21, 24), [Piece(f"R{i}", 11.4 * FOOT) for i in range(24)])
    rows += timed("80 posts", stock(21, 24), posts(40))
    rows += timed("40 stations, beams of 355 ft", stock(21, 24), [], beams(40, 9, 2, *narrow),
                  time_limit=LIMIT)  # fmt: skip
    rows += timed("40 stations, posts and beams", stock(21, 24), posts(40),
                  beams(40, 9, 2, *narrow), time_limit=LIMIT)  # fmt: skip
    return rows


if __name__ == "__main__":
    for label, value, unit in run():
        print(f"{label:45} {value:8.2f} {unit}", flush=True)
