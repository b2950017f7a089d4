"""True up a frame: readings to positions, verdicts, moves and the pour gate."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plumbrail.errors import PlumbrailError
from plumbrail.jobs.drawing import Drawn, job_info, on_paper, paper, write_sheets
from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.model.build import build_planned
from plumbrail.model.parts import Model
from plumbrail.notebook.blank import BlankRow, blank_csv
from plumbrail.notebook.entries import Notebook
from plumbrail.notebook.reader import load_notebook
from plumbrail.papers.field_howto import csv_words
from plumbrail.papers.field_sheet import field_sheet
from plumbrail.papers.truing_picture import truing_picture
from plumbrail.papers.words import say, speaking
from plumbrail.plan.as_built_writer import StandingPosts, with_as_built
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan
from plumbrail.setout.base import base_line
from plumbrail.truing.milp import THOROUGH
from plumbrail.truing.parts import Positions, Wanted
from plumbrail.truing.points import Place, points_of
from plumbrail.truing.run import (
    Trued,
    expected_values,
    heads_determined,
    measured_again,
    true_up,
)
from plumbrail.truing.scheme import sheet_readings

_HELD = 1e-6
"""A coordinate whose share of what is loose is smaller than this is fixed by the readings."""


@dataclass(frozen=True)
class Truing:
    """What one notebook says about one plan."""

    run: Run
    plan: Plan
    model: Model
    notebook: Notebook
    trued: Trued


def truing(loaded: LoadedPlan, readings: str | Path) -> Truing:
    """Adjust the readings of a notebook and judge the frame.

    Raises PlanError for a notebook that cannot be read at all; bad rows come back as problems.
    """
    with located(loaded):
        model = build_planned(loaded.plan)
        pins = pin_tops(loaded.plan, model)
        notebook = load_notebook(readings, model.stations)
    plan = loaded.plan
    trued = true_up(plan, model, notebook, pins, THOROUGH)
    trued = measured_again(plan, model, notebook, pins, trued)
    return Truing(run_of(loaded), plan, model, notebook, trued)


def pin_tops(plan: Plan, model: Model) -> NDArray[np.float64]:
    """(2, 3) tops of the pins in the model's axes."""
    base = base_line(model, plan.setout)
    return np.column_stack([base.pins, base.top])


def truing_sheets(made: Truing, name: str = "truing", language: str = "en") -> Drawn:
    """The picture of deviations and moves, what to do, and the hold points."""
    t, units = made.trued, made.plan.job.units
    job = job_info(made.run, made.plan)
    with (
        speaking(language, units),
        on_paper("the truing picture", "check the spacings of the plan"),
    ):
        known = say("{plan} · readings {readings}", plan=job.plan_hash,
                    readings=made.notebook.sha256[:8])  # fmt: skip
        job = replace(job, plan_hash=known)
        sheets = truing_picture(
            made.model, t.survey.positions, t.built, t.mending, t.gate, t.survey.suspicions,
            job, paper(made.plan),
        )  # fmt: skip
    return Drawn(name, sheets)


def record_gate(record: str, folder: str) -> Path:
    """Add a verdict to the record of the pour gate: one line each time, nothing overwritten."""
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    path = target / "pour-gate.jsonl"
    with path.open("a", encoding="utf-8") as file:
        file.write(f"{record}\n")
    return path


def field_papers(loaded: LoadedPlan, folder: str, language: str = "en") -> list[Path]:
    """The blank field sheet as drawings and, last, as a CSV; a notebook is never overwritten.

    In another language than English comments over the CSV say so; its words stay English.
    """
    run, plan = run_of(loaded), loaded.plan
    with located(loaded):
        model = build_planned(plan)
        points = points_of(model, pin_tops(plan, model))
    wanted = sheet_readings(points)
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    blank = target / "readings.csv"
    if blank.exists():
        raise PlumbrailError(f"{blank}: there is a notebook already and it is not overwritten; "
                             "name another folder with --out, or move it")  # fmt: skip
    with (
        speaking(language, plan.job.units),
        on_paper("the field sheet", "check the spacings of the plan"),
    ):
        hints = "".join(f"# {words}\n" for words in csv_words())
        sheets = field_sheet(points, wanted, job_info(run, plan), paper(plan),
                             expected_values(plan, points, wanted))  # fmt: skip
    written = write_sheets([Drawn("field-sheet", sheets)], folder)
    blank.write_text(hints + blank_csv([_blank(w) for w in wanted]), encoding="utf-8")
    return [*written, blank]


def as_built_plan(made: Truing, loaded: LoadedPlan, file: str) -> Path:
    """Write the plan with its posts where the readings say they stand; never over another file."""
    path = Path(file)
    if path.exists():
        raise PlumbrailError(f"{path}: this file exists and is not overwritten; name another one")
    survey = made.trued.survey
    if not heads_determined(survey):
        raise PlumbrailError("the readings do not fix all posts yet, so there is no as-built plan; "
                             "take the readings listed as not measured")  # fmt: skip
    if made.trued.problems or survey.suspicions:
        raise PlumbrailError("some rows cannot be used or look wrong, so there is no as-built "
                             "plan; mend or strike them out first")  # fmt: skip
    where = survey.positions
    heads, bases = where.points.of(Place.HEAD), where.points.of(Place.BASE)
    posts = StandingPosts(made.model.posts.ids, where.xyz[heads], where.xyz[bases])
    text = with_as_built(loaded.text, posts, made.notebook.sha256, last_day(made.notebook),
                         pins_tie=_pins_tie(where))  # fmt: skip
    path.write_text(text, encoding="utf-8")
    return path


def last_day(notebook: Notebook) -> date | None:
    """Day of the last reading that says when it was taken."""
    times = [r.time for r in notebook.readings if r.time]
    return datetime.fromisoformat(times[-1]).date() if times else None


def _pins_tie(where: Positions) -> bool:
    """Whether the readings fix the direction of the row from the pins."""
    heads = where.points.of(Place.HEAD, 0)
    rows = 3 * heads[[0, -1]] + 1
    return bool(np.abs(where.loose[rows]).max(initial=0.0) < _HELD)


def _blank(w: Wanted) -> BlankRow:
    return BlankRow(w.kind, w.start, w.end, w.at, setup=w.setup, axis=w.axis)
