"""``plumbrail wire``."""

from __future__ import annotations

import argparse
from shlex import quote

from rich.console import Console
from rich.text import Text

from plumbrail.check import Check, Status, worst
from plumbrail.checks.remedies import remedy
from plumbrail.cli.explain import show_steps
from plumbrail.cli.show import (
    Column,
    console,
    governs,
    marked,
    print_json,
    print_table,
    print_written,
    share_used,
    split,
    used,
    working,
)
from plumbrail.jobs.drawing import job_info, write_sheets
from plumbrail.jobs.output import CAUTION
from plumbrail.jobs.wire_output import wire_explain_report, wire_report
from plumbrail.jobs.wiring import WireJob, explain_wire, wire_papers, wiring
from plumbrail.papers import wire_tables as tables
from plumbrail.papers.tables import Table
from plumbrail.papers.wire_facts import (
    Task,
    capital,
    device_lacking,
    failing_words,
    fused,
    percent,
    quantity,
    size_words,
    volts,
)
from plumbrail.plan.reader import load_plan
from plumbrail.wiring.parts import Circuit, Grouping

FEW = 5
"""Groupings shown without --all."""
WORDS = ("From and to", "Wire", "Device", "In this order, from + to −", "Where", "Kind and size",
         "Wires in it", "What", "Conductor", "At least", "By")  # fmt: skip
"""Columns of words, which stand to the left."""
MOST_USED = 8
"""Checks shown without --all, besides those that fail."""


def run(given: argparse.Namespace) -> int:
    """Wire a plan, or explain one of its checks; 0 when every check was made and passes, else 1."""
    loaded = load_plan(given.plan)
    with working("Shade of the modules, strings, wires"):
        made = wiring(loaded)
    if given.explain is not None:
        show_explanation(made, given.explain, given.json)
        return exit_code(made)
    written = [] if given.out is None else write_sheets(wire_papers(made), given.out)
    if given.json:
        print_json(wire_report(made))
    else:
        out = console()
        show_wiring(out, made, given.all)
        print_written(out, written)
    return exit_code(made)


def exit_code(made: WireJob) -> int:
    """0 when every check was made and passes, else 1."""
    return 0 if made.passed else 1


def show_wiring(out: Console, made: WireJob, everything: bool) -> None:
    """Verdict and the numbers asked for first, then everything that is bought, cut and checked."""
    task = task_of(made)
    out.print(verdict(made), style="bold", markup=False)
    for line in headlines(task):
        out.print(f"  {line}", markup=False)
    out.print()
    _groupings(out, made, everything)
    for shown in (tables.strings(task), tables.lengths(task), tables.circuits(task),
                  tables.conduits(task)):  # fmt: skip
        _print(out, shown)
    if made.wired.electrodes:
        _print(out, tables.grounding(task))
    _checks(out, made, everything)
    _placards(out, made)
    _print(out, tables.buying(task))
    _footing(out, made, everything)


def task_of(made: WireJob) -> Task:
    """What the tables and papers are made from."""
    return Task(made.plan, made.model, made.wired, job_info(made.run, made.plan))


def verdict(made: WireJob) -> str:
    """One sentence: do all checks pass, and what governs."""
    fails, open_, total = made.count(Status.FAIL), made.count(Status.NOT_CHECKED), len(made.checks)
    named = f" {capital(governs(made.checks))}".rstrip()
    if made.passed:
        return f"{made.plan.job.name}: all {total} checks of the wiring pass.{named}"
    parts = [f"{fails} of {total} checks of the wiring FAIL" if fails
             else f"no check of {total} on the wiring fails"]  # fmt: skip
    if open_:
        parts.append(f"{open_} NOT CHECKED")
    return f"{made.plan.job.name}: {', '.join(parts)}.{named}"


def headlines(task: Task) -> list[str]:
    """How many strings of how many; wires and fuses; what is lost."""
    g, many = task.wired.chosen, len(task.model.modules.ids)
    left = f", {g.left_over} of {many} modules in none" if g.left_over else ""
    strings = f"{g.strings} string{'s' if g.strings > 1 else ''} of {g.per_string} modules{left}"
    return [
        f"{strings}; {volts(g.cold)} on the coldest morning, {volts(g.hot)} on the hottest day",
        f"strings: {size_words(task.string)}, {_device(task.string)}",
        f"run to the equipment: {size_words(task.run)}, {_device(task.run)}",
        f"lost in the wires at full sun: {percent(task.wired.share_lost)}",
    ]


def _device(c: Circuit) -> str:
    if fused(c):
        return c.device
    if device_lacking(c):
        return f"{c.device}: no standard size will do"
    return {"none required": "no fuse needed"}.get(c.device, f"fuse {c.device}")


def _groupings(out: Console, made: WireJob, everything: bool) -> None:
    found, chosen = made.wired.groupings, made.wired.chosen
    shown = list(found) if everything else [g for g in found if g.feasible][:FEW]
    if not any(g == chosen for g in shown):
        shown.insert(0, chosen)
    columns = [Column("Strings", no_wrap=True), Column("Cold", True, True),
               Column("Hot", True, True), Column("Verdict", no_wrap=True),
               Column("For and against")]  # fmt: skip
    print_table(out, "Ways to string the modules", columns, [_grouping(g, g == chosen)
                                                             for g in shown])  # fmt: skip
    out.print(f"Chosen: {made.wired.why}.", markup=False)
    if len(shown) < len(found):
        out.print(f"{len(found) - len(shown)} more were looked at; --all shows them.")
    out.print()


def _grouping(g: Grouping, taken: bool) -> list[str | Text]:
    per = "" if len(g.per_input) == 1 else f" on {len(g.per_input)} inputs"
    said = "; ".join(g.reasons if g.reasons else (*g.merits, *g.notes))
    mark = "will not do" if g.reasons else "will do"
    return [Text(f"{g.strings} of {g.per_string}{per}"), volts(g.cold), volts(g.hot),
            f"{mark}, chosen" if taken else mark, Text(said)]  # fmt: skip


def _print(out: Console, shown: Table) -> None:
    """The table, split where its paper is split when the terminal is too narrow for it."""
    columns = [Column(h, i > 0 and h not in WORDS, no_wrap=True)
               for i, h in enumerate(shown.headings)]  # fmt: skip
    for title, picked in split(shown.title, columns, shown.rows, shown.parts, out.width):
        rows = [[row[i] for i in picked] for row in shown.rows]
        print_table(out, title, [columns[i] for i in picked], rows)


def _checks(out: Console, made: WireJob, everything: bool) -> None:
    rows = [_row(c, made) for c in _shown(made.checks, everything)]
    columns = [Column("Id", no_wrap=True), Column("Check"), Column("Demand", True, True),
               Column("Capacity", True, True), Column("Used", True, True),
               Column("Result", no_wrap=True), Column("By")]  # fmt: skip
    print_table(out, "Checks" if everything else "Checks, the most used", columns, rows)
    for c in made.checks:
        if c.status is Status.FAIL:
            mend = f". Try: {remedy(c)}" if remedy(c) else ""
            out.print(f"  - FAILS: {failing_words(c)}{mend}", markup=False)
    for c in made.checks:
        if c.status is Status.NOT_CHECKED:
            out.print(f"  - NOT CHECKED: {capital(c.subject)}, {c.title}: {c.note}", markup=False)
    out.print()


def _shown(checks: tuple[Check, ...], everything: bool) -> list[Check]:
    """All, or those that fail and those that come nearest to it."""
    if everything:
        return list(checks)
    rated = sorted((c for c in checks if c.ratio is not None and c.status is Status.PASS),
                   key=lambda c: -(c.ratio or 0.0))  # fmt: skip
    return [c for c in checks if c.status is Status.FAIL] + rated[:MOST_USED]


def _row(c: Check, made: WireJob) -> list[str | Text]:
    sure = f" ({c.certainty.words})" if c.certainty is not None else ""
    return [Text(c.id), Text(f"{c.subject}, {c.title}"), quantity(c.demand, c.unit),
            quantity(c.capacity, c.unit), used(c.ratio), marked(c.status.value),
            Text(f"{c.clause}{sure}")]  # fmt: skip


def _placards(out: Console, made: WireJob) -> None:
    if not made.wired.placards:
        out.print("Signs: NOT CHECKED: no list of them is at hand for this code.\n")
        return
    out.print("Signs, in our own words; the code in force has the exact ones", style="bold")
    for i, p in enumerate(made.wired.placards):
        values = f" Write in: {p.values}." if p.values else ""
        out.print(f"  P{i + 1}: {p.text}. Place: {p.where}.{values} ({p.clause})", markup=False)
    out.print()


def _footing(out: Console, made: WireJob, everything: bool) -> None:
    if not everything:
        out.print(f"--all shows all {len(made.checks)} checks and all groupings.")
    top = worst(made.checks)
    if top is not None:
        out.print(f"Every step behind a number: plumbrail wire {quote(made.run.source)} --explain "
                  f"{top.id}", markup=False, soft_wrap=True)  # fmt: skip
    for note in made.wired.notes:
        out.print(f"Note: {note}", markup=False)
    out.print("\nDirect current:", style="bold")
    for caution in made.wired.cautions:
        out.print(f"  - {caution}", markup=False)
    out.print(CAUTION)
    out.print(made.run.short, style="dim", markup=False)


def show_explanation(made: WireJob, id: str, as_json: bool) -> None:
    """The steps of one check on the terminal or as JSON."""
    found = explain_wire(made, id)
    if as_json:
        print_json(wire_explain_report(made, found))
        return
    out, c = console(), found.check
    out.print(f"{c.id}: {c.subject}, {c.title}", style="bold", markup=False)
    demand, capacity = quantity(c.demand, c.unit), quantity(c.capacity, c.unit)
    numbers = f"{demand} of {capacity}, " if demand else ""
    out.print(f"{numbers}{share_used(c.ratio or 0.0, c.rule)}: ", end="", markup=False)
    out.print(marked(c.status.value))
    sure = c.certainty.words if c.certainty is not None else "unknown"
    out.print(f"by {c.clause}; least sure value: {sure}", markup=False)
    if c.note:
        out.print(c.note, markup=False)
    out.print("\nThe check", style="bold")
    show_steps(out, found.record, made.plan.job.units)
    out.print(f"\n{CAUTION}")
