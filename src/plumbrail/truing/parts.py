"""What passes between the steps of truing: frozen arrays, SI.

readings ─► Survey (positions, covariance, suspects) ─► Built (values against tolerances)
         ─► Mending (moves) ─► Gate
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from plumbrail.notebook.entries import Axis, Kind, Reading
from plumbrail.truing.points import Points

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Positions:
    """Where the points are now, after the last noted move. Coordinates run x, y, z of point 0,
    x, y, z of point 1, …"""

    points: Points
    xyz: Array
    """(points, 3) adjusted, in the model's axes."""
    cov: Array
    """(3 points, 3 points) covariance, minimum-norm where the datum is free; right for every
    function of the points that the readings determine."""
    loose: Array
    """(3 points, d) orthonormal basis of what the readings do not determine, the free datum
    included; empty when d = 0. What only a noted move tells is not determined."""

    @property
    def off(self) -> Array:
        """(points, 3) adjusted less planned."""
        return self.xyz - self.points.planned


@dataclass(frozen=True, slots=True)
class Suspicion:
    """One or more readings of which one looks wrong; a person decides, nothing is dropped."""

    readings: tuple[int, ...]
    """Indices into ``Survey.readings``; more than one where they cannot be told apart."""
    size: float
    """By how much the first one reads too long, too high, too far positive (SI); from the
    adjustment without it."""
    words: str
    """``tape F2–B2 (line 14) reads 12 in long: was a foot misread?``"""


@dataclass(frozen=True)
class Survey:
    """The adjusted network. Axis: reading."""

    positions: Positions
    readings: tuple[Reading, ...]
    """Those of the notebook, in its order."""
    adjusted: Array
    """What each reading should have been [SI], by the adjustment (suspects set aside)."""
    residual: Array
    """Adjusted less read."""
    sd: Array
    """A-priori standard deviation of each reading, by its instrument."""
    redundancy: Array
    """0: nothing checks this reading; 1: the others would give it. Suspects: against the rest."""
    w: Array
    """Normalised residual; 0 where nothing checks the reading."""
    mdb: Array
    """Least blunder found with 80 % power; infinite where nothing checks the reading."""
    suspect: Mask
    """Set aside in this adjustment; see ``suspicions``."""
    suspicions: tuple[Suspicion, ...]
    setups: tuple[str, ...]
    setup_height: Array
    """(set-ups,) height of each laser plane in the model's axes."""
    freedom: int
    """Redundant readings, r = m - n + d."""
    statistic: float
    """v'Pv of the readings kept."""
    limit: float
    """Its 95 % limit, chi-square of r."""
    enlarged: float
    """Factor (1 or more) on all standard deviations, where the readings agree less well than their
    instruments say."""
    iterations: int
    last_step: float
    """Largest change of a coordinate in the last iteration [m]."""
    notes: tuple[str, ...]
    doubts: tuple[str, ...] = ()
    """Noted moves and pins that the readings contradict; each holds the pour."""
    influence: Array = field(default_factory=lambda: np.zeros((0, 0)))
    """(3 points, readings) change of the adjusted coordinates with each reading; 0 of suspects."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A reading that somebody should take."""

    kind: Kind
    start: str
    end: str = ""
    at: str = ""
    axis: Axis | None = None
    setup: str = ""
    words: str = ""
    """``rod reading on F3``."""


class Verdict(StrEnum):
    """One value against its tolerance."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    UNSURE = "too uncertain to say"
    UNMEASURED = "not measured"
    UNSTATED = "not checked"
    """The plan states no tolerance."""


@dataclass(frozen=True)
class Built:
    """As built against plan. Axis: value."""

    ids: tuple[str, ...]
    """Unique, for example ``front.straight.height.F3``."""
    family: tuple[str, ...]
    """``straight``, ``level``, ``parallel``, ``plumb``, ``plane``, ``tilt``, ``spacing``,
    ``square``, ``height``."""
    subject: tuple[str, ...]
    """In words of the site: ``front beam at F3``, ``station 3``, ``post B2``."""
    what: tuple[str, ...]
    """What the value is: ``above a straight line from F1 to F4``."""
    angle: Mask
    """True: radians; false: metres."""
    value: Array
    """A deviation from what it should be, or the angle itself for the tilt."""
    low: Array
    high: Array
    """Limits of ``value``; infinite where no tolerance is stated."""
    sd: Array
    """Standard deviation of ``value``; infinite when not measured."""
    slope: Array
    """(values, 3 points) change of ``value`` with the coordinates."""
    verdict: tuple[Verdict, ...]
    factor: float
    """Standard deviations kept from the limits for the stated confidence."""

    def has(self, verdict: Verdict) -> Mask:
        """Which values have a verdict."""
        return np.array([v is verdict for v in self.verdict], dtype=bool)


@dataclass(frozen=True, slots=True)
class Move:
    """One thing to do on site."""

    place: str
    """``F3`` (the head, with the beam), ``F3 base``, ``F3 post`` (head and base together) or
    ``front beam`` (along itself)."""
    axis: str
    """``along``, ``across`` or ``up``."""
    amount: float
    """[m], rounded to what can be set on site; positive to the right, to the back, up."""
    words: str
    """``front beam at F3: up 5/16 in``."""
    fixed: bool
    """True: this was thought fixed, and would have to change."""


class Outcome(StrEnum):
    """What the search for moves found."""

    NONE_NEEDED = "no moves needed"
    MOVES = "moves"
    COARSE = "readings too coarse"
    """Moves exist on paper, but the readings are too uncertain to promise that they suffice."""
    IMPOSSIBLE = "no moves can do it"
    """``moves`` then holds the smallest change of what was thought fixed, marked ``fixed``."""


@dataclass(frozen=True)
class Mending:
    """The fewest, then smallest moves that bring everything inside tolerance."""

    outcome: Outcome
    moves: tuple[Move, ...]
    """In an order that works."""
    after: Array
    """(values,) what each value of ``Built`` becomes."""
    stuck: tuple[int, ...]
    """Values that no allowed move brings inside; empty unless the outcome is IMPOSSIBLE."""
    remeasure: tuple[str, ...]
    """Readings to take again after the moves, in words; empty until ``run.measured_again``."""
    proven: bool
    gap: float
    """Share between the number of moves found and the proven least number; 0 when proven."""
    confidence: float
    aim: str
    """How much room the moves leave: ``next readings``, ``as measured`` or ``on paper only``."""
    sizes_proven: bool = False
    """Proven that no moves of that number have a smaller total, before they were set with room."""


class Ready(StrEnum):
    """The pour gate."""

    READY = "ready to pour"
    NOT_READY = "not ready"
    TOO_FEW = "not enough readings"


@dataclass(frozen=True)
class Gate:
    """Verdict before the pour, with every reason and what a person still has to look at."""

    ready: Ready
    reasons: tuple[str, ...]
    hold_points: tuple[str, ...]
    """Always there: looked at and signed by a person, never by plumbrail."""
    cautions: tuple[str, ...]
