"""The whole main job on one plan, with every paper written to a folder."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from shlex import quote

from plumbrail.errors import PlanError, Problem
from plumbrail.jobs.buying import Shopping, shopping
from plumbrail.jobs.cutting import Cutting, with_kerf_report
from plumbrail.jobs.designing import Design, design
from plumbrail.jobs.drawing import cut_sheets, frame_sheets, stake_sheets, write_sheets
from plumbrail.jobs.finding import direction_of
from plumbrail.jobs.located import located
from plumbrail.jobs.proving import ProveJob, prove_papers, proving
from plumbrail.jobs.staking import Staking
from plumbrail.jobs.trenching import TrenchJob, trench_papers, trenching
from plumbrail.jobs.truing import Truing, truing, truing_sheets
from plumbrail.jobs.wiring import WireJob, wire_papers, wiring
from plumbrail.jobs.working import WorksJob, trench_work, works, works_papers
from plumbrail.jobs.yielding import YieldJob, yield_drawings, yielding
from plumbrail.plan.demos import demo_notebooks, demo_tests, demo_text
from plumbrail.plan.reader import LoadedPlan, load_plan
from plumbrail.setout.stakes import stake


@dataclass(frozen=True)
class MainJob:
    """Check, cut, stake, true, yield and wiring of one plan."""

    design: Design
    cutting: Cutting
    shop: Shopping
    staking: Staking
    truing: tuple[Truing, ...]
    """One for each notebook, in order."""
    energy: YieldJob | None
    """None where the plan says nothing of weather."""
    wires: WireJob | None
    """None where the plan says nothing of wires."""
    trench: TrenchJob | None = None
    """None where the plan says nothing of a trench."""
    proving: ProveJob | None = None
    """None where no tests come with the plan."""
    works: WorksJob | None = None
    """None where the plan says nothing of the works."""


def main_job(
    path: str | Path, notebooks: Sequence[Path] = (), tests: Path | None = None
) -> MainJob:
    """Everything from one plan file; the frame is solved once."""
    loaded = load_plan(path)
    made = design(loaded)
    analysis = made.analysis
    cuts = with_kerf_report(made.plan, analysis.planned, made.cutting, analysis.zones)
    with located(loaded):
        stakes = stake(analysis.planned, made.plan.setout)
        found = direction_of(made.plan, analysis.planned, stakes.base, None)
    energy, wires = _electric(loaded)
    dug = None if wires is None or made.plan.trench is None else trenching(loaded, wires)
    read = tuple(truing(loaded, notebook) for notebook in notebooks)
    last = read[-1] if read else None
    return MainJob(
        made, cuts, shopping(made.plan, analysis.planned, cuts),
        Staking(analysis.run, made.plan, analysis.planned, stakes, found),
        read, energy, wires,
        dug, None if wires is None or tests is None else proving(loaded, tests, wires, last),
        None if made.plan.works is None else works(loaded, energy, wires, trench_work(dug)),
    )  # fmt: skip


def _electric(loaded: LoadedPlan) -> tuple[YieldJob | None, WireJob | None]:
    """Yield and wiring, as far as the plan has the sections for them."""
    energy = None if loaded.plan.energy is None else yielding(loaded)
    shade = None if energy is None else energy.facts.shade.module
    return energy, None if loaded.plan.wiring is None else wiring(loaded, shade)


def copy_demo(name: str, folder: str) -> Path:
    """Write the demo plan of a name into the folder; a plan changed there is never overwritten.

    Raises PlanError for an unknown name and for a changed plan.
    """
    return _copy(demo_text(name), Path(folder) / f"{name}.toml")


def copy_notebooks(name: str, folder: str) -> list[Path]:
    """The same for the notebooks of a demo, in the order of the work."""
    return [_copy(text, Path(folder) / file) for file, text in demo_notebooks(name).items()]


def copy_tests(name: str, folder: str) -> Path | None:
    """The same for the electrical tests of a demo; None where it has none."""
    found = [_copy(text, Path(folder) / file) for file, text in demo_tests(name).items()]
    return found[0] if found else None


def _copy(text: str, path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.exists() and path.read_bytes().split() != text.encode("utf-8").split():
        command = "check" if path.suffix == ".toml" else "true PLAN"
        words = ("this is not what the demo wrote any more; to keep your changes name another "
                 f"--out, or run: plumbrail {command} {quote(str(path))}")  # fmt: skip
        raise PlanError([Problem("", words)], str(path))
    path.write_text(text, encoding="utf-8")
    return path


def truing_name(made: Truing) -> str:
    """``truing`` for the papers of ``alder-creek-readings.csv``."""
    _, _, rest = Path(made.notebook.source).stem.partition("-readings")
    return f"truing{rest}"


def write_papers(job: MainJob, folder: str, tables: dict[str, Callable[[], str]]) -> list[Path]:
    """Drawings, and text tables by file name; returns what was written."""
    made = job.design
    drawn = [
        *stake_sheets(job.staking), *frame_sheets(made),
        *cut_sheets(made.run, made.plan, job.cutting),
        *(truing_sheets(t, truing_name(t)) for t in job.truing),
        *([] if job.energy is None else yield_drawings(job.energy)),
        *([] if job.wires is None else wire_papers(job.wires)),
        *([] if job.trench is None else trench_papers(job.trench)),
        *([] if job.proving is None else prove_papers(job.proving)),
    ]  # fmt: skip
    written = write_sheets(drawn, folder)
    if job.works is not None:
        written += works_papers(job.works, folder)
    for name, text in tables.items():
        path = Path(folder) / name
        path.write_text(text(), encoding="utf-8")
        written.append(path)
    return written
