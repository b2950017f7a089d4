"""Checks of conductors, devices and of lost voltage."""

from __future__ import annotations

import numpy as np

from plumbrail.bases.iec import strings as iec
from plumbrail.bases.us.nec import conductors as nec
from plumbrail.bases.us.nec import current, devices
from plumbrail.check import Check, Status
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given
from plumbrail.wiring import circuits, sizing
from plumbrail.wiring.circuits import Line
from plumbrail.wiring.layout import Layout
from plumbrail.wiring.parts import Array
from plumbrail.wiring.provisions import (
    current_ratio,
    drop_allowed,
    drop_sum,
    series_voltage,
    voltage_ratio,
)
from plumbrail.wiring.sheet import section_of, sheet_of
from plumbrail.wiring.string_checks import case, failed, missing
from plumbrail.wiring.volts import entry, from_sheet

MAKER = Certainty.MAKER
STRING, RUN = "every string's wires", "the run to the equipment"


def circuit_checks(plan: Plan, layout: Layout, string: Line, run: Line) -> list[Check]:
    """Everything on the two kinds of circuit."""
    return [
        *_fuse(plan, layout), *_line(plan, "S1", STRING, string), *_line(plan, "run", RUN, run),
        *_back(plan, layout, string), *_run_back(plan, layout, run),
        _drop(plan, layout, string, run),
    ]  # fmt: skip


def _line(plan: Plan, id: str, subject: str, line: Line) -> list[Check]:
    """Both tests of 690.8(B), and the device against the conductor."""
    titles = ("ampacity in its place", "ampacity at its terminals")
    ids = (f"{id}.ampacity", f"{id}.terminals")
    if section_of(plan).basis.code == "IEC":
        why = "capacity is not checked for IEC; the size follows from the voltage lost"
        return [missing(i, subject, t, why) for i, t in zip(ids, titles, strict=True)]
    wire = line.wire
    if not wire.size:
        why = "no single conductor up to 500 kcmil will do: fewer strings in parallel"
        return [failed(ids[0], subject, titles[0], why, "NFPA 70 690.8(B)")]

    def place() -> Array:
        return current_ratio(circuits.largest(plan, line.parallel), sizing.corrected(wire))

    def terminals() -> Array:
        return current_ratio(current.ampacity_before(circuits.largest(plan, line.parallel)),
                             nec.ampacity(wire.size, wire.laying.metal, wire.column))  # fmt: skip

    note = f"{wire.laying.bundled} current-carrying conductors together"
    return [
        case(ids[0], subject, titles[0], place, "current_ratio", "NFPA 70 690.8(B)(2)", note),
        case(ids[1], subject, titles[1], terminals, "current_ratio",
             "NFPA 70 690.8(B)(1), 110.14(C)", f"{wire.column} column"),
        *_device(id, subject, line),
    ]  # fmt: skip


def _device(id: str, subject: str, line: Line) -> list[Check]:
    """240.4: the device against the conductor it protects."""
    if line.device is None:
        return []
    rating, wire = line.device, line.wire

    def run() -> Array:
        allowed = devices.standard_rating(float(sizing.usable(wire)), wire.laying.edition)
        return current_ratio(_rating(rating), allowed)

    def cap() -> Array:
        return current_ratio(
            _rating(rating), devices.small_conductor_cap(wire.size, wire.laying.metal))  # fmt: skip

    checks = [case(f"{id}.device", subject, "device for the conductor", run, "current_ratio",
                   "NFPA 70 240.4(B)", "the next standard size up is allowed")]  # fmt: skip
    if np.isfinite(devices.small_conductor_cap(wire.size, wire.laying.metal)):
        checks.append(case(f"{id}.small-conductor", subject, "device for a small conductor", cap,
                           "current_ratio", "NFPA 70 240.4(D)"))  # fmt: skip
    return checks


def _rating(rating: float) -> Array:
    return given("device chosen, NFPA 70 240.6(A)", "I_r [A]", rating, Certainty.CONFIRMED)


def _back_current(plan: Plan, layout: Layout) -> Array:
    sheet, unit = sheet_of(plan), section_of(plan).equipment
    parallel = entry("strings on one input", "N_p [-]", layout.on_input)
    isc = from_sheet(sheet, "isc", "I_sc [A]")
    if section_of(plan).basis.code == "IEC":
        return iec.reverse_current(parallel, isc)
    if unit.backfeed is None:
        other = given("wiring.equipment.backfeed not given, counted as none", "I_other [A]", 0.0,
                      Certainty.MEMORY)  # fmt: skip
    else:
        other = given("wiring.equipment.backfeed", "I_other [A]", unit.backfeed, MAKER)
    return devices.backfeed_current(parallel, isc, other)


def _fuse(plan: Plan, layout: Layout) -> list[Check]:
    """Whether strings need fuses, and whether the module allows one that is large enough."""
    title, cap = "string fuse", sheet_of(plan).max_series_fuse
    if cap is None:
        return [missing("S1.fuse", STRING, title, "give module.max_series_fuse")]
    limit = cap
    code = section_of(plan).basis.code
    clause = "IEC 62548" if code == "IEC" else "NFPA 70 690.9(A)(1)"

    def most() -> Array:
        return given("module.max_series_fuse", "I_a [A]", limit, MAKER)

    def back() -> Array:
        return current_ratio(_back_current(plan, layout), most())

    if float(back()) <= 1.0 + 1e-9:
        fed = section_of(plan).equipment.backfeed
        unknown = fed is None or (code == "IEC" and fed > 0.0)
        checks = [case("S1.fuse", STRING, title, back, "current_ratio", clause,
                       "none is required for the strings themselves")]  # fmt: skip
        why = ("give wiring.equipment.backfeed: what it can push back, ask its maker"
               if fed is None else "the test of IEC counts other strings only")  # fmt: skip
        if unknown:
            checks.append(missing("S1.backfeed", STRING, "current from the equipment", why))
        return checks
    if code == "IEC":
        return [_iec_fuse(plan, layout, limit)]

    least = current.required_device(circuits.largest(plan, 1))

    def needed() -> Array:
        return current_ratio(devices.fuse_rating(least, code), most())

    note = (f"required: {float(_back_current(plan, layout)):.1f} A can be driven back into a "
            f"string; a fuse is rated for {float(least):.1f} A at least (1.5625 times module.isc), "
            "next standard size up; over 1 there is no compliant fuse: fewer strings in parallel, "
            "or another module")  # fmt: skip
    return [case("S1.fuse", STRING, title, needed, "current_ratio", "NFPA 70 690.9(A), 690.9(B)",
                 note)]  # fmt: skip


def _iec_fuse(plan: Plan, layout: Layout, limit: float) -> Check:
    """The window of ratings: above 1.5 and below 2.4 times, and not above the module's."""
    answer = iec.fuse_for(sheet_of(plan).isc, limit, layout.on_input)
    words = (f"required; the rating is above {answer.over:.2f} A, below {answer.under:.2f} A and "
             f"at most {answer.most:g} A: {answer.words}")  # fmt: skip
    status = Status.FAIL if answer.rating is None else Status.PASS
    return Check("S1.fuse", STRING, "string fuse", status, clause=answer.clause,
                 certainty=answer.certainty, note=words, family="string", rule=True)  # fmt: skip


def _back(plan: Plan, layout: Layout, line: Line) -> list[Check]:
    """A string's wires, where no fuse guards them, against what is fed into them."""
    id, title = "S1.fed-back", "current from other strings"
    if section_of(plan).basis.code == "IEC":
        return [missing(id, STRING, title, "capacity is not checked for IEC")]
    if line.device is not None or not line.wire.size:
        return []
    if line.back is None:
        return [missing(id, STRING, title, "give wiring.equipment.backfeed: ask its maker")]
    return [case(id, STRING, title, lambda: current_ratio(_back_current(plan, layout),
                                                          sizing.usable(line.wire)),
                 "current_ratio", "NFPA 70 690.9(A)(1)")]  # fmt: skip


def _run_back(plan: Plan, layout: Layout, line: Line) -> list[Check]:
    """The run, where no device guards it, against what other runs and the equipment feed back."""
    id, title = "run.fed-back", "current from elsewhere"
    if section_of(plan).basis.code == "IEC":
        return [missing(id, RUN, title, "capacity is not checked for IEC")]
    if line.device is not None or not line.wire.size:
        return []
    if line.back is None:
        return [missing(id, RUN, title, "give wiring.equipment.backfeed: ask its maker")]

    def run() -> Array:
        back = given("other runs and wiring.equipment.backfeed", "I_r [A]", line.back or 0.0,
                     Certainty.DERIVED)  # fmt: skip
        return current_ratio(back, sizing.usable(line.wire))

    return [case(id, RUN, title, run, "current_ratio", "NFPA 70 690.9(A)(1)")]


def _drop(plan: Plan, layout: Layout, string: Line, line: Line) -> Check:
    title, clause = "voltage lost from the modules to the equipment", "wiring.conductors"
    if not string.wire.size or not line.wire.size:
        return missing("run.drop", RUN, title, "no conductor will do, or none is at hand")

    def run() -> Array:
        share = entry("wiring.conductors.voltage_drop", "s [-]",
                      section_of(plan).conductors.voltage_drop)  # fmt: skip
        number = entry("modules in a string", "N [-]", layout.grouping.per_string)
        rated = series_voltage(number, from_sheet(sheet_of(plan), "vmp", "V [V]"))
        lost = drop_sum(circuits.string_drop(plan, string), circuits.run_drop(plan, line))
        return voltage_ratio(lost, drop_allowed(share, rated))

    note = "at rated current, wires warm; a choice of the plan, no code sets it"
    if float(run()) > 1.0 + 1e-9:
        note += "; longer strings, a shorter or thicker run, or a larger share would do"
    return case("run.drop", RUN, title, run, "voltage_ratio", f"{clause}.voltage_drop", note,
                rule=True)  # fmt: skip
