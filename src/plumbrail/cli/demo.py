"""``plumbrail demo``."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from functools import partial
from pathlib import Path
from shlex import quote

from rich.console import Console

from plumbrail.check import worst
from plumbrail.cli.check import FAMILIES, exit_code, show_checks, show_failures, verdict
from plumbrail.cli.cut import missing, show_cutting
from plumbrail.cli.energy import headline, show_yield
from plumbrail.cli.prove import show_proving
from plumbrail.cli.prove import verdict as prove_verdict
from plumbrail.cli.show import (
    console,
    path_text,
    print_json,
    print_written,
    solver_hushed,
    used,
    working,
)
from plumbrail.cli.stake import show_stakes
from plumbrail.cli.trench import headline as headline_of_trench
from plumbrail.cli.trench import show_trench
from plumbrail.cli.true import show_truing
from plumbrail.cli.wire import headlines, show_wiring, task_of
from plumbrail.cli.wire import verdict as wire_verdict
from plumbrail.cli.works import show_works
from plumbrail.jobs.cut_output import cut_report
from plumbrail.jobs.demo import (
    MainJob,
    copy_demo,
    copy_notebooks,
    copy_tests,
    main_job,
    truing_name,
    write_papers,
)
from plumbrail.jobs.demo_output import DemoReport
from plumbrail.jobs.output import CAUTION, check_report
from plumbrail.jobs.prove_output import prove_report
from plumbrail.jobs.stake_output import stake_report
from plumbrail.jobs.trench_output import trench_report
from plumbrail.jobs.true_output import true_report
from plumbrail.jobs.wire_output import wire_report
from plumbrail.jobs.works_output import works_report
from plumbrail.jobs.yield_output import yield_report
from plumbrail.papers.works_facts import facts_of as works_facts
from plumbrail.papers.works_facts import headlines as works_headlines
from plumbrail.units import show

_FIRST = 3
"""Moves that are told; the papers have them all."""


def run(given: argparse.Namespace) -> int:
    """Do the main job on a demo plan and say what came of it."""
    path, books = copy_demo(given.plan, given.out), copy_notebooks(given.plan, given.out)
    tests = copy_tests(given.plan, given.out)
    with working("Checking, cutting, staking, truing, the year, wires"), solver_hushed():
        job = main_job(path, books, tests)
    written = [path, *books, *write_papers(job, given.out, _tables(job))]
    if given.json:
        print_json(DemoReport(
            check=check_report(job.design), stake=stake_report(job.staking),
            cut=cut_report(job.design.analysis, job.cutting, job.shop),
            truing=[true_report(t) for t in job.truing],
            energy=None if job.energy is None else yield_report(job.energy, False),
            wiring=None if job.wires is None else wire_report(job.wires),
            trench=None if job.trench is None else trench_report(job.trench),
            proving=None if job.proving is None else prove_report(job.proving),
            works=None if job.works is None else works_report(job.works),
            written=[path_text(p) for p in written],
        ))  # fmt: skip
    else:
        _tell(console(), job, path, written)
    return exit_code(job.design)


def _tables(job: MainJob) -> dict[str, Callable[[], str]]:
    made = job.design
    truing = {
        f"{truing_name(t)}.txt": _text(partial(show_truing, made=t, everything=True))
        for t in job.truing
    }
    electric: dict[str, Callable[[], str]] = {}
    if (energy := job.energy) is not None:
        electric["yield.txt"] = _text(lambda out: show_yield(out, energy, everything=True))
    if (wires := job.wires) is not None:
        electric["wiring.txt"] = _text(lambda out: show_wiring(out, wires, everything=True))
    if (proved := job.proving) is not None:
        electric["hand-over.txt"] = _text(lambda out: show_proving(out, proved, True))
    if (trench := job.trench) is not None:
        electric["trench.txt"] = _text(lambda out: show_trench(out, trench))
    if (planned := job.works) is not None:
        electric["works.txt"] = _text(lambda out: show_works(out, planned, everything=True))
    return (
        truing
        | electric
        | {
            "checks.txt": _text(lambda out: show_checks(out, made, everything=True)),
            "cut-list.txt": _text(
                lambda out: show_cutting(out, made.analysis, job.cutting, job.shop)
            ),
            "setting-out.txt": _text(lambda out: show_stakes(out, job.staking)),
        }
    )


def _text(show_on: Callable[[Console], None]) -> Callable[[], str]:
    """What a command would show, as plain text with every column."""

    def made() -> str:
        out = Console(width=190, highlight=False, color_system=None, force_terminal=False)
        with out.capture() as captured:
            show_on(out)
        return captured.get()

    return made


def _tell(out: Console, job: MainJob, path: Path, written: list[Path]) -> None:
    made, units = job.design, job.design.plan.job.units
    out.print(verdict(made), style="bold", markup=False)
    _tell_families(out, job)
    show_failures(out, job.design)
    sticks = sum(line.count for line in job.shop.sticks.lines)
    heaviest = show(job.shop.sticks.heaviest, "mass", units)
    out.print(f"\nTo buy: {sticks} sticks of pipe and rail and {job.shop.bags.total} bags of "
              f"concrete for {job.shop.cost:,.2f}; the heaviest stick weighs {heaviest}"
              f"{missing(job.cutting)}.",
              markup=False)  # fmt: skip
    proven = all(s.plan is not None and s.plan.proven for s in job.cutting.sections)
    if proven:
        out.print("The cut list is proven: no cheaper one exists.")
    else:
        out.print("The cut list is not proven cheapest; cut-list.txt says what could be saved.")
    base = show(job.staking.stakes.base.length, "length", units)
    out.print(f"To stake: {len(job.staking.stakes.ids)} holes from two pins {base} apart.\n",
              markup=False)  # fmt: skip
    _tell_truing(out, job)
    _tell_electric(out, job)
    print_written(out, written)
    _tell_next(out, job, path)
    out.print(CAUTION)


def _tell_truing(out: Console, job: MainJob) -> None:
    for t in job.truing:
        found, book = t.trued, Path(t.notebook.source).name
        out.print(f"To true, by {book}: {found.gate.ready.value}.", markup=False)
        for words in [s.words for s in found.survey.suspicions]:
            out.print(f"  look again: {words}", markup=False)
        moves = [m.words for m in found.mending.moves]
        for i, words in enumerate(moves[:_FIRST]):
            out.print(f"  {i + 1}. {words}", markup=False)
        if len(moves) > _FIRST:
            out.print(f"  and {len(moves) - _FIRST} more moves")
    if not job.truing:
        out.print("To true: no readings come with this demo plan.")
    out.print()


def _tell_electric(out: Console, job: MainJob) -> None:
    if (energy := job.energy) is not None:
        for line in headline(energy):
            out.print(line, markup=False)
    if (wires := job.wires) is not None:
        out.print(wire_verdict(wires), markup=False)
        for line in headlines(task_of(wires)):
            out.print(f"  {line}", markup=False)
    if job.trench is not None:
        out.print(f"To dig: {headline_of_trench(job.trench)}.", markup=False)
    if job.proving is not None:
        out.print(prove_verdict(job.proving), markup=False)
        for s in job.proving.proved.suspicions:
            for c in s.candidates[:1]:
                out.print(f"  suspected: {c.words}; next: {c.check}", markup=False)
    _tell_works(out, job)
    if job.energy is not None or job.wires is not None:
        out.print()


def _tell_works(out: Console, job: MainJob) -> None:
    if job.works is not None:
        for line in works_headlines(works_facts(job.works)):
            out.print(line, markup=False)


def _tell_families(out: Console, job: MainJob) -> None:
    for family, title in FAMILIES.items():
        here = [c for c in job.design.checks.checks if c.family == family]
        top = worst(here)
        if top is not None:
            where = f"{top.subject}, {top.title}"
            out.print(f"  {title:<12} {used(top.ratio):>12}  {where}", markup=False)


def _tell_next(out: Console, job: MainJob, path: Path) -> None:
    top = worst(job.design.checks.checks)
    out.print("\nWhat to do next:", style="bold")
    out.print("  1. Open the drawings (.svg) in a browser; print them on the size they name.")
    if top is not None:
        out.print(
            f"  2. See why: plumbrail check {quote(str(path))} --explain {top.id}",
            markup=False,
            soft_wrap=True,
        )
    if job.truing:
        book = job.truing[0].notebook.source
        out.print(f"  3. Play the crew: plumbrail true {quote(str(path))} {quote(book)}",
                  markup=False, soft_wrap=True)  # fmt: skip
    out.print("  4. Begin your own: plumbrail new my-array.toml\n")
