"""``plumbrail wire --json``."""

from __future__ import annotations

from math import isfinite
from typing import Literal

from pydantic import Field

from plumbrail.check import Status
from plumbrail.jobs.output import (
    CAUTION,
    CheckOut,
    Out,
    RunOut,
    StepOut,
    check_out,
    run_out,
    steps_out,
)
from plumbrail.jobs.wiring import WireExplanation, WireJob
from plumbrail.papers.wire_facts import cut_lengths
from plumbrail.wiring.parts import Circuit, Conduit, Electrode, Grouping, Item, Path, Placard
from plumbrail.wiring.strings import members


class VoltsOut(Out):
    """Voltage of one module at the extremes [V]."""

    cold_by_coefficient: float | None = Field(description="By the maker's coefficient.")
    cold_by_table: float | None = Field(description="By the code's table; null: it has no factor.")
    cold: float = Field(description="The one that the plan's basis asks for.")
    hot: float = Field(description="At its best power on the hottest day.")


class GroupingOut(Out):
    """One way to string the modules."""

    per_string: int = Field(description="Modules in a string.")
    strings: int
    per_input: list[int] = Field(description="Strings on each input.")
    left_over: int = Field(description="Modules that no string takes.")
    cold: float = Field(description="Voltage of a string on the coldest morning [V].")
    hot: float = Field(description="Voltage of a string on the hottest day, working [V].")
    short_circuit: float = Field(description="Of one input, without code factors [A].")
    feasible: bool
    reasons: list[str] = Field(description="Why it will not do; empty when feasible.")
    merits: list[str]
    notes: list[str]
    rank: float | None = Field(description="Smaller is better; null when not feasible.")


class StringOut(Out):
    """One string."""

    id: str
    modules: list[str] = Field(description="Module ids from the positive to the negative end.")
    box: str = Field(description="The combiner box that it runs to.")
    input: int = Field(description="Input of the equipment, from 1.")


class BoxOut(Out):
    """A combiner box; local axes of hole F1 [m]."""

    id: str
    x: float
    y: float
    z: float


class PathOut(Out):
    """A length of wire that somebody lays."""

    id: str
    what: str
    kind: Literal["jumper", "home run", "run", "ground"]
    length: float = Field(description="Along it, without slack [m].")
    points: list[tuple[float, float, float]] = Field(description="Local axes of hole F1 [m].")


class CutOut(Out):
    """A wire of a string to be cut [m]."""

    string: str
    wire: str = Field(description="positive, negative or jumper with its number.")
    start: str = Field(description="Module at which it starts.")
    end: str = Field(description="Box or module at which it ends.")
    laid: float = Field(description="Length along its way.")
    cut: float = Field(description="Length with the plan's slack.")


class CircuitOut(Out):
    """One circuit with its conductor and device."""

    id: str
    what: str
    count: int = Field(description="Circuits alike.")
    length: float = Field(description="One way, the longest of them [m].")
    i_sc: float = Field(description="Short-circuit current of its sources, without factors [A].")
    i_max: float = Field(description="The code's largest current [A].")
    i_op: float = Field(description="Current at best power [A].")
    volts: float = Field(description="Working voltage [V].")
    size: str | None = Field(description="Conductor; null where none will do.")
    metal: str
    insulation: str
    ampacity: float | None = Field(description="As corrected [A]; null: not checked.")
    device: str = Field(description="Fuse or device, none required, or no compliant fuse.")
    grounding: str = Field(description="Equipment grounding conductor.")
    drop: float | None = Field(description="Voltage lost at rated current [V].")


class ConduitOut(Out):
    """One raceway with what lies in it."""

    id: str
    what: str
    method: str
    trade: str | None = Field(description="Trade size; null where none will do or not checked.")
    contents: list[str]
    fill: float | None = Field(description="Share of its inside; null: not checked.")
    cover: float | None = Field(description="Least cover [m]; null: not in the ground.")
    length: float = Field(description="[m]")


class ElectrodeOut(Out):
    """A copper conductor to a grounding electrode."""

    id: str
    what: str
    size: str | None = Field(description="At least; null: none needed, or not checked, see words.")
    length: float | None = Field(description="[m]; null: not in the plan.")
    clause: str
    words: str


class PlacardOut(Out):
    """A sign."""

    number: str = Field(description="P1 ..., as on the papers.")
    where: str
    text: str
    clause: str
    values: str = Field(description="What is to be written into it.")


class ItemOut(Out):
    """A line of the buying list."""

    what: str
    amount: float = Field(description="Number, or length with slack [m].")
    unit: Literal["m", "pieces"]
    price: float | None = Field(description="Of all of it, in the plan's money; null: not given.")
    note: str


class WireReport(Out):
    """Output of ``plumbrail wire --json``. Lengths in m, currents in A, voltages in V."""

    schema_name: Literal["plumbrail.wire"] = Field("plumbrail.wire", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    basis: str = Field(description="Edition of the electrical code.")
    as_built: bool = Field(description="Lengths follow posts and beams as measured.")
    passed: int = Field(description="Checks passed.")
    failed: int = Field(description="Checks failed.")
    not_checked: int = Field(description="Checks that could not be made.")
    volts: VoltsOut
    chosen: GroupingOut
    why: str = Field(description="Why this grouping.")
    groupings: list[GroupingOut] = Field(description="All that were looked at, the best first.")
    strings: list[StringOut]
    left_over: list[str] = Field(description="Modules in no string.")
    boxes: list[BoxOut]
    paths: list[PathOut]
    cuts: list[CutOut] = Field(description="Wires of the strings to be cut, in order of strings.")
    circuits: list[CircuitOut]
    conduits: list[ConduitOut]
    electrodes: list[ElectrodeOut]
    checks: list[CheckOut]
    placards: list[PlacardOut]
    buying: list[ItemOut]
    share_lost: float | None = Field(description="Share of rated power lost in the wires.")
    notes: list[str] = Field(description="What was assumed, and what is not covered.")
    cautions: list[str]
    caution: str = CAUTION


class WireExplainReport(Out):
    """Output of ``plumbrail wire --explain ID --json``."""

    schema_name: Literal["plumbrail.wire-explain"] = Field("plumbrail.wire-explain", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    check: CheckOut
    steps: list[StepOut]
    caution: str = CAUTION


def wire_report(made: WireJob) -> WireReport:
    """The wiring as output."""
    w, ids = made.wired, made.model.modules.ids
    volts = w.volts
    assert made.plan.wiring is not None
    return WireReport(
        run=run_out(made.run), job=made.plan.job.name, basis=made.plan.wiring.basis.code,
        as_built=made.plan.as_built is not None, passed=made.count(Status.PASS),
        failed=made.count(Status.FAIL), not_checked=made.count(Status.NOT_CHECKED),
        volts=VoltsOut(cold_by_coefficient=volts.cold_by_coefficient,
                       cold_by_table=volts.cold_by_table, cold=volts.cold, hot=volts.hot),
        chosen=_grouping(w.chosen), why=w.why, groupings=[_grouping(g) for g in w.groupings],
        strings=_strings(made),
        left_over=[ids[m] for m, s in enumerate(w.strings.string.tolist()) if s < 0],
        boxes=_boxes(made), paths=[_path(p) for p in w.paths], cuts=_cuts(made),
        circuits=[_circuit(c) for c in w.circuits], conduits=[_conduit(c) for c in w.conduits],
        electrodes=[_electrode(e) for e in w.electrodes], checks=[check_out(c) for c in w.checks],
        placards=[_placard(i, p) for i, p in enumerate(w.placards)],
        buying=[_item(i) for i in w.buying], share_lost=_known(w.share_lost),
        notes=list(w.notes), cautions=list(w.cautions),
    )  # fmt: skip


def wire_explain_report(made: WireJob, found: WireExplanation) -> WireExplainReport:
    """The steps of one check as output."""
    return WireExplainReport(run=run_out(made.run), check=check_out(found.check),
                             steps=steps_out(found.record))  # fmt: skip


def _known(value: float | None) -> float | None:
    """The number; None where there is none to print."""
    return None if value is None or not isfinite(value) else float(value)


def _grouping(g: Grouping) -> GroupingOut:
    return GroupingOut(
        per_string=g.per_string, strings=g.strings, per_input=list(g.per_input),
        left_over=g.left_over, cold=g.cold, hot=g.hot, short_circuit=g.short_circuit,
        feasible=g.feasible, reasons=list(g.reasons), merits=list(g.merits), notes=list(g.notes),
        rank=_known(g.rank),
    )  # fmt: skip


def _strings(made: WireJob) -> list[StringOut]:
    s, ids = made.wired.strings, made.model.modules.ids
    return [
        StringOut(id=name, modules=[ids[m] for m in members(s, k).tolist()],
                  box=f"C{int(s.combiner[k]) + 1}", input=int(s.input[k]) + 1)
        for k, name in enumerate(s.ids)
    ]  # fmt: skip


def _boxes(made: WireJob) -> list[BoxOut]:
    return [
        BoxOut(id=f"C{i + 1}", x=float(p[0]), y=float(p[1]), z=float(p[2]))
        for i, p in enumerate(made.wired.boxes)
    ]


def _path(p: Path) -> PathOut:
    points = [(float(q[0]), float(q[1]), float(q[2])) for q in p.points]
    return PathOut.model_validate({"id": p.id, "what": p.what, "kind": p.kind,
                                   "length": p.length, "points": points})  # fmt: skip


def _cuts(made: WireJob) -> list[CutOut]:
    return [
        CutOut(string=c.string, wire=c.wire, start=c.start, end=c.end, laid=c.laid, cut=c.cut)
        for c in cut_lengths(made.plan, made.model, made.wired)
    ]


def _circuit(c: Circuit) -> CircuitOut:
    return CircuitOut(
        id=c.id, what=c.what, count=c.count, length=c.length, i_sc=c.i_sc, i_max=c.i_max,
        i_op=c.i_op, volts=c.volts, size=c.size or None, metal=c.metal, insulation=c.insulation,
        ampacity=_known(c.ampacity), device=c.device, grounding=c.grounding, drop=_known(c.drop),
    )  # fmt: skip


def _conduit(c: Conduit) -> ConduitOut:
    return ConduitOut(id=c.id, what=c.what, method=c.method, trade=c.trade or None,
                      contents=list(c.contents), fill=_known(c.fill) if c.trade else None,
                      cover=_known(c.cover), length=c.length)  # fmt: skip


def _electrode(e: Electrode) -> ElectrodeOut:
    return ElectrodeOut(id=e.id, what=e.what, size=e.size or None, length=e.length,
                        clause=e.clause, words=e.words)  # fmt: skip


def _placard(i: int, p: Placard) -> PlacardOut:
    return PlacardOut(number=f"P{i + 1}", where=p.where, text=p.text, clause=p.clause,
                      values=p.values)  # fmt: skip


def _item(i: Item) -> ItemOut:
    return ItemOut.model_validate({"what": i.what, "amount": i.amount, "unit": i.unit,
                                   "price": i.price, "note": i.note})  # fmt: skip
