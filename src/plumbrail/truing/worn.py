"""Values that were read often enough: reading once more would go round in circles."""

from __future__ import annotations

import numpy as np

from plumbrail.notebook.entries import Reading
from plumbrail.truing.parts import Array, Built, Mask, Survey

OFTEN = 6
"""Readings of one kind between the same points; who has read so often moves it instead, so that
nobody reads in circles. A judgement."""
TELLING = 0.5
"""A reading that tells less than this share of the most telling one, for example from before a
move, is no repetition of it."""


def read_often(survey: Survey, built: Built) -> Mask:
    """(values,) the reading that tells most of it stands in the notebook ``OFTEN`` times."""
    if not survey.influence.size:
        return np.zeros(len(built.ids), dtype=bool)
    told: Array = np.abs(built.slope @ survey.influence) * survey.sd
    told[:, survey.suspect] = 0.0
    keys = [_key(r) for r in survey.readings]
    kind = np.array([keys.index(k) for k in keys])
    most = told.argmax(axis=1)
    alike = kind == kind[most][:, None]
    enough = told >= TELLING * told.max(axis=1, initial=0.0)[:, None]
    return np.asarray((alike & enough & (told > 0.0)).sum(axis=1) >= OFTEN)


def _key(r: Reading) -> tuple[str, ...]:
    return (str(r.kind), *sorted((r.start, r.end)), r.at, str(r.axis))
