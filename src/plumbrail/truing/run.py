"""The whole of truing, from a notebook to the pour gate."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from plumbrail.errors import Problem
from plumbrail.model.parts import Model
from plumbrail.notebook.entries import Notebook
from plumbrail.notebook.repeats import untimed
from plumbrail.plan.models import Plan
from plumbrail.truing.again import readings_again
from plumbrail.truing.asbuilt import built
from plumbrail.truing.candidates import usual
from plumbrail.truing.claims import contradicted, first_of_each, slides_twice
from plumbrail.truing.freedom import freedom
from plumbrail.truing.gate import Beside, gate
from plumbrail.truing.gather import Gathered, gather
from plumbrail.truing.grouping import grouped
from plumbrail.truing.hidden import Hidden, hidden, second_readings
from plumbrail.truing.margins import judged, room
from plumbrail.truing.milp import QUICK, Effort
from plumbrail.truing.missing import missing
from plumbrail.truing.moves import mend
from plumbrail.truing.parts import (
    Array,
    Built,
    Gate,
    Mending,
    Outcome,
    Survey,
    Verdict,
    Wanted,
)
from plumbrail.truing.points import Place, Points, points_of
from plumbrail.truing.scheme import expected
from plumbrail.truing.sharper import sharper
from plumbrail.truing.stale import moved_since
from plumbrail.truing.survey import survey
from plumbrail.truing.untold import untold
from plumbrail.truing.worn import read_often

SPARE = 0.9
"""Sharper readings aim at this share of the uncertainty that would just decide a value, since the
value will come out a little different. A judgement."""
FINEST = 0.5
"""Nobody is asked to bring an uncertainty under this share of what it is; values so near to a limit
are mended instead (``margins.wanting``). A judgement."""

_DAY = len("2026-05-05")


@dataclass(frozen=True)
class Trued:
    """Everything the notebook says."""

    survey: Survey
    built: Built
    mending: Mending
    gate: Gate
    problems: tuple[Problem, ...]
    """Rows that cannot be used, in the order of the file."""
    missing: tuple[Wanted, ...]
    """The fewest readings that settle what is not measured."""
    missing_proven: bool
    sharper: tuple[Wanted, ...]
    """Readings to take once more so that uncertain values become sure, and second readings where a
    value hangs on one that nothing checks."""
    sharper_enough: bool
    """These are expected to make all of them sure."""
    hidden: tuple[Hidden, ...] = ()
    """Readings in which a slip could stay unseen while a value is really outside."""
    again: tuple[Wanted, ...] = ()
    """Readings to take once the moves are made and noted; empty until ``measured_again``."""


def true_up(
    plan: Plan, model: Model, notebook: Notebook, pins: Array, effort: Effort = QUICK
) -> Trued:
    """Adjust, judge, mend; ``pins`` (2, 3) are the pin tops, ``model`` the planned one.

    ``effort`` in looking for fewer moves: ``milp.QUICK`` or ``milp.THOROUGH``.
    Raises SurveyError when the readings contradict each other too much for any result.
    """
    units, truing = plan.job.units, plan.truing
    points = points_of(model, pins, marks_in(notebook))
    surveyed, unfit = survey(points, notebook, truing, units)
    found = built(surveyed.positions, plan.tolerances, plan.array.tilt_band, truing.confidence)
    said = replace(notebook, held=first_of_each(notebook.held))
    free = freedom(model, surveyed.positions, said, truing)
    mending = mend(found, free, units, truing.confidence, effort,
                   read_often(surveyed, found))  # fmt: skip
    found_bad = (*notebook.problems, *unfit, *out_of_order(notebook),
                 *contradicted(notebook, truing, units))  # fmt: skip
    problems = tuple(sorted(found_bad, key=lambda p: p.line or 0))
    network, _ = gather(points, _kept(notebook, surveyed).readings, notebook.moved, truing)
    wanted, proven = _missing(network, found)
    closer, enough = _sharper(network, surveyed, found, mending)
    beside = Beside(moved_since(network, found), hidden(surveyed, found),
                    untold(surveyed.positions, found), _remarks(notebook))  # fmt: skip
    if mending.outcome not in (Outcome.MOVES, Outcome.IMPOSSIBLE):
        closer = tuple(dict.fromkeys((*closer, *second_readings(surveyed, beside.hidden))))
    verdict = gate(
        found, surveyed, mending, problems, notebook.struck, notebook.blank, units, beside
    )
    return Trued(surveyed, found, mending, verdict, problems, wanted, proven, closer, enough,
                 beside.hidden)  # fmt: skip


def measured_again(
    plan: Plan, model: Model, notebook: Notebook, pins: Array, trued: Trued
) -> Trued:
    """With the fewest readings that let the gate decide once the moves are made and noted.

    Apart from ``true_up``, since it takes longer than the rest where many posts are moved.
    """
    points, kept = points_of(model, pins, marks_in(notebook)), _kept(notebook, trued.survey)
    wanted = readings_again(points, kept, plan.truing, trued.survey, trued.built, trued.mending)
    mending = replace(trued.mending, remeasure=grouped(wanted))
    return replace(trued, mending=mending, again=wanted)


def _remarks(notebook: Notebook) -> tuple[str, ...]:
    """Rows of the notebook that are used, and that a person should know of."""
    count = untimed(notebook.readings, notebook.moved)
    same = (
        "1 row is the same as an earlier one and has no clock time: it counts as a separate reading"
        if count == 1 else f"{count} rows are the same as earlier ones and have no clock time: "
        "they count as separate readings"
    )  # fmt: skip
    return (*([same] if count else []), *slides_twice(notebook.slides))


def out_of_order(notebook: Notebook) -> tuple[Problem, ...]:
    """Readings that stand below a noted move but were taken before it, by their times."""
    found = []
    for r in notebook.readings:
        moves = [m for m in notebook.moved if m.line < r.line and m.time and r.time]
        late = [m for m in moves if _after(m.time, r.time)]
        if late:
            words = (
                f"this reading was taken before the move on line {late[-1].line}, by its time, "
                "but stands below it; rows count in their order: put it above that line"
            )
            found.append(Problem("time", words, r.line))
    return tuple(found)


def _after(one: str, other: str) -> bool:
    """Whether one time is later than the other, by their days where one of them is only a day."""
    a, b = (datetime.fromisoformat(t.upper()).replace(tzinfo=None) for t in (one, other))
    return a.date() > b.date() if min(len(one), len(other)) <= _DAY else a > b


def marks_in(notebook: Notebook) -> tuple[str, ...]:
    """Height marks that the notebook names, in order."""
    names = dict.fromkeys(p for r in notebook.readings for p in (r.start, r.end))
    return tuple(name for name in names if name.startswith("mark "))


def expected_values(plan: Plan, points: Points, wanted: tuple[Wanted, ...]) -> Built:
    """The values as the wanted readings would show them on a frame that stands as planned."""
    positions = expected(points, wanted, plan.truing)
    return built(positions, plan.tolerances, plan.array.tilt_band, plan.truing.confidence)


def _kept(notebook: Notebook, surveyed: Survey) -> Notebook:
    """The notebook without what was set aside."""
    aside = {r.line for r, out in zip(surveyed.readings, surveyed.suspect, strict=True) if out}
    used = {r.line for r in surveyed.readings} - aside
    return replace(notebook, readings=tuple(r for r in notebook.readings if r.line in used))


def _missing(network: Gathered, found: Built) -> tuple[tuple[Wanted, ...], bool]:
    """Without the noted moves, as the verdicts are: what was moved has to be read again."""
    unmeasured = found.has(Verdict.UNMEASURED)
    if not unmeasured.any():
        return (), True
    alone = network.untied()
    settled = missing(alone, found.slope[unmeasured], usual(alone))
    return settled.wanted, settled.proven


def _sharper(
    network: Gathered, surveyed: Survey, found: Built, mending: Mending
) -> tuple[tuple[Wanted, ...], bool]:
    """Only where reading comes before moving: what is unsure, and where moves exist on paper only,
    what they bring too near to a limit to promise."""
    if mending.outcome in (Outcome.MOVES, Outcome.IMPOSSIBLE):
        return (), True
    after = room(replace(found, value=mending.after))
    close = judged(found) & (after < found.factor * found.sd)
    unsure = close if mending.moves else found.has(Verdict.UNSURE)
    if not unsure.any():
        return (), True
    decides = np.abs(after[unsure]) * SPARE / found.factor
    need = np.maximum(decides, FINEST * found.sd[unsure])
    closer = sharper(network, found.slope[unsure], need, usual(network),
                     enlarged=surveyed.enlarged)  # fmt: skip
    return closer.wanted, closer.enough


def heads_determined(surveyed: Survey) -> bool:
    """Whether the readings fix all heads and bases but for the free datum of the whole frame."""
    where = surveyed.positions
    points = where.points
    spots = np.concatenate([points.of(Place.HEAD), points.of(Place.BASE)])
    rows = (3 * spots[:, None] + np.arange(3)).ravel()
    moving = _whole_frame(where.xyz[spots])
    loose = where.loose[rows]
    rest = loose - moving @ (moving.T @ loose)
    return bool(np.abs(rest).max(initial=0.0) < 1e-3)


def _whole_frame(xyz: Array) -> Array:
    """(3 n, 4) orthonormal: shifts along x, y, z and a turn about the vertical."""
    n = len(xyz)
    shift = np.tile(np.eye(3), (n, 1)) / np.sqrt(n)
    middle = xyz - xyz.mean(axis=0)
    turn = np.column_stack([-middle[:, 1], middle[:, 0], np.zeros(n)]).ravel()
    return np.column_stack([shift, turn / np.linalg.norm(turn)])
