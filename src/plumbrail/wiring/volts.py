"""Voltage of one module on the coldest morning and on the hottest day."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.bases.iec import strings as iec
from plumbrail.bases.us.nec import voltage as nec
from plumbrail.errors import PlanError, Problem
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given
from plumbrail.wiring.parts import Array, Volts
from plumbrail.wiring.provisions import (
    cell_by_noct,
    cell_by_wind,
    warm_voltage,
    working_coefficient,
)
from plumbrail.wiring.sheet import Sheet, section_of, sheet_of

LOWEST_OF_TABLE = 233.15
"""Below this temperature [K] the code's table has no factor."""
FULL_SUN, CALM = 1000.0, 1.0
"""Irradiance [W/m2] and wind [m/s] of the hottest hour."""


def entry(field: str, result: str, value: float, certainty: Certainty = Certainty.PLAN) -> Array:
    """A number of the plan, entered in the record."""
    return given(field, result, value, certainty)


def from_sheet(sheet: Sheet, name: str, result: str) -> Array:
    """A number of the module's data sheet, entered in the record."""
    return entry(f"module.{name}", result, getattr(sheet, name), Certainty.MAKER)


@dataclass(frozen=True)
class Climate:
    """Temperatures that the wiring is judged at [K], and which code it is judged by."""

    coldest: float
    cold_field: str
    hottest: float
    table: bool
    """The code has a table of factors and the plan asks for it."""
    coefficient: bool


def climate_of(plan: Plan) -> Climate:
    """Temperatures and method of the plan."""
    basis, site = section_of(plan).basis, plan.site
    iec = basis.code == "IEC"
    own = basis.extreme_low
    return Climate(
        site.coldest if own is None else own,
        "site.coldest" if own is None else "wiring.basis.extreme_low", site.hottest,
        not iec and basis.cold_voltage in ("table", "larger"),
        iec or basis.cold_voltage in ("coefficient", "larger"),
    )  # fmt: skip


def cold_by_coefficient(plan: Plan) -> Array:
    """Open-circuit voltage of a module at the coldest, by the maker's coefficient [V]; 0-d."""
    sheet, climate = sheet_of(plan), climate_of(plan)
    code = iec if section_of(plan).basis.code == "IEC" else nec
    return code.module_voltage(
        from_sheet(sheet, "voc", "V_oc [V]"),
        from_sheet(sheet, "voc_coefficient", "beta [1/K]"),
        entry(climate.cold_field, "T_min [K]", climate.coldest),
    )


def cold_by_table(plan: Plan) -> Array:
    """The same by the code's table of factors [V]; 0-d. RangeError where it has none."""
    climate = climate_of(plan)
    return _by_table(plan, entry(climate.cold_field, "T_min [K]", climate.coldest))


def _by_table(plan: Plan, T_min: Array) -> Array:
    return nec.table_voltage(from_sheet(sheet_of(plan), "voc", "V_oc [V]"),
                             nec.table_factor(T_min))  # fmt: skip


def _by_last_row(plan: Plan) -> Array:
    """By the table's coldest factor: where the table ends, a colder record must not allow more."""
    end = given("the coldest row of the code's table", "T_min [K]", LOWEST_OF_TABLE,
                Certainty.SECOND_HAND)  # fmt: skip
    return _by_table(plan, end)


def table_known(plan: Plan) -> bool:
    """The code's table has a factor for the coldest temperature."""
    return section_of(plan).basis.code != "IEC" and climate_of(plan).coldest >= LOWEST_OF_TABLE


def cold_voltage(plan: Plan) -> Array:
    """The cold voltage that the plan's basis asks for [V]; 0-d, for records."""
    climate = climate_of(plan)
    if not climate.table:
        return cold_by_coefficient(plan)
    if not climate.coefficient:
        return cold_by_table(plan)
    coefficient = cold_by_coefficient(plan)
    table = cold_by_table(plan) if table_known(plan) else _by_last_row(plan)
    return coefficient if float(coefficient) >= float(table) else table


def hot_cell(plan: Plan) -> Array:
    """Cell temperature on the hottest day in full sun [K]; 0-d."""
    sheet = sheet_of(plan)
    air = entry("site.hottest", "T_a [K]", plan.site.hottest)
    sun = entry("full sun", "G [W/m**2]", FULL_SUN, Certainty.DERIVED)
    if sheet.noct is not None:
        return cell_by_noct(air, from_sheet(sheet, "noct", "T_n [K]"), sun)
    return cell_by_wind(air, sun, entry("light air", "v [m/s]", CALM, Certainty.PRACTICE))


def hot_voltage(plan: Plan) -> Array:
    """Working voltage of a module on the hottest day [V]; 0-d."""
    sheet = sheet_of(plan)
    slope = working_coefficient(
        from_sheet(sheet, "pmax_coefficient", "gamma [1/K]"),
        from_sheet(sheet, "isc_coefficient", "alpha [1/K]"),
    )
    return warm_voltage(from_sheet(sheet, "vmp", "V [V]"), slope, hot_cell(plan))


def hot_open_voltage(plan: Plan) -> Array:
    """Open-circuit voltage of a module on the hottest day [V]; 0-d. For the start voltage."""
    sheet = sheet_of(plan)
    return warm_voltage(
        from_sheet(sheet, "voc", "V [V]"), from_sheet(sheet, "voc_coefficient", "c [1/K]"),
        hot_cell(plan),
    )  # fmt: skip


def volts_of(plan: Plan) -> Volts:
    """Voltages of one module; PlanError when the table alone is asked for and ends above."""
    climate = climate_of(plan)
    known = table_known(plan)
    if climate.table and not climate.coefficient and not known:
        raise PlanError([Problem(
            "wiring.basis.cold_voltage", "the code's table has no factor below -40 °C; write "
            'cold_voltage = "coefficient"')])  # fmt: skip
    by_table = float(cold_by_table(plan)) if known else None
    cold, hot = float(cold_voltage(plan)), float(hot_voltage(plan))
    return Volts(float(np.asarray(cold_by_coefficient(plan))), by_table, cold, hot)
