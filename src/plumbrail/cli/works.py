"""``plumbrail plan-works``."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console

from plumbrail.cli.show import Column, console, print_json, print_table, print_written
from plumbrail.jobs.output import CAUTION
from plumbrail.jobs.working import WorksJob, works, works_inputs, works_papers
from plumbrail.jobs.works_output import works_report
from plumbrail.papers.tables import Table
from plumbrail.papers.works_days import change_table, day_lines
from plumbrail.papers.works_facts import clock, day_words, facts_of, headlines
from plumbrail.plan.reader import load_plan
from plumbrail.works.notes import DEFER, SAFE_ORDER
from plumbrail.works.solve import Tell

_LOST = {"logic": "moves the end", "crew": "moves it: hands", "no": "can wait"}
_ROOM = (
    "Room: hours of work by which it may end later, the order of people kept. A day lost: it "
    "begins a day later, all that begins from then on is planned anew. Moves it: hands: more "
    "people or tools might help; moves the end: they would not."
)


def run(given: argparse.Namespace) -> int:
    """Plan the works; 0 when all was counted and proven, else 1."""
    loaded = load_plan(given.plan)
    with _progress(given.json) as tell:
        got = works_inputs(loaded)
        made = works(loaded, got.energy, got.wires, got.trench, tell)
    written = [] if given.out is None else works_papers(made, given.out)
    if given.json:
        print_json(works_report(made))
    else:
        out = console()
        show_works(out, made, given.all)
        print_written(out, [Path(p) for p in written])
    return 0 if made.complete else 1


@contextmanager
def _progress(quiet: bool) -> Iterator[Tell | None]:
    """Best and bound as they come, on a terminal that somebody looks at."""
    err = Console(stderr=True)
    if quiet or not err.is_terminal:
        yield None
        return
    with err.status("Yield, wires, tasks") as status:
        yield lambda best, bound: status.update(
            f"Seeking the best order: {best:,} so far, none below {bound:,}"
        )


def show_works(out: Console, made: WorksJob, everything: bool = False) -> None:
    """Answers first, then tasks or days, then the changeover."""
    f = facts_of(made)
    out.print(f"{made.plan.job.name}: the works", style="bold", markup=False)
    for line in headlines(f):
        out.print(f"  {line}", markup=False)
    out.print()
    _tasks(out, made)
    if everything:
        for title, lines in day_lines(f):
            out.print(title, style="bold", markup=False)
            for words in lines:
                out.print(f"  {words}", markup=False)
        out.print()
    if f.change:
        _print(out, change_table(f))
        out.print("Safe order of disconnection", style="bold")
        for i, words in enumerate(SAFE_ORDER):
            out.print(f"  {i + 1}. {words}", markup=False)
        out.print(f"{DEFER}\n", markup=False)
    _footing(out, made, everything)


def _tasks(out: Console, made: WorksJob) -> None:
    f = facts_of(made)
    rows = []
    for r in f.in_order():
        what = f"HOLD POINT {r.letter}: {r.words}" if r.letter else r.words
        begin = f"{day_words(f.date(r.start_day))} {clock(r.start_clock)}"
        end = f"{day_words(f.date(r.end_day))} {clock(r.end_clock)}"
        rows.append([what, begin, "" if r.mark else end, str(r.people or ""),
                     f"{r.slack:.1f} h", _LOST[r.hangs]])  # fmt: skip
    columns = [Column("Task"), Column("Begins", no_wrap=True), Column("Ends", no_wrap=True),
               Column("People", True), Column("Room", True, True),
               Column("A day lost")]  # fmt: skip
    print_table(out, "Tasks", columns, rows)
    out.print(f"{_ROOM}\n")


def _print(out: Console, shown: Table) -> None:
    columns = [Column(h, i > 2) for i, h in enumerate(shown.headings)]
    print_table(out, shown.title, columns, shown.rows)


def _footing(out: Console, made: WorksJob, everything: bool) -> None:
    if not everything:
        out.print("--all shows every day with who does what.")
    for words in made.unchecked:
        out.print(f"NOT CHECKED: {words}", markup=False)
    for note in made.notes:
        out.print(f"Note: {note}", markup=False)
    out.print("\nOn site:", style="bold")
    for caution in made.cautions:
        out.print(f"  - {caution}", markup=False)
    out.print(CAUTION)
    out.print(made.run.short, style="dim", markup=False)
