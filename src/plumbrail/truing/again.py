"""What to measure again after the moves: as few readings as settle the pour gate.

The gate takes nothing for measured that was moved since it was read. So the moves are noted in
advance, below everything that was read; then come the fewest readings that determine every value
again, those that make a value as certain as its room asks for, and second readings where a value
would hang on one that nothing checks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from plumbrail.notebook.entries import Axis, Kind, Moved, Notebook
from plumbrail.plan.truing import Truing
from plumbrail.truing.candidates import usual
from plumbrail.truing.gather import Gathered, gather
from plumbrail.truing.hidden import hidden, second_readings
from plumbrail.truing.margins import room
from plumbrail.truing.missing import measuring
from plumbrail.truing.naming import named
from plumbrail.truing.parts import Array, Built, IntArray, Mending, Move, Survey, Verdict, Wanted
from plumbrail.truing.points import Place, Points
from plumbrail.truing.quality import least_detectable, noncentrality, redundancy_number
from plumbrail.truing.scheme import FAR_BELOW, covariance, readings_of
from plumbrail.truing.sharper import sharper
from plumbrail.truing.thinned import Asked, thinned

MOVED_AT = FAR_BELOW // 2
"""Line of moves that nobody has noted yet: below every reading taken, above those wanted."""
MOST = 400
"""Readings that make something surer, at the most."""
LOOKS = 3
SPARE = 0.9
"""Readings aim at this share of the uncertainty that would just let a value read inside, since the
value will come out a little different. A judgement."""
FINEST = 0.5
"""Nobody is asked to bring an uncertainty under this share of what it is. A judgement."""


@dataclass(frozen=True)
class After:
    """A notebook in which the moves are noted, and what it is to tell. Axis: value."""

    points: Points
    book: Notebook
    truing: Truing
    survey: Survey
    built: Built
    """As the moves leave it: all values with a tolerance, expected inside."""
    need: Array
    """Standard deviation that lets a value read inside."""

    def network(self, wanted: Sequence[Wanted]) -> Gathered:
        """With readings that are still to be taken."""
        every = (*self.book.readings, *readings_of(wanted))
        return gather(self.points, every, self.book.moved, self.truing)[0]


def readings_again(
    points: Points, kept: Notebook, truing: Truing, surveyed: Survey, found: Built,
    mending: Mending,
) -> tuple[Wanted, ...]:  # fmt: skip
    """Readings to take once the moves are made and noted; empty when nothing moves.

    ``kept``: the notebook without what is set aside.
    """
    if not mending.moves:
        return ()
    after = _after(points, kept, truing, surveyed, found, mending)
    bare = after.network(()).untied()
    candidates = _candidates(bare)
    wanted = measuring(bare, after.built.slope, candidates)
    network = after.network(wanted)
    closer = sharper(network, after.built.slope, after.need, candidates,
                     enlarged=surveyed.enlarged, most=MOST)  # fmt: skip
    wanted = (*wanted, *closer.wanted)
    for _ in range(LOOKS):
        seen = _expected(after, wanted)
        second = second_readings(seen, hidden(seen, after.built))
        if not second:
            break
        wanted = (*wanted, *second)
    asked = Asked(after.built.slope, after.need, np.maximum(room(after.built), 0.0))
    network, read = after.network(wanted), len(kept.readings)
    return tuple(wanted[i] for i in thinned(network, read, asked, surveyed.enlarged))


def _after(
    points: Points, kept: Notebook, truing: Truing, surveyed: Survey, found: Built,
    mending: Mending,
) -> After:  # fmt: skip
    stated = np.flatnonzero(~found.has(Verdict.UNSTATED))
    value = mending.after[stated]
    new = replace(
        found, ids=_some(found.ids, stated), family=_some(found.family, stated),
        subject=_some(found.subject, stated), what=_some(found.what, stated),
        angle=found.angle[stated], value=value, low=found.low[stated], high=found.high[stated],
        sd=found.sd[stated], slope=found.slope[stated],
        verdict=(Verdict.INSIDE,) * len(stated),
    )  # fmt: skip
    book = replace(kept, moved=(*kept.moved, *_noted(mending.moves)))
    return After(points, book, truing, surveyed, new, _need(new))


def _candidates(network: Gathered) -> tuple[Wanted, ...]:
    """The usual readings, and those at beam ends that somebody took before."""
    found = usual(network)
    setup = next((w.setup for w in found if w.kind is Kind.ROD), "A")
    points = network.points
    ends = {points.ids[i] for i in points.of(Place.END)}
    also = [Wanted(r.kind, r.start, r.end, r.at, r.axis, setup if r.kind is Kind.ROD else "",
                   named(r))
            for r in network.readings if ends & {r.start, r.end, r.at}]  # fmt: skip
    return tuple(dict.fromkeys((*found, *also)))


def _some(words: Sequence[str], picks: IntArray) -> tuple[str, ...]:
    return tuple(words[i] for i in picks)


def _noted(moves: Sequence[Move]) -> tuple[Moved, ...]:
    return tuple(
        Moved(MOVED_AT + i, "", m.place, Axis(m.axis), m.amount) for i, m in enumerate(moves)
    )


def _need(built: Built) -> Array:
    """Standard deviation that lets each value read inside where the moves leave it."""
    known = np.isfinite(built.sd)
    least = FINEST * np.where(known, built.sd, np.inf)
    return np.maximum(SPARE * np.maximum(room(built), 0.0) / built.factor, least)


def _expected(after: After, wanted: Sequence[Wanted]) -> Survey:
    """The survey that all readings together are expected to give, none of them wrong."""
    network = after.network(wanted)
    cov, rows, sd = covariance(network), network.pattern, network.sd
    s_f = np.sqrt(np.einsum("ij,ij->i", rows @ cov, rows))
    r = np.clip(redundancy_number(np.minimum(s_f, sd), sd), 0.0, 1.0)
    mdb = np.where(
        r > 1e-4, least_detectable(np.array(noncentrality()), sd, np.maximum(r, 1e-4)), np.inf
    )
    gain = network.current(cov @ (rows / sd[:, None] ** 2).T)
    return replace(
        after.survey, readings=network.readings, sd=sd, redundancy=r, mdb=mdb,
        suspect=np.zeros(len(sd), dtype=bool), influence=gain,
    )  # fmt: skip
