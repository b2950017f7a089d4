"""The drawings of a book, by chapter and by DXF file."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from plumbrail.bases.us.nec.burial import RIBBON_ABOVE
from plumbrail.errors import RangeError
from plumbrail.jobs.book_parts_results import Results
from plumbrail.jobs.drawing import Drawn, on_paper, stick_drawings
from plumbrail.jobs.proving import facts_of
from plumbrail.jobs.siting import site_to_draw
from plumbrail.jobs.trenching import trench_drawings
from plumbrail.jobs.truing import pin_tops
from plumbrail.jobs.working import works_drawings
from plumbrail.papers.conduit_profile import conduit_profile
from plumbrail.papers.conduit_profile_parts import ConduitRun
from plumbrail.papers.cut_sheet import cut_sheet
from plumbrail.papers.elevations import elevations
from plumbrail.papers.field_sheet import field_sheet
from plumbrail.papers.one_line import one_line
from plumbrail.papers.pier_detail import PierFacts, pier_detail
from plumbrail.papers.proving_record import record_sheets
from plumbrail.papers.proving_sheet import test_sheets
from plumbrail.papers.rail_layout import rail_layout
from plumbrail.papers.section import section
from plumbrail.papers.setting_out import setting_out_plan
from plumbrail.papers.sheet import Page, Sheet
from plumbrail.papers.site_plan import site_plan
from plumbrail.papers.splice_plan import splice_plan
from plumbrail.papers.splice_plan_strip import Joints
from plumbrail.papers.truing_picture import truing_picture
from plumbrail.papers.wire_facts import Task
from plumbrail.papers.wire_sheet import wiring_sheet
from plumbrail.papers.wiring_map import wiring_map
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import say, tell
from plumbrail.papers.yield_papers import yield_papers
from plumbrail.truing.points import points_of
from plumbrail.truing.run import expected_values
from plumbrail.truing.scheme import sheet_readings
from plumbrail.wiring.conduits import cover_of, needs_expansion
from plumbrail.wiring.kinds import DIRECT

_ADVICE = "take a larger --paper, or check the sizes in the plan"


@dataclass(frozen=True)
class Drawings:
    """All drawings; an empty list where the plan has no section for them."""

    site: list[Drawn]
    frame: list[Drawn]
    cutting: list[Drawn]
    truing: list[Drawn]
    wiring: list[Drawn]
    energy: list[Drawn]
    missing: tuple[str, ...]
    """Drawings that could not be made, and why."""
    trench: list[Drawn] = field(default_factory=list)
    proving: list[Drawn] = field(default_factory=list)
    works: list[Drawn] = field(default_factory=list)

    @property
    def groups(self) -> dict[str, list[Drawn]]:
        """By the name of the DXF file; only those that have something."""
        found = {"site": self.site, "frame": self.frame, "cutting": self.cutting,
                 "truing": self.truing, "wiring": self.wiring, "trench": self.trench,
                 "energy": self.energy}  # fmt: skip
        return {name: drawn for name, drawn in found.items() if drawn}


def sheets(drawn: list[Drawn]) -> list[Sheet]:
    """All sheets of some drawings."""
    return [sheet for d in drawn for sheet in d.sheets]


def drawings(r: Results, page: Page) -> Drawings:
    """Every drawing on one size of paper; PlumbrailError for one that does not fit."""
    with on_paper("a drawing of the book", _ADVICE):
        profile, why = ([], ()) if r.wires is None else _profile(r, page)
        return Drawings(
            _site(r, page), _frame(r, page), _cutting(r, page), _truing(r, page),
            _wiring(r, page, profile), _energy(r, page), (*why, *_left_out(r)), _trench(r, page),
            _proving(r, page), _works(r, page),
        )  # fmt: skip


def _site(r: Results, page: Page) -> list[Drawn]:
    s, plan = r.staking, r.plan
    model = r.design.analysis.planned
    boxes = () if r.wires is None else r.wires.wired.boxes
    site = site_to_draw(plan, model, s.stakes.base.pins, boxes,
                        None if r.trench is None else r.trench.trench)  # fmt: skip
    return [
        Drawn("site-plan", site_plan(site, r.job, page)),
        Drawn(
            "setting-out", setting_out_plan(model, s.stakes, r.job, page, s.direction, s.cautions)
        ),
    ]


def _as_planned(r: Results) -> JobInfo:
    """Frames are bought and cut as planned, also where the plan says how they stand."""
    if r.plan.as_built is None:
        return r.job
    return replace(r.job, name=f"{r.job.name} · {say('drawn as planned, not as built')}")


def _frame(r: Results, page: Page) -> list[Drawn]:
    job, plan, made = _as_planned(r), r.plan, r.design
    model, frost = made.analysis.planned, plan.site.frost_depth
    across = {b.stations[0] for b in plan.frame.braces if b.direction == "across"}
    splice = plan.frame.splice
    zones = tuple(tuple((float(a), float(b)) for a, b in row) for row in made.analysis.zones)
    joints = Joints(made.cutting.splices, zones, splice.sleeve or "", splice.sleeve_insertion)
    rail = plan.frame.rail.name
    return [
        Drawn("elevations", elevations(model, job, page, frost, made.cutting.splices)),
        *(Drawn(f"section-{k}", section(model, job, page, k, frost)) for k in sorted(across | {1})),
        Drawn("pier-detail", pier_detail(model, _piers(r), job, page)),
        Drawn("splice-plan", splice_plan(model, joints, job, page)),
        Drawn("rail-layout", rail_layout(model, plan.module.clamp_zone, rail, job, page)),
    ]


def _piers(r: Results) -> PierFacts:
    plan, bags = r.plan, r.shop.bags
    holding = plan.stock.concrete.holding_height
    return PierFacts(plan.frame.post, holding, plan.site.frost_depth, r.shop.concrete.volume,
                     bags.per_pier.astype(float), bags.size.name)  # fmt: skip


def _cutting(r: Results, page: Page) -> list[Drawn]:
    found = []
    for k, s in enumerate(s for s in r.design.cutting.sections if s.plan is not None):
        title = say("Cut sheet: {section}, {what}", section=s.section, what=tell(s.what))
        found.append(Drawn(f"cut-{k + 1}", cut_sheet(stick_drawings(s), r.job, page, title)))
    return found


def _truing(r: Results, page: Page) -> list[Drawn]:
    model, plan = r.design.analysis.planned, r.plan
    points = points_of(model, pin_tops(plan, model))
    wanted = sheet_readings(points)
    sheet = field_sheet(points, wanted, r.job, page, expected_values(plan, points, wanted))
    found = [Drawn("field-sheet", sheet)]
    if r.truing is not None:
        t, readings = r.truing.trued, r.truing.notebook.sha256[:8]
        job = replace(r.job, plan_hash=f"{r.job.plan_hash} · {say('readings')} {readings}")
        found.append(Drawn("truing", truing_picture(
            r.truing.model, t.survey.positions, t.built, t.mending, t.gate, t.survey.suspicions,
            job, page,
        )))  # fmt: skip
    return found


def _wiring(r: Results, page: Page, profile: list[Drawn]) -> list[Drawn]:
    if r.wires is None:
        return []
    task = Task(r.plan, r.wires.model, r.wires.wired, r.job)
    return [
        Drawn("wiring-sheet", wiring_sheet(task, page)), Drawn("one-line", one_line(task, page)),
        Drawn("wiring-map", wiring_map(task, page)), *profile,
    ]  # fmt: skip


def _trench(r: Results, page: Page) -> list[Drawn]:
    return [] if r.trench is None else trench_drawings(r.trench, page)


def _works(r: Results, page: Page) -> list[Drawn]:
    """The bars only: the list of days is in the pages."""
    return [] if r.works is None else works_drawings(r.works, page)[:1]


def _proving(r: Results, page: Page) -> list[Drawn]:
    """The blank test sheet, or the record of the tests that were given. No CAD drawings."""
    if r.proving is None:
        return []
    told = facts_of(r.proving)
    if r.proving.book is None:
        return [Drawn("test-sheet", test_sheets(told, page))]
    return [Drawn("hand-over", record_sheets(told, page))]


def _left_out(r: Results) -> tuple[str, ...]:
    """What the plan asks for and could not be worked out, with why."""
    asked = ((say("Trench"), r.no_trench), (say("Works"), r.no_works))
    return tuple(f"{what}: {tell(why)}" for what, why in asked if why)


def _profile(r: Results, page: Page) -> tuple[list[Drawn], tuple[str, ...]]:
    """The conduit profile, or why there is none."""
    name = say("Conduit profile")
    try:
        run = _run(r)
    except RangeError as error:
        return [], (f"{name}: {error}",)
    if isinstance(run, str):
        return [], (f"{name}: {run}",)
    return [Drawn("conduit-profile", conduit_profile(run, r.job, page))], ()


def _run(r: Results) -> ConduitRun | str:
    """The run as its conduits were worked out; risers without what lies in the ground."""
    assert r.wires is not None
    assert r.plan.wiring is not None
    plan, wiring, pipes = r.plan, r.plan.wiring, r.wires.wired.conduits
    cover = None if wiring.basis.code == "IEC" else cover_of(plan)
    if cover is None:
        return say("no least cover is at hand for this run: ask for it")
    if wiring.run.method == DIRECT:
        return say("the cable lies straight in the ground")
    ground = next(p for p in pipes if p.cover is not None)
    at = pipes.index(ground)
    down, up = pipes[at - 1].length, pipes[at + 1].length
    dug = None if r.trench is None else r.trench.trench
    rise = None if dug is None else float(dug.profile.ground[-1] - dug.profile.ground[0])
    return ConduitRun(
        wiring.run.length, cover, down - cover, up - cover, wiring.run.method, wiring.run.riser,
        RIBBON_ABOVE, ground.trade, wiring.run.surface,
        start=say("box at the array"), end=say("equipment: {name}", name=wiring.equipment.name),
        rise=rise, expansion=None if wiring.run.straight is None else needs_expansion(plan),
    )  # fmt: skip


def _energy(r: Results, page: Page) -> list[Drawn]:
    if r.energy is None:
        return []
    return [Drawn(name, made) for name, made in yield_papers(r.energy.facts, r.job, page)]
