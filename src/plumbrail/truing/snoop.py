"""Data snooping for several blunders at once.

Each suspect is an extra unknown of the linear network: a shift of one reading. Its cost is the
squared critical value; a search by adding, dropping and swapping suspects makes v'Pv plus the
costs least. The network is made linear again where the suspects so far leave it, until they stay.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.truing.adjust import CHECKED, Adjusted, finish
from plumbrail.truing.network import Network, Observe, settle
from plumbrail.truing.quality import ALPHA, critical
from plumbrail.truing.robust import calm
from plumbrail.truing.shifts import Shifts, search

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
MOST_SHARE = 0.2
"""Share of the readings beyond which they are too bad to sort."""
ROUNDS = 6
ALIKE = 0.99
ODDS = 6.0
"""Rise of v'Pv up to which another explanation stays open: odds of exp(6/2), some 20 to 1."""


@dataclass(frozen=True)
class Snooped:
    """An adjustment with its suspected blunders set aside; a person decides about them."""

    adjusted: Adjusted
    suspect: Mask
    """(m,) set aside."""
    size: Array
    """(m,) observed less what the other readings say; 0 where not suspect."""
    groups: tuple[tuple[int, ...], ...]
    """Each suspect first, then the readings that explain the contradiction practically as well."""
    more: bool
    """Contradictions are left because the share allowed was used up."""


def snoop(
    observe: Observe, observed: Array, sd: Array, start: Array, *,
    datum: Array | None = None, alpha: float = ALPHA, most_share: float = MOST_SHARE,
    most: int = 30,
) -> Snooped:  # fmt: skip
    """Adjusts readings (m,) and sets blunders aside; arguments as for ``adjust``.

    A reading is suspected when the rest contradict it at level ``alpha``. At most ``most_share`` of
    the readings (and at least one) are set aside, never one that the rest do not determine.
    """
    network = Network.of(observe, observed, sd, start, datum)
    m, limit = len(network.sd), critical(alpha)
    most_aside = max(1, int(most_share * m))
    everything = np.ones(m, dtype=bool)
    place = calm(network)
    shifts = Shifts.at(network, place)
    aside = search(shifts, limit, most_aside, shifts.outliers(limit))
    for _ in range(ROUNDS):
        kept = everything.copy()
        kept[list(aside)] = False
        settled = settle(network, kept, place, most)
        place = settled.linear.x
        shifts = Shifts.at(network, place)
        again = search(shifts, limit, most_aside, aside)
        if set(again) == set(aside):
            break
        aside = again
    adjusted = finish(network, kept, settled)
    suspect = ~kept
    left = np.max(np.abs(adjusted.w[kept]), initial=0.0) > limit
    size = np.where(suspect, -adjusted.residual, 0.0)
    groups = tuple(alternatives(shifts, aside, i, limit) for i in sorted(aside))
    return Snooped(adjusted, suspect, size, groups, bool(left))


def alternatives(
    shifts: Shifts, aside: tuple[int, ...], suspect: int, limit: float
) -> tuple[int, ...]:
    """The suspect and the readings it cannot be told apart from, likeliest first.

    With the other suspects aside, c stands for i when both ask for nearly the same correction
    (|correlation of w| > 0.99), or when setting c aside instead leaves nothing to hold against i
    (|w_i| within the limit) and raises v'Pv by no more than 20 to 1 allows.
    """
    e, q, rho = shifts.against([j for j in aside if j != suspect], suspect)
    open_ = q > CHECKED
    w = np.where(open_, e / np.sqrt(np.where(open_, q, 1.0)), 0.0)
    rest = np.sqrt(np.clip(1.0 - rho**2, 1e-12, 1.0))
    after = np.abs(w[suspect] - rho * w) / rest
    instead = (after <= limit) & (w[suspect] ** 2 - w**2 <= ODDS)
    like = open_ & ((np.abs(rho) > ALIKE) | instead)
    like[[suspect, *aside]] = False
    others = np.flatnonzero(like)
    order = others[np.argsort(-np.abs(w[others]), kind="stable")]
    return (suspect, *(int(c) for c in order))
