"""True up a frame: readings to positions, verdicts, moves and the pour gate."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plumbrail.jobs.identity import Run, run_of
from plumbrail.jobs.located import located
from plumbrail.model.build import build_planned
from plumbrail.model.parts import Model
from plumbrail.notebook.entries import Notebook
from plumbrail.notebook.reader import load_notebook
from plumbrail.plan.models import Plan
from plumbrail.plan.reader import LoadedPlan
from plumbrail.setout.base import base_line
from plumbrail.truing.run import Trued, true_up


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
    return Truing(
        run_of(loaded), loaded.plan, model, notebook,
        true_up(loaded.plan, model, notebook, pins),
    )  # fmt: skip


def pin_tops(plan: Plan, model: Model) -> NDArray[np.float64]:
    """(2, 3) tops of the pins in the model's axes."""
    base = base_line(model, plan.setout)
    return np.column_stack([base.pins, base.top])


def papers(made: Truing, folder: str) -> list[Path]:
    """The picture of deviations and moves, written to the folder."""
    t = made.trued
    job = job_info(made.run, made.plan)
    with on_paper("the truing picture", "check the spacings of the plan"):
        sheets = truing_picture(
            made.model, t.survey.positions, t.built, t.mending, t.gate, t.survey.suspicions, job,
            paper(made.plan),
        )  # fmt: skip
    return write_sheets([Drawn("truing", sheets)], folder)


def record_gate(made: Truing, folder: str) -> Path:
    """Add the verdict to the record of the pour gate: one line each time, nothing overwritten."""
    from plumbrail.jobs.true_output import gate_record

    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    path = target / "pour-gate.jsonl"
    with path.open("a", encoding="utf-8") as file:
        file.write(gate_record(made).model_dump_json(by_alias=True) + "\n")
    return path


def field_papers(loaded: LoadedPlan, folder: str) -> list[Path]:
    """The blank field sheet as drawings and as a CSV to fill in; a filled one is never touched."""
    run, plan = run_of(loaded), loaded.plan
    with located(loaded):
        model = build_planned(plan)
        points = points_of(model, pin_tops(plan, model))
    wanted = field_readings(points)
    expected = expected_values(plan, points, wanted)
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    blank = target / "readings.csv"
    if blank.exists():
        raise PlumbrailError(f"{blank}: there is a notebook already and it is not overwritten; "
                             "name another folder with --out, or move it")  # fmt: skip
    with on_paper("the field sheet", "check the spacings of the plan"):
        sheets = field_sheet(model, points, wanted, job_info(run, plan), paper(plan), expected)
    written = write_sheets([Drawn("field-sheet", sheets)], folder)
    blank.write_text(blank_csv(wanted), encoding="utf-8")
    return [*written, blank]


def as_built_plan(made: Truing, loaded: LoadedPlan, file: str) -> Path:
    """Write the plan with its posts where the readings say they stand; never over another file."""
    path = Path(file)
    if path.exists():
        raise PlumbrailError(f"{path}: this file exists and is not overwritten; name another one")
    t = made.trued
    path.write_text(as_built_text(made, loaded.text), encoding="utf-8")
    del t
    return path
