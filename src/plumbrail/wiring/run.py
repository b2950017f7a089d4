"""From plan and model to the whole wiring plan."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plumbrail.bases.us.nec import grounding
from plumbrail.bases.us.nec.wire import circular_mils
from plumbrail.check import Check
from plumbrail.model.parts import Model
from plumbrail.plan.models import Plan
from plumbrail.units import show
from plumbrail.wiring import circuits, conduits, grouping, places, routes, rules, strings
from plumbrail.wiring.buying import Bill, buying_list
from plumbrail.wiring.cautions import CAUTIONS
from plumbrail.wiring.circuit_checks import circuit_checks
from plumbrail.wiring.circuits import Line
from plumbrail.wiring.conduit_checks import buried_checks, conduit_checks
from plumbrail.wiring.conduits import Filled
from plumbrail.wiring.disconnect_checks import disconnect_checks
from plumbrail.wiring.electrodes import electrode_checks, electrodes
from plumbrail.wiring.layout import Layout, layout_of
from plumbrail.wiring.parts import (
    Array,
    Circuit,
    Electrode,
    Grouping,
    IntArray,
    Path,
    Placard,
    Strings,
    Wired,
)
from plumbrail.wiring.places import Box
from plumbrail.wiring.sheet import section_of, sheet_of
from plumbrail.wiring.string_checks import failed, grouping_checks
from plumbrail.wiring.volts import volts_of


@dataclass(frozen=True)
class Laid:
    """Strings, boxes and paths of a grouping."""

    strings: Strings
    parts: list[IntArray]
    boxes: list[Box]
    start: int
    """Box that the run starts at."""
    paths: list[Path]


@dataclass(frozen=True)
class Sized:
    """Circuits and conduits of a layout."""

    layout: Layout
    string: Line
    run: Line
    circuits: tuple[Circuit, Circuit]
    conduits: list[Filled]


def wired(plan: Plan, model: Model, shade: Array | None = None) -> Wired:
    """The wiring of a plan. ``shade`` (modules,) is the share of a year's light each one loses.

    Raises PlanError where the plan lacks what the wiring needs, RangeError beyond a table.
    """
    volts = volts_of(plan)
    demands = grouping.demands_of(plan, volts, len(model.modules.ids))
    found = grouping.groupings(demands)
    chosen, why = grouping.chosen(demands, found)
    laid = lay(plan, model, chosen, shade)
    sized = size(plan, laid, chosen)
    largest = sized.circuits[1].i_max
    applying = rules.situation(plan, chosen.cold, largest)
    placards = rules.signs(plan, applying, chosen)
    egc = sized.circuits[1].grounding
    rods = electrodes(plan, sized.run, egc)
    checks = [
        *grouping_checks(plan, volts, chosen), *_grouping(chosen), *_reach(plan, laid),
        *circuit_checks(plan, sized.layout, sized.string, sized.run),
        *conduit_checks(plan, sized.conduits, sized.run, egc), *buried_checks(plan),
        *disconnect_checks(plan, sized.layout), *electrode_checks(plan, sized.run, rods),
        *rules.rule_checks(plan, applying),
    ]  # fmt: skip
    return Wired(
        volts, found, chosen, why, laid.strings, np.array([b.point for b in laid.boxes]),
        tuple(laid.paths), sized.circuits, tuple(f.conduit for f in sized.conduits),
        tuple(checks), placards, buying_list(_bill(plan, model, laid, sized, placards, rods)),
        CAUTIONS,
        circuits.share_lost(plan, sized.layout, sized.string, sized.run),
        (*_shade_note(shade), *rules.run_notes(plan, sized.run),
         *rules.notes_of(plan, applying, sized.conduits)), rods,
        _thickest([c.grounding for c in sized.circuits]),
    )  # fmt: skip


def lay(plan: Plan, model: Model, chosen: Grouping, shade: Array | None) -> Laid:
    """Boxes, strings and paths for a grouping."""
    wiring, count = section_of(plan), len(model.modules.ids)
    light = np.zeros(count) if shade is None else np.asarray(shade, dtype=float)
    if light.shape != (count,):
        raise ValueError(f"shade has shape {light.shape}; there are {count} modules")
    lead = wiring.conductors.module_lead
    parts, found = _hung(plan, model, chosen, light)
    got = strings.assigned(model, chosen, parts, found, light, lead)
    start = places.start_of_run(wiring.combiners, found)
    paths: list[Path] = []
    for s in range(len(got.ids)):
        paths += routes.home_runs(model, got, s, found[int(got.combiner[s])], lead)
        paths += routes.jumpers(model, got, s, lead)
    paths += routes.run_paths(model, found, start)
    return Laid(got, parts, found, start, paths + routes.ground_paths(model, found, parts))


def hung(plan: Plan, model: Model) -> list[Box]:
    """The combiner boxes before shade is known; none where it picks modules to leave over.

    Raises as ``wired``.
    """
    count = len(model.modules.ids)
    demands = grouping.demands_of(plan, volts_of(plan), count)
    chosen, _ = grouping.chosen(demands, grouping.groupings(demands))
    return [] if chosen.left_over else _hung(plan, model, chosen, np.zeros(count))[1]


def _hung(
    plan: Plan, model: Model, chosen: Grouping, light: Array
) -> tuple[list[IntArray], list[Box]]:
    """Modules of each box, and the boxes."""
    combiners = section_of(plan).combiners
    taken = strings.in_use(len(light), chosen.left_over, light)
    each = strings.strings_of_boxes(chosen, min(combiners.count, chosen.strings))
    parts = places.shares(model, taken, each, chosen.per_string)
    return parts, places.boxes(model, combiners, parts)


def size(plan: Plan, laid: Laid, chosen: Grouping) -> Sized:
    """Conductors, devices and conduits of what was laid."""
    ids = [b.id for b in laid.boxes]
    layout = layout_of(chosen, laid.strings, laid.paths, ids, laid.start)
    string = circuits.string_line(plan, layout)
    run = circuits.run_line(plan, layout, string)
    one = _circuit(plan, layout, string, "S1", "a string to its box", len(laid.strings.ids))
    two = _circuit(plan, layout, run, "run", "a box to the equipment", len(layout.pairs))
    pipes = conduits.conduits(plan, layout, run, two.grounding, ids, laid.start)
    return Sized(layout, string, run, (one, two), pipes)


def _circuit(plan: Plan, layout: Layout, line: Line, id: str, what: str, count: int) -> Circuit:
    sheet, wire = sheet_of(plan), line.wire
    largest = float(circuits.largest(plan, line.parallel))
    lose = circuits.string_drop if id == "S1" else circuits.run_drop
    return Circuit(
        id, what, count, line.length, line.parallel * sheet.isc, largest,
        line.parallel * sheet.imp, layout.grouping.per_string * sheet.vmp, wire.size,
        wire.laying.metal, wire.laying.insulation, wire.usable, line.device_words,
        _grounding(plan, line, largest), float(lose(plan, line)) if wire.size else float("nan"),
    )  # fmt: skip


def _grounding(plan: Plan, line: Line, largest: float) -> str:
    """Equipment grounding conductor, of copper; never larger than a circuit conductor of copper."""
    code, wire = section_of(plan).basis.code, line.wire
    if code == "IEC":
        return "size not checked"
    device = line.device
    if device is None:
        device = float(grounding.assumed_device(largest, code))
    found = grounding.equipment_conductor(device, "copper")
    if not wire.size or wire.laying.metal != "copper":
        return found
    area = circular_mils
    return found if float(area(found)) <= float(area(wire.size)) else wire.size


def _thickest(sizes: list[str]) -> str:
    """The largest of grounding conductors; the first where none is sized."""
    sized = [size for size in sizes if "not checked" not in size]
    return max(sized, key=lambda size: float(circular_mils(size))) if sized else sizes[0]


def _grouping(chosen: Grouping) -> list[Check]:
    """What speaks against the grouping, also where no ratio can say it."""
    if chosen.feasible:
        return []
    return [failed("array.grouping", "the whole array", "grouping in strings",
                   "; ".join(chosen.reasons), "wiring")]  # fmt: skip


def _reach(plan: Plan, laid: Laid) -> list[Check]:
    """Whether the stated run can reach the equipment at all, where its place is known."""
    wiring, box = section_of(plan), laid.boxes[laid.start]
    if wiring.equipment.at is None:
        return []
    apart = float(np.hypot(*(np.asarray(wiring.equipment.at) - box.point[:2])))
    if apart <= wiring.run.length:
        return []
    far, long = (show(x, "length", plan.job.units) for x in (apart, wiring.run.length))
    why = (f"wiring.run.length is {long}, yet in a straight line it is {far} from {box.id} to "
           "wiring.equipment.at; one of the two is a slip, and the wires were sized for the "
           "shorter way")  # fmt: skip
    return [failed("run.length", "the run to the equipment", "length", why, "wiring")]


def _shade_note(shade: Array | None) -> tuple[str, ...]:
    if shade is not None:
        return ()
    return ("Shade was not looked at: modules are in strings by their places alone.",)


def _bill(
    plan: Plan, model: Model, laid: Laid, sized: Sized, placards: tuple[Placard, ...],
    rods: tuple[Electrode, ...],
) -> Bill:  # fmt: skip
    far, run = sized.layout.collector, section_of(plan).run.length
    both = sum(circuits.POLES * (run + float(far[c])) for c, _ in sized.layout.pairs)
    return Bill(
        plan, model, laid.strings, laid.paths, *sized.circuits,
        [f.conduit for f in sized.conduits], placards, both, run + float(far.sum()),
        conduits.needs_expansion(plan), _thickest([c.grounding for c in sized.circuits]),
        rods, sized.layout.grouping.cold,
    )  # fmt: skip
