"""Conduits: from each box to where the run starts, down the riser, under ground, up the wall."""

from __future__ import annotations

from dataclasses import dataclass

from plumbrail.bases.us.nec import burial, raceway
from plumbrail.errors import RangeError, TableError
from plumbrail.plan.models import Plan
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty
from plumbrail.wiring.circuits import POLES, Line
from plumbrail.wiring.kinds import (
    DIRECT,
    UNLISTED,
    diameter_field,
    ground_insulation,
    method_words,
)
from plumbrail.wiring.layout import Layout
from plumbrail.wiring.parts import Array, Conduit
from plumbrail.wiring.provisions import area_sum
from plumbrail.wiring.sheet import section_of
from plumbrail.wiring.volts import entry

WALL = burial.RISER_TOP


@dataclass(frozen=True)
class Filled:
    """A conduit with what its fill rests on."""

    conduit: Conduit
    wires: int
    """Conductors alike, without the grounding one."""
    limit: float
    """Share that may be filled; nan where it could not be found."""
    why: str
    """Why its fill could not be found; empty when it was."""


@dataclass(frozen=True)
class Draft:
    """A conduit before its size is known."""

    id: str
    what: str
    method: str
    circuits: int
    length: float
    buried: bool


def cover_of(plan: Plan) -> float | None:
    """Least cover [m]; None where the code's table has none for that surface, or for IEC."""
    wiring = section_of(plan)
    if wiring.basis.code == "IEC":
        return None
    try:
        return float(burial.least_cover(wiring.run.method, wiring.run.surface))
    except TableError:
        return None


def drafts(plan: Plan, layout: Layout, box_ids: list[str], start: int) -> list[Draft]:
    """The conduits of a plan; lengths of the risers are estimated, their sum is the plan's."""
    wiring = section_of(plan)
    run, all_circuits, found = wiring.run, len(layout.pairs), list[Draft]()
    for c, name in enumerate(box_ids):
        if c != start:
            own = sum(pair[0] == c for pair in layout.pairs)
            found.append(Draft(f"{name}.conduit", f"from {name} along the beam to {box_ids[start]}",
                               run.riser, own, float(layout.collector[c]), False))  # fmt: skip
    deep = cover_of(plan) or burial.RISER_BOTTOM
    down, up = wiring.combiners.height + deep, WALL + deep
    scale = min(1.0, 0.9 * run.length / (down + up))
    ground = run.length - scale * (down + up)
    name = box_ids[start]
    found += [
        Draft(f"{name}.conduit", f"from {name} down into the ground", run.riser, all_circuits,
              scale * down, False),
        Draft("run.conduit", "in the ground", run.method, all_circuits, ground, True),
        Draft("riser.conduit", "out of the ground at the building", run.riser, all_circuits,
              scale * up, False),
    ]  # fmt: skip
    return found


def conduits(
    plan: Plan, layout: Layout, run: Line, grounding: str, box_ids: list[str], start: int
) -> list[Filled]:
    """Every conduit with its size; those of the run share the largest size that any needs."""
    found = drafts(plan, layout, box_ids, start)
    least = {d.id: smallest(plan, d, run, grounding) for d in found}
    through = [d.id for d in found if d.circuits == len(layout.pairs)]
    order = trades()
    sizes = [least[id] for id in through if least[id]]
    common = max(sizes, key=order.index) if sizes else ""
    return [_filled(plan, d, run, grounding, common if d.id in through and least[d.id]
                    else least[d.id]) for d in found]  # fmt: skip


def trades() -> list[str]:
    """Trade sizes, rising."""
    return list(dict.fromkeys(load("nec", "raceway").words["trade"]))


def smallest(plan: Plan, draft: Draft, run: Line, grounding: str) -> str:
    """The smallest trade size that holds a draft's wires; empty where none does or is known."""
    if draft.method == DIRECT or not run.wire.size or run.wire.section is not None:
        return ""
    try:
        areas = [float(wire_area(plan, run.wire.size))] * POLES * draft.circuits
        areas.append(float(ground_area(plan, grounding)))
        return raceway.smallest_raceway(areas, draft.method).trade or ""
    except (TableError, RangeError):
        return ""


def wire_area(plan: Plan, size: str) -> Array:
    """Area of a wire of the run [m2]; 0-d: of the code's table, else of its data sheet's diameter.

    TableError where neither has it.
    """
    wires = section_of(plan).conductors
    if wires.run_type not in UNLISTED:
        return raceway.conductor_area(size, wires.run_type)
    field = diameter_field(plan, size)
    if not field:
        raise TableError(f"no diameter of {size} {wires.run_type} is at hand")
    return raceway.area_of_diameter(
        entry(f"wiring.conductors.{field}", "OD [m]", getattr(wires, field), Certainty.MAKER)
    )


def ground_area(plan: Plan, size: str) -> Array:
    """Area of the insulated grounding conductor in a conduit of the run [m2]; 0-d."""
    return raceway.conductor_area(size, ground_insulation(section_of(plan)))


def _filled(plan: Plan, draft: Draft, run: Line, grounding: str, trade: str) -> Filled:
    wires = POLES * draft.circuits
    cover = cover_of(plan) if draft.buried else None
    own = (
        f"{wires} x {run.wire.size} {run.wire.laying.insulation}",
        f"1 x grounding conductor, {grounding}",
    )
    share, limit, why = 0.0, float("nan"), _why(plan, draft, run, grounding)
    if trade:
        share = float(fill_of(plan, run.wire.size, wires, grounding, draft.method, trade))
        limit = float(raceway.fill_limit(wires + 1))
    kind = method_words(section_of(plan), draft.method)
    pipe = Conduit(draft.id, draft.what, kind, trade, own, share, cover, draft.length)
    return Filled(pipe, wires, limit, why)


def _why(plan: Plan, draft: Draft, run: Line, grounding: str) -> str:
    """Why a fill cannot be found at all; empty where it can, or where no size is large enough."""
    wires = section_of(plan).conductors
    if draft.method == DIRECT:
        return "cable laid straight into the ground has no conduit"
    if run.wire.section is not None:
        return "no values for the fill of conduit are at hand for IEC"
    if not run.wire.size:
        return "no conductor will do"
    try:
        wire_area(plan, run.wire.size)
        ground_area(plan, grounding)
    except TableError:
        if wires.run_type in UNLISTED:
            return (f"the code's table does not list {wires.run_type}: give wiring.conductors."
                    "run_size and run_diameter, from its data sheet")  # fmt: skip
        return f"the area of {run.wire.size} or {grounding} {wires.run_type} is not at hand"
    return ""


def fill_of(
    plan: Plan, size: str, wires: int, grounding: str, method: str, trade: str
) -> Array:  # fmt: skip
    """Share of a conduit that its wires fill; 0-d, with its steps."""
    area = area_sum(
        entry("conductors of all circuits", "N [-]", wires), wire_area(plan, size),
        ground_area(plan, grounding),
    )  # fmt: skip
    return raceway.fill_share(area, raceway.inner_area(method, trade))


def growth(plan: Plan) -> Array | None:
    """Growth of the longest straight piece above ground [m]; None where it is not given."""
    run, site = section_of(plan).run, plan.site
    if run.straight is None:
        return None
    swing = site.hottest - site.coldest + raceway.SUN_RISE
    grow = raceway.pvc_growth if run.riser.startswith("PVC") else raceway.steel_growth
    range_of = "site.hottest less site.coldest, and 30 degF of sun"
    return grow(entry("wiring.run.straight", "L [m]", run.straight),
                entry(range_of, "dT [K]", swing))  # fmt: skip


def needs_expansion(plan: Plan) -> bool:
    """A fitting that takes up growth is needed."""
    grown = None if section_of(plan).basis.code == "IEC" else growth(plan)
    return grown is not None and bool(raceway.needs_expansion_fitting(grown))
