"""``plumbrail trench --json``."""

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
from plumbrail.jobs.trenching import TrenchJob
from plumbrail.jobs.wiring import WireExplanation
from plumbrail.trench.parts import (
    Amount,
    Crossing,
    Direction,
    Element,
    Leg,
    Option,
    Piece,
    Station,
    Trenched,
)

Pair = tuple[float, float]


class RouteOut(Out):
    """One way to run the trench."""

    name: Literal["proposed", "shortest", "least hand digging", "fewest crossings"]
    points: list[Pair] = Field(description="From riser to wall, local axes of hole F1 [m].")
    length: float = Field(description="[m]")
    hand: float = Field(description="Of it dug by hand [m].")
    crossings: int
    bends: float = Field(description="All bends in plan together [rad].")
    hours: float = Field(description="Of work, by the plan's rates.")
    differs: str = Field(description="From the one proposed; empty for that one.")


class PieceOut(Out):
    """A stretch over ground of one kind; distances along the route [m]."""

    start: float
    end: float
    factor: float = Field(description="Effort of digging over that in open ground.")
    hand: bool
    names: list[str] = Field(description="What lies there; empty in open ground.")
    kinds: list[str] = Field(description="service zone, roots, paving, rock, under the array or "
                             "beside, one for each name.")  # fmt: skip


class CrossingOut(Out):
    """A place where the route passes a buried service."""

    number: str
    service: str
    kind: str
    at: float = Field(description="Distance along the route [m].")
    point: Pair
    angle: float = Field(description="Between route and service [rad].")
    sure: bool = Field(description="Its place was found on the ground.")
    zone: Pair = Field(description="Distances between which it is dug by hand [m].")
    top: float | None = Field(description="Depth of its top [m]; null: not known.")
    width: float = Field(description="[m]; 0: not known.")
    conduit: float = Field(description="Depth of the top of the conduit there [m].")
    over: bool | None = Field(description="The conduit passes over it; null: not known.")
    gap: float | None = Field(description="Upright [m]; null: not checked.")


class BendOut(Out):
    """A bend of the conduit."""

    at: float
    angle: float = Field(description="[rad]")
    way: Literal["left", "right", "up", "down"]


class StationOut(Out):
    """A row of the stake-out table."""

    name: str
    at: float
    point: Pair
    bearing: float | None = Field(description="To the next, from true north [rad].")
    ground: float = Field(description="Height of the ground [m].")
    depth: float = Field(description="To the bottom of the trench [m].")
    what: str


class ProfileOut(Out):
    """Along the route, all lists alike long [m]."""

    at: list[float]
    ground: list[float] = Field(description="Height.")
    cover: list[float] = Field(description="Least cover by the code.")
    top: list[float] = Field(description="Depth of the top of the conduit.")
    bottom: list[float] = Field(description="Depth of the trench.")
    guessed: bool = Field(description="Some of the ground is beyond the survey points.")


class ElementOut(Out):
    """A straight piece or a bend between two pulling points."""

    what: Literal["straight", "bend"]
    start: float
    end: float
    length: float = Field(description="[m]; 0 of a bend.")
    slope: float = Field(description="Rise toward the equipment [rad].")
    angle: float = Field(description="Of a bend [rad].")


class PullOut(Out):
    """Pulling a leg one way; one figure for each element, in the order of the pull."""

    toward: Literal["equipment", "array"]
    tension: list[float] = Field(description="At the end of each element [N].")
    sidewall: list[float] = Field(description="In each bend [N/m].")


class LegOut(Out):
    """Conduit between two pulling points."""

    name: str
    start: str
    end: str
    length: float
    bends: float = Field(description="Together [rad].")
    elements: list[ElementOut]
    pulls: list[PullOut] = Field(description="Both ways; empty where the wires are not known.")
    better: str | None = Field(description="Way that needs the smaller pull.")


class BoxOut(Out):
    """A pull box that is proposed."""

    name: str
    at: float
    point: Pair
    why: str
    least: float | None = Field(description="Least inner length by 314.28 [m]; null: none set.")


class AmountOut(Out):
    """A line of what is bought, moved or worked."""

    what: str
    amount: float
    unit: Literal["m", "m3", "pieces", "h"]
    price: float | None = Field(description="In the plan's money; null: not given.")
    note: str


class TrenchReport(Out):
    """Output of ``plumbrail trench --json``. SI units, local axes of hole F1."""

    schema_name: Literal["plumbrail.trench"] = Field("plumbrail.trench", alias="schema")
    schema_version: Literal[1] = 1
    run: RunOut
    job: str
    passed: int = Field(description="Checks passed.")
    failed: int = Field(description="Checks failed.")
    not_checked: int = Field(description="Checks that could not be made.")
    route: RouteOut
    others: list[RouteOut] = Field(description="Other routes, as far as they differ.")
    spacing: float = Field(description="Of the places tried about the bends at edges of dearer "
                           "ground [m]; 0 where it has none.")  # fmt: skip
    bound: float = Field(description="First-order bound on what finer places could save [h].")
    pieces: list[PieceOut]
    crossings: list[CrossingOut]
    bends: list[BendOut]
    profile: ProfileOut
    stations: list[StationOut]
    conduit: float = Field(description="Length of conduit with both risers [m].")
    outer: float = Field(description="Outer width of the conduit [m]; 0: not known.")
    legs: list[LegOut]
    boxes: list[BoxOut]
    amounts: list[AmountOut]
    checks: list[CheckOut]
    checklist: list[str] = Field(description="Before and while digging, in order.")
    cautions: list[str]
    separations: list[str] = Field(description="Rules on distances to what is crossed.")
    notes: list[str]
    caution: str = CAUTION


class TrenchExplainReport(Out):
    """Output of ``plumbrail trench --explain ID --json``."""

    schema_name: Literal["plumbrail.trench-explain"] = Field(
        "plumbrail.trench-explain", alias="schema"
    )
    schema_version: Literal[1] = 1
    run: RunOut
    check: CheckOut
    steps: list[StepOut]
    caution: str = CAUTION


def trench_report(made: TrenchJob) -> TrenchReport:
    """The trench as output."""
    t = made.trench
    return TrenchReport(
        run=run_out(made.run), job=made.plan.job.name, passed=made.count(Status.PASS),
        failed=made.count(Status.FAIL), not_checked=made.count(Status.NOT_CHECKED),
        route=_route(t.option), others=[_route(o) for o in t.others], spacing=t.spacing,
        bound=t.bound, pieces=[_piece(p) for p in t.pieces],
        crossings=[_crossing(c) for c in t.crossings],
        bends=[BendOut.model_validate({"at": b.at, "angle": b.angle, "way": b.way})
               for b in t.bends],
        profile=_profile(t), stations=[_station(s) for s in t.stations], conduit=t.conduit,
        outer=t.outer, legs=[_leg(leg) for leg in t.legs],
        boxes=[BoxOut(name=b.name, at=b.at, point=b.point, why=b.why, least=b.least)
               for b in t.boxes],
        amounts=[_amount(a) for a in t.amounts], checks=[check_out(c) for c in t.checks],
        checklist=list(t.checklist), cautions=list(t.cautions), separations=list(t.separations),
        notes=list(t.notes),
    )  # fmt: skip


def trench_explain_report(made: TrenchJob, found: WireExplanation) -> TrenchExplainReport:
    """The steps of one check as output."""
    return TrenchExplainReport(run=run_out(made.run), check=check_out(found.check),
                               steps=steps_out(found.record))  # fmt: skip


def _route(o: Option) -> RouteOut:
    return RouteOut.model_validate({
        "name": o.name, "points": [(float(x), float(y)) for x, y in o.points], "length": o.length,
        "hand": o.hand, "crossings": o.crossings, "bends": o.bends, "hours": o.hours,
        "differs": o.differs,
    })  # fmt: skip


def _piece(p: Piece) -> PieceOut:
    return PieceOut(start=p.start, end=p.end, factor=p.factor, hand=p.hand, names=list(p.names),
                    kinds=list(p.kinds))  # fmt: skip


def _crossing(c: Crossing) -> CrossingOut:
    gap = c.gap if c.gap is not None and isfinite(c.gap) else None
    return CrossingOut(number=c.number, service=c.service, kind=c.kind, at=c.at, point=c.point,
                       angle=c.angle, sure=c.sure, zone=c.zone, top=c.top, width=c.width,
                       conduit=c.conduit, over=c.over, gap=gap)  # fmt: skip


def _profile(t: Trenched) -> ProfileOut:
    p = t.profile
    return ProfileOut(at=p.at.tolist(), ground=p.ground.tolist(), cover=p.cover.tolist(),
                      top=p.top.tolist(), bottom=p.bottom.tolist(), guessed=p.guessed)  # fmt: skip


def _station(s: Station) -> StationOut:
    return StationOut(name=s.name, at=s.at, point=s.point, bearing=s.bearing, ground=s.ground,
                      depth=s.depth, what=s.what)  # fmt: skip


def _leg(leg: Leg) -> LegOut:
    better = leg.directions[leg.better].toward if leg.directions else None
    return LegOut(name=leg.name, start=leg.start, end=leg.end, length=leg.length, bends=leg.bends,
                  elements=[_element(e) for e in leg.elements],
                  pulls=[_pull(d) for d in leg.directions], better=better)  # fmt: skip


def _element(e: Element) -> ElementOut:
    return ElementOut.model_validate(
        {
            "what": e.what,
            "start": e.start,
            "end": e.end,
            "length": e.long,
            "slope": e.slope,
            "angle": e.angle,
        }
    )


def _pull(d: Direction) -> PullOut:
    return PullOut.model_validate({"toward": d.toward, "tension": d.tension.tolist(),
                                   "sidewall": d.sidewall.tolist()})  # fmt: skip


def _amount(a: Amount) -> AmountOut:
    return AmountOut.model_validate({"what": a.what, "amount": a.amount, "unit": a.unit,
                                     "price": a.price, "note": a.note})  # fmt: skip
