"""What is to be tested: strings, grounding, screws, signs, functions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from plumbrail.notebook.proof_entries import Probe
from plumbrail.plan.proving import Proving
from plumbrail.proving.parts import BuiltFrame, ModuleModel, TestedString, Wanted

FUNCTIONS = (
    "the disconnect opens and closes, and both sides are dead after it when all is locked out",
    "the equipment starts, shows no fault, and takes power from every input",
    "the equipment stops and starts again when the disconnect is opened and closed",
)
_GROUND_FAULT = "the ground-fault detector trips and reports, by its own test"
_ARC = "the arc-fault interrupter passes its own test"
_INVERTER = "the inverter stops within the time its maker gives when its supply is switched off"
_CONTROLLER = "the controller charges the battery, and its settings fit the battery's sheet"
_POWER = "power shown by the equipment fits the light on the modules"


@dataclass(frozen=True)
class Screw:
    """Terminals of one kind at one place."""

    id: str
    """``T1``"""
    where: str
    size: str
    """Conductor, ``10 AWG``."""


@dataclass(frozen=True)
class Subject:
    """The array that is tested, as it was planned."""

    rules: Proving
    module: ModuleModel
    strings: tuple[TestedString, ...]
    boxes: tuple[str, ...]
    screws: tuple[Screw, ...]
    signs: tuple[str, ...]
    """In words, in the order of their numbers."""
    equipment: Literal["controller", "inverter"]
    arc_fault: bool | None
    ground_fault: bool | None
    code: str
    """Edition of the electrical code."""
    system_voltage: float | None
    """Largest that a module stands [V]."""
    built: BuiltFrame | None
    """The frame as it stands; None when that was not measured."""
    not_covered: tuple[str, ...] = ()


def grounds(s: Subject) -> tuple[tuple[str, str], ...]:
    """Places where the grounding conductors must reach, each with its number."""
    words = [
        "front beam", "back beam", *(f"module frames and rails of {x.id}" for x in s.strings),
        *(f"box {box}" for box in s.boxes), "disconnect", "equipment",
    ]  # fmt: skip
    return tuple((f"G{i}", w) for i, w in enumerate(words, 1))


def functions(s: Subject) -> tuple[tuple[str, str], ...]:
    """Functional tests with their numbers; common practice after IEC 62446-1."""
    words = [*FUNCTIONS, _INVERTER if s.equipment == "inverter" else _CONTROLLER, _POWER]
    words += [_GROUND_FAULT] if s.ground_fault is not False else []
    words += [_ARC] if s.arc_fault is not False else []
    return tuple((f"F{i}", w) for i, w in enumerate(words, 1))


def places(s: Subject) -> dict[Probe, Sequence[str]]:
    """Names that a sheet of tests may use, by kind."""
    strings = [x.id for x in s.strings]
    modules = [m for x in s.strings for m in x.modules]
    lit = (Probe.OPEN, Probe.SHORT, Probe.WORKING_CURRENT, Probe.WORKING_VOLTAGE, Probe.POLARITY,
           Probe.PLUS_TO_GROUND, Probe.MINUS_TO_GROUND)  # fmt: skip
    return {
        **dict.fromkeys(lit, strings), Probe.INSULATION: [*strings, "array"],
        Probe.WARMTH: [*strings, *s.boxes, *modules],
        Probe.CONTINUITY: [id for id, _ in grounds(s)], Probe.TORQUE: [x.id for x in s.screws],
        Probe.LABEL: [f"P{i}" for i, _ in enumerate(s.signs, 1)],
        Probe.FUNCTION: [id for id, _ in functions(s)],
    }  # fmt: skip


def wanted(s: Subject) -> tuple[Wanted, ...]:
    """Every test in the order in which it is made: nothing is closed before polarity is known."""
    ids = [x.id for x in s.strings]
    found = [Wanted(Probe.CONTINUITY, id, words, "ground") for id, words in grounds(s)]
    for kind, words in (
        (Probe.POLARITY, "right or reversed, before any fuse goes in"),
        (Probe.OPEN, "every string by itself"),
        (Probe.SHORT, "only with a rated shorting switch; or the operating current instead"),
        (Probe.INSULATION, "value and test voltage"),
    ):
        found += [Wanted(kind, id, words, "string") for id in ids]
    found += [Wanted(Probe.TORQUE, x.id, f"{x.where}, {x.size}", "torque") for x in s.screws]
    found += [Wanted(Probe.FUNCTION, id, words, "function") for id, words in functions(s)]
    found += [Wanted(Probe.WARMTH, id, "hottest joint or cell over the others, loaded", "thermal")
              for id in (*ids, *s.boxes)]  # fmt: skip
    found += [Wanted(Probe.LABEL, f"P{i}", words, "label") for i, words in enumerate(s.signs, 1)]
    return tuple(found)
