"""Putting results on a terminal: plain tables that read without colour, or JSON."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pydantic import BaseModel
from rich.console import Console
from rich.table import Table
from rich.text import Text

from plumbrail.errors import PlanError
from plumbrail.units import show

KINDS = {"N": "force", "N*m": "moment", "Pa": "pressure", "m": "length"}
"""Kind of quantity for the SI unit of a demand."""
MARKS = {"pass": "pass", "fail": "FAIL", "not checked": "NOT CHECKED"}
STYLES = {"fail": "bold red", "not checked": "bold yellow"}


def console() -> Console:
    """Standard output; 100 columns where the width is unknown."""
    out = Console(highlight=False, soft_wrap=False)
    if not out.is_terminal and out.width == 80:
        out = Console(highlight=False, width=100)
    return out


def print_json(report: BaseModel) -> None:
    """The report on standard output as JSON."""
    sys.stdout.write(report.model_dump_json(by_alias=True, indent=1) + "\n")


@dataclass(frozen=True)
class Column:
    """A column: heading, and whether numbers stand to the right."""

    title: str
    right: bool = False
    no_wrap: bool = False


def table(title: str, columns: Sequence[Column], rows: Iterable[Sequence[str | Text]]) -> Table:
    """A plain table."""
    made = Table(title=title, title_justify="left", title_style="bold", box=_box(), pad_edge=False)
    for c in columns:
        made.add_column(c.title, justify="right" if c.right else "left", no_wrap=c.no_wrap)
    for row in rows:
        made.add_row(*row)
    return made


def _box():  # type: ignore[no-untyped-def]  # rich's box module is slow to import by name here
    from rich import box

    return box.SIMPLE_HEAD


def quantity(value: float | None, unit: str, system: str) -> str:
    """A demand or capacity in the units of the plan; empty when only the ratio has a meaning."""
    if value is None or unit not in KINDS:
        return ""
    return show(value, KINDS[unit], system)


def used(ratio: float | None) -> str:
    """Ratio as a whole percentage; never rounded down to 100 % when it is over."""
    if ratio is None:
        return ""
    percent = round(100 * ratio)
    if ratio > 1 and percent <= 100:
        percent = 101
    return f"{percent} %"


def marked(status: str) -> Text:
    """The status in words, with colour as a second signal only."""
    return Text(MARKS[status], style=STYLES.get(status, ""))


def show_problems(error: PlanError, as_json: bool) -> None:
    """Everything wrong with a plan, on standard error, or as JSON on standard output."""
    from plumbrail.jobs.output import problem_report

    if as_json:
        print_json(problem_report(error))
        return
    count = len(error.problems)
    err = Console(stderr=True, highlight=False)
    err.print(f"{error.source}: {count} thing{'s' if count > 1 else ''} to mend", style="bold",
              markup=False)  # fmt: skip
    for problem in error.problems:
        err.print(f"  {problem}", markup=False)
