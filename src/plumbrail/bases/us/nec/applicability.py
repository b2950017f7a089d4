"""Which rules of NFPA 70, article 690, apply to a ground-mounted array and its run.

Each answer is for one edition and one situation. What is not known is not checked: ``applies`` is
None then, never False.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from plumbrail.errors import RangeError
from plumbrail.trace import Certainty, require

ARC_FAULT_FROM = 80.0
"""[V] from which 690.11 asks for arc-fault protection."""
TOUCH_VOLTAGE = 30.0
"""[V] above which several rules begin."""
SMALL_CURRENT = 8.0
"""[A] above which 690.31(D) and 690.41(B) begin whatever the voltage."""
CABLE_VOLTAGE = 1000.0
"""[V] above which 300.50 replaces the cover of 300.5."""
EQUIPMENT_SWITCH_FROM = 30.0
"""[A] of largest current above which 690.15 asks for a load-break disconnect."""
_SURE = {
    "NEC 2017": Certainty.MEMORY,
    "NEC 2020": Certainty.SECOND_HAND,
    "NEC 2023": Certainty.SECOND_HAND,
}


@dataclass(frozen=True)
class Applies:
    """Whether one rule applies, and what it asks then."""

    topic: str
    applies: bool | None
    """None: not checked."""
    clause: str
    words: str
    certainty: Certainty


@dataclass(frozen=True)
class Situation:
    """What the rules depend on."""

    edition: str
    building: str
    """dwelling, other, or solar only."""
    ends: str
    """outside: on the outer wall; inside: the run enters."""
    V_max: float
    """Largest voltage of the circuits [V]."""
    I_max: float
    """Largest current of the run [A]."""

    @property
    def live(self) -> bool:
        """Above 30 V or 8 A."""
        return self.V_max > TOUCH_VOLTAGE or self.I_max > SMALL_CURRENT

    @property
    def sure(self) -> Certainty:
        """How the text of the edition was obtained."""
        return _SURE.get(self.edition, Certainty.MEMORY)


def applicability(
    edition: str, building: str, ends: str, V_max: float, I_max: float
) -> tuple[Applies, ...]:
    """The rules that a builder has to look at, in the order of the code.

    Voltage [V] and current [A] are the largest of the direct-current circuits. An edition other
    than NEC 2017, 2020 or 2023 gives every topic with ``applies`` None. Raises RangeError for a
    building or end that the plan does not have, or numbers that are not above zero.
    """
    if building not in ("dwelling", "other", "solar only"):
        raise RangeError(f"The building is {building!r}; write dwelling, other or solar only.")
    if ends not in ("outside", "inside"):
        raise RangeError(f"The run ends {ends!r}; write outside or inside.")
    tiny = float(np.finfo(float).tiny)
    require("the largest voltage", tiny, V_max, 1e5, "NFPA 70 690.7", "Give it in V.")
    require("the largest current", tiny, I_max, 1e5, "NFPA 70 690.8", "Give it in A.")
    case = Situation(edition, building, ends, V_max, I_max)
    answers = tuple(rule(case) for rule in _RULES)
    if edition in _SURE:
        return answers
    why = f"not checked: the text of {edition} is not known here"
    return tuple(Applies(a.topic, None, a.clause, why, Certainty.MEMORY) for a in answers)


def _arc_fault(c: Situation) -> Applies:
    needed = c.V_max >= ARC_FAULT_FROM
    text = (
        "A listed arc-fault interrupter for direct current. The exception for circuits in metal "
        "raceway or under ground, away from buildings, does not free the open wires of the array."
        if needed
        else "Below 80 V no arc-fault interrupter is asked for."
    )
    return Applies("arc-fault protection", needed, "690.11", text, c.sure)


def _rapid_shutdown(c: Situation) -> Applies:
    topic, clause = "rapid shutdown", "690.12"
    if c.building == "solar only":
        text = "A building whose only purpose is solar equipment is exempt."
        return Applies(topic, False, f"{clause} exception", text, c.sure)
    if c.ends == "inside":
        text = (
            "The run enters the building: its circuits there fall to 30 V within 30 s of the "
            "switch being opened; a switch and labels belong to it."
        )
        return Applies(topic, True, clause, text, c.sure)
    if c.edition == "NEC 2023":
        text = "Circuits of an array apart from the building that end on its outside are exempt."
        return Applies(topic, False, f"{clause}(A)", text, Certainty.CONFIRMED)
    text = (
        "Not checked: before 2023 the text covers circuits on or in buildings and does not name "
        "those that end on the outer wall. Ask the building department."
    )
    return Applies(topic, None, clause, text, c.sure)


def _system_disconnect(c: Situation) -> Applies:
    text = (
        "A marked, lockable disconnect in a readily accessible place, at most six in one group, "
        "rated for voltage, current and fault current. Its door needs a lock or a tool above 30 V."
    )
    return Applies("system disconnect", True, "690.13", text, c.sure)


def _equipment_disconnect(c: Situation) -> Applies:
    kind = (
        "Above 30 A of largest current it must be able to break the load."
        if c.I_max > EQUIPMENT_SWITCH_FROM
        else "Up to 30 A an isolator not rated for load will do, marked so."
    )
    text = f"Isolation of the equipment: in it, or in sight and within 10 ft, or lockable. {kind}"
    return Applies("equipment disconnect", True, "690.15", text, c.sure)


def _access(c: Situation) -> Applies:
    needed = c.V_max > TOUCH_VOLTAGE
    text = (
        "Open wires that anyone can reach: put them in raceway or metal-clad cable, or behind a "
        "guard or fence; wires 8 ft above the ground are often accepted as out of reach. The "
        "building department decides."
        if needed
        else "Up to 30 V open wires may be within reach."
    )
    return Applies("open wires within reach", needed, "690.31(A)", text, c.sure)


def _separation(c: Situation) -> Applies:
    text = "No circuits other than solar ones in the same raceway or box without a barrier."
    return Applies("separate raceways", True, "690.31(B)", text, c.sure)


def _indoors(c: Situation) -> Applies:
    topic, clause = "metal raceway indoors", "690.31(G)" if c.edition == "NEC 2017" else "690.31(D)"
    if c.ends == "outside":
        return Applies(topic, False, clause, "The run does not enter a building.", c.sure)
    text = (
        "Inside the building: metal raceway, metal-clad cable of the named kind, or metal boxes."
        if c.live
        else "At no more than 30 V and 8 A any raceway will do indoors."
    )
    return Applies(topic, c.live, clause, text, c.sure)


def _ground_fault(c: Situation) -> Applies:
    text = (
        "Detection that stops the current and shows the fault where it is seen. Only a solidly "
        "grounded array of at most two modules in parallel, away from buildings, is free of it."
        if c.live
        else "At no more than 30 V and 8 A it is not asked for."
    )
    if c.edition == "NEC 2017" and not c.live:
        text = "Not checked: the limits of this edition are not known here."
        return Applies("ground-fault protection", None, "690.41(B)", text, c.sure)
    return Applies("ground-fault protection", c.live, "690.41(B)", text, c.sure)


def _bonding(c: Situation) -> Applies:
    text = (
        "All bare metal that carries no current goes to the equipment grounding conductor at any "
        "voltage, by listed parts or by jumpers between sections."
    )
    return Applies("bonding of frame and rails", True, "690.43", text, c.sure)


def _deep_cable(c: Situation) -> Applies:
    above = c.V_max > CABLE_VOLTAGE
    text = (
        "Above 1000 V the depths of 300.50 apply, which are not covered here."
        if above
        else "Up to 1000 V the cover of 300.5 holds."
    )
    return Applies("deeper burial above 1000 V", above, "300.50", text, Certainty.MEMORY)


_RULES: tuple[Callable[[Situation], Applies], ...] = (
    _arc_fault, _rapid_shutdown, _system_disconnect, _equipment_disconnect, _access, _separation,
    _indoors, _ground_fault, _bonding, _deep_cable,
)  # fmt: skip
