"""Putting results on a terminal: plain tables that read without colour, or JSON."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel
from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from plumbrail.check import Check, Status, broken, percent, reason
from plumbrail.errors import PlanError
from plumbrail.units import show

KINDS = {"N": "force", "N*m": "moment", "Pa": "pressure", "m": "length"}
"""Kind of quantity for the SI unit of a demand."""
MARKS = {"pass": "pass", "fail": "FAIL", "not checked": "NOT CHECKED"}
MILLIONTH = 1e-6
STYLES = {"fail": "bold red", "not checked": "bold yellow"}


class _Output(Console):
    """Standard output that goes on when nobody reads it any more, so that the exit code is true."""

    def on_broken_pipe(self) -> None:
        """Stop printing; the command still ends with its own exit code."""
        self.quiet = True
        let_go()


def let_go() -> None:
    """Send what is left for standard output nowhere: its reader is gone."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def console() -> Console:
    """Standard output; 100 columns where the width is unknown."""
    out = _Output(highlight=False, soft_wrap=False)
    if not out.is_terminal and out.width == 80:
        out = _Output(highlight=False, width=100)
    return out


def path_text(path: Path) -> str:
    """A path as text that can be printed, even where its letters are not UTF-8."""
    return os.fsencode(path).decode("utf-8", "replace")


def print_json(report: BaseModel) -> None:
    """The report on standard output as JSON, with nothing but ASCII where it takes no more."""
    text = report.model_dump_json(by_alias=True, indent=1)
    if not (sys.stdout.encoding or "utf-8").lower().startswith("utf"):
        text = json.dumps(json.loads(text), indent=1)
    try:
        sys.stdout.write(text + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        let_go()


@dataclass(frozen=True)
class Column:
    """A column: heading, and whether numbers stand to the right."""

    title: str
    right: bool = False
    no_wrap: bool = False


def table(title: str, columns: Sequence[Column], rows: Iterable[Sequence[str | Text]]) -> Table:
    """A plain table."""
    made = Table(
        title=title, title_justify="left", title_style="bold", box=SIMPLE_HEAD, pad_edge=False
    )
    for c in columns:
        made.add_column(
            c.title, justify="right" if c.right else "left", no_wrap=c.no_wrap, overflow="fold"
        )
    for row in rows:
        made.add_row(*row)
    return made


def print_table(
    out: Console, title: str, columns: Sequence[Column], rows: Sequence[Sequence[str | Text]]
) -> None:
    """The table, or one paragraph a row where the terminal is too narrow for its columns."""
    if sum(_least(i, c, rows) for i, c in enumerate(columns)) <= out.width:
        out.print(table(title, columns, rows))
        return
    out.print(title, style="bold", markup=False)
    for row in rows:
        told = [
            f"{' '.join(c.title.split())} {cell}"
            for c, cell in zip(columns[1:], row[1:], strict=True)
            if str(cell)
        ]
        out.print(f"- {row[0]}: {'; '.join(told)}", markup=False)
    out.print()


_LONG_WORD = 20


def _least(i: int, column: Column, rows: Sequence[Sequence[str | Text]]) -> int:
    """Characters a column needs so that no word is broken, but for very long ones."""
    cells = [column.title, *(str(row[i]) for row in rows)]
    words = [w for c in cells for w in (c.split("\n") if column.no_wrap else c.split())]
    return 3 + min(max((len(w) for w in words), default=0), 99 if column.no_wrap else _LONG_WORD)


def split(
    title: str, columns: Sequence[Column], rows: Sequence[Sequence[str]], parts: Sequence[int],
    width: int,
) -> list[tuple[str, list[int]]]:  # fmt: skip
    """Titles and columns of the tables that a wide one is shown as.

    ``parts`` are the first columns of its natural parts; a part that is still too wide is split
    wherever it has to be. The first column leads every table.
    """
    sizes = [
        2 + max(len(w) for w in [*c.title.split("\n"), *(row[i] for row in rows)])
        for i, c in enumerate(columns)
    ]
    if sum(sizes) <= width:
        return [(title, list(range(len(columns))))]
    found: list[list[int]] = []
    for i in range(1, len(columns)):
        taken = sizes[0] + sum(sizes[k] for k in found[-1]) if found else 0
        if not found or i in parts[1:] or taken + sizes[i] > width:
            found.append([])
        found[-1].append(i)
    return [(f"{title} ({n + 1} of {len(found)})", [0, *part]) for n, part in enumerate(found)]


def quantity(value: float | None, unit: str, system: str) -> str:
    """A demand or capacity in the units of the plan; empty when only the ratio has a meaning."""
    if value is None or unit not in KINDS:
        return ""
    return show(value, KINDS[unit], system)


def used(ratio: float | None) -> str:
    """Ratio as a whole percentage; never rounded down to 100 % when it is over."""
    if ratio is None:
        return ""
    whole = percent(ratio)
    return f"{whole} %" if whole < 1000 else "over 10 times"


def share_used(ratio: float, rule: bool = False) -> str:
    """The same as part of a sentence; ``rule``: of sizes and places, which bear nothing."""
    said = used(ratio)
    if said.endswith("%"):
        return f"{said} used"
    return f"{said} what the rule allows" if rule else f"{said} what it can bear"


def governs(checks: Sequence[Check]) -> str:
    """What a verdict names, as a sentence; empty where nothing has a ratio and nothing fails.

    A rule that fails is said as what it is, with what is the matter.
    """
    top = broken(checks)
    if top is None:
        return ""
    if top.status is Status.FAIL and (top.rule or top.ratio is None):
        why = f": {reason(top.note)}" if top.note else ""
        return f"{top.subject}: {top.title} FAILS{why}."
    return f"{top.subject}: {top.title} governs, {share_used(top.ratio or 0.0)}."


def balance(residual: float) -> str:
    """How well the forces of the frame analysis balance, as a share of the load."""
    return "a millionth" if residual <= MILLIONTH else f"{residual:.1g}"


def marked(status: str) -> Text:
    """The status in words, with colour as a second signal only."""
    return Text(MARKS[status], style=STYLES.get(status, ""))


@contextmanager
def working(words: str) -> Iterator[None]:
    """A sign of life on a terminal while something takes long; silent elsewhere."""
    err = Console(stderr=True)
    if not err.is_terminal:
        yield
        return
    with err.status(words):
        yield


@contextmanager
def solver_hushed() -> Iterator[None]:
    """Keeps stray lines of the solver's own (compiled) code out of standard output."""
    sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:  # there is no standard output
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def print_written(out: Console, written: Sequence[Path]) -> None:
    """The files that were written."""
    if written:
        out.print("Wrote:", style="bold")
        for path in written:
            out.print(f"  {path}", markup=False, soft_wrap=True)


def show_problems(error: PlanError, as_json: bool) -> None:
    """Everything wrong with a plan, on standard error, or as JSON on standard output."""
    from plumbrail.jobs.output import problem_report

    if as_json:
        print_json(problem_report(error))
        return
    count = len(error.problems)
    # Lines are left whole: a path or a value to copy must not be broken.
    err = Console(stderr=True, highlight=False, soft_wrap=True)
    if error.source:
        err.print(f"{error.source}: {count} thing{'s' if count > 1 else ''} to mend", style="bold",
                  markup=False)  # fmt: skip
    for problem in error.problems:
        err.print(f"  {problem}", markup=False)
