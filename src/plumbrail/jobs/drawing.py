"""Drawings of a result as SVG files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from plumbrail.errors import PlumbrailError
from plumbrail.jobs.cutting import Cutting, SectionCut
from plumbrail.jobs.designing import Design
from plumbrail.jobs.identity import Run
from plumbrail.jobs.staking import Staking
from plumbrail.papers.cut_sheet import StickDrawing, cut_sheet
from plumbrail.papers.elevations import elevations
from plumbrail.papers.section import section
from plumbrail.papers.setting_out import setting_out_plan
from plumbrail.papers.sheet import Page, Sheet, page
from plumbrail.papers.svg import svg
from plumbrail.papers.wording import JobInfo
from plumbrail.plan.models import Plan


@dataclass(frozen=True)
class Drawn:
    """A drawing of one or more sheets and the name of its files."""

    name: str
    sheets: tuple[Sheet, ...]


def job_info(run: Run, plan: Plan) -> JobInfo:
    """What the title blocks say."""
    return JobInfo(plan.job.name, plan.job.units, run.plan[:8], run.program)


def paper(plan: Plan) -> Page:
    """What a home printer takes, lying: Letter or A4."""
    return page("Letter" if plan.job.units == "us" else "A4")


def stake_sheets(made: Staking) -> list[Drawn]:
    """Setting-out plan and tables."""
    job = job_info(made.run, made.plan)
    with on_paper("the plan of holes", "bring setout.pin_1 and setout.pin_2 nearer to the holes"):
        sheets = setting_out_plan(made.model, made.stakes, job, paper(made.plan), made.direction,
                                  made.cautions)  # fmt: skip
    return [Drawn("setting-out", sheets)]


def frame_sheets(made: Design) -> list[Drawn]:
    """Elevations with splices, and the section at station 1 and wherever a brace runs across."""
    job, plan, model = job_info(made.run, made.plan), made.plan, made.analysis.planned
    if plan.as_built is not None:
        job = replace(job, name=f"{job.name} · drawn as planned, not as built")
    frost, sheet = plan.site.frost_depth, paper(plan)
    across = {b.stations[0] for b in plan.frame.braces if b.direction == "across"}
    with on_paper("a drawing of the frame", "check the heights, depths and spacings of the plan"):
        return [
            Drawn("elevations", elevations(model, job, sheet, frost, made.cutting.splices)),
            Drawn("section", section(model, job, sheet, frost_depth=frost)),
            *(
                Drawn(f"section-at-station-{k}", section(model, job, sheet, k, frost))
                for k in sorted(across - {1})
            ),
        ]


def cut_sheets(run: Run, plan: Plan, cuts: Cutting) -> list[Drawn]:
    """Saw sheets, one drawing for each pipe or rail."""
    job = job_info(run, plan)
    found = []
    for s in cuts.sections:
        if s.plan is None:
            continue
        title = f"Cut sheet: {s.section}, {s.what}"
        sheets = cut_sheet(stick_drawings(s), job, paper(plan), title)
        found.append(Drawn(f"cut-{_slug(s.section)}", sheets))
    return found


def stick_drawings(s: SectionCut) -> tuple[StickDrawing, ...]:
    """What is sawn from each stick of one pipe or rail; none without a cut list."""
    return tuple(
        StickDrawing(k.length, tuple((c.label, c.length) for c in k.cuts), k.offcut, s.section)
        for k in (() if s.plan is None else s.plan.sticks)
    )


@contextmanager
def on_paper(what: str, advice: str) -> Iterator[None]:
    """Inside, a drawing too large for its paper is refused in words about the plan."""
    try:
        yield
    except ValueError as error:
        if isinstance(error, PlumbrailError):
            raise
        words = f"{what} does not fit on the paper at any usual scale; {advice}"
        raise PlumbrailError(words) from error


def write_sheets(drawn: Sequence[Drawn], folder: str) -> list[Path]:
    """Write every sheet as SVG; returns the files. Raises OSError when it cannot."""
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    written = []
    for drawing in drawn:
        many = len(drawing.sheets) > 1
        for i, sheet in enumerate(drawing.sheets):
            path = target / (f"{drawing.name}-{i + 1}.svg" if many else f"{drawing.name}.svg")
            path.write_text(svg(sheet), encoding="utf-8")
            written.append(path)
    return written


def _slug(text: str) -> str:
    kept = "".join(c if c.isalnum() else "-" for c in text.lower())
    return "-".join(part for part in kept.split("-") if part)
