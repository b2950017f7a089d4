"""What passes between the steps of the trench: frozen, SI, local axes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plumbrail.check import Check

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Bundle:
    """Conductors alike in the conduit of the run."""

    count: int
    size: str
    insulation: str
    metal: str
    grounding: bool = False


@dataclass(frozen=True)
class Wires:
    """What the wiring says of the run. Lengths [m]."""

    box: Array
    """(3,) where the run begins."""
    box_name: str
    method: str
    riser: str
    trade: str
    """Trade size; empty: none, or not known."""
    fill: float
    bundles: tuple[Bundle, ...]
    planned: float
    """Length of the run that the wiring counts with."""
    slack: float


@dataclass(frozen=True)
class Piece:
    """A stretch of the route over ground of one kind."""

    start: float
    end: float
    """Distance along the route [m]."""
    factor: float
    hand: bool
    names: tuple[str, ...]
    """What lies there: zones of services, roots, paving, rock, the array above."""
    kinds: tuple[str, ...]

    @property
    def long(self) -> float:
        """[m]"""
        return self.end - self.start


@dataclass(frozen=True)
class Crossing:
    """A place where the route passes a buried service."""

    number: str
    """``X1`` …, from the start."""
    service: str
    kind: str
    at: float
    """Distance along the route [m]."""
    point: tuple[float, float]
    angle: float
    """Between the route and the service, at most a right angle [rad]."""
    sure: bool
    zone: tuple[float, float]
    """Distances along the route between which it is dug by hand [m]."""
    top: float | None
    """Depth of its top; None: not known."""
    width: float
    """0: not known."""
    conduit: float
    """Depth of the top of the conduit there."""
    over: bool | None
    """The conduit passes over it; None: not known."""
    gap: float | None
    """Between conduit and service, upright; None: not known."""
    asked: float
    """Gap that the plan asks for."""


@dataclass(frozen=True)
class Bend:
    """A bend of the conduit."""

    at: float
    angle: float
    way: str
    """left, right, down, up."""


@dataclass(frozen=True)
class Station:
    """A row of the stake-out table."""

    name: str
    at: float
    point: tuple[float, float]
    bearing: float | None
    """To the next stake, clockwise from true north [rad]; None at the last."""
    ground: float
    """Height of the ground."""
    depth: float
    """Of the bottom of the trench."""
    what: str


@dataclass(frozen=True)
class Option:
    """One way to run the trench."""

    name: str
    """proposed, shortest, least hand digging, fewest crossings."""
    points: Array
    """(n, 2) the first at the riser of the array, the last at the wall."""
    length: float
    hand: float
    crossings: int
    bends: float
    """[rad]"""
    hours: float
    differs: str
    """From the one proposed, in words; empty for that one."""


@dataclass(frozen=True)
class Profile:
    """Along the route. Axis: place."""

    at: Array
    ground: Array
    cover: Array
    """Least cover that the code asks for."""
    top: Array
    """Depth of the top of the conduit under the ground."""
    bottom: Array
    """Depth of the trench."""
    guessed: bool
    """Some of the ground is beyond the survey points."""


@dataclass(frozen=True)
class Direction:
    """Pulling one leg one way."""

    toward: str
    """equipment, array."""
    tension: Array
    """(elements,) at the end of each [N]"""
    sidewall: Array
    """(elements,) largest in each bend [N/m]; 0 in straight pieces."""


@dataclass(frozen=True)
class Element:
    """A straight piece or a bend of the conduit."""

    what: str
    """straight, bend."""
    start: float
    end: float
    """Distance along the route [m]; equal in risers and bends."""
    long: float
    slope: float
    """Rise of a straight piece on the way to the equipment [rad]."""
    angle: float
    """Of a bend [rad]."""


@dataclass(frozen=True)
class Leg:
    """Conduit between two pulling points."""

    name: str
    start: str
    end: str
    elements: tuple[Element, ...]
    bends: float
    length: float
    directions: tuple[Direction, ...]
    """Toward the equipment and toward the array; empty where weights are not known."""
    better: int
    """Which of them needs the smaller pull."""


@dataclass(frozen=True)
class Box:
    """A pull box that is proposed."""

    name: str
    at: float
    point: tuple[float, float]
    why: str
    least: float | None
    """Least inner length by the code [m]; None: not set for wires this small, or not known."""


@dataclass(frozen=True)
class Amount:
    """A line of what is bought or moved."""

    what: str
    amount: float
    unit: str
    """m, m3, pieces, h"""
    price: float | None
    note: str = ""


@dataclass(frozen=True)
class Hours:
    """Work of one person [h]; filling is not among it."""

    machine: float
    by_hand: float
    """Digging by hand, crossings included."""
    laying: float
    """Conduit with its bedding, bends."""


@dataclass(frozen=True)
class Trenched:
    """The whole of it."""

    option: Option
    others: tuple[Option, ...]
    spacing: float
    bound: float
    """See :class:`plumbrail.trench.routing.Way`; hours."""
    pieces: tuple[Piece, ...]
    crossings: tuple[Crossing, ...]
    bends: tuple[Bend, ...]
    profile: Profile
    stations: tuple[Station, ...]
    legs: tuple[Leg, ...]
    boxes: tuple[Box, ...]
    amounts: tuple[Amount, ...]
    checks: tuple[Check, ...]
    checklist: tuple[str, ...]
    cautions: tuple[str, ...]
    separations: tuple[str, ...]
    notes: tuple[str, ...]
    hours: Hours
    outer: float
    """Outer width of the conduit; 0: not known."""
    conduit: float
    """Length of conduit with both risers."""
