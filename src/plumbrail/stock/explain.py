"""What a real saw takes away: sticks that come out full on paper and no longer fit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from plumbrail.stock.cutting import cut
from plumbrail.stock.records import SIXTEENTH, CutPlan, LongPiece, Piece, Stick, Stock
from plumbrail.stock.words import show


@dataclass(frozen=True)
class Misfit:
    """A way to fill a stick that kerf and trim forbid: how many sticks, and short by what [m]."""

    stick: float
    parts: tuple[tuple[int, float], ...]
    """How many, how long [m]."""
    times: int
    short: float
    words: str


@dataclass(frozen=True)
class KerfReport:
    """The plan without kerf and trim beside the real one."""

    ideal: CutPlan
    real: CutPlan
    misfits: tuple[Misfit, ...]
    words: tuple[str, ...]

    @property
    def more_sticks(self) -> int:
        """Sticks bought because of kerf and trim (less than zero: fewer, longer ones)."""
        return sum(b.count for b in self.real.bought) - sum(b.count for b in self.ideal.bought)


def explain_kerf(
    stock: Stock, pieces: Sequence[Piece], long_pieces: Sequence[LongPiece] = (),
    offcuts: Sequence[float] = (), *, real: CutPlan | None = None,
    time_limit: float = 20.0, grid: float = SIXTEENTH,
) -> KerfReport:  # fmt: skip
    """Compare the plan with a saw that takes nothing to the real one, in words.

    ``real``: the plan already made, to save making it again. Raises CuttingError as :func:`cut`.
    """
    if real is None:
        real = cut(stock, pieces, long_pieces, offcuts, time_limit=time_limit, grid=grid)
    ideal = cut(replace(stock, kerf=0.0, trim=0.0), pieces, long_pieces, offcuts,
                time_limit=time_limit, grid=grid)  # fmt: skip
    shapes = Counter((s.length, _parts(s, grid)) for s in ideal.sticks)
    found = [_misfit(stock, length, parts, n, grid) for (length, parts), n in shapes.items()]
    misfits = tuple(m for m in found if m.short > 1e-3 * grid)
    return KerfReport(ideal, real, misfits, _words(ideal, real, misfits))


def _parts(stick: Stick, grid: float) -> tuple[tuple[int, float], ...]:
    count = Counter(round(c.length / grid) for c in stick.cuts)
    return tuple((n, length * grid) for length, n in sorted(count.items(), reverse=True))


def _misfit(
    stock: Stock, length: float, parts: tuple[tuple[int, float], ...], times: int, grid: float
) -> Misfit:
    cuts = sum(n for n, _ in parts) - 1
    short = sum(n * x for n, x in parts) + cuts * stock.kerf + stock.trim - length
    each = " and ".join(f"{n} of {show(x, grid)}" for n, x in parts)
    saw = "1 saw cut" if cuts == 1 else f"{cuts} saw cuts"
    takes = [f"{saw} of {show(stock.kerf, grid)}"] if cuts and stock.kerf else []
    takes += [f"a trim of {show(stock.trim, grid)}"] if stock.trim else []
    words = (
        f"{each} no longer {'come' if cuts else 'comes'} out of one stick of "
        f"{show(length, grid)}: short by {show(max(short, 0.0), grid)}, which "
        f"{' and '.join(takes) or 'nothing'} would take ({times} stick{'s' * (times > 1)})"
    )
    return Misfit(length, parts, times, short, words)


def _words(ideal: CutPlan, real: CutPlan, misfits: tuple[Misfit, ...]) -> tuple[str, ...]:
    told = [m.words for m in misfits]
    few, many = (sum(b.count for b in p.bought) for p in (ideal, real))
    if not misfits:
        return ("kerf and trim change nothing: every stick of the plan without them still fits",)
    if real.cost > ideal.cost or few != many:
        told.append(
            f"with kerf and trim {many} sticks for {real.cost:.2f} are needed; without, it would "
            f"be {few} for {ideal.cost:.2f}"
        )
    else:
        told.append(f"the pieces were arranged differently and still come out of {many} sticks")
    return tuple(told)
