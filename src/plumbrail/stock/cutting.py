"""Cut lists: least cost, then least waste, then fewest splices, with what is proven."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from plumbrail.errors import CuttingError
from plumbrail.stock.decode import decode
from plumbrail.stock.job import Job, make_job
from plumbrail.stock.master import Master
from plumbrail.stock.network import Network, build, check_reach, positions
from plumbrail.stock.records import (
    SIXTEENTH,
    Bought,
    CutPlan,
    Level,
    LongPiece,
    Piece,
    Splices,
    Stick,
    Stock,
)
from plumbrail.stock.search import Search, bound_anywhere, run
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
    deadline = time.monotonic() + time_limit
    job = make_job(stock, pieces, long_pieces, offcuts, grid)
    if not job.pieces and not job.longs:
        return _empty(stock, grid)
    spots = positions(job)
    net = build(job, spots, relaxed=False)
    check_reach(job, net)
    search = Search(Master(job, net), deadline)
    run(search)
    anywhere = bound_anywhere(search, spots, net)
    plan = _plan(stock, search, anywhere)
    verify(plan, stock, pieces, long_pieces, offcuts)
    return plan


def _empty(stock: Stock, grid: float) -> CutPlan:
    levels = tuple(Level(name, 0.0, 0.0) for name in ("cost", "waste", "splices"))
    return CutPlan(stock.section, (), (), (), 0.0, 0.0, 0, levels, 0.0, 0.0, grid,
                   ("nothing to cut",))  # fmt: skip


def _plan(stock: Stock, search: Search, anywhere: float) -> CutPlan:
    if search.best is None:
        raise CuttingError("no plan was found")
    job, net = search.job, search.master.net
    times = search.best.times
    padded = [*times, *[0] * (len(search.master.columns) - len(times))]
    sticks, splices = decode(search.master, replace(search.best, times=padded))  # type: ignore
    sticks = [_renamed(s, stock, job) for s in sticks]
    cost = sum(s.price for s in sticks)
    waste = sum(s.length for s in sticks) - sum(c.length for s in sticks for c in s.cuts)
    plan = CutPlan(
        stock.section, tuple(sticks), _bought(sticks), tuple(splices), cost, waste,
        sum(s.saw_cuts for s in sticks), _levels(search, sticks, splices, cost, waste),
        anywhere, net.spacing * job.grid, job.grid, (),
    )  # fmt: skip
    return replace(plan, notes=_notes(plan, job, net))


def _renamed(stick: Stick, stock: Stock, job: Job) -> Stick:
    return stick


def _bought(sticks: Sequence[Stick]) -> tuple[Bought, ...]:
    count = Counter((s.length, s.price) for s in sticks if not s.own)
    return tuple(Bought(length, price, n) for (length, price), n in sorted(count.items()))


def _levels(
    search: Search, sticks: Sequence[Stick], splices: Sequence[Splices], cost: float, waste: float
) -> tuple[Level, ...]:
    job = search.job
    bought, length, parts = search.levels
    beams = sum(len(b.ids) for b in job.longs)
    count = sum(len(s.positions) for s in splices)
    least = (length.bound - job.total) * job.grid
    return (
        Level("cost", cost, min(bought.bound, cost)),
        Level("waste", waste, min(least, waste)),
        Level("splices", float(count), min(parts.bound - beams, float(count))),
    )


def _notes(plan: CutPlan, job: Job, net: Network) -> tuple[str, ...]:
    notes = [
        f"cost: proven least{' of all plans' if plan.proven_anywhere else ''}"
        if plan.proven
        else f"cost: not proven least; at most {plan.gap:.2%} could be saved"
    ]
    if job.longs and not plan.proven_anywhere:
        gap = 1 - plan.bound_anywhere / plan.cost
        notes.append(
            f"splice positions were tried every {show(plan.spacing, job.grid)} and where sticks "
            f"come out full; positions between them could save at most {gap:.2%}"
        )
    notes += [
        f"{level.name}: {'proven least' if level.proven else 'not proven least'} at this cost"
        for level in plan.levels[1:]
    ]
    return tuple(notes)
