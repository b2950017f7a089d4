"""Checks of voltages and of the grouping as a whole."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from plumbrail.bases.us.nec import voltage as nec
from plumbrail.check import Case, Check, Status, explained, not_checked
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given
from plumbrail.wiring import circuits
from plumbrail.wiring.grouping import clipped, demands_of
from plumbrail.wiring.parts import Array, Grouping, Volts
from plumbrail.wiring.provisions import (
    array_power,
    current_ratio,
    power_ratio,
    series_voltage,
    voltage_ratio,
)
from plumbrail.wiring.sheet import section_of, sheet_of
from plumbrail.wiring.volts import (
    cold_voltage,
    entry,
    from_sheet,
    hot_open_voltage,
    hot_voltage,
)

MAKER = Certainty.MAKER
STRING, INPUT, ARRAY = "every string", "one input of the equipment", "the whole array"
Run = Callable[[], Array]


def case(
    id: str, subject: str, title: str, run: Run, step: str, clause: str, note: str = "",
    rule: bool = False,
) -> Check:  # fmt: skip
    """A check from its own steps."""
    return explained(Case(id, subject, title, family_of(id), float(run()), "", run, step, clause,
                          note, rule))  # fmt: skip


def family_of(id: str) -> str:
    """Kind of part that a check is about, from its id."""
    if id.endswith(".conduit"):
        return "conduit"
    first = id.split(".")[0]
    return "string" if first == "S1" else first


def missing(id: str, subject: str, title: str, why: str) -> Check:
    """A check that could not be made."""
    return not_checked(id, subject, title, family_of(id), why)


def failed(id: str, subject: str, title: str, why: str, clause: str) -> Check:
    """A check without a ratio that is not met."""
    return Check(id, subject, title, Status.FAIL, clause=clause, note=why, family=family_of(id))


def grouping_checks(plan: Plan, volts: Volts, grouping: Grouping) -> list[Check]:
    """Voltages, currents and power of the grouping that was chosen."""
    return [
        *_cold(plan, grouping), *_window(plan, grouping), _start(plan, grouping),
        _short_circuit(plan, grouping), _working(plan, volts, grouping), _power(plan, grouping),
    ]  # fmt: skip


def _number(grouping: Grouping) -> Array:
    return entry("modules in a string", "N [-]", grouping.per_string)


def _cold(plan: Plan, grouping: Grouping) -> list[Check]:
    wiring, sheet = section_of(plan), sheet_of(plan)

    def against(limit: Callable[[], Array]) -> Run:
        return lambda: voltage_ratio(
            series_voltage(_number(grouping), cold_voltage(plan)), limit())  # fmt: skip

    most = wiring.equipment.max_voltage
    title, clause = "voltage on the coldest morning", "NFPA 70 690.7"
    checks = [case("S1.cold", STRING, title, against(
        lambda: given("wiring.equipment.max_voltage", "V_a [V]", most, MAKER)),
        "voltage_ratio", "equipment data sheet")]  # fmt: skip
    if wiring.basis.code == "IEC":
        checks.append(missing("S1.cold-code", STRING, f"{title}, limit of the code",
                              "no limit for buildings is at hand for IEC"))  # fmt: skip
    else:
        checks.append(case("S1.cold-code", STRING, f"{title}, limit of the code",
                           against(lambda: nec.voltage_limit(wiring.run.building)),
                           "voltage_ratio", clause))  # fmt: skip
    system = sheet.max_system_voltage
    title = f"{title}, limit of the module"
    if system is None:
        checks.append(missing("S1.cold-module", STRING, title, "give module.max_system_voltage"))
    else:
        checks.append(case("S1.cold-module", STRING, title, against(
            lambda: given("module.max_system_voltage", "V_a [V]", system, MAKER)),
            "voltage_ratio", "module data sheet"))  # fmt: skip
    return checks


def _window(plan: Plan, grouping: Grouping) -> list[Check]:
    low, high = section_of(plan).equipment.working

    def under() -> Array:
        return voltage_ratio(
            given("wiring.equipment.working, lower end", "V_r [V]", low, MAKER),
            series_voltage(_number(grouping), hot_voltage(plan)),
        )

    def over() -> Array:
        rated = from_sheet(sheet_of(plan), "vmp", "V [V]")
        return voltage_ratio(
            series_voltage(_number(grouping), rated),
            given("wiring.equipment.working, upper end", "V_a [V]", high, MAKER),
        )

    note = ("the coefficient of the working voltage is estimated as that of power less that of "
            "current; shade and age are not in it")  # fmt: skip
    return [
        case("S1.hot", STRING, "working voltage on the hottest day", under, "voltage_ratio",
             "equipment data sheet", note),
        case("S1.rated", STRING, "working voltage at its rating", over, "voltage_ratio",
             "equipment data sheet"),
    ]  # fmt: skip


def _start(plan: Plan, grouping: Grouping) -> Check:
    needed, title = section_of(plan).equipment.start_voltage, "voltage to start up on a hot day"
    if needed is None:
        return missing("S1.start", STRING, title, "give wiring.equipment.start_voltage")

    def run() -> Array:
        return voltage_ratio(
            given("wiring.equipment.start_voltage", "V_r [V]", needed, MAKER),
            series_voltage(_number(grouping), hot_open_voltage(plan)),
        )

    return case("S1.start", STRING, title, run, "voltage_ratio", "equipment data sheet")


def _short_circuit(plan: Plan, grouping: Grouping) -> Check:
    limit, title = section_of(plan).equipment.max_short_circuit, "short-circuit current"
    if limit is None:
        return missing("input.short-circuit", INPUT, title,
                       "give wiring.equipment.max_short_circuit")  # fmt: skip

    def run() -> Array:
        return current_ratio(
            circuits.largest(plan, max(grouping.per_input)),
            given("wiring.equipment.max_short_circuit", "I_a [A]", limit, MAKER),
        )

    return case("input.short-circuit", INPUT, title, run, "current_ratio", "equipment data sheet",
                "with 1.25 for light brighter than the rating's")  # fmt: skip


def _working(plan: Plan, volts: Volts, grouping: Grouping) -> Check:
    """Current over what the input can use is lost and harms nothing: said, never failed."""
    limit, title = section_of(plan).equipment.max_current, "working current that can be used"
    if limit is None:
        return missing("input.working-current", INPUT, title, "give wiring.equipment.max_current")
    lost = clipped(demands_of(plan, volts, grouping.per_string * grouping.strings
                              + grouping.left_over), grouping)  # fmt: skip
    flow = max(grouping.per_input) * sheet_of(plan).imp
    if flow > limit:
        return missing("input.working-current", INPUT, title,
                       f"no pass or fail: {flow:.1f} A at its rating, the input uses {limit:g} A; "
                       f"{100 * lost:.0f} % of rated power is lost in full sun")  # fmt: skip

    def run() -> Array:
        return current_ratio(
            circuits.working(plan, max(grouping.per_input)),
            given("wiring.equipment.max_current", "I_a [A]", limit, MAKER),
        )

    return case("input.working-current", INPUT, title, run, "current_ratio",
                "equipment data sheet", rule=True)  # fmt: skip


def _power(plan: Plan, grouping: Grouping) -> Check:
    most, title = section_of(plan).equipment.max_array, "rated power of the array"
    if most is None:
        return missing("array.power", ARRAY, title, "give wiring.equipment.max_array")

    def run() -> Array:
        count = entry("modules in strings", "N [-]",
                      float(np.asarray(grouping.per_string * grouping.strings)))  # fmt: skip
        return power_ratio(
            array_power(count, from_sheet(sheet_of(plan), "pmax", "P_m [W]")),
            given("wiring.equipment.max_array", "P_a [W]", most, MAKER),
        )

    return case("array.power", ARRAY, title, run, "power_ratio", "equipment data sheet")
