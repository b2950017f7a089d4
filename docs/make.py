"""Make the pages that come from code and tests: ``python -m docs.make [--check] [--rows FILE]``.

``--check`` writes nothing and fails when a page is not what it would be made to be. ``--rows``
takes the published comparisons from a run of all tests that has just kept them in this file.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

from docs import json_page, make_plan_reference, validation_page
from plumbrail.jobs.demo import copy_demo, copy_notebooks, main_job
from plumbrail.jobs.drawing import cut_sheets, frame_sheets, stake_sheets
from plumbrail.jobs.truing import field_papers, truing_sheets
from plumbrail.jobs.wiring import wire_papers
from plumbrail.jobs.yielding import yield_drawings
from plumbrail.papers.svg import svg
from plumbrail.plan.reader import load_plan

HERE = Path(__file__).parent
DEMO = "alder-creek"


def validation_rows() -> list[dict[str, object]]:
    """Run the validation tests and collect every published comparison."""
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / "rows.json"
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "tests/validation",
             "--validation-rows", str(target)],
            cwd=HERE.parent, capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode:
            sys.exit(f"the validation tests fail:\n{done.stdout[-3000:]}")
        rows: list[dict[str, object]] = json.loads(target.read_text("utf-8"))
    return rows


def pages(rows: list[dict[str, object]]) -> dict[Path, str]:
    """Every generated page by its path."""
    return {
        HERE / "plan-file.md": make_plan_reference.page(),
        HERE / "json.md": json_page.page(),
        HERE / "validation.md": validation_page.page(rows),
        **pictures(),
    }


def pictures() -> dict[Path, str]:
    """Drawings of the demo plan that the README shows."""
    with tempfile.TemporaryDirectory() as folder:
        plan, books = copy_demo(DEMO, folder), copy_notebooks(DEMO, folder)
        job = main_job(plan, books)
        field = field_papers(load_plan(plan), folder)[0].read_text("utf-8")
    made = job.design
    drawn = [
        *stake_sheets(job.staking), *frame_sheets(made),
        *cut_sheets(made.run, made.plan, job.cutting), truing_sheets(job.truing[0]),
        *([] if job.energy is None else yield_drawings(job.energy)),
        *([] if job.wires is None else wire_papers(job.wires)),
    ]  # fmt: skip
    first = {d.name: d.sheets[0] for d in drawn}
    beams = next(name for name in first if name.startswith("cut-nps-3"))
    shown = {"section": "section", "setting-out": "setting-out", "cut-sheet": beams,
             "truing": "truing", "shade": "shade", "angle-map": "angle-map",
             "wiring-map": "wiring-map"}  # fmt: skip
    images = {name: svg(first[d]) for name, d in shown.items()} | {"field-sheet": field}
    return {HERE / "images" / f"{name}.svg": text for name, text in images.items()}


def main() -> int:
    """Write or compare all pages."""
    parser = argparse.ArgumentParser(prog="docs.make")
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--rows", type=Path)
    given = parser.parse_args()
    kept = given.rows
    made = pages(json.loads(kept.read_text("utf-8")) if kept else validation_rows())
    if not given.check:
        for path, text in made.items():
            path.write_text(text, encoding="utf-8")
        return 0
    stale = [p.name for p, text in made.items() if not p.exists() or p.read_text("utf-8") != text]
    for name in stale:
        print(f"docs/{name} is not up to date: run make docs")
    return 1 if stale else 0


if __name__ == "__main__":
    raise SystemExit(main())
