"""An order of moves that works."""

from __future__ import annotations

from collections.abc import Iterable

from plumbrail.notebook.entries import Axis
from plumbrail.truing.parts import Move


def ordered(moves: Iterable[Move]) -> tuple[Move, ...]:
    """Moves in an order in which no later one undoes an earlier one.

    What was thought fixed comes first: it has to be decided before anything else is worth doing.
    Then the back row, which the front row is measured against, before the front row. In each row
    first the feet and whole posts, then the heights, then the tops, since a post that is shifted
    or raised does not keep its lean; each of these from the left end to the right;
    a whole post before its foot alone. A beam slides
    along itself when everything under it stands. (Common practice, no published source.)
    """
    return tuple(sorted(moves, key=_rank))


def _rank(move: Move) -> tuple[int, ...]:
    beam = move.place.endswith("beam")
    back = move.place.startswith(("B", "back"))
    post, _, part = move.place.partition(" ")
    stage = 3 if beam else 1 if move.axis == Axis.UP else 0 if part else 2
    station = 0 if beam else int(post[1:])
    axis = (Axis.ALONG, Axis.ACROSS, Axis.UP).index(Axis(move.axis))
    alone = int(part == "base")
    return (0 if move.fixed else 1, 0 if back else 1, stage, station, axis, alone)
