"""Rules of the code that are no arithmetic: what applies, signs, notes."""

from __future__ import annotations

import numpy as np

from plumbrail.bases.iec.strings import NOT_COVERED
from plumbrail.bases.us.nec import applicability as nec
from plumbrail.bases.us.nec import devices, grounding, placards, raceway
from plumbrail.bases.us.nec.current import required_device
from plumbrail.check import Check, Status
from plumbrail.plan.models import Plan
from plumbrail.plan.section import Section
from plumbrail.units import show
from plumbrail.wiring.circuits import Line, largest
from plumbrail.wiring.conduits import Filled, growth, needs_expansion
from plumbrail.wiring.kinds import LISTED_GROUND, UNLISTED
from plumbrail.wiring.parts import Grouping, Placard
from plumbrail.wiring.sheet import section_of, sheet_of
from plumbrail.wiring.string_checks import missing
from plumbrail.wiring.volts import table_known

INCH = 0.0254
PVC_UP_TO = 323.15
"""50 °C [K]: hottest surroundings of PVC conduit, 352.12(D)."""
PULL_BOX_FROM = ("4 AWG", "3 AWG", "2 AWG", "1 AWG", "1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG",
                 "250 kcmil", "300 kcmil", "350 kcmil", "400 kcmil", "500 kcmil")  # fmt: skip
TOPICS = {
    "arc-fault protection": "arc-fault", "rapid shutdown": "rapid-shutdown",
    "ground-fault protection": "ground-fault", "metal raceway indoors": "metal-raceway",
    "open wires within reach": "open-wires", "system disconnect": "disconnect",
}  # fmt: skip


def situation(plan: Plan, cold: float, current: float) -> tuple[nec.Applies, ...]:
    """The rules for a plan, by its largest voltage [V] and current [A]; empty for IEC."""
    wiring = section_of(plan)
    if wiring.basis.code == "IEC":
        return ()
    return nec.applicability(wiring.basis.code, wiring.run.building, wiring.run.ends, cold, current)


def rule_checks(plan: Plan, found: tuple[nec.Applies, ...]) -> list[Check]:
    """Rules that the plan can answer, and those that it leaves open."""
    if section_of(plan).basis.code == "IEC":
        why, site = "no values at hand for IEC", "the installation"
        return [missing(f"rules.iec-{i + 1}", site, topic, why)
                for i, topic in enumerate(NOT_COVERED)]  # fmt: skip
    return [_rule(plan, a) for a in found if a.topic in TOPICS and a.applies is not False]


def _rule(plan: Plan, rule: nec.Applies) -> Check:
    unit, id = section_of(plan).equipment, f"rules.{TOPICS[rule.topic]}"
    clause, subject = f"NFPA 70 {rule.clause}", "the installation"
    has = {"arc-fault protection": unit.arc_fault, "ground-fault protection": unit.ground_fault}
    answer, field = has.get(rule.topic), TOPICS[rule.topic].replace("-", "_")
    if rule.applies is None or answer is None:
        ask = f"give wiring.equipment.{field}; " if rule.topic in has else ""
        return Check(id, subject, rule.topic, Status.NOT_CHECKED, clause=clause, family="rules",
                     certainty=rule.certainty, note=f"{ask}{rule.words}")  # fmt: skip
    status = Status.PASS if answer else Status.FAIL
    said = f"wiring.equipment.{field} says {'yes' if answer else 'no'}"
    return Check(id, subject, rule.topic, status, clause=clause, certainty=rule.certainty,
                 note=f"{said}. {rule.words}", family="rules", rule=True)  # fmt: skip


def signs(
    plan: Plan, found: tuple[nec.Applies, ...], grouping: Grouping
) -> tuple[Placard, ...]:  # fmt: skip
    """The signs with what is to be written into them; empty for IEC."""
    wiring = section_of(plan)
    if wiring.basis.code == "IEC":
        return ()
    shutdown = next(a.applies for a in found if a.topic == "rapid shutdown")
    known = {"largest voltage": f"{grouping.cold:.0f} V"}
    listed = placards.placards(wiring.basis.code, wiring.run.ends, shutdown, wiring.equipment.kind)
    return tuple(
        Placard(p.where, p.text, f"NFPA 70 {p.clause}", "; ".join(
            f"{v}: {known.get(v, 'to be filled in')}" for v in p.values))
        for p in listed
    )  # fmt: skip


def notes_of(plan: Plan, found: tuple[nec.Applies, ...], pipes: list[Filled]) -> tuple[str, ...]:
    """What was assumed and what is to be kept in mind, in words."""
    wiring = section_of(plan)
    us = wiring.basis.code != "IEC"
    notes = [
        "A module's leads are taken to start in the middle of its underside.",
        *_warmth(plan),
        "The modules' own leads are not in the voltage lost.",
        "Whether a grouping suits the battery's voltage is not checked.",
        "Not checked: wires, fuses, disconnects and grounding from the equipment on, to battery, "
        "loads, generator or grid.",
    ]
    if us and not table_known(plan):
        notes.append("Below -40 °C the code's table has no factor: the coefficient counts"
                     + (", or the table's last factor where that gives more."
                        if wiring.basis.cold_voltage == "larger" else "."))  # fmt: skip
    elif us:
        notes.append("The code's table of factors is for crystalline silicon only.")
    if sheet_of(plan).noct is None:
        notes.append(
            "The hottest cell is estimated by Faiman's own figures; module.noct would serve better."
        )
    if not us:
        return (*notes, "IEC: sizes follow from the voltage lost, with wires at 90 °C. Kinds of "
                "cable, conduit and their sizes are not checked; solar cable is that of IEC 62930 "
                "(from memory).")  # fmt: skip
    applying = [f"{a.topic}, {a.clause}: {a.words}" for a in found if a.topic not in TOPICS
                or a.applies is False]  # fmt: skip
    electrode = grounding.array_electrode(wiring.basis.code)
    facts = [f"{f.words} ({f.clause})" for f in grounding.ELECTRODE_FACTS]
    return (*notes, *_conduit_notes(plan, pipes), *applying,
            f"{electrode.words} ({electrode.clause})", *facts,
            "A grounding conductor smaller than 6 AWG is protected where it can be damaged "
            "(from memory).", placards.CAUTION)  # fmt: skip


def _warmth(plan: Plan) -> list[str]:
    """How warm it is taken to be about the wires; metric sizes do not go by it."""
    wiring, system = section_of(plan), plan.job.units
    if wiring.basis.code == "IEC":
        return []

    def said(field: str, section: Section) -> str:
        return "" if field in section.model_fields_set else " (common practice, not stated)"

    def by(value: float) -> str:
        return show(value, "temperature_difference", system)

    hot = show(plan.site.hottest, "temperature", system)
    own, sun = wiring.conductors.module_air, wiring.run.sun_rise
    return [
        f"Wires of one box count as one bundle in the air behind the modules, {by(own)} warmer "
        f"than site.hottest, {hot}: wiring.conductors.module_air"
        f"{said('module_air', wiring.conductors)}.",
        f"Conduit above the ground counts as {by(sun)} warmer than site.hottest in the sun: "
        f"wiring.run.sun_rise{said('sun_rise', wiring.run)}. The adder of the code for raceway "
        "close to a roof (310.15) does not apply to an array on the ground.",
    ]


def _conduit_notes(plan: Plan, pipes: list[Filled]) -> list[str]:
    wiring = section_of(plan)
    notes = [
        "Bends between two pull points add up to 360 degrees at most; the elbows at the feet of "
        "both risers take 180 of them. Past that, set a pull box.",
        "Lengths of the risers are estimated: from the box, and from 8 ft up the wall, to the "
        "depth of the run.",
    ]  # fmt: skip
    main = next((p for p in pipes if p.conduit.id == "run.conduit"), None)
    if main is not None and main.conduit.trade:
        size = main.conduit.contents[0].split(" x ")[1]
        if any(size.startswith(f"{s} ") for s in PULL_BOX_FROM):
            inches = sum(_fraction(part) for part in main.conduit.trade.split("-"))
            box = float(raceway.pull_box_straight(np.asarray(inches * INCH)))
            notes.append("A pull box for a straight pull is at least "
                         f"{show(box, 'length', plan.job.units)} long (314.28).")  # fmt: skip
    if wiring.conductors.array_type == "USE-2":
        notes.append("USE-2 in the open is marked as resistant to sunlight (690.31).")
    if wiring.conductors.run_type in UNLISTED:
        notes.append(f"The grounding conductor beside {wiring.conductors.run_type} counts as "
                     f"{LISTED_GROUND} in the fill of conduit.")  # fmt: skip
    if wiring.conductors.run_type == "RHW-2":
        notes.append("The fill of conduit takes RHW-2 without an outer covering; with one it is "
                     "thicker, and the conduit larger.")  # fmt: skip
    grown = growth(plan)
    if grown is None:
        notes.append("Growth of the conduit above the ground is not checked: give "
                     "wiring.run.straight.")  # fmt: skip
    else:
        need = "needs an expansion fitting" if needs_expansion(plan) else "needs no fitting"
        notes.append(f"The straight piece of {wiring.run.riser} above the ground grows by "
                     f"{1000 * float(grown):.1f} mm between cold and sun: it {need} (352.44; from "
                     "1/4 in on).")  # fmt: skip
    if wiring.run.method == "EMT":
        notes.append("EMT in the ground needs protection against corrosion that the inspector "
                     "accepts (from memory).")  # fmt: skip
    return notes


def run_notes(plan: Plan, run: Line) -> tuple[str, ...]:
    """What a breaker set in the run would meet, and PVC where it is too hot for it."""
    wiring, size, notes = section_of(plan), run.wire.size, list[str]()
    if wiring.basis.code == "IEC":
        return ()
    if size and run.device is None:
        least = devices.standard_rating(required_device(largest(plan, run.parallel)),
                                        wiring.basis.code)  # fmt: skip
        most = np.minimum(devices.small_conductor_cap(size, run.wire.laying.metal),
                          devices.standard_rating(run.wire.usable, wiring.basis.code))  # fmt: skip
        if least > most:
            notes.append(
                f"A breaker set in the run, also as its disconnect, would have to be {least:g} A "
                f"at least, and {size} takes {most:g} A at most (240.4, 690.9(B)): use a "
                "disconnect without one, or write a thicker wiring.conductors.run_size."
            )
    if plan.site.hottest > PVC_UP_TO and "PVC" in wiring.run.method + wiring.run.riser:
        notes.append("PVC conduit is made for places up to 50 °C (352.12); site.hottest is above "
                     "that: ask its maker, or take RMC.")  # fmt: skip
    return tuple(notes)


def _fraction(text: str) -> float:
    top, _, bottom = text.partition("/")
    return float(top) / float(bottom or 1)
