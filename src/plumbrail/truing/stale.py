"""Values that nothing tells but what somebody noted about a move."""

from __future__ import annotations

import numpy as np

from plumbrail.truing.determined import determined
from plumbrail.truing.gather import Gathered
from plumbrail.truing.parts import Built, Verdict

_CROSSED = 0.05
"""A noted move holds a value when what is loose tears it by this share of its largest."""


def moved_since(network: Gathered, built: Built) -> tuple[tuple[str, ...], ...]:
    """For each value: ``F3 (line 40)`` of what was moved since it was read; empty for all others.

    ``network`` holds the readings kept and all noted moves. A value is meant when the readings
    determine it with the noted moves, but not without them.
    """
    found: list[tuple[str, ...]] = [()] * len(built.ids)
    picks = np.flatnonzero(built.has(Verdict.UNMEASURED))
    if not len(picks) or not network.versions.ties:
        return tuple(found)
    slopes = network.from_current(built.slope[picks])
    tied = determined(slopes, network.loose())
    loose = network.untied().loose()
    rows = network.known.line > 0
    ties = network.known.matrix[rows][:, network.unknown]
    lines, words = network.known.line[rows], np.array(network.known.words)[rows]
    for i, slope, was in zip(picks, slopes, tied, strict=True):
        if not was:
            continue
        away = loose @ (slope @ loose)
        torn = np.abs(ties @ away) > _CROSSED * np.abs(away).max()
        last: dict[str, int] = {}
        for line, name in zip(lines[torn], words[torn], strict=True):
            last[str(name)] = int(line)  # lines ascend: the last move stays
        found[i] = tuple(f"{name} (line {line})" for name, line in last.items())
    return tuple(found)
