"""What matters of the disconnect in the run: voltage, current, poles, fault, load, lock.

Each is a check of its own, so that none passes by itself: what the data sheet of the disconnect
has to say stands in the plan, or the check asks for it.
"""

from __future__ import annotations

from plumbrail.bases.us.nec.applicability import EQUIPMENT_SWITCH_FROM
from plumbrail.check import Check, Status
from plumbrail.plan.models import Plan
from plumbrail.plan.wiring import Disconnect
from plumbrail.trace import Certainty, given
from plumbrail.wiring import circuits
from plumbrail.wiring.layout import Layout
from plumbrail.wiring.parts import Array, Grouping
from plumbrail.wiring.provisions import (
    count_ratio,
    current_ratio,
    current_sum,
    larger_current,
    series_voltage,
    voltage_ratio,
)
from plumbrail.wiring.sheet import section_of
from plumbrail.wiring.string_checks import case, missing
from plumbrail.wiring.volts import cold_voltage, entry

MAKER, MEMORY, SECOND = Certainty.MAKER, Certainty.MEMORY, Certainty.SECOND_HAND
SUBJECT = "the disconnect of the run"
SHEET = "data sheet of the disconnect"


def switch_of(plan: Plan) -> Disconnect:
    """The plan's disconnect."""
    return section_of(plan).disconnect


def poles_needed(plan: Plan) -> int:
    """Wires of a run that are opened at once: one where a pole is wired to ground, else both."""
    return 1 if section_of(plan).grounding.system == "solid" else circuits.POLES


def disconnect_checks(plan: Plan, layout: Layout) -> list[Check]:
    """All that is asked of the disconnect."""
    return [
        _voltage(plan, layout.grouping), _current(plan, layout), _poles(plan),
        _fault(plan, layout), _load(plan, layout), _lock(plan),
    ]  # fmt: skip


def _voltage(plan: Plan, grouping: Grouping) -> Check:
    rated, id, title = switch_of(plan).voltage, "disconnect.voltage", "rated voltage"
    if rated is None:
        return missing(id, SUBJECT, title, f"ask for {grouping.cold:.0f} V of direct current at "
                       "least (a rating for alternating current does not count) and give "
                       "wiring.disconnect.voltage")  # fmt: skip

    def run() -> Array:
        number = entry("modules in a string", "N [-]", grouping.per_string)
        return voltage_ratio(
            series_voltage(number, cold_voltage(plan)),
            given("wiring.disconnect.voltage", "V_a [V]", rated, MAKER),
        )

    return case(id, SUBJECT, title, run, "voltage_ratio", SHEET,
                "of direct current, on the coldest morning")  # fmt: skip


def _current(plan: Plan, layout: Layout) -> Check:
    rated, id, title = switch_of(plan).current, "disconnect.current", "rated current"
    if rated is None:
        most = float(circuits.largest(plan, layout.parallel))
        return missing(id, SUBJECT, title, f"ask for {most:.1f} A of direct current at least, at "
                       "the strings' voltage, and give wiring.disconnect.current")  # fmt: skip

    def run() -> Array:
        return current_ratio(
            circuits.largest(plan, layout.parallel),
            given("wiring.disconnect.current", "I_a [A]", rated, MAKER),
        )

    return case(id, SUBJECT, title, run, "current_ratio", SHEET,
                "the largest current of a run")  # fmt: skip


def _poles(plan: Plan) -> Check:
    count, need = switch_of(plan).poles, poles_needed(plan)
    id, title = "disconnect.poles", "wires it opens at once"
    clause = "both poles at once" if _iec(plan) else "NFPA 70 690.13, 690.15, from memory"
    both = "both wires of a run" if need > 1 else "the wire of a run that is not grounded"
    series = "where the sheet puts poles in series to reach the voltage, they count as one"
    if count is None:
        return missing(id, SUBJECT, title, f"ask that it opens {both} at once at their voltage "
                       f"({series}) and give wiring.disconnect.poles")  # fmt: skip

    def run() -> Array:
        return count_ratio(
            given("wires of a run that are not grounded", "n_r [-]", float(need), MEMORY),
            given("wiring.disconnect.poles", "n_a [-]", float(count), MAKER),
        )

    return case(id, SUBJECT, title, run, "count_ratio", clause, f"{both}; {series}", rule=True)


def fault_current(plan: Plan, layout: Layout) -> Array:
    """Largest fault current through a run's disconnect [A]; 0-d: from the array or from behind."""
    own = circuits.largest(plan, layout.parallel)
    back = given("wiring.equipment.backfeed", "I_2 [A]", section_of(plan).equipment.backfeed or 0.0,
                 MAKER)  # fmt: skip
    if not layout.others:
        return larger_current(own, back)
    return larger_current(own, current_sum(circuits.largest(plan, layout.others), back))


def _fault(plan: Plan, layout: Layout) -> Check:
    rated, back = switch_of(plan).interrupting, section_of(plan).equipment.backfeed
    id, title = "disconnect.fault", "fault current"
    if rated is None or back is None:
        ask = []
        if rated is None:
            ask.append("ask its maker what fault current of direct current it stands or breaks, "
                       "alone or with a fuse; give wiring.disconnect.interrupting")  # fmt: skip
        if back is None:
            ask.append("ask the maker of the equipment what a battery or the grid can drive back "
                       "through it and give wiring.equipment.backfeed")  # fmt: skip
        known = f"the array alone gives {float(circuits.largest(plan, layout.parallel)):.1f} A"
        return missing(id, SUBJECT, title, f"{'; '.join(ask)}; {known}")

    def run() -> Array:
        return current_ratio(
            fault_current(plan, layout),
            given("wiring.disconnect.interrupting", "I_a [A]", rated, MAKER),
        )

    clause = SHEET if _iec(plan) else "NFPA 70 690.13, 110.9"
    return case(id, SUBJECT, title, run, "current_ratio", clause,
                "what the array gives, or the equipment and the other runs push back")  # fmt: skip


def _load(plan: Plan, layout: Layout) -> Check:
    """Whether it may be opened under load; an isolator up to 30 A is left to the inspector."""
    says, id, title = switch_of(plan).load_break, "disconnect.load-break", "opening under load"
    flow = float(circuits.largest(plan, layout.parallel))
    if says is None:
        return missing(id, SUBJECT, title, "ask whether it may be opened under load with direct "
                       "current at the voltage of the strings and give "
                       "wiring.disconnect.load_break")  # fmt: skip
    if says:
        return Check(id, SUBJECT, title, Status.PASS, clause=SHEET, certainty=MAKER, rule=True,
                     note="wiring.disconnect.load_break says yes", family="disconnect")  # fmt: skip
    note = "wiring.disconnect.load_break says no"
    if _iec(plan):
        return missing(id, SUBJECT, title, f"{note}, and no values are at hand for IEC")
    if flow > EQUIPMENT_SWITCH_FROM:
        return Check(id, SUBJECT, title, Status.FAIL, clause="NFPA 70 690.15", certainty=SECOND,
                     note=f"{note}; {flow:.1f} A is above 30 A", family="disconnect")  # fmt: skip
    return missing(id, SUBJECT, title, f"{note}: up to 30 A an isolator marked so may do at the "
                   "equipment, but not as the disconnect of the whole system; ask the building "
                   "department (690.13, 690.15)")  # fmt: skip


def _lock(plan: Plan) -> Check:
    says, id, title = switch_of(plan).lockable, "disconnect.lockable", "locking it open"
    clause = "locking off while people work" if _iec(plan) else "NFPA 70 690.13, 110.25"
    if says is None:
        return missing(id, SUBJECT, title, "ask whether it can be locked open and give "
                       "wiring.disconnect.lockable")  # fmt: skip
    word = "yes" if says else "no: nobody can work safely behind it"
    return Check(id, SUBJECT, title, Status.PASS if says else Status.FAIL, clause=clause,
                 certainty=SECOND, note=f"wiring.disconnect.lockable says {word}",
                 family="disconnect", rule=says)  # fmt: skip


def _iec(plan: Plan) -> bool:
    return section_of(plan).basis.code == "IEC"


def asked_words(plan: Plan, cold: float, current: float) -> str:
    """What a disconnect is ordered by, for papers and the buying list."""
    need = poles_needed(plan)
    poles = f"opens {need} wire{'s' if need > 1 else ''} of a run at once"
    return (f"for direct current of at least {current:.1f} A at {cold:.0f} V, {poles}, made to "
            "break the load, lockable open; its fault rating is asked of its maker")  # fmt: skip
