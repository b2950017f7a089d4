"""From the model to cut lists, splices and what to buy."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from plumbrail.errors import CuttingError
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan, Sticks
from plumbrail.stock.cutting import cut, first_cut
from plumbrail.stock.explain import explain_kerf
from plumbrail.stock.records import (
    MILLIMETRE,
    SIXTEENTH,
    CutPlan,
    LongPiece,
    Piece,
    Stock,
    StockLength,
)
from plumbrail.tables.sections import PipeSection

Zones = Sequence[Sequence[tuple[float, float]]]
Way = Callable[[Stock, Sequence[Piece], Sequence[LongPiece], Sequence[float]], CutPlan]
"""How one section is cut: sticks on offer, pieces, beams, offcuts of one's own."""
ROWS = ("front", "back")


@dataclass(frozen=True)
class SectionCut:
    """The cut list of one pipe or of the rails; ``plan`` is None when it cannot be cut."""

    section: str
    what: str
    mass_per_length: float
    plan: CutPlan | None
    problem: str = ""
    kerf: tuple[str, ...] = ()
    """What the saw's kerf and the trim forbid, beside a saw that takes nothing."""


@dataclass(frozen=True)
class Cutting:
    """All cut lists of a plan, and where the beams are spliced."""

    sections: tuple[SectionCut, ...]
    splices: tuple[tuple[float, ...], tuple[float, ...]]
    """Positions from the left end of the front and the back beam [m]."""
    decided: bool
    """The plan itself says where to splice."""

    @property
    def complete(self) -> bool:
        """Every section can be cut."""
        return all(s.plan is not None for s in self.sections)


@dataclass(frozen=True)
class _Job:
    section: PipeSection
    what: list[str]
    pieces: list[Piece]
    longs: list[LongPiece]


SECONDS = 10.0
"""Longest search for one section's cut list; what is not proven by then is said as a gap."""


def cutting(plan: Plan, model: Model, zones: Zones, time_limit: float = SECONDS) -> Cutting:
    """Cut lists of posts, beams and braces by section, and of rails.

    ``zones`` are the intervals of each beam where a splice may fall [m].
    """
    return _all_cut(plan, model, zones, partial(cut, time_limit=time_limit, grid=_grid(plan)))


def first_cutting(plan: Plan, model: Model, zones: Zones, time_limit: float) -> Cutting:
    """Cut lists at once: valid, seldom the best. ``time_limit`` [s] where none is found so."""
    return _all_cut(plan, model, zones, partial(first_cut, time_limit=time_limit, grid=_grid(plan)))


def _all_cut(plan: Plan, model: Model, zones: Zones, way: Way) -> Cutting:
    found = [_cut_pipe(plan, job, way) for job in _pipe_jobs(plan, model, zones)]
    found.append(_cut_rails(plan, model, way))
    return Cutting(tuple(found), _splices(plan, model, found), _decided(plan))


def _grid(plan: Plan) -> float:
    return SIXTEENTH if plan.job.units == "us" else MILLIMETRE


def _sawn(plan: Plan, length: float) -> float:
    """The length as every paper shows it, to the nearest mark of the tape: one number for all."""
    grid = _grid(plan)
    return math.floor(length / grid + 0.5) * grid


def _decided(plan: Plan) -> bool:
    return plan.stock.splices.front is not None or plan.stock.splices.back is not None


def _pipe_jobs(plan: Plan, model: Model, zones: Zones) -> list[_Job]:
    jobs: dict[str, _Job] = {}

    def job(section: PipeSection, what: str) -> _Job:
        found = jobs.setdefault(section.name, _Job(section, [], [], []))
        found.what.append(what)
        return found

    posts = job(model.posts.section, "posts")
    for name, length in zip(model.posts.ids, model.posts.length, strict=True):
        posts.pieces.append(Piece(f"post {name}", _sawn(plan, length)))
    beams = job(model.beams.section, "beams")
    for row, name in enumerate(model.beams.ids):
        _add_beam(beams, plan, model, row, name, zones[row])
    if model.braces.section is not None:
        braces = job(model.braces.section, "braces")
        for name, length in zip(model.braces.ids, model.braces.length, strict=True):
            braces.pieces.append(Piece(f"brace {name}", _sawn(plan, length)))
    return list(jobs.values())


def _add_beam(
    job: _Job, plan: Plan, model: Model, row: int, name: str, zones: Sequence[tuple[float, float]]
) -> None:
    decided = getattr(plan.stock.splices, ROWS[row])
    length = _sawn(plan, model.beams.length)
    if decided is None:
        supports = tuple(float(x) for x in model.beams.supports[row])
        shortest = plan.stock.splices.shortest_piece
        job.longs.append(LongPiece(name, length, tuple(zones), supports, shortest))
        return
    edges = [0.0, *sorted(x for x in decided if x < length), length]
    parts = len(edges) - 1
    job.pieces.extend(
        Piece(name if parts == 1 else f"{name} part {i + 1} of {parts}", edges[i + 1] - edges[i])
        for i in range(parts)
    )


def _stock(sticks: Sticks, name: str, kerf: float, trim: float) -> Stock:
    pairs = zip(sticks.lengths, sticks.prices, strict=True)
    return Stock(name, tuple(StockLength(le, pr) for le, pr in pairs), kerf, trim)


def _own_pipe(plan: Plan, job: _Job) -> tuple[float, ...]:
    """Pieces of this pipe in the yard already."""
    prices = plan.stock.pipe.sections.get(job.section.name)
    return (prices.own if prices else None) or ()


def _pipe_stock(plan: Plan, job: _Job) -> Stock:
    pipe = plan.stock.pipe
    sticks = pipe.sections.get(job.section.name, pipe)
    return _stock(sticks, job.section.name, pipe.kerf, pipe.trim)


def _cut_pipe(plan: Plan, job: _Job, way: Way) -> SectionCut:
    stock = _pipe_stock(plan, job)
    what = ", ".join(dict.fromkeys(job.what))
    return _cut(stock, what, job.section.mass, job.pieces, job.longs, _own_pipe(plan, job), way)


def _cut_rails(plan: Plan, model: Model, way: Way) -> SectionCut:
    rail, sold = plan.frame.rail, plan.stock.rail
    stock = _stock(sold, rail.name, sold.kerf, sold.trim)
    pieces = [Piece(f"rail {name}", _sawn(plan, model.rails.length)) for name in model.rails.ids]
    return _cut(stock, "rails", rail.weight, pieces, [], sold.own or (), way)


def _cut(
    stock: Stock, what: str, mass: float, pieces: list[Piece], longs: list[LongPiece],
    own: Sequence[float], way: Way,
) -> SectionCut:  # fmt: skip
    try:
        found = way(stock, pieces, longs, own)
    except CuttingError as error:
        return SectionCut(stock.section, what, mass, None, str(error))
    return SectionCut(stock.section, what, mass, found)


def with_kerf_report(plan: Plan, model: Model, cuts: Cutting, zones: Zones) -> Cutting:
    """The same cut lists with what kerf and trim forbid; costs a second cutting."""
    jobs = {j.section.name: j for j in _pipe_jobs(plan, model, zones)}
    sections = tuple(
        replace(s, kerf=_kerf(plan, jobs[s.section], s)) if s.section in jobs and s.plan else s
        for s in cuts.sections
    )
    return replace(cuts, sections=sections)


def _kerf(plan: Plan, job: _Job, found: SectionCut) -> tuple[str, ...]:
    stock = _pipe_stock(plan, job)
    return explain_kerf(
        stock, job.pieces, job.longs, _own_pipe(plan, job), real=found.plan, time_limit=5.0,
        grid=_grid(plan),
    ).words  # fmt: skip


def _splices(
    plan: Plan, model: Model, found: Sequence[SectionCut]
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    cut_at = {s.id: s.positions for f in found if f.plan for s in f.plan.splices}
    at = []
    for row, name in enumerate(model.beams.ids):
        decided = getattr(plan.stock.splices, ROWS[row])
        at.append(tuple(sorted(decided)) if decided is not None else cut_at.get(name, ()))
    return at[0], at[1]
