"""``plumbrail trench``."""

from __future__ import annotations

import argparse
from shlex import quote

from rich.console import Console
from rich.text import Text

from plumbrail.check import Check, Status, worst
from plumbrail.cli.explain import show_steps
from plumbrail.cli.show import (
    Column,
    console,
    marked,
    print_json,
    print_table,
    print_written,
    share_used,
    split,
    used,
    working,
)
from plumbrail.jobs.drawing import write_sheets
from plumbrail.jobs.output import CAUTION
from plumbrail.jobs.trench_output import trench_explain_report, trench_report
from plumbrail.jobs.trenching import (
    TrenchJob,
    explain_trench,
    facts_of,
    trench_papers,
    trenching,
)
from plumbrail.papers.tables import Table
from plumbrail.papers.trench_facts import failing, unchecked, verdict_words
from plumbrail.papers.trench_sheets import tables
from plumbrail.papers.wire_facts import capital, quantity
from plumbrail.plan.reader import load_plan

WORDS = ("What is there", "What lies there", "Conduit passes", "Service", "Differs", "Digging",
         "Between", "Pulled toward", "Note")  # fmt: skip
"""Columns of words, which stand to the left."""


def run(given: argparse.Namespace) -> int:
    """Lay out the trench of a plan, or explain a check; 0 when every check was made and passes."""
    with working("Strings and wires, the route of the trench"):
        made = trenching(load_plan(given.plan))
    if given.explain is not None:
        show_explanation(made, given.explain, given.json)
        return exit_code(made)
    written = (
        [] if given.out is None else write_sheets(trench_papers(made, given.language), given.out)
    )
    if given.json:
        print_json(trench_report(made))
    else:
        out = console()
        show_trench(out, made)
        print_written(out, written)
    return exit_code(made)


def exit_code(made: TrenchJob) -> int:
    """0 when every check was made and passes, else 1."""
    return 0 if made.passed else 1


def headline(made: TrenchJob) -> str:
    """Length, hand digging, crossings and work in one line."""
    facts, o = facts_of(made), made.trench.option
    return (f"{facts.length(o.length)} of trench, {facts.length(o.hand)} of it by hand, "
            f"{o.crossings} crossing{'' if o.crossings == 1 else 's'}, about {o.hours:.1f} h of "
            f"work; {facts.length(made.trench.conduit)} of conduit with its risers")  # fmt: skip


def show_trench(out: Console, made: TrenchJob) -> None:
    """Verdict, tables, checks, what to do in which order, cautions."""
    facts = facts_of(made)
    out.print(f"{made.plan.job.name}: {verdict_words(facts)}", style="bold", markup=False)
    out.print(f"  {headline(made)}\n", markup=False)
    for table in tables(facts):
        _print(out, table)
    _checks(out, made)
    for title, lines in (
        ("Fails", failing(facts)), ("NOT CHECKED", unchecked(facts)),
        ("Pull boxes", [f"{b.name}: {b.why}" for b in made.trench.boxes]),
        ("Distance from other services", list(made.trench.separations)),
        ("In this order", list(made.trench.checklist)), ("Cautions", list(made.trench.cautions)),
        ("To keep in mind", list(made.trench.notes)),
    ):  # fmt: skip
        if lines:
            out.print(f"\n{title}", style="bold", markup=False)
        for line in lines:
            out.print(f"  - {line}", markup=False)
    top = worst([c for c in made.checks if c.replay is not None])
    if top is not None:
        out.print(f"\nEvery step behind a number: plumbrail trench {quote(made.run.source)} "
                  f"--explain {top.id}", markup=False, soft_wrap=True)  # fmt: skip
    out.print(CAUTION)
    out.print(made.run.short, style="dim", markup=False)


def _print(out: Console, shown: Table) -> None:
    if not shown.rows:
        return
    heads = [h.replace("\n", " ") for h in shown.headings]
    columns = [Column(h, i > 0 and h not in WORDS, no_wrap=h not in WORDS)
               for i, h in enumerate(heads)]  # fmt: skip
    for title, picked in split(shown.title, columns, shown.rows, shown.parts, out.width):
        rows = [[row[i] for i in picked] for row in shown.rows]
        print_table(out, title, [columns[i] for i in picked], rows)


def _checks(out: Console, made: TrenchJob) -> None:
    columns = [Column("Id", no_wrap=True), Column("Check"), Column("Demand", True, True),
               Column("Capacity", True, True), Column("Used", True, True),
               Column("Result", no_wrap=True), Column("By")]  # fmt: skip
    print_table(out, "Checks", columns, [_row(c) for c in made.checks])


def _row(c: Check) -> list[str | Text]:
    sure = f" ({c.certainty.words})" if c.certainty is not None else ""
    return [Text(c.id), Text(f"{c.subject}, {c.title}"), quantity(c.demand, c.unit),
            quantity(c.capacity, c.unit), used(c.ratio), marked(c.status.value),
            Text(f"{c.clause}{sure}")]  # fmt: skip


def show_explanation(made: TrenchJob, id: str, as_json: bool) -> None:
    """The steps of one check on the terminal or as JSON."""
    found = explain_trench(made, id)
    if as_json:
        print_json(trench_explain_report(made, found))
        return
    out, c = console(), found.check
    out.print(f"{c.id}: {capital(c.subject)}, {c.title}", style="bold", markup=False)
    out.print(f"{share_used(c.ratio or 0.0)}: ", end="", markup=False)
    out.print(marked(c.status.value))
    assert c.status is not Status.NOT_CHECKED
    if c.note:
        out.print(c.note, markup=False)
    out.print("\nThe check", style="bold")
    show_steps(out, found.record, made.plan.job.units)
    out.print(f"\n{CAUTION}")
