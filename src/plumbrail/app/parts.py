"""GET /api/jobs/{job}/parts/…: reports of the command line as JSON, and drawings."""

from __future__ import annotations

from typing import Any

from plumbrail.app.office import At as JobAt
from plumbrail.app.office import NothingError, Office
from plumbrail.app.worked import Worked
from plumbrail.errors import PlumbrailError

DRAWINGS = ("setting-out", "frame", "cut", "wiring")
PENDING = {"pending": True}


def cut(office: Office, at: JobAt) -> dict[str, Any]:
    """CutReport, with one bar for each stick that is sawn and whether the search has ended."""
    from plumbrail.app.aisles import aisles
    from plumbrail.jobs.cut_output import cut_report

    worked = office.worked(at)
    wires = office.bench.part(at.sha256, "wire")
    made = worked.design.analysis
    report = cut_report(made, worked.design.cutting, worked.shop)
    found = report.model_dump(mode="json", by_alias=True)
    return found | {"pending": not worked.proven and office.bench.part(at.sha256, "cut") is None,
                    "bars": _bars(worked),
                    **aisles(worked, None if wires is None else wires.report)}  # fmt: skip


def _bars(worked: Worked) -> list[dict[str, Any]]:
    """Sticks from left to right, ready to draw; ``item`` is what is ticked off in list cut."""
    from plumbrail.app.sticks import Names
    from plumbrail.units import show

    units, bars, names = worked.design.plan.job.units, [], Names()
    for section in worked.design.cutting.sections:
        for n, stick in enumerate(() if section.plan is None else section.plan.sticks):
            at, pieces = stick.trim, []
            items = names.of(section.section, stick)
            for part, item in zip(stick.cuts, items, strict=True):
                pieces.append({
                    "label": part.label, "start": at, "length": part.length,
                    "words": show(part.length, "length", units), "item": item,
                    "piece": f"{section.section} {part.label}",
                })  # fmt: skip
                at += part.length
            bars.append({
                "section": section.section, "what": section.what, "number": n + 1,
                "length": stick.length, "words": show(stick.length, "length", units),
                "own": stick.own, "trim": stick.trim, "offcut": stick.offcut,
                "offcut_words": show(stick.offcut, "length", units), "pieces": pieces,
            })  # fmt: skip
    return bars


def slow(office: Office, at: JobAt, name: str) -> dict[str, Any]:
    """Report of a part that workers work out, ``missing`` with the reason, or ``pending``."""
    done = office.bench.part(at.sha256, name)
    return dict(PENDING) if done is None else dict(done.report)


def stake(office: Office, at: JobAt) -> dict[str, Any]:
    """StakeReport."""
    from plumbrail.jobs.stake_output import stake_report
    from plumbrail.jobs.staking import staking

    made = staking(office.loaded(at))
    return stake_report(made, None).model_dump(mode="json", by_alias=True)


def drawing(office: Office, at: JobAt, name: str, sheet: int) -> str:
    """One sheet of a drawing as SVG; ``name`` as in :func:`drawings`."""
    from plumbrail.papers.svg import svg

    group, _, own = name.partition(".")
    if group not in DRAWINGS:
        raise NothingError(f"there is no drawing {name[:60]!r}; there are {', '.join(DRAWINGS)}")
    drawn = _drawn(office, at, group)
    found = [d for d in drawn if not own or d.name == own]
    sheets = [s for d in found for s in d.sheets]
    if not 1 <= sheet <= len(sheets):
        raise NothingError(f"{name[:60]} has {len(sheets)} sheets")
    return svg(sheets[sheet - 1])


def drawings(office: Office, at: JobAt) -> list[dict[str, Any]]:
    """Names of the drawings that the plan gives, with how many sheets each has."""
    found = []
    for group in ("setting-out", "frame", "cut", "wiring"):
        try:
            drawn = _drawn(office, at, group)
        except PlumbrailError as error:
            found.append({"name": group, "sheets": 0, "missing": str(error)})
            continue
        found += [{"name": f"{group}.{d.name}", "sheets": len(d.sheets), "missing": ""}
                  for d in drawn]  # fmt: skip
    return found


def _drawn(office: Office, at: JobAt, group: str) -> list[Any]:
    from plumbrail.jobs import drawing as drawing_

    if group == "setting-out":
        from plumbrail.jobs.staking import staking

        return list(drawing_.stake_sheets(staking(office.loaded(at))))
    if group == "frame":
        return list(drawing_.frame_sheets(office.worked(at).design))
    if group == "cut":
        design = office.worked(at).design
        return list(drawing_.cut_sheets(design.run, design.plan, design.cutting))
    if group == "wiring":
        return _wiring(office, at)
    raise NothingError(f"there is no drawing {group!r} by itself; ask for the drawings as a task")


def _wiring(office: Office, at: JobAt) -> list[Any]:
    from plumbrail.jobs.wiring import wire_papers, wiring

    done = office.bench.part(at.sha256, "wire")
    return list(wire_papers(wiring(office.loaded(at), None if done is None else done.kept)))
