"""Circuits: a string to its box, and a box to the equipment. Currents, devices, conductors.

All strings are wired alike, as the one with the longest way needs; so are all runs, as the one with
the most strings needs. Where a box feeds two inputs there is a run for each.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.bases.iec import strings as iec
from plumbrail.bases.us.nec import current as nec_current
from plumbrail.bases.us.nec import devices as nec
from plumbrail.errors import PlanError, Problem
from plumbrail.plan.models import Plan
from plumbrail.plan.section import Section
from plumbrail.trace import Certainty
from plumbrail.wiring import sizing
from plumbrail.wiring.kinds import array_kind, run_kind
from plumbrail.wiring.layout import Layout
from plumbrail.wiring.parts import Array
from plumbrail.wiring.provisions import parallel_current
from plumbrail.wiring.sheet import section_of, sheet_of
from plumbrail.wiring.sizing import Laying, Wire
from plumbrail.wiring.volts import entry, from_sheet

POLES = 2


@dataclass(frozen=True)
class Line:
    """One kind of circuit with its wire and device."""

    parallel: int
    """Strings whose current it carries."""
    wire: Wire
    device: float | None
    """Rating [A]; None where there is none."""
    device_words: str
    back: float | None
    """Current from elsewhere that it has to bear without a device [A]; None: not known."""
    length: float
    """One way, the longest [m]."""


def short_circuit(plan: Plan, parallel: int) -> Array:
    """Short-circuit current of strings in parallel [A]; 0-d, with its steps."""
    return parallel_current(entry("strings in parallel", "N [-]", parallel),
                            from_sheet(sheet_of(plan), "isc", "I [A]"))  # fmt: skip


def largest(plan: Plan, parallel: int) -> Array:
    """The code's largest current of strings in parallel [A]; 0-d."""
    own = section_of(plan).basis.code == "IEC"
    return (iec if own else nec_current).source_current(short_circuit(plan, parallel))


def working(plan: Plan, parallel: int) -> Array:
    """Rated current of strings in parallel [A]; 0-d."""
    return parallel_current(entry("strings in parallel", "N [-]", parallel),
                            from_sheet(sheet_of(plan), "imp", "I [A]"))  # fmt: skip


def string_laying(plan: Plan, layout: Layout) -> Laying:
    """Wires of the strings: in the air behind the modules, those of one box in one bundle."""
    wiring = section_of(plan)
    return Laying(plan.site.hottest, "site.hottest", wiring.conductors.module_air,
                  "wiring.conductors.module_air", POLES * layout.in_box, "copper",
                  array_kind(wiring), (wiring.combiners.terminals,), wiring.basis.code,
                  _stated(wiring.conductors, "module_air"))  # fmt: skip


def run_laying(plan: Plan, layout: Layout) -> Laying:
    """Wires of the run: all in one conduit, at the hotter of the ground and the sunlit riser."""
    wiring = section_of(plan)
    air, ground, rise = plan.site.hottest, wiring.run.ground_temperature, wiring.run.sun_rise
    in_air = air + rise >= ground
    ends = (wiring.combiners.terminals, wiring.equipment.terminals)
    return Laying(air if in_air else ground,
                  "site.hottest" if in_air else "wiring.run.ground_temperature",
                  rise if in_air else 0.0, "wiring.run.sun_rise" if in_air else "",
                  POLES * len(layout.pairs), wiring.conductors.run_metal, run_kind(wiring), ends,
                  wiring.basis.code, _stated(wiring.run, "sun_rise"))  # fmt: skip


def _stated(section: Section, field: str) -> Certainty:
    """Common practice where the plan leaves a field of such to its usual value."""
    return Certainty.PLAN if field in section.model_fields_set else Certainty.PRACTICE


def string_line(plan: Plan, layout: Layout) -> Line:
    """The circuit from a string to its box."""
    wiring, sheet = section_of(plan), sheet_of(plan)
    far, laying = 0.5 * float(layout.string_wire.max()), string_laying(plan, layout)
    if wiring.basis.code == "IEC":
        return _iec_string(plan, layout, laying, far)
    cap, back = sheet.max_series_fuse, wiring.equipment.backfeed
    device, words = None, "not checked"
    if cap is not None:
        fuse = nec.fuse_for(sheet.isc, cap, layout.on_input, back, wiring.basis.code)
        device, words = fuse.rating if fuse.required else None, fuse.words
    met = float(nec.backfeed_current(np.asarray(layout.on_input), np.asarray(sheet.isc),
                                     np.asarray(back or 0.0)))  # fmt: skip
    own = float(largest(plan, 1))
    wire = sizing.nec_wire(laying, own, device, wiring.conductors.array_size, False)
    if device is None:
        wire = _bears(wire, own, met)
    return Line(1, wire, device, words, None if back is None else met, far)


def _bears(wire: Wire, own: float, met: float) -> Wire:
    """The smallest size from ``wire`` on that also bears what others feed into it, 690.9(A)(1)."""
    found: Wire | None = wire
    while found is not None and found.size and found.usable < met:
        found = sizing.stepped(found, own, None)
    return found if found is not None else sizing.without_size(wire)


def _iec_string(plan: Plan, layout: Layout, laying: Laying, far: float) -> Line:
    sheet, conductors = sheet_of(plan), section_of(plan).conductors
    words, device, back = "not checked", None, None
    if sheet.max_series_fuse is not None:
        fuse = iec.fuse_for(sheet.isc, sheet.max_series_fuse, layout.on_input)
        words, device, back = fuse.words, fuse.rating, fuse.reverse
    least = sizing.area_of(conductors.array_size)
    wire = sizing.metric_wire(laying, least) or _no_wire(laying)
    return Line(1, wire, device, words, back, far)


def _no_wire(laying: Laying) -> Wire:
    nan = float("nan")
    return Wire(laying, "", "", nan, nan, nan, None, None)


def run_line(plan: Plan, layout: Layout, string: Line) -> Line:
    """The circuit from a box to the equipment, sized for current and for the voltage lost."""
    wiring = section_of(plan)
    far = wiring.run.length + float(layout.collector.max())
    laying = run_laying(plan, layout)
    if wiring.basis.code == "IEC":
        return _iec_run(plan, layout, string, laying, far)
    own = float(largest(plan, layout.parallel))
    least, fixed = wiring.conductors.run_size or "14 AWG", wiring.conductors.run_size is not None
    if laying.metal == "aluminium" and least == "14 AWG":
        if fixed:
            raise PlanError([Problem("wiring.conductors.run_size", "14 AWG is not made of "
                                     "aluminium for this; write 12 AWG or larger")])  # fmt: skip
        least = "12 AWG"
    bare = sizing.nec_wire(laying, own, None, least, fixed)
    others = float(largest(plan, layout.others)) if layout.others else 0.0
    back = wiring.equipment.backfeed
    met = others + (back or 0.0)
    device, words = None, "none required"
    if not bare.size or met > bare.usable:
        device = float(nec.standard_rating(nec_current.required_device(np.asarray(own)),
                                           wiring.basis.code))  # fmt: skip
        words = f"{device:g} A device"
    elif back is None:
        words = "not checked: ask the maker what current the equipment can push back"
    wire = bare if device is None else sizing.nec_wire(laying, own, device, least, fixed)
    line = Line(layout.parallel, wire, device, words, None if back is None else met, far)
    return line if fixed or not wire.size else _thick_enough(plan, layout, string, line, own)


def _thick_enough(plan: Plan, layout: Layout, string: Line, line: Line, own: float) -> Line:
    """The run with the smallest size that keeps the plan's voltage drop; else the largest."""
    allowed = allowed_drop(plan, layout)
    first = float(string_drop(plan, string)) if string.wire.size else 0.0
    while first + float(run_drop(plan, line)) > allowed:
        wire = sizing.stepped(line.wire, own, line.device)
        if wire is None:
            break
        line = Line(line.parallel, wire, line.device, line.device_words, line.back, line.length)
    return line


def _iec_run(plan: Plan, layout: Layout, string: Line, laying: Laying, far: float) -> Line:
    """By resistance only: capacity is not checked."""
    conductors = section_of(plan).conductors
    area = sizing.area_of(conductors.run_size or conductors.array_size)
    line = Line(layout.parallel, _no_wire(laying), None, "not checked", None, far)
    if laying.metal != "copper":
        return line
    first = float(string_drop(plan, string)) if string.wire.size else 0.0
    while (wire := sizing.metric_wire(laying, area)) is not None and wire.section is not None:
        line = Line(layout.parallel, wire, None, "not checked", None, far)
        lost = first + float(run_drop(plan, line))
        if conductors.run_size is not None or lost <= allowed_drop(plan, layout):
            break
        area = wire.section * (1.0 + 1e-6)
    return line


def string_drop(plan: Plan, line: Line) -> Array:
    """Voltage lost in the longest string's wires at rated current [V]; 0-d."""
    return sizing.drop(line.wire, working(plan, 1), line.length)


def run_drop(plan: Plan, line: Line) -> Array:
    """Voltage lost in the longest run with the most strings, at rated current [V]; 0-d."""
    return sizing.drop(line.wire, working(plan, line.parallel), line.length)


def allowed_drop(plan: Plan, layout: Layout) -> float:
    """Voltage that may be lost [V]: the plan's share of the strings' rated voltage."""
    share = section_of(plan).conductors.voltage_drop
    return share * layout.grouping.per_string * sheet_of(plan).vmp


def share_lost(plan: Plan, layout: Layout, string: Line, run: Line) -> float:
    """Share of the strings' rated power lost in all wires at rated current; nan without a size."""
    if not string.wire.size or not run.wire.size:
        return float("nan")
    sheet, lost = sheet_of(plan), 0.0
    for wire in layout.string_wire:
        flow = working(plan, 1)
        lost += float(flow) * float(sizing.drop(string.wire, flow, 0.5 * float(wire)))
    for pair in layout.pairs:
        flow = working(plan, layout.in_pair(pair))
        far = section_of(plan).run.length + float(layout.collector[pair[0]])
        lost += float(flow) * float(sizing.drop(run.wire, flow, far))
    return lost / (layout.grouping.per_string * layout.grouping.strings * sheet.pmax)
