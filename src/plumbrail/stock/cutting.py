"""Cut lists: least cost, then least waste, then fewest splices, with what is proven."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from plumbrail.errors import CuttingError
from plumbrail.stock import exact, quick, search
from plumbrail.stock.bounds import check_amount
from plumbrail.stock.job import Job, make_job
from plumbrail.stock.network import check_reach, positions
from plumbrail.stock.outcome import Outcome
from plumbrail.stock.records import (
    SIXTEENTH,
    Bought,
    CutPlan,
    Level,
    LongPiece,
    Piece,
    Stick,
    Stock,
)
from plumbrail.stock.verify import verify
from plumbrail.stock.words import show


def cut(
    stock: Stock, pieces: Sequence[Piece], long_pieces: Sequence[LongPiece] = (),
    offcuts: Sequence[float] = (), *, time_limit: float = 20.0, grid: float = SIXTEENTH,
) -> CutPlan:  # fmt: skip
    """The cut list of one section, with the splices of its long pieces chosen along with it.

    Least cost of sticks bought; then least waste; then fewest splices. ``offcuts``: lengths [m]
    from the yard, free of charge. ``time_limit`` [s]: what is not proven by then is stated as a
    gap. ``grid`` [m]: pieces, kerf and trim are rounded up to it, sticks and offcuts down, zones
    inwards. The plan is checked by :func:`verify` before it is returned. Raises CuttingError when
    a piece or the whole cannot be cut.
    """
    job = make_job(stock, pieces, long_pieces, offcuts, grid)
    if not job.pieces and not job.longs:
        return _empty(stock, grid)
    check_amount(job)
    plan = _plan(stock, job, _solved(job, time_limit))
    verify(plan, stock, pieces, long_pieces, offcuts)
    return plan


def first_cut(
    stock: Stock, pieces: Sequence[Piece], long_pieces: Sequence[LongPiece] = (),
    offcuts: Sequence[float] = (), *, time_limit: float = 0.1, grid: float = SIXTEENTH,
) -> CutPlan:  # fmt: skip
    """A cut list at once, seldom the best; else :func:`cut`, which also says what cannot be cut.

    Arguments, errors and the check of the plan are those of :func:`cut`; ``time_limit`` counts
    only where no list was found at once.
    """
    job = make_job(stock, pieces, long_pieces, offcuts, grid)
    found = quick.solve(job) if job.pieces or job.longs else None
    if found is None:
        return cut(stock, pieces, long_pieces, offcuts, time_limit=time_limit, grid=grid)
    plan = _plan(stock, job, found)
    verify(plan, stock, pieces, long_pieces, offcuts)
    return plan


def _solved(job: Job, time_limit: float) -> Outcome:
    """The exact way first where there is something to splice; columns for the rest of the time."""
    begun = time.monotonic()
    first = None
    if job.longs:
        check_reach(job, positions(job))
        first = exact.solve(job, time_limit * 0.6)
        if first is not None and first.levels[0].proven:
            return first
    second = search.solve(job, time_limit - (time.monotonic() - begun))
    if first is None or second is None:
        return _the_one(first, second)
    bound = max(first.anywhere, second.anywhere)
    if second.rank < first.rank:
        cost, length, parts = second.levels
        cost = replace(cost, bound=min(cost.value, max(cost.bound, bound)))
        return replace(second, levels=(cost, length, parts), anywhere=min(cost.value, bound))
    cost, length, parts = first.levels
    cost = replace(cost, bound=min(cost.value, bound))
    return replace(first, levels=(cost, length, parts), anywhere=cost.bound)


def _the_one(first: Outcome | None, second: Outcome | None) -> Outcome:
    found = first or second
    if found is None:
        raise CuttingError(
            "no plan was found in the time allowed on the splice positions tried. Allow more "
            "time, wider splice zones or more sticks"
        )
    return found


def _empty(stock: Stock, grid: float) -> CutPlan:
    levels = tuple(Level(name, 0.0, 0.0) for name in ("cost", "waste", "splices"))
    return CutPlan(stock.section, (), (), (), 0.0, 0.0, 0, levels, 0.0, grid, grid,
                   ("nothing to cut",))  # fmt: skip


def _order(stick: Stick) -> tuple[bool, float, list[float], str]:
    return stick.own, -stick.length, [-c.length for c in stick.cuts], stick.cuts[0].label


def _plan(stock: Stock, job: Job, found: Outcome) -> CutPlan:
    sticks = tuple(sorted(found.sticks, key=_order))
    splices = tuple(sorted(found.splices, key=lambda s: s.id))
    cost = sum(s.price for s in sticks)
    waste = sum(s.length for s in sticks) - sum(c.length for s in sticks for c in s.cuts)
    count = float(sum(len(s.positions) for s in splices))
    bought, opened, parts = found.levels
    least = (opened.bound - job.total) * job.grid, parts.bound - len(splices)
    levels = (
        Level("cost", cost, min(bought.bound, cost)),
        Level("waste", waste, min(least[0], waste)),
        Level("splices", count, min(least[1], count)),
    )
    plan = CutPlan(
        stock.section, sticks, _bought(sticks), splices, cost, waste,
        sum(s.saw_cuts for s in sticks), levels, min(found.anywhere, cost),
        found.spacing * job.grid, job.grid, (),
    )  # fmt: skip
    return replace(plan, notes=_notes(plan, job))


def _bought(sticks: Sequence[Stick]) -> tuple[Bought, ...]:
    count = Counter((s.length, s.price) for s in sticks if not s.own)
    return tuple(Bought(length, price, n) for (length, price), n in sorted(count.items()))


def _notes(plan: CutPlan, job: Job) -> tuple[str, ...]:
    """What is proven, in words."""
    notes = ["cost: proven least" if plan.proven
             else f"cost: not proven least; at most {plan.gap:.2%} could be saved"]  # fmt: skip
    if job.longs and plan.spacing > 1.5 * plan.grid and not plan.proven_anywhere:
        gap = 1 - plan.bound_anywhere / plan.cost
        notes.append(
            f"splice positions were tried every {show(plan.spacing, job.grid)} and where sticks "
            f"come out full; positions between them could save at most {gap:.2%}"
        )
    for level in plan.levels[1:]:
        state = "proven least" if level.proven else "not proven least"
        notes.append(f"{level.name}: {state} at this cost")
    if plan.splices and not all(level.proven for level in plan.levels):
        notes.append(
            "another run may find another plan as good as this one: write the splices that you "
            "choose in the plan (stock.splices.front and back), so that later runs agree"
        )
    return tuple(notes)
