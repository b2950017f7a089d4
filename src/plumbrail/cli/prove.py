"""``plumbrail prove``."""

from __future__ import annotations

import argparse
from pathlib import Path
from shlex import quote

from rich.console import Console
from rich.text import Text

from plumbrail.cli.explain import show_steps
from plumbrail.cli.show import (
    Column,
    console,
    print_json,
    print_table,
    print_written,
    solver_hushed,
)
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.drawing import write_sheets
from plumbrail.jobs.output import CAUTION
from plumbrail.jobs.prove_output import prove_explain_report, prove_report
from plumbrail.jobs.proving import (
    ProveJob,
    blank_papers,
    explain_proof,
    facts_of,
    prove_papers,
    proving,
    record_hand_over,
)
from plumbrail.jobs.truing import truing
from plumbrail.papers.proving_facts import GROUPS, MARKS, ProofFacts, judged_words
from plumbrail.papers.proving_record import headline, suspicion_words
from plumbrail.plan.reader import load_plan
from plumbrail.proving.parts import Judged, Outcome
from plumbrail.proving.records import has_steps

STYLES = {Outcome.FAIL: "bold red", Outcome.UNSURE: "bold yellow", Outcome.UNMEASURED: "yellow"}
FEW = 12
"""Open things shown without --all."""


def run(given: argparse.Namespace) -> int:
    """Judge the tests of an array, or write the blank sheet; 0 only when all of it passes."""
    if Path(given.plan).suffix.lower() == ".csv":
        raise PlumbrailError(f"{given.plan} looks like tests; name the plan first and the tests "
                             "after it: plumbrail prove PLAN TESTS")  # fmt: skip
    loaded = load_plan(given.plan)
    read = None
    if given.notebook is not None:
        with solver_hushed():
            read = truing(loaded, given.notebook)
    made = proving(loaded, given.readings, read=read)
    if given.explain is not None:
        show_explanation(made, given.explain, given.json)
        return exit_code(made)
    if given.readings is None:
        return _blank(given, made)
    written = []
    if given.out is not None:
        written = write_sheets(prove_papers(made, given.language), given.out)
        record = prove_report(made).model_dump_json(by_alias=True, indent=1)
        written.append(record_hand_over(record, given.out))
    if given.json:
        print_json(prove_report(made))
    else:
        out = console()
        show_proving(out, made, given.all)
        print_written(out, written)
    return exit_code(made)


def exit_code(made: ProveJob) -> int:
    """0 when the array may be handed over, else 1."""
    return 0 if made.passed else 1


def _blank(given: argparse.Namespace, made: ProveJob) -> int:
    """The blank sheet; with --json what is to be tested, and files only with --out."""
    if given.json:
        if given.out is not None:
            blank_papers(made, given.out, given.language)
        print_json(prove_report(made))
        return 0
    written = blank_papers(made, given.out or ".", given.language)
    out = console()
    print_written(out, written)
    out.print("Print the sheets, or fill the value column of the .csv in any spreadsheet. Then: "
              f"plumbrail prove {quote(given.plan)} {quote(str(written[-1]))}",
              markup=False, soft_wrap=True)  # fmt: skip
    _cautions(out, made)
    return 0


def verdict(made: ProveJob) -> str:
    """One line: may it be handed over."""
    return f"{made.plan.job.name}: hand-over {headline(facts_of(made))}"


def show_proving(out: Console, made: ProveJob, everything: bool = False) -> None:
    """Verdict, what is suspected, the tests, what is open."""
    p, facts = made.proved, facts_of(made)
    out.print(verdict(made), style="bold", markup=False)
    for s in p.suspicions:
        out.print(f"\nSuspected: {', '.join(s.strings) or 'all strings'}", style="bold",
                  markup=False)  # fmt: skip
        for words in suspicion_words(s):
            out.print(f"  - {words}", markup=False)
    out.print()
    for group, title in GROUPS.items():
        rows = [_row(facts, j) for j in p.judged if j.group == group
                and (everything or j.outcome is not Outcome.UNMEASURED)]  # fmt: skip
        if rows:
            columns = [Column("Where", no_wrap=True), Column("Test"),
                       Column("Result", no_wrap=True), Column("Read and expected")]  # fmt: skip
            print_table(out, title, columns, rows)
    _again(out, made)
    _notes(out, made)
    _open(out, made, everything)
    steps = next((j for j in p.judged if j.outcome is Outcome.FAIL and has_steps(j)),
                 next((j for j in p.judged if has_steps(j)), None))  # fmt: skip
    if steps is not None and made.book is not None:
        out.print("Every step behind a number: plumbrail prove "
                  f"{quote(made.run.source)} {quote(made.book.source)} --explain {steps.id}",
                  markup=False, soft_wrap=True)  # fmt: skip
    _cautions(out, made)


def show_explanation(made: ProveJob, id: str, as_json: bool) -> None:
    """The steps of one test on the terminal or as JSON."""
    found = explain_proof(made, id)
    if as_json:
        print_json(prove_explain_report(made, found))
        return
    out, j = console(), found.judged
    out.print(f"{j.id}: {j.subject}, {j.title}", style="bold", markup=False)
    out.print(MARKS[j.outcome], style=STYLES.get(j.outcome, ""), markup=False)
    words = judged_words(facts_of(made), j)
    if words:
        out.print(words, markup=False)
    sure = found.record.certainty.words
    out.print(f"{f'by {j.source}; ' if j.source else ''}least sure value: {sure}", markup=False)
    out.print("\nThe steps", style="bold")
    show_steps(out, found.record, made.plan.job.units)
    out.print(f"\n{CAUTION}")


def _again(out: Console, made: ProveJob) -> None:
    if made.proved.again:
        out.print("Tested more than once:", style="bold")
    for x in made.proved.again:
        out.print(f"  - {x.words}", markup=False)
    if made.proved.again:
        out.print()


def _notes(out: Console, made: ProveJob) -> None:
    for words in made.proved.notes:
        out.print(f"Note: {words}", markup=False)
    if made.proved.notes:
        out.print()


def _row(facts: ProofFacts, j: Judged) -> list[str | Text]:
    line = f" (line {j.line})" if j.line is not None else ""
    mark = Text(MARKS[j.outcome], style=STYLES.get(j.outcome, ""))
    return [Text(j.subject), Text(j.title), mark, Text(f"{judged_words(facts, j)}{line}")]


def _open(out: Console, made: ProveJob, everything: bool) -> None:
    left = made.proved.open
    if not left:
        return
    out.print("Still open before the hand-over:", style="bold")
    for words in left if everything else left[:FEW]:
        out.print(f"  - {words}", markup=False)
    if not everything and len(left) > FEW:
        out.print(f"  and {len(left) - FEW} more; --all shows them")
    out.print()


def _cautions(out: Console, made: ProveJob) -> None:
    out.print("\nLive array:", style="bold")
    for caution in prove_report(made).cautions:
        out.print(f"  - {caution}", markup=False)
    out.print(CAUTION)
    out.print(made.run.short, style="dim", markup=False)
