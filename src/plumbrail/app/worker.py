"""Slow work, in a process of its own: cut lists to proof, the yield, the wiring, truing, the book.

A worker works in a temporary folder that holds what it may read, and sends what it found through a
pipe. It is killed when its plan is no longer the one on the screen.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plumbrail.jobs.output import Out
    from plumbrail.plan.reader import LoadedPlan

from plumbrail.app.fieldwork import wanted_out
from plumbrail.app.worked import SOURCE, PartDone
from plumbrail.app.worker_site import LATER, TESTS, Made, judged

NOTEBOOK = "readings.csv"
_GENTLE = 5
"""Niceness of workers; at 10 other busy programs would leave them a twentieth of a core."""


@dataclass(frozen=True)
class Order:
    """What a worker is to do."""

    kind: str
    """behind, truing, tests, book or drawings."""
    sha256: str
    text: str
    folder: str
    """Its own, with the notebook and the weather file in it."""
    parts: tuple[str, ...] = ()
    paper: str = "letter"
    language: str = "en"


def work(order: Order, pipe: Connection) -> None:
    """Entry of a worker process; sends (name, value) pairs, and at last ("end", "")."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends its workers itself
    gentle()
    try:
        os.chdir(order.folder)
        _KINDS[order.kind](order, pipe)
        pipe.send(("end", ""))
    except (BrokenPipeError, KeyboardInterrupt):
        return  # the server has ended: nobody listens
    except _refusals() as error:
        with suppress(BrokenPipeError):
            pipe.send(("refused", str(error)))
    finally:
        pipe.close()


def gentle() -> None:
    """Leave the processor to the server, so that edits stay quick."""
    if hasattr(os, "nice"):
        os.nice(_GENTLE - os.nice(0))


def _refusals() -> tuple[type[Exception], ...]:
    from plumbrail.errors import PlumbrailError

    return (PlumbrailError, OSError)


def _loaded(order: Order) -> LoadedPlan:
    from plumbrail.plan.reader import LoadedPlan, read_plan

    return LoadedPlan(read_plan(order.text, SOURCE), order.text, order.sha256, SOURCE)


def _behind(order: Order, pipe: Connection) -> None:
    """The slow parts of a plan, each sent as soon as it is there."""
    loaded, made = _loaded(order), Made()
    for name in order.parts:
        with _spoken(name, pipe):
            if name == "cut":
                pipe.send((name, _cut(loaded)))
            elif name == "yield":
                pipe.send((name, _yield(loaded, made)))
            elif name == "wire":
                pipe.send((name, _wire(loaded, made)))
            elif name == "truing":
                pipe.send((name, _true(loaded)))
            elif name == "tests":
                pipe.send((name, judged(_here(loaded), TESTS, _notebook(), made.wires)))
            elif name in LATER:
                pipe.send((name, LATER[name](_here(loaded), made)))


@contextmanager
def _spoken(name: str, pipe: Connection) -> Iterator[None]:
    """A part that the plan does not give is there, with the reason."""
    from plumbrail.errors import PlanError, PlumbrailError

    try:
        yield
    except PlumbrailError as error:
        words = "; ".join(p.message for p in error.problems) if isinstance(error, PlanError) else (
            str(error)
        )  # fmt: skip
        pipe.send((name, PartDone({"missing": words})))


def _here(loaded: LoadedPlan) -> LoadedPlan:
    """The plan, unless it names a weather file outside its own folder."""
    from plumbrail.app.weather_shelf import weather_name
    from plumbrail.errors import PlumbrailError

    energy = loaded.plan.energy
    if energy is not None and energy.weather.file is not None and weather_name(loaded.plan) is None:
        raise PlumbrailError(
            "energy.weather.file leads out of the plan's folder; in the app the file lies beside "
            "the plan: put it there, name it alone, and open the plan with plumbrail app PLAN"
        )
    return loaded


def _report(out: Out) -> dict[str, Any]:
    return out.model_dump(mode="json", by_alias=True)


def _cut(loaded: LoadedPlan) -> PartDone:
    from plumbrail.jobs.cutting import with_kerf_report
    from plumbrail.jobs.designing import analyse, saw

    analysis = analyse(loaded)
    cuts = with_kerf_report(analysis.plan, analysis.planned, saw(analysis), analysis.zones)
    return PartDone({}, cuts)


def _yield(loaded: LoadedPlan, made: Made) -> PartDone:
    from plumbrail.app.sunhours import own_angles, shade_hours
    from plumbrail.jobs.yield_output import yield_report
    from plumbrail.jobs.yielding import yielding

    made.energy = job = yielding(_here(loaded))
    report = _report(yield_report(job)) | {
        "shade_hours": shade_hours(job.facts), "own_angles": own_angles(job.facts),
    }  # fmt: skip
    return PartDone(report, job.facts.shade.module)


def _wire(loaded: LoadedPlan, made: Made) -> PartDone:
    from plumbrail.jobs.wire_output import wire_report
    from plumbrail.jobs.wiring import wiring

    shade = None if made.energy is None else made.energy.facts.shade.module
    made.wires = job = wiring(_here(loaded), shade)
    rules = frozenset(c.id for c in job.checks if c.rule)
    return PartDone(_report(wire_report(job)), job.shade, rules)


def _true(loaded: LoadedPlan) -> PartDone:
    from plumbrail.jobs.true_output import true_report
    from plumbrail.jobs.truing import truing

    made = truing(loaded, NOTEBOOK)
    found = {"missing": made.trued.missing, "sharper": made.trued.sharper,
             "again": made.trued.again}  # fmt: skip
    wanted = {name: [wanted_out(w) for w in rows] for name, rows in found.items()}
    return PartDone(_report(true_report(made)) | {"wanted": wanted})


def _truing(order: Order, pipe: Connection) -> None:
    with _spoken("truing", pipe):
        pipe.send(("truing", _true(_loaded(order))))


def _tests(order: Order, pipe: Connection) -> None:
    """What a file of tests says of the array."""
    with _spoken("tests", pipe):
        pipe.send(("tests", judged(_here(_loaded(order)), TESTS, _notebook())))


def _book(order: Order, pipe: Connection) -> None:
    from plumbrail.jobs.book import book_job, write_book
    from plumbrail.jobs.book_parts_results import STAGES

    made = book_job(
        _here(_loaded(order)), _notebook(), order.language, order.paper, _tick(pipe, STAGES),
        _there(TESTS),
    )  # fmt: skip
    files = write_book(made, "out", _tick(pipe, STAGES))
    pipe.send(("files", [f.name for f in files]))


def _drawings(order: Order, pipe: Connection) -> None:
    """Every drawing as SVG, and DXF files of them, in one archive."""
    import zipfile

    from plumbrail.jobs.book import book_job
    from plumbrail.jobs.book_parts_drawings import sheets
    from plumbrail.jobs.book_parts_results import STAGES
    from plumbrail.jobs.drawing import write_sheets
    from plumbrail.papers.dxf import dxf

    tick = _tick(pipe, STAGES)
    made = book_job(
        _here(_loaded(order)), _notebook(), order.language, order.paper, tick, _there(TESTS)
    )
    tick(STAGES[8])
    plan, out = made.results.plan, Path("out")
    out.mkdir()
    found = []
    for name, drawn in made.drawings.groups.items():
        path = out / f"{name}.dxf"
        path.write_bytes(dxf(sheets(drawn), plan.job.units, f"{plan.job.name}: {name}"))
        found += [path, *write_sheets(drawn, str(out))]
    with zipfile.ZipFile(out / "drawings.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        for path in found:
            archive.write(path, path.name)
    pipe.send(("files", ["drawings.zip", *(f.name for f in found)]))


def _notebook() -> str | None:
    return _there(NOTEBOOK)


def _there(name: str) -> str | None:
    return name if Path(name).exists() else None


def _tick(pipe: Connection, stages: tuple[str, ...]) -> Callable[[str], None]:
    """Tells each stage as it begins: the share done, and the words."""
    return lambda stage: pipe.send(("stage", (stages.index(stage) / len(stages), str(stage))))


_KINDS: dict[str, Callable[[Order, Connection], None]] = {
    "behind": _behind, "truing": _truing, "tests": _tests, "book": _book, "drawings": _drawings,
}  # fmt: skip
