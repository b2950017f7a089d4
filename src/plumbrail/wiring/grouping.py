"""Every way to string the modules, what speaks against it and what for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from plumbrail.bases.us.nec import voltage as nec
from plumbrail.errors import PlanError, Problem
from plumbrail.plan.models import Plan, Wiring
from plumbrail.wiring.parts import Grouping, Volts
from plumbrail.wiring.places import split
from plumbrail.wiring.sheet import Sheet, section_of, sheet_of
from plumbrail.wiring.volts import hot_open_voltage

LONGEST = 60
"""Modules in a string above which none is looked at."""
BRIGHT = 1.25
"""Light over the rating's: cloud edges and snow; NEC 690.8(A)(1)."""
MARGIN = 1.05
"""The hot voltage should lie this far inside the window: modules age and shade warms them."""
HAIR = 1e-9


@dataclass(frozen=True)
class Demands:
    """What a grouping is judged by."""

    wiring: Wiring
    sheet: Sheet
    volts: Volts
    hot_open: float
    """Open-circuit voltage of a module on the hottest day [V]."""
    code_limit: float | None
    """Largest voltage that the code allows on that building [V]; None: not known."""
    count: int
    """Modules."""


def demands_of(plan: Plan, volts: Volts, count: int) -> Demands:
    """What the groupings of a plan are judged by."""
    wiring = section_of(plan)
    iec = wiring.basis.code == "IEC"
    limit = None if iec else float(nec.voltage_limit(wiring.run.building))
    return Demands(wiring, sheet_of(plan), volts, float(hot_open_voltage(plan)), limit, count)


def groupings(demands: Demands) -> tuple[Grouping, ...]:
    """All groupings, the best first: by modules in a string and by inputs used.

    For each, as many strings as there are modules for; where only their number is in the way, also
    the largest number that will do.
    """
    found = []
    for per in range(1, min(LONGEST, demands.count) + 1):
        for inputs in range(1, demands.wiring.equipment.inputs + 1):
            most = demands.count // per
            if inputs > most:
                break
            full = judged(demands, per, most, inputs)
            found.append(full)
            if full.reasons and not _of_one_string(demands, per):
                found += _fewer(demands, per, most, inputs)
    return tuple(sorted(found, key=lambda g: (g.rank, len(g.reasons), g.left_over, g.per_string,
                                              g.strings)))  # fmt: skip


def _fewer(demands: Demands, per: int, most: int, inputs: int) -> list[Grouping]:
    """The grouping with the largest number of strings that will do, if there is one."""
    for strings in range(most - 1, inputs - 1, -1):
        one = judged(demands, per, strings, inputs)
        if one.feasible:
            return [one]
    return []


def judged(demands: Demands, per: int, strings: int, inputs: int) -> Grouping:
    """One grouping with its reasons, merits and rank."""
    per_input = split(strings, inputs)
    bare = Grouping(
        per, strings, per_input, demands.count - per * strings, per * demands.volts.cold,
        per * demands.volts.hot, per_input[0] * demands.sheet.isc, (), (), float("inf"),
    )  # fmt: skip
    reasons = (*_of_one_string(demands, per), *_of_all(demands, bare))
    merits, notes = merits_of(demands, bare), notes_of(demands, bare)
    rank = float("inf") if reasons else rank_of(demands, bare)
    return replace(bare, reasons=reasons, merits=merits, notes=notes, rank=rank)


def cold_limits(demands: Demands) -> tuple[tuple[str, float], ...]:
    """What the cold voltage of a string must not pass: name and voltage."""
    limits = [("what the equipment stands (wiring.equipment.max_voltage)",
               demands.wiring.equipment.max_voltage)]  # fmt: skip
    if demands.code_limit is not None:
        limits.append((f"the code's limit for a {demands.wiring.run.building} building, NEC 690.7",
                       demands.code_limit))  # fmt: skip
    if demands.sheet.max_system_voltage is not None:
        limits.append(("module.max_system_voltage", demands.sheet.max_system_voltage))
    return tuple(limits)


def _of_one_string(demands: Demands, per: int) -> tuple[str, ...]:
    """Reasons that hold however many strings there are."""
    cold, hot = per * demands.volts.cold, per * demands.volts.hot
    unit, reasons = demands.wiring.equipment, list[str]()
    for name, limit in cold_limits(demands):
        if cold > limit * (1.0 + HAIR):
            reasons.append(f"{cold:.1f} V on the coldest morning is over {name}: {limit:g} V")
    low = unit.working[0]
    if hot < low:
        reasons.append(f"{hot:.1f} V on the hottest day is under the working window from {low:g} V")
    elif per * demands.sheet.vmp > unit.working[1]:
        reasons.append(f"{per * demands.sheet.vmp:.1f} V at its rating is over the working window "
                       f"to {unit.working[1]:g} V")  # fmt: skip
    start = unit.start_voltage
    if start is not None and per * demands.hot_open < start:
        reasons.append(f"{per * demands.hot_open:.1f} V open on the hottest day does not start the "
                       f"equipment, which needs {start:g} V")  # fmt: skip
    return tuple(reasons)


def _of_all(demands: Demands, g: Grouping) -> tuple[str, ...]:
    """Reasons that come from the number of strings."""
    unit, reasons = demands.wiring.equipment, list[str]()
    bright = BRIGHT * g.short_circuit
    limit = unit.max_short_circuit
    if limit is not None and bright > limit * (1.0 + HAIR):
        reasons.append(f"{g.per_input[0]} strings on one input can give {bright:.1f} A (1.25 x "
                       f"{g.short_circuit:.1f} A); the input stands {limit:g} A")  # fmt: skip
    rated = g.per_string * g.strings * demands.sheet.pmax
    if unit.max_array is not None and rated > unit.max_array * (1.0 + HAIR):
        reasons.append(f"{rated / 1000:.2f} kW is over the largest array its maker allows, "
                       f"{unit.max_array / 1000:.2f} kW")  # fmt: skip
    if g.strings < demands.wiring.combiners.count:
        reasons.append(f"{g.strings} strings for {demands.wiring.combiners.count} boxes")
    return tuple(reasons)


def clipped(demands: Demands, g: Grouping) -> float:
    """Share of rated power that the equipment cannot use, at rated conditions."""
    unit, rated = demands.wiring.equipment, g.per_string * g.strings * demands.sheet.pmax
    used = rated
    if unit.max_current is not None:
        flow = np.minimum(np.array(g.per_input) * demands.sheet.imp, unit.max_current)
        used = float(flow.sum()) * g.per_string * demands.sheet.vmp
    if unit.max_power is not None:
        used = min(used, unit.max_power)
    return max(0.0, 1.0 - used / rated)


def fuses_needed(demands: Demands, g: Grouping) -> bool | None:
    """Whether strings need fuses; None where the module's rating or what is fed back is unknown."""
    limit, fed = demands.sheet.max_series_fuse, demands.wiring.equipment.backfeed
    if limit is None:
        return None
    factor = 1.0 if demands.wiring.basis.code == "IEC" else BRIGHT
    needed = (g.per_input[0] - 1) * factor * demands.sheet.isc + (fed or 0.0) > limit
    return None if fed is None and not needed else needed


def merits_of(demands: Demands, g: Grouping) -> tuple[str, ...]:
    """What speaks for a grouping, in words."""
    words = []
    if not g.left_over:
        words.append(f"uses all {demands.count} modules")
    spare = min(limit for _, limit in cold_limits(demands)) - g.cold
    if spare >= 0.0:
        words.append(f"{spare:.0f} V to spare on the coldest morning")
    above = g.hot - demands.wiring.equipment.working[0]
    if g.hot >= MARGIN * demands.wiring.equipment.working[0]:
        words.append(f"{above:.0f} V above the window's lower end on the hottest day")
    if fuses_needed(demands, g) is False:
        words.append("needs no string fuses")
    if len(set(g.per_input)) == 1 and len(g.per_input) > 1:
        words.append("the same on every input")
    if g.strings % demands.wiring.combiners.count == 0 and demands.wiring.combiners.count > 1:
        words.append("the same in every box")
    return tuple(words)


def notes_of(demands: Demands, g: Grouping) -> tuple[str, ...]:
    """What is to be known about a grouping and does not rule it out."""
    notes, lost = [], clipped(demands, g)
    if lost > HAIR:
        notes.append(f"in full sun {100 * lost:.0f} % of the rated power is more than the "
                     "equipment can use and is lost")  # fmt: skip
    if g.left_over:
        notes.append(f"{g.left_over} of {demands.count} modules are in no string")
    if g.hot < MARGIN * demands.wiring.equipment.working[0]:
        notes.append("hardly above the working window on the hottest day; it will sink as the "
                     "modules age")  # fmt: skip
    return tuple(notes)


def rank_of(demands: Demands, g: Grouping) -> float:
    """Rank of a feasible grouping, smaller is better.

    In this order of weight: power lost to modules left over and to clipping; a hot voltage hard on
    the window's edge; string fuses; strings in parallel; inputs, then boxes, that differ.
    """
    lost = 1.0 - (1.0 - g.left_over / demands.count) * (1.0 - clipped(demands, g))
    edge = g.hot < MARGIN * demands.wiring.equipment.working[0]
    known = demands.sheet.max_series_fuse is not None
    fuses = (fuses_needed(demands, g) or not known) and g.per_input[0] > 1
    boxes = g.strings % demands.wiring.combiners.count != 0
    return float(1000.0 * lost + 60.0 * edge + 20.0 * fuses + 5.0 * g.per_input[0]
                 + 2.0 * (len(set(g.per_input)) > 1) + 2.0 * boxes + 0.01 * g.strings)  # fmt: skip


def chosen(demands: Demands, found: Sequence[Grouping]) -> tuple[Grouping, str]:
    """The grouping to build and why: the plan's own, else the best, else the least bad."""
    fixed = demands.wiring.per_string
    if fixed is not None:
        own = next((g for g in found if g.per_string == fixed), None)
        if own is None:
            raise PlanError([Problem("wiring.per_string", f"asks for {fixed} modules in a string; "
                                     f"the array has {demands.count}")])  # fmt: skip
        words = "wiring.per_string asks for it"
        good = "; ".join((words, *own.merits, *own.notes))
        return own, good if own.feasible else f"{words}, but: {'; '.join(own.reasons)}"
    best = found[0]
    if best.feasible:
        return best, "; ".join((*best.merits, *best.notes, *_next(found)))
    return best, f"no grouping will do; the nearest to it: {'; '.join(best.reasons)}"


def _next(found: Sequence[Grouping]) -> tuple[str, ...]:
    """The next best of another length, and what is worse about it."""
    best = found[0]
    other = next((g for g in found if g.feasible and g.per_string != best.per_string), None)
    if other is None:
        return ("no other number of modules in a string will do",)
    worse = "; ".join(other.notes) or f"{other.per_input[0]} strings on one input"
    return (f"next best are {other.strings} strings of {other.per_string}: {worse}",)
