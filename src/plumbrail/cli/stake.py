"""``plumbrail stake``."""

from __future__ import annotations

import argparse

from rich.console import Console

from plumbrail.check import Status
from plumbrail.cli.direction import direction_parts, show_answer
from plumbrail.cli.show import Column, console, print_json, print_table, print_written, split
from plumbrail.errors import PlumbrailError
from plumbrail.jobs.drawing import job_info, stake_sheets, write_sheets
from plumbrail.jobs.finding import answer, read_day
from plumbrail.jobs.located import located
from plumbrail.jobs.output import CAUTION
from plumbrail.jobs.stake_output import stake_report
from plumbrail.jobs.staking import Staking, staking
from plumbrail.papers import setting_out
from plumbrail.papers.tables import Table
from plumbrail.plan.reader import load_plan
from plumbrail.setout.direction import Answer


def run(given: argparse.Namespace) -> int:
    """Set out a plan; the exit code is 0, since nothing is judged here."""
    loaded = load_plan(given.plan)
    made = staking(loaded, None if given.day is None else read_day(given.day))
    with located(loaded):
        found = _asked(given, made)
    written = [] if given.out is None else write_sheets(stake_sheets(made), given.out)
    if given.json:
        print_json(stake_report(made, found))
        return 0
    out = console()
    if found is not None and made.direction is not None:
        show_answer(out, made.direction, found, job_info(made.run, made.plan))
        out.print(CAUTION)
    else:
        show_stakes(out, made)
    print_written(out, written)
    return 0


def _asked(given: argparse.Namespace, made: Staking) -> Answer | None:
    if given.clock is not None:
        return answer(made.direction, given.clock, given.shadow, given.over)
    if given.shadow is not None or given.over is not None:
        raise PlumbrailError("--shadow and --over need --clock: the time when the mark was made")
    return None


def show_stakes(out: Console, made: Staking) -> None:
    """Distances, levels and check measurements of every hole."""
    job, stakes = job_info(made.run, made.plan), made.stakes
    out.print(f"{job.name}: {len(stakes.ids)} holes", style="bold", markup=False)
    out.print(f"Base line from pin 1 to pin 2: {job.said(stakes.base.length)} level. "
              f"Lengths in {job.unit_note}, to hole centres.", markup=False)  # fmt: skip
    for warning in stakes.warnings:
        out.print(f"Note: {warning}", markup=False)
    shadows, said = direction_parts(made.direction, job)
    for shown in (
        setting_out.distances(stakes, job), setting_out.levels(stakes, job),
        setting_out.checks(stakes, job), *([] if shadows is None else [shadows]),
    ):  # fmt: skip
        _print(out, shown)
    for words in said:
        out.print(words, markup=False)
    _show_ground(out, made)
    for caution in (setting_out.SERVICES, setting_out.HOLES):
        out.print(caution, style="bold", markup=False)
    out.print(CAUTION)
    out.print(made.run.short, style="dim", markup=False)


def _show_ground(out: Console, made: Staking) -> None:
    """What to mind at each hole, and what nobody checked."""
    for hole, cautions in zip(made.stakes.ids, made.cautions, strict=True):
        for words in cautions:
            out.print(f"{hole}: {words}", style="bold", markup=False)
    for c in made.ground:
        if c.status is not Status.PASS and not c.id.endswith(".services"):  # those are above
            out.print(f"{c.status.value.upper()}, {c.subject}, {c.title}: {c.note}", markup=False)


def _print(out: Console, shown: Table) -> None:
    """The table, split where its paper is split when the terminal is too narrow for it."""
    columns = [Column(h, i > 0, no_wrap=True) for i, h in enumerate(shown.headings)]
    for title, picked in split(shown.title, columns, shown.rows, shown.parts, out.width):
        rows = [[row[i] for i in picked] for row in shown.rows]
        print_table(out, title, [columns[i] for i in picked], rows)
