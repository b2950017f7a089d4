"""``plumbrail book``."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

from plumbrail.cli.show import console, print_json, print_written, solver_hushed
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.book import PAPERS, BookJob, book_job, write_book
from plumbrail.jobs.book_output import book_report
from plumbrail.jobs.book_parts_results import STAGES, Tick
from plumbrail.jobs.output import CAUTION
from plumbrail.notebook.reader import file_words
from plumbrail.papers.words import LANGUAGES
from plumbrail.plan.reader import load_plan


def run(given: argparse.Namespace) -> int:
    """Write the book of a plan; 0 when all is checked, passes and is ready, else 1."""
    _refuse(given)
    loaded = load_plan(given.plan)
    with progress() as tick, solver_hushed():
        made = book_job(loaded, given.readings, given.language, given.paper, tick, given.tests)
        written = write_book(made, given.out, tick)
    if given.json:
        print_json(book_report(made, written))
    else:
        out = console()
        show_book(out, made)
        print_written(out, written)
    return 0 if made.results.passed else 1


def _refuse(given: argparse.Namespace) -> None:
    if Path(given.plan).suffix.lower() == ".csv":
        raise PlumbrailError(f"{given.plan} looks like readings; name the plan first and the "
                             "readings after it: plumbrail book PLAN READINGS")  # fmt: skip
    for name in filter(None, (given.readings, given.tests)):  # before minutes of work
        if not Path(name).is_file():
            why = IsADirectoryError() if Path(name).is_dir() else FileNotFoundError()
            raise PlumbrailError(f"{name}: {file_words(why)}")
    if given.language not in LANGUAGES:
        raise PlumbrailError(f"--language {given.language}: there is no such catalogue; write one "
                             f"of {', '.join(LANGUAGES)}")  # fmt: skip
    if given.paper is not None and given.paper not in PAPERS:
        raise PlumbrailError(f"--paper {given.paper}: there is no such paper; write one of "
                             f"{', '.join(PAPERS)}")  # fmt: skip


@contextmanager
def progress(err: Console | None = None) -> Iterator[Tick]:
    """A bar on a terminal that moves with every stage; silent elsewhere."""
    err = err or Console(stderr=True)
    if not err.is_terminal:
        yield lambda stage: None
        return
    columns = (TextColumn("{task.description:<18}"), BarColumn(), MofNCompleteColumn(),
               TimeElapsedColumn())  # fmt: skip
    with Progress(*columns, console=err, transient=True) as bar:
        task = bar.add_task(STAGES[0], total=len(STAGES))
        yield lambda stage: bar.update(task, description=stage, completed=STAGES.index(stage))


def show_book(out: Console, made: BookJob) -> None:
    """The numbers asked for first, what is in the book and what is not."""
    s, r = made.summary, made.results
    out.print(f"{r.plan.job.name}: build book", style="bold", markup=False)
    energy = "" if s.energy is None else f"; {s.energy / 3.6e6:,.0f} kWh a year"
    out.print(f"  {s.cost:,.0f} for pipe, rails and concrete, in the plan's money", markup=False)
    out.print(f"  {s.holes} holes, the deepest {s.deepest}; {s.bags} bags{energy}", markup=False)
    for name, t in (("frame", s.checks), ("wiring", s.wiring)):
        if t is not None:
            style = "bold red" if t.failed else None
            out.print(f"  checks of the {name}: {t.passed} pass, {t.failed} fail, {t.open} NOT "
                      "CHECKED", style=style, markup=False)  # fmt: skip
    if s.verdict:
        out.print(f"  readings: {s.verdict}", markup=False)
    for words in made.missing:
        out.print(f"  Not in this book: {words}", markup=False)
    if made.unsaid:
        count = len(made.unsaid)
        out.print(f"  In English, for want of a translation: {count} texts (--json lists them)",
                  markup=False)  # fmt: skip
    out.print(CAUTION)
    out.print(r.run.short, style="dim", markup=False)
