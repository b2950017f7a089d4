"""What passes between the steps of the wiring: frozen arrays, SI."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.check import Check

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Volts:
    """Voltage of one module at the extremes [V]."""

    cold_by_coefficient: float | None
    cold_by_table: float | None
    cold: float
    """The one that the plan's basis asks for."""
    hot: float
    """At its best power on the hottest day."""


@dataclass(frozen=True)
class Grouping:
    """One way to string the modules."""

    per_string: int
    strings: int
    per_input: tuple[int, ...]
    """Strings on each input."""
    left_over: int
    """Modules that no string takes."""
    cold: float
    hot: float
    """Voltage of a string [V]."""
    short_circuit: float
    """Largest short-circuit current of one input [A], without code factors."""
    reasons: tuple[str, ...]
    """Why it will not do; empty when feasible."""
    merits: tuple[str, ...]
    """What speaks for it, in words."""
    rank: float
    """Smaller is better; infinite when not feasible."""
    notes: tuple[str, ...] = ()
    """What is to be known about it and does not rule it out, in words."""

    @property
    def feasible(self) -> bool:
        """Nothing speaks against it."""
        return not self.reasons


@dataclass(frozen=True)
class Strings:
    """Which module sits in which string. Axis: module of the model; -1 is in none."""

    string: IntArray
    place: IntArray
    """Place within its string from the positive end, from 0."""
    ids: tuple[str, ...]
    """``S1`` …"""
    combiner: IntArray
    """(strings,) box that each runs to."""
    input: IntArray
    """(strings,) input of the equipment."""


@dataclass(frozen=True)
class Path:
    """A length of wire that somebody lays. Points in local axes."""

    id: str
    """``S1 positive``."""
    what: str
    points: Array
    """(n, 3)"""
    length: float
    """[m] along it, without slack."""
    kind: str
    """``jumper``, ``home run``, ``run``, ``ground``."""


@dataclass(frozen=True)
class Circuit:
    """One circuit with its conductor and device."""

    id: str
    what: str
    count: int
    """Circuits alike."""
    length: float
    """One way [m], the longest of them."""
    i_sc: float
    """Short-circuit current of its sources [A], without factors."""
    i_max: float
    """The code's largest current."""
    i_op: float
    """At best power."""
    volts: float
    """Working voltage."""
    size: str
    """``10 AWG``; empty where none will do."""
    metal: str
    insulation: str
    ampacity: float
    """As corrected [A]."""
    device: str
    """``20 A fuse``, ``none required``, ``no compliant fuse``."""
    grounding: str
    """Size of the equipment grounding conductor."""
    drop: float
    """Voltage lost [V] at the working current and temperature."""


@dataclass(frozen=True)
class Conduit:
    """One raceway with what lies in it."""

    id: str
    what: str
    method: str
    trade: str
    """Trade size, ``1-1/4``; empty where none will do."""
    contents: tuple[str, ...]
    fill: float
    """Share of its inside."""
    cover: float | None
    """Least cover [m]."""
    length: float


@dataclass(frozen=True)
class Electrode:
    """A conductor to a grounding electrode, of copper."""

    id: str
    """``building``, ``system``, ``array-electrode``."""
    what: str
    size: str
    """``6 AWG``; empty where none is needed or it is not known, as the words say."""
    length: float | None
    """[m]; None: not in the plan."""
    clause: str
    words: str


@dataclass(frozen=True)
class Placard:
    """A sign that has to hang somewhere."""

    where: str
    text: str
    clause: str
    values: str


@dataclass(frozen=True)
class Item:
    """A line of the buying list."""

    what: str
    amount: float
    """Number, or length with slack [m]."""
    unit: str
    """``m`` or ``pieces``."""
    price: float | None
    """Of all of it, in the plan's money."""
    note: str


@dataclass(frozen=True)
class Wired:
    """The wiring plan."""

    volts: Volts
    groupings: tuple[Grouping, ...]
    """All that were looked at, the best first."""
    chosen: Grouping
    why: str
    strings: Strings
    boxes: Array
    """(combiners, 3) places."""
    paths: tuple[Path, ...]
    circuits: tuple[Circuit, ...]
    conduits: tuple[Conduit, ...]
    checks: tuple[Check, ...]
    placards: tuple[Placard, ...]
    buying: tuple[Item, ...]
    cautions: tuple[str, ...]
    share_lost: float
    """Share of rated power lost in the wires at rated current."""
    notes: tuple[str, ...] = ()
    """What was assumed, and what is not covered, in words."""
    electrodes: tuple[Electrode, ...] = ()
    """Conductors to grounding electrodes; none for a code that has no values at hand."""
    array_ground: str = ""
    """Grounding conductor of rails and boxes: the largest that any of its circuits asks for."""
