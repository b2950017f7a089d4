"""How well the usual meters read, and what good modules differ by: common practice, each stated."""

from __future__ import annotations

from collections.abc import Iterable

from plumbrail.notebook.proof_entries import Probe, Proof
from plumbrail.plan.proving import Meter, Proving
from plumbrail.proving.parts import Part
from plumbrail.trace import Certainty

PRACTICE = Certainty.PRACTICE
LIGHT, WARMTH, LOW_LIGHT = "light", "warmth", "low light"
VOLTS, AMPERES, FILL = "module voltage", "module current", "working point"
USUAL = {
    "voltmeter": 0.005, "ammeter": 0.02, "light sensor": 0.05, "ohmmeter": 0.05,
    "insulation tester": 0.10, "torque tool": 0.04,
}  # fmt: skip
"""Largest error as a share of the reading."""
USUAL_KELVINS = {"thermometer": 3.0, "thermal camera": 2.0}
"""Largest error [K]; of a thermometer with the cell against where it is held."""
SPREAD = 0.005
"""Standard deviation of voc and isc between modules of one delivery."""
FLICKER = 0.01
"""Standard deviation of the light between the sensor's reading and the meter's."""
GRADIENT = 0.7
"""Standard deviation of warmth of one string against another [K]."""
DIGIT = 0.001
"""Standard deviation of a meter's own repeats, a share."""
TRACKING = 0.01
"""Standard deviation of a working point about the best one, a share."""
FILLING = 0.015
"""Standard deviation common to all working voltages: wires, sheet values of the best point."""
SLOPE = 0.012
"""Standard deviation of the share by which voc falls per ln of the light."""
BACK_TO_CELL = 2.5
"""Cell warmer than the module's back in full sun [K]; 2 to 3 K, from memory."""
_KIND = {
    Probe.OPEN: "voltmeter", Probe.WORKING_VOLTAGE: "voltmeter", Probe.SHORT: "ammeter",
    Probe.WORKING_CURRENT: "ammeter", Probe.PLUS_TO_GROUND: "voltmeter",
    Probe.MINUS_TO_GROUND: "voltmeter", Probe.CONTINUITY: "ohmmeter",
    Probe.INSULATION: "insulation tester", Probe.TORQUE: "torque tool",
    Probe.WARMTH: "thermal camera",
}  # fmt: skip


def meter_of(plan: Proving, kind: Probe, name: str) -> Part:
    """Largest error of the meter that a reading names, by the plan or by common practice."""
    sort = _KIND[kind]
    own = next((m for n, m in plan.instruments.items()
                if n.casefold() == name.casefold() and m.kind == sort), None)  # fmt: skip
    return _part(sort, name if own else sort, own)


def unknown_meters(plan: Proving, proofs: Iterable[Proof]) -> tuple[str, ...]:
    """Meters that the tests name and the plan does not have, each once, in words."""
    found: dict[str, str] = {}
    for p in proofs:
        sort, name = _KIND.get(p.kind), p.instrument
        if sort is None or not name or name.casefold() == sort:
            continue
        kinds = [m.kind for n, m in plan.instruments.items() if n.casefold() == name.casefold()]
        if sort in kinds:
            continue
        there = f"is in the plan as {kinds[0]}, not as {sort}" if kinds else "is not in the plan"
        words = f"meter {name} {there}; common accuracy of its kind ({sort}) assumed"
        found.setdefault(words.casefold(), words)
    return tuple(found.values())


def sensor(plan: Proving, sort: str) -> Part:
    """The light sensor or thermometer: the first of its kind in the plan, or common practice."""
    found = next(((n, m) for n, m in plan.instruments.items() if m.kind == sort), None)
    return _part(sort, sort, None if found is None else found[1])


def _part(sort: str, name: str, own: Meter | None) -> Part:
    kelvins = sort in USUAL_KELVINS
    usual = USUAL_KELVINS[sort] if kelvins else USUAL[sort]
    stated = None if own is None else own.error_temperature if kelvins else own.error
    sure = PRACTICE if stated is None else Certainty.PLAN
    return Part(name, sort, usual if stated is None else stated, sure, kelvins)


def _stated(plan: Proving, name: str) -> Certainty:
    return Certainty.PLAN if name in plan.model_fields_set else PRACTICE


def budget(plan: Proving) -> tuple[Part, ...]:
    """Every part of the uncertainties, for papers."""
    voltmeter, ammeter = (meter_of(plan, k, "") for k in (Probe.OPEN, Probe.SHORT))
    root = 3.0**0.5
    return (
        Part("module voltage", "maker's tolerance of voc", plan.module_voltage,
             _stated(plan, "module_voltage")),
        Part("module current", "maker's tolerance of isc", plan.module_current,
             _stated(plan, "module_current")),
        voltmeter, ammeter, sensor(plan, "light sensor"), sensor(plan, "thermometer"),
        Part("spread", "between modules of one delivery", SPREAD * root, PRACTICE),
        Part("flicker", "light between sensor and meter", FLICKER * root, PRACTICE),
        Part("gradient", "warmth of one string against another", GRADIENT * root, PRACTICE, True),
        Part("low light", "fall of voc per ln of the light", SLOPE * root, PRACTICE),
    )  # fmt: skip
