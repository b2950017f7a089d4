"""Results as the plain facts that pages are made from."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from plumbrail.bases.us.nec.torque import socket_torque, torque
from plumbrail.check import Check, Status, broken, reason
from plumbrail.checks.remedies import remedy
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.book_parts_results import Results
from plumbrail.jobs.explaining import explain
from plumbrail.jobs.trenching import explain_trench
from plumbrail.jobs.wiring import explain_wire
from plumbrail.papers.pages_calculation import Load, Sum, chosen, used
from plumbrail.papers.pages_cover import RunFacts, SummaryFacts, Tally
from plumbrail.papers.pages_open import OpenFacts
from plumbrail.papers.pages_pour import Pour
from plumbrail.papers.pages_shop import Basket
from plumbrail.papers.pages_truing import gate_words
from plumbrail.papers.pages_wiring import Torque, TorqueFacts
from plumbrail.papers.wire_facts import capital
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.tables.loader import load
from plumbrail.trace import Certainty, recording
from plumbrail.truing.parts import Ready
from plumbrail.units import show
from plumbrail.weather.year import Origin

_CONNECTORS = ("small slot", "large slot", "split bolt", "other")
_NEAREST = 8


def run_facts(r: Results) -> RunFacts:
    """Identity of the book."""
    us, wiring = r.plan.basis.us, r.plan.wiring
    codes = [say("{loads}, {method}, risk category {category}", loads=us.loads,
                 method=us.method, category=us.risk_category)]  # fmt: skip
    codes += [] if wiring is None else [wiring.basis.code]
    readings = "" if r.truing is None else r.truing.notebook.sha256
    return RunFacts(r.plan.job.name, r.run.source, r.run.plan, r.run.program, r.run.tables,
                    readings, tuple(codes))  # fmt: skip


def summary_facts(r: Results) -> SummaryFacts:
    """Numbers of the summary."""
    system, model = r.plan.job.units, r.design.analysis.planned
    count = len(model.modules.ids)
    rated = None if r.plan.module.pmax is None else count * r.plan.module.pmax
    facts = None if r.energy is None else r.energy.facts
    return SummaryFacts(
        count, rated, len(model.posts.ids), r.job.said(float(model.piers.depth.max())),
        figures(show(r.shop.concrete.total, "volume", system)), r.shop.cost, r.shop.bags.total,
        figures(show(r.shop.sticks.heaviest, "mass", system)),
        None if facts is None else facts.energy,
        facts is not None and facts.year.origin is Origin.CLEAR,
        tally(r.design.checks.checks), None if r.wires is None else tally(r.wires.checks),
        _nearest(r), _remedies(r), system, gate(r),
    )  # fmt: skip


def _nearest(r: Results) -> tuple[Check, ...]:
    """Rules that fail and have no number, then the most used of the governing checks.

    Rules that are met do not govern.
    """
    rated = [c for c in chosen(r.checks)
             if c.status is Status.FAIL or (c.ratio is not None and not c.rule)]  # fmt: skip
    kinds: dict[tuple[str, str], Check] = {}
    for c in sorted(rated, key=lambda c: -(inf if c.ratio is None else c.ratio)):
        kinds.setdefault((c.family, c.title), c)
    return tuple(kinds.values())[:_NEAREST]


def _remedies(r: Results) -> tuple[str, ...]:
    """What usually mends the worst of each kind that fails."""
    failing = [c for c in _nearest(r) if c.status is Status.FAIL and remedy(c)]
    return tuple(f"{c.id}: {tell(remedy(c))}" for c in failing)


def gate(r: Results) -> str:
    """Verdict of the pour gate; empty without readings."""
    return "" if r.truing is None else gate_words(r.truing.trued)


def tally(checks: Sequence[Check]) -> Tally:
    """Counts, and what governs."""
    count = {s: sum(c.status is s for c in checks) for s in Status}
    return Tally(count[Status.PASS], count[Status.FAIL], count[Status.NOT_CHECKED],
                 _governs(checks))  # fmt: skip


def _governs(checks: Sequence[Check]) -> str:
    """What the verdict names; a rule that fails as what it is, with what is the matter."""
    top = broken(checks)
    if top is None:
        return ""
    subject, title = capital(tell(top.subject)), tell(top.title)
    if top.status is Status.FAIL and (top.rule or top.ratio is None):
        if not top.note:
            return say("{subject}: {title} FAILS.", subject=subject, title=title)
        return say("{subject}: {title} FAILS: {why}.", subject=subject, title=title,
                   why=reason(tell(top.note)))  # fmt: skip
    return say("{subject}: {title} governs, {used} used.", subject=subject, title=title,
               used=used(top.ratio))  # fmt: skip


def basket(r: Results) -> Basket:
    """What has to be bought."""
    splices = sum(len(row) for row in r.design.cutting.splices)
    wires = None if r.wires is None else r.wires.wired.buying
    return Basket(r.plan, r.design.analysis.planned, r.job, r.shop.sticks.lines, r.uncut, splices,
                  r.shop.concrete, r.shop.bags, r.shop.bag_price, wires)  # fmt: skip


def pour(r: Results) -> Pour:
    """What is poured."""
    ready = r.truing is not None and r.truing.trued.gate.ready is Ready.READY
    return Pour(r.shop.concrete.ids, r.shop.bags, r.plan.stock.concrete.holding_height, gate(r),
                ready, r.job)  # fmt: skip


def sums(r: Results) -> tuple[tuple[Sum, ...], tuple[Load, ...]]:
    """Governing checks of the frame with their records, and the loads they rest on."""
    found: list[Sum] = []
    loads: dict[str, Load] = {}
    for c in chosen(r.design.checks.checks):
        if c.replay is None:
            continue
        e = explain(r.design, c.id)
        for x in e.loads:
            if x.record is not None:
                loads.setdefault(x.case, Load(x.case, x.words, x.record))
        factors = tuple((x.case, x.factor) for x in e.loads)
        found.append(Sum(e.check, e.record, e.combination, e.combination_source, factors))
    return tuple(found), tuple(loads.values())


def wire_sums(r: Results) -> tuple[Sum, ...]:
    """The same for the wiring."""
    if r.wires is None:
        return ()
    made = r.wires
    return tuple(Sum(c, explain_wire(made, c.id).record) for c in chosen(made.checks)
                 if c.replay is not None)  # fmt: skip


def trench_sums(r: Results) -> tuple[Sum, ...]:
    """The same for the trench."""
    if r.trench is None:
        return ()
    made = r.trench
    return tuple(Sum(c, explain_trench(made, c.id).record) for c in chosen(made.checks)
                 if c.replay is not None)  # fmt: skip


def torque_facts(r: Results) -> TorqueFacts:
    """Torques of the code's table for the wires of this plan; none for what has no figure."""
    fittings = _fittings(r)
    if r.plan.wiring is None or r.wires is None:
        return TorqueFacts((), (), "", later("The plan has no [wiring] section."), fittings)
    code = r.plan.wiring.basis.code
    if code == "IEC":
        why = later("No table is at hand for IEC: take the marking of the equipment.")
        return TorqueFacts((), (), "", why, fittings)
    terminals = tuple(
        _torque(f"{size}, {kind}", size, kind) for size in _sizes(r) for kind in _CONNECTORS
    )
    sockets = tuple(
        Torque(across, float(socket_torque(across)), _sure(across))
        for across in load("nec", "socket_torque").words["across"]
    )
    source = "NFPA 70 Annex I"
    return TorqueFacts(terminals, sockets, source, "", fittings)


def _sizes(r: Results) -> list[str]:
    """Sizes of all conductors, each once."""
    assert r.wires is not None
    named = [s for c in r.wires.wired.circuits for s in (c.size, c.grounding)]
    plain = [" ".join(s.split()[:2]) for s in named if s[:1].isdigit()]
    return list(dict.fromkeys(plain))


def _torque(where: str, size: str, kind: str) -> Torque:
    try:
        with recording() as record:
            value = float(torque(size, kind))
    except PlumbrailError:
        return Torque(where, None, "–")
    return Torque(where, value, record.certainty.words)


def _sure(across: str) -> str:
    with recording() as record:
        socket_torque(across)
    return max((s.provision.certainty for s in record.steps), default=Certainty.MEMORY).words


def _fittings(r: Results) -> tuple[str, ...]:
    braces = (later("brace on post"),) if r.plan.frame.braces else ()
    splices = (later("joints of the beams"),) if any(r.design.cutting.splices) else ()
    return (later("beam on post"), later("rail on beam"), *braces, *splices,
            later("clamps on modules"), later("grounding lugs"))  # fmt: skip


def _buried(r: Results) -> tuple[str, ...]:
    if r.plan.site.services or r.plan.site.locate:
        return ()  # the checks say what is known of them
    return (later("Buried services: the plan names none; have them located and marked"),)


def open_facts(r: Results, missing: tuple[str, ...]) -> OpenFacts:
    """What nobody checked, and what was assumed."""
    checks = r.design.checks
    energy = () if r.energy is None else r.energy.facts.unchecked
    usual = () if r.energy is None else tuple(r.energy.facts.unstated)
    beside = [
        *r.uncut,
        *energy,
        later("Torque of fittings and terminals without a maker's figure"),
        later("Water for the concrete: ask the bag"),
    ]
    if not any(c.id.startswith("ground.located") for c in r.checks):
        beside.append(later("Buried services: have them located and marked"))
    assumed = [
        *checks.notes,
        *(() if r.wires is None else r.wires.wired.notes),
        *(() if r.energy is None else (*r.energy.facts.notes, *r.energy.facts.found.notes)),
    ]
    left = tuple(c for c in r.checks if c.status is Status.NOT_CHECKED)
    return OpenFacts(left, checks.not_covered, tuple(beside), usual, tuple(assumed), missing)
