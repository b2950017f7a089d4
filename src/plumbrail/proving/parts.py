"""What passes between the steps of proving: frozen rows, SI."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.trace import Certainty

Array = NDArray[np.float64]
Under = Callable[[Array, Array], Array]
"""A value of one module under light [W/m2] at cell temperature [K]; they broadcast."""


class Outcome(Enum):
    """What a test says."""

    PASS = "pass"
    FAIL = "fail"
    UNSURE = "too uncertain to say"
    UNMEASURED = "not measured"


@dataclass(frozen=True)
class ModuleModel:
    """One module as whoever asks describes it; proving knows no model of its own."""

    voc: float
    """At the standard test conditions [V]."""
    isc: float
    """[A]"""
    alpha: float
    """Share of isc per kelvin."""
    beta: float
    """Share of voc per kelvin, negative."""
    strips: int
    """Strips of cells in series, each with its bypass diode."""
    open: Under
    """Open-circuit voltage [V]."""
    short: Under
    """Short-circuit current [A]."""
    best_voltage: Under
    best_current: Under
    how: str
    """In words, for papers."""


@dataclass(frozen=True)
class TestedString:
    """A string as it was planned."""

    __test__ = False

    id: str
    modules: tuple[str, ...]
    """From the positive to the negative end."""
    box: str
    input: int

    @property
    def count(self) -> int:
        """Modules in it."""
        return len(self.modules)


@dataclass(frozen=True)
class Part:
    """One part of an uncertainty."""

    name: str
    words: str
    size: float
    """Largest error: a share of the reading, or kelvins where ``kelvins``."""
    certainty: Certainty
    kelvins: bool = False

    @property
    def standard(self) -> float:
        """Standard uncertainty: every error up to the largest is as likely."""
        return self.size / 3.0**0.5


@dataclass(frozen=True)
class Expected:
    """What one electrical reading should be, and how uncertain the comparison is.

    Relative shares of the expected value; ``common`` has one entry for each name in
    :attr:`Readings.names`.
    """

    proof: Proof
    value: float
    """Expected [V or A]."""
    ratio: float
    """Measured over expected, less 1."""
    own: float
    """Standard uncertainty of this reading alone."""
    modules: float
    """Standard uncertainty from the spread of good modules, alone."""
    common: Array
    """(k,) how a unit of each common error shows in the ratio."""
    words: str
    """What was assumed; empty when nothing was."""
    warmth: float
    """Of the cells, as taken [K]."""


@dataclass(frozen=True)
class Readings:
    """All electrical readings of strings that can be judged, with their common errors."""

    rows: tuple[Expected, ...]
    names: tuple[str, ...]
    spread: Array
    """(k,) standard uncertainty of each common error."""
    refused: tuple[tuple[Proof, str], ...]
    """Readings that cannot be judged, and why."""
    beyond: tuple[Expected, ...] = ()
    """Readings so far over what a string gives that no fault of it explains them."""

    def of(self, place: str, kind: Probe) -> int | None:
        """Row of the last reading of a string."""
        found = [i for i, r in enumerate(self.rows)
                 if r.proof.place == place and r.proof.kind is kind]  # fmt: skip
        return found[-1] if found else None


@dataclass(frozen=True)
class Judged:
    """One test with its verdict."""

    id: str
    """``S1.voltage``"""
    subject: str
    title: str
    outcome: Outcome
    words: str
    """What was read, what was expected, and why."""
    measured: float | None = None
    expected: float | None = None
    low: float | None = None
    """Passes from here."""
    high: float | None = None
    """Passes up to here."""
    uncertainty: float | None = None
    """Of measured against expected, at the confidence of the plan."""
    unit: str = ""
    line: int | None = None
    source: str = ""
    certainty: Certainty | None = None
    group: str = "string"
    """``string``, ``array``, ``ground``, ``torque``, ``label``, ``function``, ``thermal``."""
    light: float | None = None
    """On the modules at that moment [W/m2]; None where it was not written or plays no part."""
    warmth: float | None = None
    """Of the cells at that moment, as taken [K]."""


@dataclass(frozen=True)
class Candidate:
    """One thing that would explain the readings."""

    fault: str
    """Key of :mod:`plumbrail.proving.faults`."""
    strings: tuple[str, ...]
    probability: float
    words: str
    check: str
    """What to look at next."""
    size: float | None = None
    """Most likely size, where the fault has one."""


@dataclass(frozen=True)
class Suspicion:
    """Readings that a sound array would hardly give, with what may be behind them."""

    strings: tuple[str, ...]
    """Empty: all of them alike."""
    sound: float
    """Probability that nothing is wrong."""
    candidates: tuple[Candidate, ...]
    """Most likely first."""
    evidence: tuple[str, ...]
    apart: str
    """What would tell the likeliest apart; empty when there is one only."""


@dataclass(frozen=True)
class EarthFault:
    """Where a string touches ground, from its voltages to ground."""

    string: str
    from_negative: float
    """Modules from the negative end."""
    resistance: float
    """Of the fault [ohm]."""
    least: float
    """Least resistance allowed [ohm]."""
    outcome: Outcome
    words: str
    volts: float
    """Open voltage that it is held against [V]."""


@dataclass(frozen=True)
class StandingPost:
    """One post as it was measured to stand, and as it was planned; axes of the planned hole F1."""

    id: str
    head: Array
    """(3,) centre line of the beam over it [m]."""
    base: Array
    """(3,) its centre at grade [m]."""
    planned_head: Array
    planned_base: Array


@dataclass(frozen=True)
class BuiltFrame:
    """The frame as it was measured to stand."""

    readings: str
    """What the places come from: a checksum, or words."""
    measured: str
    """Day of the last reading; empty when it was not written."""
    posts: tuple[StandingPost, ...]
    """Empty where the readings do not fix them."""
    open: tuple[str, ...] = ()
    """What stands in the way of a hand-over."""


@dataclass(frozen=True)
class Wanted:
    """A test that is to be made."""

    kind: Probe
    place: str
    words: str
    group: str
