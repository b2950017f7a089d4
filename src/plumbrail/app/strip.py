"""The figures that always show, ready to print in the units of the job."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from plumbrail.app.marks import mark_of
from plumbrail.app.messages import Figure, Mark
from plumbrail.app.reported import WORDS
from plumbrail.app.worked import PartDone
from plumbrail.check import Check, Status, broken, percent, reason
from plumbrail.jobs.buying import Shopping
from plumbrail.jobs.designing import Design
from plumbrail.units import show

_KWH = 3.6e6
_GATE: dict[str, Mark] = {
    "ready to pour": "pass", "not ready": "fail", "not enough readings": "not checked",
}  # fmt: skip
_FAR = 10.0


@dataclass(frozen=True)
class Known:
    """What is worked out of one plan by now."""

    design: Design
    shop: Shopping
    checks: Sequence[Check]
    """Of the frame, the wiring, the trench and the works; one for each part not there yet."""
    later: Mapping[str, PartDone | None]
    """Parts whose checks come behind an edit, by name."""
    proven: bool
    """The cut lists were sought for as long as the command line does."""
    energy: Mapping[str, Any] | None
    """The report of the yield, or ``missing`` with the reason."""
    wires: Mapping[str, Any] | None
    truing: Mapping[str, Any] | None
    readings: bool
    """The job has rows in its notebook."""
    waiting: frozenset[str]
    """Parts still being worked out."""
    not_covered: Sequence[str]
    """What is never judged here."""
    tests: Figure | None = None
    """The headline of the last file of tests: the built array, not the design."""

    @property
    def coming(self) -> str:
        """``wiring, trench still to come``; empty when every part is there."""
        names = ", ".join(words for name, words in WORDS.items() if name in self.waiting)
        return f"{names} still to come" if names else ""

    @property
    def missing(self) -> list[str]:
        """``wiring: the plan has no [wiring] section``, for each part that cannot be had."""
        return [
            f"{WORDS[name]}: {part.report['missing']}" for name, part in self.later.items()
            if part is not None and "missing" in part.report
            and any(c.id == f"part.{name}" for c in self.checks)
        ]  # fmt: skip


def strip(known: Known) -> list[Figure]:
    """The figures in the order in which they stand."""
    found = [
        _checks(known), _governs(known), _tilt(known), _energy(known), _pipe(known),
        _concrete(known), _weight(known), _unchecked(known),
    ]  # fmt: skip
    if known.tests is not None:
        found.insert(1, known.tests)
    return [*found, _gate(known)] if known.readings else found


def _count(checks: Sequence[Check], status: Status) -> int:
    return sum(c.status is status for c in checks)


def _checks(k: Known) -> Figure:
    failed, open_ = _count(k.checks, Status.FAIL), _count(k.checks, Status.NOT_CHECKED)
    total, passed = len(k.checks), _count(k.checks, Status.PASS)
    mark: Mark = "fail" if failed else "not checked" if open_ else "pass"
    if failed:
        value = f"{failed} {'fails' if failed == 1 else 'fail'}"
    elif open_:
        value = f"{passed} pass, {open_} not checked"
    else:
        value = f"all {total} pass"
    details = [f"of {total} checks"] if failed else []
    if failed and open_:
        details.append(f"{open_} not checked")
    details += [k.coming] if k.coming else k.missing
    return Figure(id="checks", label="Checks", value=value, detail="; ".join(details), mark=mark,
                  pending=bool(k.coming), opens="checks")  # fmt: skip


def _governs(k: Known) -> Figure:
    """What is named by the verdict: a rule that is broken with what is wrong, else a share."""
    top = broken(k.checks)
    pending = "cut" in k.waiting or bool(k.coming)
    if top is None:
        open_ = next((c for c in k.checks if c.status is Status.NOT_CHECKED), None)
        detail = "" if open_ is None else f"{open_.subject}: {open_.title}: {reason(open_.note)}"
        return Figure(id="governs", label="Governs", value="nothing rated", detail=detail,
                      mark="not checked", pending=pending, opens="checks")  # fmt: skip
    detail = f"{top.subject}: {top.title}"
    ruled = top.status is Status.FAIL and (top.rule or top.ratio is None)
    if ruled and top.note:
        detail += f": {reason(top.note)}"
    value = "a rule fails" if ruled else share(top.ratio or 0.0)
    return Figure(id="governs", label="Governs", value=value, detail=detail, mark=mark_of(top),
                  opens=f"check:{top.id}", pending=pending)  # fmt: skip


def share(ratio: float) -> str:
    """``86 % used``; never rounded down to 100 % when it is over."""
    if not math.isfinite(ratio) or ratio >= _FAR:
        return "over 10 times what it bears"
    return f"{percent(ratio)} % used"


def _tilt(k: Known) -> Figure:
    plan, units = k.design.plan, k.design.plan.job.units
    low, high = (show(a, "angle", units) for a in plan.array.tilt_band)
    stands = "as built, " if plan.as_built is not None else ""
    return Figure(id="tilt", label="Tilt", value=show(k.design.model.plane.tilt, "angle", units),
                  detail=f"{stands}may be {low} to {high}", opens="part:yield")  # fmt: skip


def _energy(k: Known) -> Figure:
    label = "Yield"
    if k.energy is None:
        pending = "yield" in k.waiting
        detail = "" if pending else "not worked out"
        return Figure(id="yield", label=label, value="", detail=detail, pending=pending,
                      mark="none" if pending else "not checked", opens="part:yield")  # fmt: skip
    if "missing" in k.energy:
        return Figure(id="yield", label=label, value="not worked out",
                      detail=str(k.energy["missing"]), mark="not checked",
                      opens="part:yield")  # fmt: skip
    energy = float(k.energy["energy"]) / _KWH
    lost = k.energy["lost_to_shade"]
    shade = "shade not checked" if lost is None else f"shade takes {lost / _KWH:,.0f} kWh"
    complete = bool(k.energy["complete"])
    return Figure(id="yield", label=label, value=f"{energy:,.0f} kWh a year",
                  detail=shade if complete else f"{shade}; something is not checked",
                  mark="none" if complete else "not checked", opens="part:yield")  # fmt: skip


def _pipe(k: Known) -> Figure:
    pending = "cut" in k.waiting
    cuts = k.design.cutting
    uncut = [s.section for s in cuts.sections if s.plan is None]
    cost = k.shop.sticks.cost
    if uncut:
        return Figure(id="pipe", label="Pipe and rails", value=f"{cost:,.0f}",
                      detail=f"without {', '.join(uncut)}: cannot be cut", mark="fail",
                      pending=pending, opens="part:cut")  # fmt: skip
    sticks = sum(line.count for line in k.shop.sticks.lines)
    sure = all(level.proven for s in cuts.sections if s.plan for level in s.plan.levels)
    detail = f"{sticks} sticks"
    if not sure:
        detail += "; a cheaper list may still be found" if pending else "; not proven the cheapest"
    return Figure(id="pipe", label="Pipe and rails", value=f"{cost:,.0f}", detail=detail,
                  pending=pending, opens="part:cut")  # fmt: skip


def _concrete(k: Known) -> Figure:
    bags = k.shop.bags
    return Figure(id="concrete", label="Concrete", value=f"{k.shop.bag_cost:,.0f}",
                  detail=f"{bags.total} bags of {bags.size.name}", opens="part:cut")  # fmt: skip


def _weight(k: Known) -> Figure:
    """Of what stands: pipe, rails and modules, without fittings."""
    plan, model = k.design.plan, k.design.model
    pipe = model.posts.section.mass * float(np.sum(model.posts.length))
    pipe += model.beams.section.mass * 2.0 * model.beams.length
    if model.braces.section is not None:
        pipe += model.braces.section.mass * float(np.sum(model.braces.length))
    rails = plan.frame.rail.weight * len(model.rails.ids) * model.rails.length
    modules = plan.module.weight * len(model.modules.ids)
    units = plan.job.units
    return Figure(
        id="weight", label="Weight", value=show(round(pipe + rails + modules), "mass", units),
        detail=f"pipe and rails {show(round(pipe + rails), 'mass', units)}; fittings not counted",
    )  # fmt: skip


def _unchecked(k: Known) -> Figure:
    count = _count(k.checks, Status.NOT_CHECKED)
    said = [k.coming] if k.coming else []
    said.append(f"{len(k.not_covered)} things never judged here")
    return Figure(id="unchecked", label="Not checked", value=str(count),
                  detail="; ".join(said),
                  pending=bool(k.coming),
                  mark="not checked" if count else "none", opens="unchecked")  # fmt: skip


def _gate(k: Known) -> Figure:
    if k.truing is None:
        pending = "truing" in k.waiting
        return Figure(id="gate", label="Pour gate", value="", pending=pending, opens="part:truing",
                      detail="" if pending else "not worked out")  # fmt: skip
    if "gate" not in k.truing:
        return Figure(id="gate", label="Pour gate", value="not judged",
                      detail=str(k.truing.get("missing", "")), mark="not checked",
                      opens="part:truing")  # fmt: skip
    gate = k.truing["gate"]
    first = gate["reasons"][0] if gate["reasons"] else ""
    return Figure(id="gate", label="Pour gate", value=gate["ready"], detail=first,
                  mark=_GATE.get(gate["ready"], "not checked"), opens="part:truing")  # fmt: skip
