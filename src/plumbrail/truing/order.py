"""An order of moves that works, and what to measure again after them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from plumbrail.notebook.entries import Axis
from plumbrail.truing.parts import Move
from plumbrail.truing.words import beam_of, listed


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


def readings_again(moves: Sequence[Move], stations: int) -> tuple[str, ...]:
    """What to measure once more, in words; empty when nothing moves.

    A height is checked with its neighbours, which the beam takes along; a place in plan by the
    tapes at its station and the string; every moved post by plumb.
    """
    posts = _posts(moves)
    if len(posts) > stations:
        return ("everything once more: more than half of the posts are moved",)
    found = []
    raised = _posts(m for m in moves if m.axis == Axis.UP)
    shifted = _posts(m for m in moves if m.axis == Axis.ACROSS)
    along = _posts(m for m in moves if m.axis == Axis.ALONG)
    if raised:
        found.append(f"rod readings on {listed(_with_neighbours(raised, stations))}")
    if shifted or raised:
        numbers = sorted({int(p[1:]) for p in (*shifted, *raised)})
        word = "station" if len(numbers) == 1 else "stations"
        at = listed([str(n) for n in numbers])
        found.append(f"tapes from beam to beam at {word} {at}")
    found += [f"tapes along the {beam_of(p)} on both sides of {p}" for p in along]
    leaned = _posts(m for m in moves if m.place.partition(" ")[2] or m.axis != Axis.UP)
    if leaned:
        found.append(f"plumb of {listed(leaned)}")
    for beam in ("back beam", "front beam"):
        if any(beam_of(p) == beam for p in (*shifted, *raised)):
            found.append(f"string along the {beam}")
        if any(m.place == beam for m in moves):
            found.append(f"tapes from the ends of the {beam} to its outer posts")
    return tuple(found)


def _posts(moves: Iterable[Move]) -> list[str]:
    """Moved posts, back row first, from the left."""
    names = {m.place.partition(" ")[0] for m in moves if not m.place.endswith("beam")}
    return sorted(names, key=lambda p: (p[0] == "F", int(p[1:])))


def _with_neighbours(posts: list[str], stations: int) -> list[str]:
    near = {
        f"{p[0]}{s}" for p in posts for s in range(int(p[1:]) - 1, int(p[1:]) + 2)
        if 1 <= s <= stations
    }  # fmt: skip
    return sorted(near, key=lambda p: (p[0] == "F", int(p[1:])))
