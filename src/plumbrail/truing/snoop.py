"""Data snooping for several blunders at once.

Each suspect is an extra unknown of the linear network: a shift of one reading. Its cost is the
squared critical value; a search by adding, dropping and swapping suspects makes v'Pv plus the
costs least. The network is made linear again where the suspects so far leave it, until they stay.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import SurveyError
from plumbrail.truing.adjust import CHECKED, Adjusted, finish
from plumbrail.truing.network import Network, Observe, Settled, settle
from plumbrail.truing.quality import ALPHA, critical, test_limit
from plumbrail.truing.robust import calm
from plumbrail.truing.shifts import Shifts, search
from plumbrail.truing.spectrum import Spectrum

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
    limit, most_aside = critical(alpha), max(1, int(most_share * len(network.sd)))
    best = least_cost(network, limit, most_aside, most)
    adjusted = finish(network, best.kept, best.settled)
    size = np.where(best.kept, 0.0, -adjusted.residual)
    groups = tuple(alternatives(best.shifts, best.aside, i, limit) for i in best.aside)
    return Snooped(adjusted, ~best.kept, size, groups, best.more)


def least_cost(network: Network, limit: float, most_aside: int, most: int) -> Sorted:
    """The better of the searches from the calm places; the first if it leaves nothing to explain.

    SurveyError when none of them settles.
    """
    best: Sorted | None = None
    trouble: SurveyError | None = None
    for place in calm(network):
        try:
            found = sort_out(network, place, limit, most_aside, most)
        except SurveyError as error:
            trouble = error
            continue
        best = found if best is None or found.cost < best.cost else best
        if best.sound:
            break
    if best is None:
        raise trouble or SurveyError("no first place for the search of blunders.")
    return best


@dataclass(frozen=True)
class Sorted:
    """Suspects found from one first place, and the network settled without them."""

    aside: tuple[int, ...]
    kept: Mask
    settled: Settled
    shifts: Shifts
    cost: float
    """v'Pv of the rest and the price of each suspect."""
    more: bool

    @property
    def sound(self) -> bool:
        """The rest agrees as well as the instruments say; no need to look further."""
        freedom = int(self.kept.sum()) - self.settled.spectrum.rank
        rest = float(np.sum(self.settled.linear.y[self.kept] ** 2))
        return not self.more and rest <= test_limit(freedom)


def sort_out(network: Network, place: Array, limit: float, most_aside: int, most: int) -> Sorted:
    """Searches suspects, settles without them, and again from there while that finds better."""
    here = network.at(place)
    sp: Spectrum | None = network.spectrum(here, np.ones(len(network.sd), dtype=bool))
    first = Shifts.at(network, here, sp)
    aside = search(first, limit, most_aside, first.outliers(limit))
    best: Sorted | None = None
    for _ in range(ROUNDS):
        kept = np.ones(len(network.sd), dtype=bool)
        kept[list(aside)] = False
        try:
            settled = settle(network, kept, here, most, sp if kept.all() else None)
        except SurveyError:
            if best is None:
                raise
            break
        here, sp = settled.linear, None
        same = settled.spectrum if kept.all() else None
        shifts = Shifts.at(network, settled.linear, same)
        left = shifts.squares(aside).max(initial=0.0) > (1.0 + 1e-9) * limit**2
        cost = float(np.sum(settled.linear.y[kept] ** 2)) + limit**2 * len(aside)
        if best is None or cost < best.cost:
            best = Sorted(aside, kept, settled, shifts, cost, bool(left))
        again = search(shifts, limit, most_aside, aside)
        if again == aside:
            break
        aside = again
    assert best is not None
    return best


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
    rest = np.sqrt(np.maximum(1.0 - rho**2, 1e-12))
    after = np.abs(w[suspect] - rho * w) / rest
    instead = (after <= limit) & (w[suspect] ** 2 - w**2 <= ODDS)
    like = open_ & ((np.abs(rho) > ALIKE) | instead)
    like[[suspect, *aside]] = False
    others = np.flatnonzero(like)
    order = others[np.argsort(-np.abs(w[others]), kind="stable")]
    return (suspect, *(int(c) for c in order))
