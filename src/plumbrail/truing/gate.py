"""The pour gate: ready, not ready or not enough readings, with every reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import Problem
from plumbrail.notebook.entries import Struck
from plumbrail.truing.families import Label, amounts, label
from plumbrail.truing.hidden import ALONE, Hidden, slip_words
from plumbrail.truing.holdpoints import CAUTIONS, HOLD_POINTS
from plumbrail.truing.parts import Built, Gate, Mending, Outcome, Ready, Survey, Verdict

Array = NDArray[np.float64]

_MOST = 8
"""Lines of one sort, and names in one line, before the rest is only counted."""
_FEW = 3
"""Slips that would not show, before the rest is only counted."""


@dataclass(frozen=True)
class Beside:
    """What else there is to say, found beside the survey."""

    moved: tuple[tuple[str, ...], ...] = ()
    """For each value: ``F3 (line 40)`` of what was moved since it was read."""
    hidden: tuple[Hidden, ...] = ()
    """Slips that would not show."""
    untold: tuple[str, ...] = ()
    """What no reading tells."""
    rows: tuple[str, ...] = ()
    """Remarks on rows of the notebook."""


@dataclass(frozen=True, slots=True)
class _Group:
    """Values of one kind and row that share a verdict."""

    first: Label
    picks: tuple[int, ...]
    """Indices of values, the worst first."""
    of: int
    """Values of this kind and row in all."""
    unsure: int
    """How many of them are too uncertain."""


def gate(
    built: Built, survey: Survey, mending: Mending, problems: Sequence[Problem],
    struck: Sequence[Struck], blank: int, units: str, beside: Beside | None = None,
) -> Gate:  # fmt: skip
    """Verdict before the pour.

    ``problems``: rows of the notebook that have to be put right; ``blank``: rows of a field sheet
    without a value; ``units``: ``us`` or ``metric``. *Ready* only when every value with a stated
    tolerance is inside and hangs on no single reading that nothing checks, nothing is suspected, no
    row is open and no move is needed.
    """
    beside = beside or Beside()
    severity = _severity(built)
    against = [
        *_nothing_read(survey),
        *_listed([f"row to put right: {p}" for p in problems], "rows to put right"),
        *_listed([f"suspected: {s.words}" for s in survey.suspicions], "suspected readings"),
        *_listed([f"in doubt: {words}" for words in survey.doubts], "doubts"),
        *_grouped(built, Verdict.OUTSIDE, severity, lambda g: _outside(built, g, units)),
        *_moves(mending, built),
    ]
    few = [
        *_grouped(
            built,
            Verdict.UNMEASURED,
            np.zeros(len(built.ids)),
            lambda g: _unmeasured(built, g, beside.moved),
        ),
        *_grouped(
            built, Verdict.UNSURE, severity, lambda g: _unsure(built, g, units), Verdict.OUTSIDE
        ),
        *_coarse(mending),
        *_alone(survey, built, beside.hidden, units),
        *_no_values(built),
    ]
    ready = Ready.NOT_READY if against else Ready.TOO_FEW if few else Ready.READY
    good = [] if against or few else [_all_inside(built, mending)]
    notes = [
        *_unstated(built), *(f"not checked, no reading tells: {words}" for words in beside.untold),
        *_thin(survey, built, beside.hidden, units), *_unchecked(survey), *beside.rows,
        *_left(struck, blank),
    ]  # fmt: skip
    return Gate(ready, (*good, *against, *few, *notes), HOLD_POINTS, CAUTIONS)


def _nothing_read(survey: Survey) -> list[str]:
    return [] if survey.readings else ["no readings: nothing has been measured"]


def _listed(lines: list[str], noun: str, most: int = _MOST) -> list[str]:
    rest = len(lines) - most
    return lines if rest <= 0 else [*lines[:most], f"{rest} more {noun}"]


def _severity(built: Built) -> Array:
    """How far each value is from the middle of its limits, in half widths of them."""
    stated = np.isfinite(built.low) & np.isfinite(built.high)
    low, high = np.where(stated, built.low, -1.0), np.where(stated, built.high, 1.0)
    half = np.maximum(0.5 * (high - low), 1e-9)
    return np.where(stated, np.abs(built.value - 0.5 * (low + high)) / half, 0.0)


def _grouped(
    built: Built, verdict: Verdict, severity: Array,
    line: Callable[[_Group], str], unless: Verdict | None = None,
) -> list[str]:  # fmt: skip
    """One line for each kind and row with such a verdict, the worst first; none for kinds that
    also have the verdict ``unless``."""
    labels = [label(id) for id in built.ids]

    def kind(i: int) -> tuple[str, str]:
        return labels[i].kind, labels[i].row

    found = []
    for _, members in groupby(sorted(range(len(labels)), key=kind), key=kind):
        every = list(members)
        here = [built.verdict[i] for i in every]
        picks = [i for i in every if built.verdict[i] is verdict]
        if picks and unless not in here:
            picks.sort(key=lambda i: -severity[i])
            unsure = here.count(Verdict.UNSURE)
            found.append(_Group(labels[picks[0]], tuple(picks), len(every), unsure))
    found.sort(key=lambda g: (-severity[g.picks[0]], g.picks[0]))
    return [line(group) for group in found]


def _outside(built: Built, group: _Group, units: str) -> str:
    return (
        f"outside: {group.first.title}, {_share(group)}, worst at {group.first.place}: "
        f"{_figure(built, group.picks[0], group.first, units)}"
        + (f"; {group.unsure} more too uncertain to say" if group.unsure else "")
    )


def _unsure(built: Built, group: _Group, units: str) -> str:
    i = group.picks[0]
    give = amounts([float(built.factor * built.sd[i])], bool(built.angle[i]), units)[0]
    return (
        f"too uncertain to say: {group.first.title}, {_share(group)}, "
        f"worst at {group.first.place}: {_figure(built, i, group.first, units)}, "
        f"give or take {give}"
    )


def _figure(built: Built, i: int, name: Label, units: str) -> str:
    """``5/16 in low (1/4 in allowed)``; of the tilt the angle itself and its band."""
    value, low, high = float(built.value[i]), float(built.low[i]), float(built.high[i])
    angle, family = bool(built.angle[i]), name.family
    if -low != high:
        text, first, last = amounts([value, low, high], angle, units)
        way = f" {family.more}" if value > high else f" {family.less}" if value < low else ""
        return f"{text}{way} ({first} to {last} allowed)"
    text, most = amounts([value, high], angle, units)
    return f"{text} {family.more if value > 0 else family.less} ({most} allowed)"


def _share(group: _Group) -> str:
    return f"{len(group.picks)} of {group.of} {group.first.family.noun}"


def _unmeasured(built: Built, group: _Group, moved: tuple[tuple[str, ...], ...]) -> str:
    places = [label(built.ids[i]).place for i in group.picks]
    rest = len(places) - _MOST
    which = ", ".join(places[:_MOST]) + (f" and {rest} more" if rest > 0 else "")
    which = "" if len(places) == group.of > 1 else f": {which}"
    since = dict.fromkeys(words for i in group.picks if moved for words in moved[i])
    again = f"; moved since it was read: {_joined([*since], ', ')}; read it again" if since else ""
    return f"not measured: {group.first.title}, {_share(group)}{which}{again}"


def _moves(mending: Mending, built: Built) -> list[str]:
    count = len(mending.moves)
    if mending.outcome is Outcome.MOVES:
        word = "1 move is" if count == 1 else f"{count} moves are"
        return [f"{word} needed"]
    if mending.outcome is not Outcome.IMPOSSIBLE:
        return []
    stuck = [f"{built.subject[i]} ({label(built.ids[i]).title})" for i in mending.stuck]
    lines = [f"no allowed move brings inside: {_joined(stuck)}" if stuck else "no moves can do it"]
    fixed = [m.words for m in mending.moves if m.fixed]
    if fixed:
        lines.append(f"what was thought fixed would have to change: {_joined(fixed)}")
    return lines


def _joined(words: list[str], mark: str = "; ") -> str:
    rest = len(words) - _MOST
    return mark.join(words[:_MOST]) + (f"{mark}and {rest} more" if rest > 0 else "")


def _coarse(mending: Mending) -> list[str]:
    if mending.outcome is not Outcome.COARSE:
        return []
    return ["the readings are too uncertain to promise that any moves suffice"]


def _alone(survey: Survey, built: Built, hidden: Sequence[Hidden], units: str) -> list[str]:
    """Readings that nothing checks at all and that a value hangs on: each holds the pour."""
    lines = [f"nothing checks this: {slip_words(survey, built, h, units)}: read it twice"
             for h in hidden if survey.redundancy[h.reading] < ALONE]  # fmt: skip
    return _listed(lines, "readings that nothing checks and a value hangs on: read them twice")


def _thin(survey: Survey, built: Built, hidden: Sequence[Hidden], units: str) -> list[str]:
    """Readings that are checked, but too little to show every slip that matters."""
    lines = [f"not checked closely by other readings: {slip_words(survey, built, h, units)}: read "
             "it twice" for h in hidden if survey.redundancy[h.reading] >= ALONE]  # fmt: skip
    return _listed(lines, "readings in which such a slip would not show", _FEW)


def _no_values(built: Built) -> list[str]:
    judged = [v for v in built.verdict if v is not Verdict.UNSTATED]
    return [] if judged else ["nothing was compared with a tolerance"]


def _all_inside(built: Built, mending: Mending) -> str:
    count = int(built.has(Verdict.INSIDE).sum())
    sure = f"{100 * mending.confidence:.4g} % confidence"
    return f"all {count} values that have a tolerance are inside it, at {sure}"


def _unstated(built: Built) -> list[str]:
    families = dict.fromkeys(
        f for f, v in zip(built.family, built.verdict, strict=True) if v is Verdict.UNSTATED
    )
    if not families:
        return []
    return [f"not checked, no tolerance stated: {', '.join(families)}"]


def _unchecked(survey: Survey) -> list[str]:
    """Readings that stand alone: a slip in one of them would not be seen."""
    lines = []
    alone = np.flatnonzero((survey.redundancy < ALONE) & ~survey.suspect)
    if len(alone):
        word = "1 reading is" if len(alone) == 1 else f"{len(alone)} readings are"
        where = "line" if len(alone) == 1 else "lines"
        rows = _runs([survey.readings[i].line for i in alone])
        lines.append(f"not checked: {word} confirmed by no other ({where} {rows}); a slip there "
                     "would not be seen")  # fmt: skip
    if survey.enlarged > 1.0:
        lines.append(
            "the readings agree less well than their instruments say: every uncertainty is taken "
            f"{survey.enlarged:.3g} times as large"
        )
    return lines


def _runs(numbers: list[int]) -> str:
    """``3, 5 to 9``: neighbours put together."""
    runs: list[list[int]] = []
    for n in sorted(numbers):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    return ", ".join(f"{r[0]} to {r[-1]}" if len(r) > 1 else f"{r[0]}" for r in runs)


def _left(struck: Sequence[Struck], blank: int) -> list[str]:
    lines = [f"struck out, not used: line {s.line}, {s.words}" for s in struck]
    lines = _listed(lines, "readings struck out")
    if blank:
        word = "1 row of the field sheet is" if blank == 1 else f"{blank} rows of the sheet are"
        lines.append(f"not checked: {word} still blank")
    return lines
