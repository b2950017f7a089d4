"""What the sheet of an electrical test says: frozen rows in SI with the line they stand on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from plumbrail.errors import Problem


class Probe(StrEnum):
    """What was tested; the words are those of the ``kind`` column."""

    OPEN = "open-circuit voltage"
    SHORT = "short-circuit current"
    WORKING_CURRENT = "operating current"
    WORKING_VOLTAGE = "operating voltage"
    POLARITY = "polarity"
    CONTINUITY = "ground continuity"
    INSULATION = "insulation"
    PLUS_TO_GROUND = "positive to ground"
    MINUS_TO_GROUND = "negative to ground"
    TORQUE = "torque"
    WARMTH = "thermal look"
    LABEL = "label"
    FUNCTION = "function"
    SERIAL = "serial"
    PHOTO = "photo"


CURRENTS = (Probe.SHORT, Probe.WORKING_CURRENT)
LIT = (Probe.OPEN, *CURRENTS, Probe.WORKING_VOLTAGE)
"""Kinds whose value hangs on light and warmth."""


@dataclass(frozen=True, slots=True)
class Proof:
    """One test as it was written down."""

    line: int
    time: str
    """As written, ISO 8601; empty when none was."""
    place: str
    """String, screw, sign or function; for serial and photo whatever was written."""
    kind: Probe
    value: float | None
    """SI; None for words. Polarity: 1 right, -1 reversed. Label and function: 1 good, 0 not."""
    at_least: bool
    """The meter showed over its range: the value is a lower bound."""
    under: float | None
    """Test voltage of an insulation test [V]; torque that is marked on the part [N*m]."""
    screw: str
    """Connector of a torque, as in the code's table; empty when not written."""
    light: float | None
    """On the modules at that moment [W/m2]."""
    warmth: float | None
    """Of cell or back of module, as the plan says [K]."""
    instrument: str
    """The kind's usual one where none was written."""
    note: str
    text: str
    """The value as written."""


@dataclass(frozen=True)
class ProofBook:
    """Everything one sheet of tests says, in the order of its rows."""

    proofs: tuple[Proof, ...]
    struck: tuple[str, ...]
    """Rows that their writer struck out, in words."""
    blank: int
    """Rows without a value."""
    problems: tuple[Problem, ...]
    """Rows that cannot be used, each with its line."""
    sha256: str
    source: str
