"""``plumbrail cut --json``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from plumbrail.jobs.buying import Shopping
from plumbrail.jobs.cutting import Cutting, SectionCut
from plumbrail.jobs.designing import Analysis
from plumbrail.jobs.output import CAUTION, Out, RunOut, run_out
from plumbrail.stock.buying import Line
from plumbrail.stock.concrete import STAGES
from plumbrail.stock.records import CutPlan, Stick


class PartOut(Out):
    """One part cut from a stick."""

    label: str
    length: float = Field(description="[m]")


class StickOut(Out):
    """One stick and its cuts in order [m]."""

    length: float
    own: bool = Field(description="An offcut from the yard, not bought.")
    cuts: list[PartOut]
    trim: float
    kerf_lost: float
    offcut: float


class AimOut(Out):
    """One aim of the cutting, in order of importance."""

    name: str = Field(description="cost, waste or splices.")
    value: float
    bound: float = Field(description="No plan can do better than this.")
    proven: bool


class SectionOut(Out):
    """The cut list of one section."""

    section: str
    what: str
    problem: str = Field(description="Why it cannot be cut; empty when it can.")
    sticks: list[StickOut]
    aims: list[AimOut]
    cost_bound_any_splice: float | None = Field(
        description="Bound on cost for splices anywhere in their zones."
    )
    notes: list[str]
    kerf: list[str] = Field(description="What kerf and trim forbid, compared with a perfect saw.")


class LineOut(Out):
    """One line of the buying list."""

    section: str
    length: float = Field(description="[m]")
    count: int
    price: float
    cost: float
    mass_each: float = Field(description="[kg]")
    mass: float = Field(description="[kg]")


class PierOut(Out):
    """Concrete of one pier."""

    id: str
    holding_volume: float = Field(description="First pour, holds the post while truing [m3].")
    rest_volume: float = Field(description="Second pour [m3].")
    holding_bags: int
    rest_bags: int


class ConcreteOut(Out):
    """Concrete of all piers."""

    bag: str
    bags: int = Field(description="Whole bags, each pier and pour mixed for itself.")
    bag_cost: float
    bags_by_size: dict[str, int] = Field(
        description="The same count for every bag size of the table."
    )
    volume: float = Field(description="[m3]")
    mass: float = Field(description="[kg]")
    ready_mix_holding: float = Field(description="Order for the holding set [yd3].")
    ready_mix_rest: float = Field(description="Order for the rest [yd3].")
    piers: list[PierOut]


class CutReport(Out):
    """Output of ``plumbrail cut --json``."""

    schema_name: Literal["plumbrail.cut"] = Field("plumbrail.cut", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    complete: bool = Field(description="Every section can be cut.")
    splices: dict[str, list[float]] = Field(
        description="Splices of the front and back beam from the left end [m]."
    )
    splice_zones: dict[str, list[tuple[float, float]]] = Field(
        description="Where each beam may be spliced, from the left end [m]."
    )
    sections: list[SectionOut]
    buying: list[LineOut]
    cost: float = Field(description="Sticks and bags, in the plan's money.")
    mass: float = Field(description="All sticks [kg].")
    heaviest_stick: float = Field(description="[kg]")
    concrete: ConcreteOut
    caution: str = CAUTION


def cut_report(analysis: Analysis, cuts: Cutting, shop: Shopping) -> CutReport:
    """Cut lists and buying list as output."""
    front, back = cuts.splices
    zones = {n: list(z) for n, z in zip(("front", "back"), analysis.zones, strict=True)}
    return CutReport(
        run=run_out(analysis.run), job=analysis.plan.job.name, complete=cuts.complete,
        splices={"front": list(front), "back": list(back)}, splice_zones=zones,
        sections=[_section(s) for s in cuts.sections],
        buying=[_line(line) for line in shop.sticks.lines], cost=shop.cost,
        mass=shop.sticks.mass, heaviest_stick=shop.sticks.heaviest, concrete=_concrete(shop),
    )  # fmt: skip


def _section(s: SectionCut) -> SectionOut:
    plan = s.plan
    if plan is None:
        return SectionOut(section=s.section, what=s.what, problem=s.problem, sticks=[], aims=[],
                          cost_bound_any_splice=None, notes=[], kerf=[])  # fmt: skip
    return SectionOut(
        section=s.section, what=s.what, problem="", sticks=[_stick(k) for k in plan.sticks],
        aims=_aims(plan), cost_bound_any_splice=plan.bound_anywhere, notes=list(plan.notes),
        kerf=list(s.kerf),
    )  # fmt: skip


def _aims(plan: CutPlan) -> list[AimOut]:
    return [AimOut(name=a.name, value=a.value, bound=a.bound, proven=a.proven) for a in plan.levels]


def _stick(k: Stick) -> StickOut:
    parts = [PartOut(label=c.label, length=c.length) for c in k.cuts]
    return StickOut(length=k.length, own=k.own, cuts=parts, trim=k.trim, kerf_lost=k.kerf_lost,
                    offcut=k.offcut)  # fmt: skip


def _line(line: Line) -> LineOut:
    return LineOut(section=line.section, length=line.length, count=line.count, price=line.price,
                   cost=line.cost, mass_each=line.mass_each, mass=line.mass)  # fmt: skip


def _concrete(shop: Shopping) -> ConcreteOut:
    c = shop.concrete
    first, rest = (STAGES.index(s) for s in ("holding", "rest"))
    return ConcreteOut(
        bag=shop.bags.size.name, bags=shop.bags.total, bag_cost=shop.bag_cost, volume=c.total,
        bags_by_size={b.size.name: b.total for b in c.bags},
        mass=float(c.mass.sum()), ready_mix_holding=float(c.ready_mix[first]),
        ready_mix_rest=float(c.ready_mix[rest]),
        piers=[
            PierOut(id=name, holding_volume=float(c.volume[first, i]),
                    rest_volume=float(c.volume[rest, i]),
                    holding_bags=int(shop.bags.per_pier[first, i]),
                    rest_bags=int(shop.bags.per_pier[rest, i]))
            for i, name in enumerate(c.ids)
        ],
    )  # fmt: skip
