"""Checks of conductors, devices and of lost voltage."""

from __future__ import annotations

import numpy as np

from plumbrail.bases.iec import strings as iec
from plumbrail.bases.us.nec import conductors as nec
from plumbrail.bases.us.nec import current, devices
from plumbrail.check import Check, Status
from plumbrail.plan.models import Plan
from plumbrail.trace import Certainty, given
from plumbrail.units import print_words
from plumbrail.wiring import circuits, sizing
from plumbrail.wiring.circuits import Line
from plumbrail.wiring.layout import Layout
from plumbrail.wiring.parts import Array
from plumbrail.wiring.provisions import (
    current_ratio,
    current_sum,
    drop_allowed,
    drop_sum,
    lower_current,
    next_rating,
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
             "NFPA 70 690.8(B)(1), 110.14(C)", f"{print_words(wire.column)} column"),
        *_device(plan, id, subject, line),
    ]  # fmt: skip


def _device(plan: Plan, id: str, subject: str, line: Line) -> list[Check]:
    """240.4: the device against the conductor it protects."""
    if line.device is None:
        return []
    wire, edition = line.wire, line.wire.laying.edition
    listed = devices.fuse_rating if id == "S1" else devices.standard_rating

    def rating() -> Array:
        need = current.required_device(circuits.largest(plan, line.parallel))
        return next_rating(need, listed(need, edition))

    def run() -> Array:
        carried = sizing.usable(wire)
        return current_ratio(
            rating(), next_rating(carried, devices.standard_rating(carried, edition)))  # fmt: skip

    def cap() -> Array:
        return current_ratio(
            rating(), devices.small_conductor_cap(wire.size, wire.laying.metal))  # fmt: skip

    checks = [case(f"{id}.device", subject, "device for the conductor", run, "current_ratio",
                   "NFPA 70 240.4(B)", "the next standard size up is allowed")]  # fmt: skip
    if np.isfinite(devices.small_conductor_cap(wire.size, wire.laying.metal)):
        checks.append(case(f"{id}.small-conductor", subject, "device for a small conductor", cap,
                           "current_ratio", "NFPA 70 240.4(D)"))  # fmt: skip
    return checks


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

    least = float(current.required_device(circuits.largest(plan, 1)))

    def needed() -> Array:
        need = current.required_device(circuits.largest(plan, 1))
        return current_ratio(next_rating(need, devices.fuse_rating(need, code)), most())

    note = (f"required: {float(_back_current(plan, layout)):.1f} A can be driven back into a "
            f"string; a fuse is rated for {least:.1f} A at least (1.5625 times module.isc), "
            "next standard size up; over 1 there is no compliant fuse: fewer strings in parallel, "
            "or another module")  # fmt: skip
    return [case("S1.fuse", STRING, title, needed, "current_ratio", "NFPA 70 690.9(A), 690.9(B)",
                 note)]  # fmt: skip


def _iec_fuse(plan: Plan, layout: Layout, limit: float) -> Check:
    """The window of ratings: above 1.5 and below 2.4 times, and not above the module's."""
    answer = iec.fuse_for(sheet_of(plan).isc, limit, layout.on_input)
    words = (f"required; the rating is above {answer.over:.2f} A, below {answer.under:.2f} A and "
             f"at most {answer.most:g} A: {answer.words}")  # fmt: skip
    above = iec.rating_above(np.asarray(answer.over))
    fits = above is not None and float(above) <= min(answer.under, answer.most)
    if above is not None and fits == (answer.rating is not None):
        return _iec_window(plan, limit, words)
    status = Status.FAIL if answer.rating is None else Status.PASS
    return Check("S1.fuse", STRING, "string fuse", status, clause=answer.clause,
                 certainty=answer.certainty, note=words, family="string", rule=True)  # fmt: skip


def _iec_window(plan: Plan, limit: float, words: str) -> Check:
    """The smallest rating above the window's lower end against its upper one and the module's."""

    def run() -> Array:
        isc = from_sheet(sheet_of(plan), "isc", "I_sc [A]")
        over = iec.fuse_over(isc, iec.window("least"))
        above = iec.rating_above(over)
        assert above is not None
        most = lower_current(iec.fuse_under(isc, iec.window("most")),
                             given("module.max_series_fuse", "I_2 [A]", limit, MAKER))  # fmt: skip
        return current_ratio(next_rating(over, above), most)

    return case("S1.fuse", STRING, "string fuse", run, "current_ratio", iec.EDITION, words)


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
        back = given("wiring.equipment.backfeed", "I_r [A]",
                     section_of(plan).equipment.backfeed or 0.0, MAKER)  # fmt: skip
        if layout.others:
            back = current_sum(circuits.largest(plan, layout.others), back)
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
