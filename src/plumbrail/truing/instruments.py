"""How well each reading is made: from the plan where it says so, else from common practice."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.notebook.entries import Kind
from plumbrail.plan.truing import Instrument, Truing
from plumbrail.tables.loader import load
from plumbrail.truing.taping import G, string_sag

TAPED = (Kind.TAPE, Kind.LEVEL_TAPE, Kind.DIAGONAL)
STRUNG = (Kind.STRING_SIDE, Kind.STRING_HEIGHT)
ANGLES = (Kind.PLUMB, Kind.TILT)
_ANGULAR = ("level", "angle gauge")

TOOLS: dict[Kind, tuple[str, ...]] = {
    Kind.ROD: ("laser",), Kind.TAPE: ("tape",), Kind.LEVEL_TAPE: ("tape",),
    Kind.DIAGONAL: ("tape",), Kind.STRING_SIDE: ("string",), Kind.STRING_HEIGHT: ("string",),
    Kind.PLUMB: _ANGULAR, Kind.TILT: ("angle gauge", "level"),
}  # fmt: skip
"""What each kind can be read with; the first is used when the notebook names none."""


@dataclass(frozen=True, slots=True)
class Precision:
    """One instrument on one kind of reading, SI."""

    error: float
    """Of one reading [m], or [rad] for angles."""
    per_length: float
    """Further standard deviation as a share of a length."""
    curve: float
    """Weight over twice the pull of a string [1/m], by the plan or a usual string; else 0."""
    curve_stated: bool
    """The plan states both weight and pull, so that the sag can be corrected."""
    temperature: float | None
    """Of a tape while in use [K]."""

    def sd(self, length: float, sag: float = 0.0) -> float:
        """Standard deviation over a length [m], with a sag [m] that is not corrected."""
        return float(np.sqrt(self.error**2 + (self.per_length * length) ** 2 + sag**2))


def stated_in(truing: Truing, name: str) -> Instrument | None:
    """What the plan states of an instrument, whatever capitals its name is written with."""
    exact = truing.instruments.get(name)
    return exact or next(
        (i for own, i in truing.instruments.items() if own.casefold() == name.casefold()), None
    )


def _twice(truing: Truing, name: str) -> list[str]:
    """Names in the plan that differ from this one in capitals only."""
    return [own for own in truing.instruments if own.casefold() == name.casefold()]


def refusal(kind: Kind, name: str, truing: Truing) -> str:
    """Why a kind cannot be read with the instrument of this name; empty when it can."""
    tools = " or ".join(TOOLS[kind])
    stated, twice = stated_in(truing, name), _twice(truing, name)
    if len(twice) > 1:
        names = " and ".join(f'"{own}"' for own in twice)
        return f"the plan has {names}, which differ in capitals only; rename one of them"
    known = {tool for group in TOOLS.values() for tool in group}
    if stated is None and name.lower() not in known:
        names = ", ".join(sorted(known | set(truing.instruments)))
        return (
            f'no instrument "{name}"; known are {names}. Add [truing.instruments."{name}"] with '
            f'kind = "{TOOLS[kind][0]}" to the plan, or leave the instrument out'
        )
    made = stated.kind if stated else name.lower()
    if made in TOOLS[kind]:
        return ""
    return f'"{name}" is a {made}; {kind} is read with a {tools}'


def precision(kind: Kind, name: str, truing: Truing) -> Precision:
    """Precision of an instrument that :func:`refusal` finds nothing against."""
    stated = stated_in(truing, name)
    tool = stated.kind if stated else name.lower()
    table = load("practice", "instruments")
    reading = str(kind) if kind in STRUNG else next(
        r for r, i in zip(table.words["reading"], table.words["instrument"], strict=True)
        if i == tool
    )  # fmt: skip
    usual = {c: float(table.value(c, reading=reading)) for c in table.numbers}
    angular = kind in ANGLES
    error = usual["error_angle" if angular else "error"]
    own = (stated.error_angle if angular else stated.error) if stated else None
    share = usual["per_length"] if stated is None or stated.per_length is None else (
        stated.per_length
    )  # fmt: skip
    sags = tool == "string" and kind is Kind.STRING_HEIGHT
    return Precision(
        error if own is None else own, 0.0 if angular else share,
        _curve(stated, usual) if sags else 0.0,
        bool(sags and stated and stated.weight is not None and stated.pull is not None),
        stated.temperature if stated and kind in TAPED else None,
    )  # fmt: skip


def _curve(stated: Instrument | None, usual: dict[str, float]) -> float:
    """Weight over twice the pull; what the plan leaves out is a usual mason's line."""
    weight = usual["weight"] if stated is None or stated.weight is None else stated.weight
    pull = usual["pull"] if stated is None or stated.pull is None else stated.pull
    # sag of a string of length 2 at its middle is w a (L - a) / (2 T) with a (L - a) = 1
    return float(string_sag(np.array(weight * G), np.array(1.0), np.array(2.0), np.array(pull)))
