"""The readings of a careful crew, and how well they would tell the frame before any is taken.

Each point is read in more than one way, so that a slip shows: two laser set-ups, tapes end to end
as well as from post to post, both diagonals of each bay. Common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.plan.truing import Truing
from plumbrail.truing.determined import span
from plumbrail.truing.gather import Gathered, gather
from plumbrail.truing.instruments import TOOLS
from plumbrail.truing.naming import named
from plumbrail.truing.parts import Array, Positions, Wanted
from plumbrail.truing.points import Place, Points


def field_readings(points: Points) -> tuple[Wanted, ...]:
    """Readings that check each other and tell every value, in the order of a walk."""
    heads = [[points.ids[i] for i in points.of(Place.HEAD, row)] for row in (0, 1)]
    pins = [points.ids[i] for i in points.of(Place.PIN)]
    found = [
        *_rods(heads, pins, "A", bases=True), *_along(heads), *_between(heads),
        *_ground(heads, pins), *_posts(heads), *_rods(heads, pins[:1], "B", bases=False),
    ]  # fmt: skip
    return tuple(replace(w, words=named(w)) for w in found)


def sheet_readings(points: Points) -> tuple[Wanted, ...]:
    """The readings of the blank field sheet: those of a careful crew, then every rod that none of
    them checks once more from the second laser set-up.

    No value with a tolerance hangs on the ground at a post, but the planned depth of its hole and
    the as-built plan do; a slip there needs a reading of its own for each, and no fewer.
    """
    found = field_readings(points)
    rods = [w.start for w in found if w.kind is Kind.ROD]
    once = [name for name in dict.fromkeys(rods) if rods.count(name) == 1]
    again = (Wanted(Kind.ROD, name, setup="B") for name in once)
    return (*found, *(replace(w, words=named(w)) for w in again))


def _rods(heads: list[list[str]], pins: list[str], setup: str, bases: bool) -> Iterator[Wanted]:
    """Pins, along the front, back along the back row; then the same at grade."""
    walk = heads[0] + heads[1][::-1]
    for name in [*pins, *walk, *(f"{post} base" for post in walk if bases)]:
        yield Wanted(Kind.ROD, name, setup=setup)


def _along(heads: list[list[str]]) -> Iterator[Wanted]:
    """Post to post and end to end along both rows, and the strings."""
    for row in heads:
        yield from (Wanted(Kind.TAPE, a, b) for a, b in pairwise(row))
        if len(row) > 2:
            yield Wanted(Kind.TAPE, row[0], row[-1])
            yield from (Wanted(Kind.STRING_SIDE, row[0], row[-1], at) for at in row[1:-1])


def _between(heads: list[list[str]]) -> Iterator[Wanted]:
    """Beam to beam with a tape and a trial rail at each station, and the diagonals of each bay."""
    for front, back in zip(*heads, strict=True):
        yield Wanted(Kind.TAPE, front, back)
        yield Wanted(Kind.TILT, front, back)
    for (f1, b1), (f2, b2) in pairwise(zip(*heads, strict=True)):
        yield Wanted(Kind.DIAGONAL, f1, b2)
        yield Wanted(Kind.DIAGONAL, f2, b1)


def _ground(heads: list[list[str]], pins: list[str]) -> Iterator[Wanted]:
    """Base to base like the beams, and the corners from both pins.

    Without these nothing would check the level at an inner post.
    """
    for front, back in zip(*heads, strict=True):
        yield Wanted(Kind.TAPE, f"{front} base", f"{back} base")
    yield from _along([[f"{post} base" for post in row] for row in heads])
    yield Wanted(Kind.TAPE, pins[0], pins[1])
    for pin in pins:
        for post in dict.fromkeys((heads[0][0], heads[0][-1], heads[1][-1], heads[1][0])):
            yield Wanted(Kind.TAPE, pin, f"{post} base")


def _posts(heads: list[list[str]]) -> Iterator[Wanted]:
    """Every post both ways with a level."""
    for post in heads[0] + heads[1][::-1]:
        yield from (Wanted(Kind.PLUMB, post, axis=axis) for axis in (Axis.ALONG, Axis.ACROSS))


FAR_BELOW = 10**9
"""Line of readings that nobody has written yet: after every noted move."""


def readings_of(wanted: Sequence[Wanted], value: float = 0.0) -> tuple[Reading, ...]:
    """Wanted readings as if they stood at the foot of the notebook."""
    return tuple(
        Reading(FAR_BELOW + i, "", w.kind, w.start, w.end, w.at, value, w.axis, TOOLS[w.kind][0],
                w.setup, "", "")
        for i, w in enumerate(wanted)
    )  # fmt: skip


def covariance(network: Gathered) -> Array:
    """(unknowns, unknowns) from the standard deviations alone, at the planned places.

    What no reading tells keeps the uncertainty of the plan.
    """
    pseudo = network.known.joined(network.assumed(network.loose()))
    rows = np.vstack([network.pattern, pseudo.matrix[:, network.unknown]])
    sd = np.append(network.sd, pseudo.sd)
    whitened = rows / sd[:, None]
    inverse = np.linalg.inv(np.linalg.qr(whitened, mode="r"))
    return np.asarray(inverse @ inverse.T)


def expected(points: Points, wanted: Sequence[Wanted], truing: Truing) -> Positions:
    """The planned places with the covariance that the wanted readings would give them."""
    network, _ = gather(points, readings_of(wanted), (), truing)
    cov = network.current(network.current(covariance(network)).T)
    return Positions(points, points.planned, cov, span(network.current(network.loose())))
