"""Plans with a wiring section for tests: an invented controller on the 24 modules of a demo."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from plans import plan_with
from plumbrail.check import Check
from plumbrail.model.build import build
from plumbrail.plan.models import Plan
from plumbrail.wiring.parts import Array, Wired
from plumbrail.wiring.run import wired

WIRING: dict[str, Any] = {
    "basis": {"code": "NEC 2023", "cold_voltage": "larger"},
    "equipment": {
        "name": "Invented controller", "kind": "controller", "max_voltage": "450 V",
        "working": ["90 V", "430 V"], "start_voltage": "100 V", "inputs": 1,
        "max_short_circuit": "60 A", "max_current": "45 A", "max_array": "12 kW",
        "backfeed": "0 A", "terminals": "75 degC", "arc_fault": True, "ground_fault": True,
    },
    "combiners": {"count": 1, "corner": "back right", "terminals": "75 degC", "height": "4 ft"},
    "run": {
        "length": "140 ft", "method": "PVC 40", "surface": "yard", "riser": "PVC 80",
        "straight": "8 ft", "ends": "inside", "building": "other",
    },
    "conductors": {"array_size": "10 AWG", "voltage_drop": "2 %"},
    "prices": {"array_wire": 1.6, "connector_pair": 4.5},
}  # fmt: skip
LOW = {
    "equipment.max_voltage": "250 V", "equipment.working": ["60 V", "230 V"],
    "equipment.start_voltage": "65 V", "equipment.max_short_circuit": "120 A",
    "equipment.max_current": "100 A",
}  # fmt: skip
"""Changes for a controller of 250 V, which takes six strings of four."""


def wired_plan(
    changes: Mapping[str, Any] | None = None, elsewhere: Mapping[str, Any] | None = None
) -> Plan:
    """A plan with the wiring above and changes in it; a value of None takes the field out.

    ``changes`` are places in the wiring section, ``elsewhere`` places in the whole plan.
    """
    section = deepcopy(WIRING)
    for place, value in (changes or {}).items():
        *path, last = place.split(".")
        holder = section
        for step in path:
            holder = holder.setdefault(step, {})
        if value is None:
            holder.pop(last, None)
        else:
            holder[last] = value
    return plan_with({"wiring": section, **(elsewhere or {})})


def wire(
    changes: Mapping[str, Any] | None = None, elsewhere: Mapping[str, Any] | None = None,
    shade: Array | None = None,
) -> Wired:  # fmt: skip
    """The wiring of :func:`wired_plan`."""
    plan = wired_plan(changes, elsewhere)
    return wired(plan, build(plan), shade)


def check(found: Wired, id: str) -> Check:
    """One check by its id."""
    (one,) = [c for c in found.checks if c.id == id]
    return one
