"""Slips that would not show: what an undetected blunder in one reading does to what is judged.

External reliability (Baarda 1968; Ghilani, *Adjustment Computations*): an error e in reading i
changes value j by e · J_j · K_i, with K the change of the adjusted coordinates with the readings.
An error of just the size that would be found (``mdb``) is the worst that stays unseen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plumbrail.notebook.entries import Kind
from plumbrail.truing.families import label
from plumbrail.truing.instruments import ANGLES
from plumbrail.truing.naming import named
from plumbrail.truing.parts import Built, Survey, Verdict, Wanted
from plumbrail.truing.suspicion import amount

ALONE = 0.01
"""A reading whose redundancy is smaller is as good as unchecked by the others."""
FOOT = 0.3048
"""Largest slip that is thought of where nothing checks a reading: a foot, or of an angle 5°."""
ANGLE = np.radians(5.0)


@dataclass(frozen=True, slots=True)
class Hidden:
    """A reading in which a slip could stay unseen while a value is really outside."""

    reading: int
    """Index into ``Survey.readings``."""
    slip: float
    """Least slip that would show, SI; infinite where none would."""
    value: int
    """Index into ``Built.ids`` of the value that would be farthest outside."""
    shift: float
    """What that slip, at most a foot or 5°, does to this value, SI."""
    others: int
    """How many more values could be outside unseen."""


def hidden(survey: Survey, built: Built) -> tuple[Hidden, ...]:
    """Readings on which values that read inside hang too much, the least checked first.

    A value counts when the slip could bring it outside its limit though it reads inside.
    """
    inside = np.flatnonzero(built.has(Verdict.INSIDE))
    if not len(inside) or not survey.influence.size:
        return ()
    gain = np.abs(built.slope[inside] @ survey.influence)
    angle = np.array([r.kind in ANGLES for r in survey.readings])
    size = np.minimum(survey.mdb, np.where(angle, ANGLE, FOOT))
    below, above = (built.value - built.low)[inside], (built.high - built.value)[inside]
    room, half = np.minimum(below, above), 0.5 * (below + above)
    half = np.where(np.isfinite(half), half, room)  # one limit only
    over = (gain * size - room[:, None]) / np.maximum(half, 1e-9)[:, None]
    over[:, survey.suspect] = 0.0
    found = []
    for i in np.flatnonzero(over.max(axis=0) > 0.0):
        j = int(np.argmax(over[:, i]))
        found.append((float(survey.redundancy[i]), -float(over[j, i]), Hidden(
            int(i), float(survey.mdb[i]), int(inside[j]), float(gain[j, i] * size[i]),
            int((over[:, i] > 0.0).sum()) - 1,
        )))  # fmt: skip
    found.sort(key=lambda f: f[:2])
    return tuple(h for _, _, h in found)


def second_readings(survey: Survey, slips: Sequence[Hidden]) -> tuple[Wanted, ...]:
    """The readings that nothing checks, once more; a rod from a new set-up, with one that ties it
    to the old one."""
    found: list[Wanted] = []
    for slip in slips:
        if survey.redundancy[slip.reading] >= ALONE:
            continue
        r = survey.readings[slip.reading]
        rods = [r]
        if r.kind is Kind.ROD:
            alike = [o for o in survey.readings if (o.kind, o.setup) == (r.kind, r.setup)]
            rods += [o for o in alike if o.start != r.start][:1]
        found += [Wanted(o.kind, o.start, o.end, o.at, o.axis, f"{o.setup}2" if o.setup else "",
                         named(o)) for o in rods]  # fmt: skip
    return tuple(dict.fromkeys(found))


def slip_words(survey: Survey, built: Built, slip: Hidden, units: str) -> str:
    """``a slip of up to 7/16 in would not show in rod reading on F3 (line 12), and …``."""
    reading, name = survey.readings[slip.reading], label(built.ids[slip.value])
    up_to = ""
    if np.isfinite(slip.slip):
        up_to = f" of up to {amount(slip.slip, reading.kind in ANGLES, units)}"
    more = f" and {slip.others} more" if slip.others else ""
    hang = "hang" if slip.others else "hangs"
    return (
        f"a slip{up_to} would not show in {named(reading)} (line {reading.line}), and "
        f"{name.title} at {name.place}{more} {hang} on it"
    )
