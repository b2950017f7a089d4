"""``plumbrail check``."""

from __future__ import annotations

import argparse
from shlex import quote

from rich.console import Console
from rich.text import Text

from plumbrail.check import Check, Status, worst
from plumbrail.checks.remedies import remedy
from plumbrail.cli.show import (
    Column,
    balance,
    console,
    governs,
    marked,
    print_json,
    print_table,
    quantity,
    share_used,
    used,
    working,
)
from plumbrail.jobs.designing import Design, design
from plumbrail.jobs.output import CAUTION, check_report
from plumbrail.plan.reader import load_plan

FAMILIES = {
    "frame": "Whole frame",
    "post": "Posts", "beam": "Beams", "brace": "Braces", "splice": "Splices", "rail": "Rails",
    "pier": "Piers", "joint": "Connections", "module": "Modules", "site": "Site",
    "ground": "Ground and property",
}  # fmt: skip

WIDE, WIDEST = 110, 170
"""Columns of a terminal from which clauses, then combinations and ids are shown too."""


def run(given: argparse.Namespace) -> int:
    """Check a plan, or explain one of its checks."""
    loaded = load_plan(given.plan)
    with working("Checking; the saw cuts of long rows take a while"):
        made = design(loaded)
    if given.explain is not None:
        from plumbrail.cli.explain import show_explanation

        show_explanation(made, given.explain, given.json)
    elif given.json:
        print_json(check_report(made))
    else:
        show_checks(console(), made, given.all)
    return exit_code(made)


def exit_code(made: Design) -> int:
    """0 when every check was made and passes, else 1."""
    return 0 if made.checks.passed else 1


def show_checks(out: Console, made: Design, everything: bool) -> None:
    """Verdict, the checks by kind of part, and what is not covered."""
    out.print(verdict(made), markup=False, style="bold")
    out.print()
    shown = made.checks.checks if everything else worst_of_kind(made.checks.checks)
    for family, title in FAMILIES.items():
        rows = [_row(c, made, out.width) for c in shown if c.family == family]
        if rows:
            print_table(out, title, _columns(out.width), rows)
    show_failures(out, made)
    out.print()
    _footing(out, made, everything)


def verdict(made: Design) -> str:
    """One sentence: does it stand, and what governs."""
    found = made.checks
    fails, open_ = found.count(Status.FAIL), found.count(Status.NOT_CHECKED)
    named = f" {governs(found.checks)}".rstrip()
    total = len(found.checks)
    if found.passed:
        return f"{made.plan.job.name}: all {total} checks pass.{named}"
    parts = [f"{fails} of {total} checks FAIL" if fails else f"no check of {total} fails"]
    if open_:
        parts.append(f"{open_} NOT CHECKED")
    return f"{made.plan.job.name}: {', '.join(parts)}.{named}"


def worst_of_kind(checks: tuple[Check, ...]) -> list[Check]:
    """The worst of each kind of part and check, and everything that was not checked."""
    kept: dict[tuple[str, str], Check] = {}
    for check in checks:
        key = (check.family, check.title)
        if check.status is Status.NOT_CHECKED or check.ratio is None:
            key = (check.family, check.id)
        if key not in kept or (check.ratio or 0.0) > (kept[key].ratio or 0.0):
            kept[key] = check
    return list(kept.values())


def show_failures(out: Console, made: Design) -> None:
    """Each kind of failure with its parts and what usually mends it; then what is not checked."""
    found = made.checks.checks
    failed = [c for c in found if c.status is Status.FAIL]
    kinds = dict.fromkeys((c.family, c.title) for c in failed)
    if kinds:
        out.print("\nWhat fails, where, and what usually mends it:", style="bold")
    for kind in kinds:
        here = [c for c in failed if (c.family, c.title) == kind]
        top = worst(here)
        parts = _places([c.subject for c in here], top)
        far = kind[0] == "ground"  # a distance, nothing that bears: its words say more
        share = f", {share_used(top.ratio or 0.0, top.rule)}" if top and not far else ""
        note = f": {here[0].note}" if here[0].ratio is None and not far else ""
        out.print(f"  - {kind[1]}{share}: {parts}{note}", markup=False)
        for c in here if far else ():
            out.print(f"      {c.subject}: {c.note}", markup=False)
        out.print(f"      try: {remedy(here[0])}", markup=False)
    for c in found:
        if c.status is Status.NOT_CHECKED:
            out.print(f"  - NOT CHECKED, {c.subject}, {c.title}: {c.note}", markup=False)


def _places(subjects: list[str], top: Check | None) -> str:
    """The parts by name when they are few, else how many and the worst."""
    names = list(dict.fromkeys(subjects))
    if len(names) <= 3 or top is None:
        return ", ".join(names)
    return f"{len(names)} places, worst {top.subject}"


def _columns(width: int) -> list[Column]:
    columns = [Column("Check"), Column("Where"), Column("Demand", True), Column("Capacity", True),
               Column("Used", True, True), Column("Result", no_wrap=True)]  # fmt: skip
    if width >= WIDE:
        columns.append(Column("By"))
    if width >= WIDEST:
        columns += [Column("Combination"), Column("Id")]
    return columns


def _row(c: Check, made: Design, width: int) -> list[str | Text]:
    system = made.plan.job.units
    row: list[str | Text] = [
        Text(c.title), Text(c.subject), quantity(c.demand, c.unit, system),
        quantity(c.capacity, c.unit, system), used(c.ratio), marked(c.status.value),
    ]  # fmt: skip
    if width >= WIDE:
        sure = f" ({c.certainty.words})" if c.certainty is not None else ""
        row.append(Text(f"{c.clause}{sure}"))
    if width >= WIDEST:
        row += [Text(c.combination), Text(c.id)]
    return row


def _footing(out: Console, made: Design, everything: bool) -> None:
    found = made.checks
    if not everything:
        out.print(f"The worst of each kind is shown; --all shows all {len(found.checks)} checks.")
    rated = [c.id for c in found.checks if c.replay is not None]
    if rated:
        top = worst(found.checks)
        if out.width < WIDEST:
            some = dict.fromkeys(c.family for c in found.checks if c.replay is not None)
            ids = [next(c.id for c in found.checks if c.family == f and c.replay) for f in some]
            out.print(f"A check's id is its part and its name: {', '.join(ids[:6])}. A terminal "
                      f"{WIDEST} columns wide shows ids, clauses and combinations; --json shows "
                      "everything.", markup=False)  # fmt: skip
        out.print(f"Every step behind a number: plumbrail check {quote(made.run.source)} --explain "
                  f"{top.id if top else rated[0]}", markup=False, soft_wrap=True)  # fmt: skip
    for note in found.notes:
        out.print(f"Note: {note}", markup=False)
    out.print()
    out.print("plumbrail does not judge:", style="bold")
    for item in found.not_covered:
        out.print(f"  - {item}", markup=False)
    out.print(f"Frame analysis: {found.cases} load cases, {found.combinations} combinations, "
              f"forces balance within {balance(found.residual)} of the load.")  # fmt: skip
    out.print(CAUTION)
    out.print(made.run.short, style="dim", markup=False)
