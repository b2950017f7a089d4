"""``plumbrail true``."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from math import degrees
from pathlib import Path
from shlex import quote

import numpy as np
from rich.console import Console
from rich.text import Text

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
from plumbrail.jobs.true_output import gate_record, true_report
from plumbrail.jobs.truing import (
    Truing,
    as_built_plan,
    field_papers,
    record_gate,
    truing,
    truing_sheets,
)
from plumbrail.plan.reader import LoadedPlan, load_plan
from plumbrail.truing.families import label
from plumbrail.truing.grouping import grouped
from plumbrail.truing.parts import Built, Outcome, Ready, Verdict
from plumbrail.units import show

FAMILIES = {
    "straight": "Straight", "level": "Level", "parallel": "Parallel", "tilt": "Tilt",
    "plane": "One plane", "plumb": "Plumb", "spacing": "Spacing", "square": "Square",
    "height": "Height",
}  # fmt: skip
MARKS = {
    Verdict.INSIDE: "inside", Verdict.OUTSIDE: "OUTSIDE", Verdict.UNSURE: "TOO UNCERTAIN",
    Verdict.UNMEASURED: "NOT MEASURED", Verdict.UNSTATED: "NOT CHECKED",
}  # fmt: skip
URGENCY = (Verdict.OUTSIDE, Verdict.UNSURE, Verdict.UNMEASURED, Verdict.UNSTATED, Verdict.INSIDE)


def run(given: argparse.Namespace) -> int:
    """True up a frame, or write the blank field sheet; 0 only when it is ready to pour."""
    if Path(given.plan).suffix.lower() == ".csv":
        raise PlumbrailError(f"{given.plan} looks like readings; name the plan first and the "
                             "readings after it: plumbrail true PLAN READINGS")  # fmt: skip
    if given.sheet:
        return _field_sheet(given)
    if given.readings is None:
        raise PlumbrailError(
            "the readings are missing: name the notebook, for example "
            f"plumbrail true {quote(given.plan)} readings.csv; or write a blank field sheet with "
            f"plumbrail true {quote(given.plan)} --sheet"
        )
    loaded = load_plan(given.plan)
    with solver_hushed():
        made = truing(loaded, given.readings)
    if not given.json:  # first, since it says why an as-built plan is refused
        show_truing(console(), made, given.all)
    written = _papers(given, made, loaded)
    if given.json:
        print_json(true_report(made))
    else:
        print_written(console(), written)
    return 0 if made.trued.gate.ready is Ready.READY else 1


def _papers(given: argparse.Namespace, made: Truing, loaded: LoadedPlan) -> list[Path]:
    """What was asked for in files; when the as-built plan is refused nothing is written."""
    written: list[Path] = []
    if given.as_built is not None:
        written.append(as_built_plan(made, loaded, given.as_built))
    if given.out is not None:
        record = gate_record(made).model_dump_json(by_alias=True)
        sheets = truing_sheets(made, language=_language(given))
        written += [*write_sheets([sheets], given.out), record_gate(record, given.out)]
    return written


def _field_sheet(given: argparse.Namespace) -> int:
    if given.json or given.readings is not None or given.as_built is not None:
        raise PlumbrailError("--sheet writes a blank field sheet and takes no readings, no --json "
                             "and no --as-built; leave those out")  # fmt: skip
    written = field_papers(load_plan(given.plan), given.out or ".", _language(given))
    out = console()
    print_written(out, written)
    out.print("Print the sheets, or fill the value column of the .csv in any spreadsheet. Then: "
              f"plumbrail true {quote(given.plan)} {quote(str(written[-1]))}",
              markup=False, soft_wrap=True)  # fmt: skip
    return 0


def _language(given: argparse.Namespace) -> str:
    """Of the papers."""
    return getattr(given, "language", "en")


def verdict(made: Truing) -> str:
    """One line: may they pour."""
    words = made.trued.gate.ready.value.upper()
    return f"{made.plan.job.name}: {words.removesuffix(' TO POUR')} TO POUR" if (
        made.trued.gate.ready is not Ready.TOO_FEW
    ) else f"{made.plan.job.name}: {words}, not ready to pour"  # fmt: skip


def show_truing(out: Console, made: Truing, everything: bool = False) -> None:
    """Verdict, reasons, moves, doubtful readings, values against tolerances, hold points."""
    trued = made.trued
    out.print(verdict(made), style="bold", markup=False)
    out.print(_used(made), markup=False)
    _list(out, "Take these readings once more and write them below; strike the old one out only if "
          "the new one disagrees:",
          [s.words for s in trued.survey.suspicions])  # fmt: skip
    _list(out, "Rows to put right:", [str(p) for p in trued.problems])
    _list(out, _settles(made), grouped(trued.missing))
    if trued.missing and not trued.survey.readings:
        out.print("  A blank field sheet has more, so that they check each other: plumbrail true "
                  f"{quote(made.run.source)} --sheet", markup=False, soft_wrap=True)  # fmt: skip
    _moves(out, made)
    _list(out, "Readings that would make the uncertain values sure or check what nothing checks"
          + (":" if trued.sharper_enough else ", as far as these instruments can:"),
          grouped(trued.sharper))  # fmt: skip
    _list(out, "Why:", trued.gate.reasons)
    out.print()
    _values(out, made, everything)
    if everything:
        _readings(out, made)
    _list(out, "Notes:", trued.survey.notes)
    _list(out, "Before any concrete, a person looks at each of these:",
          [f"[ ] {h}" for h in trued.gate.hold_points])  # fmt: skip
    _list(out, "Take care:", trued.gate.cautions)
    out.print()
    out.print(CAUTION)
    out.print(f"{made.run.short}, readings {made.notebook.sha256[:8]}", style="dim", markup=False)


def _used(made: Truing) -> str:
    survey, book = made.trued.survey, made.notebook
    aside, bad = int(survey.suspect.sum()), len(made.trued.problems)
    used = len(survey.readings) - aside
    parts = [f"{used} {'reading' if used == 1 else 'readings'} used"]
    for count, words in (
        (aside, "set aside until somebody looks again"), (len(book.struck), "struck by you"),
        (book.blank, "not filled in"), (bad, f"{'row' if bad == 1 else 'rows'} to put right"),
    ):  # fmt: skip
        if count:
            parts.append(f"{count} {words}")
    sure = "" if survey.enlarged <= 1 else (
        f" The readings agree less well than their instruments promise; all uncertainties were "
        f"taken {survey.enlarged:.1f} times as large."
    )  # fmt: skip
    return f"{', '.join(parts)}; {survey.freedom} more than the geometry needs.{sure}"


def _list(out: Console, title: str, lines: Iterable[str]) -> None:
    told = list(lines)
    if told:
        out.print(f"\n{title}", style="bold", markup=False)
        for line in told:
            out.print(f"  - {line}", markup=False)


def _moves(out: Console, made: Truing) -> None:
    mending = made.trued.mending
    first = made.trued.survey.suspicions or made.trued.problems
    title = {
        Outcome.NONE_NEEDED: "",
        Outcome.MOVES: "Once the readings above are put right, do this, in this order:"
        if first
        else "Do this, in this order:",
        Outcome.COARSE: "On paper these moves would do it, but the readings are too uncertain to "
        "promise it. Measure more closely first:",
        Outcome.IMPOSSIBLE: "No move of what is still free can do it. The smallest change:",
    }[mending.outcome]
    if not mending.moves:
        return
    out.print(f"\n{title}", style="bold", markup=False)
    for i, move in enumerate(mending.moves):
        fixed = "  (thought to be fixed)" if move.fixed else ""
        out.print(f"  {i + 1}. {move.words}{fixed}", markup=False)
    sure = "the fewest moves that can do it, proven" if mending.proven else (
        f"not proven the fewest; at most {100 * mending.gap:.0f} % could be saved"
    )  # fmt: skip
    sizes = "; smallest at that number" if mending.sizes_proven else ""
    out.print(f"  ({sure}{sizes})", markup=False)
    note = (
        'note each as a "moved" row in the notebook, then measure again; these are enough for '
        "the gate to decide, and every further one makes its answer surer:"
    )
    if mending.outcome is Outcome.IMPOSSIBLE:
        note = f"If you change it, say in a state row how the post stands then, {note}"
    _list(out, note[0].upper() + note[1:], mending.remeasure)


def _settles(made: Truing) -> str:
    fewest = "These are the fewest that settle it" if made.trued.missing_proven else (
        "These settle it; perhaps fewer would"
    )  # fmt: skip
    return f"Not measured yet. {fewest}:"


def _values(out: Console, made: Truing, everything: bool) -> None:
    built, units = made.trued.built, made.plan.job.units
    rows: list[list[str | Text]] = []
    for family, title in FAMILIES.items():
        here = [i for i, f in enumerate(built.family) if f == family]
        here.sort(key=lambda i: (URGENCY.index(built.verdict[i]), -closeness(built, i)))
        for i in here if everything else here[:1]:
            count = sum(built.verdict[k] is built.verdict[i] for k in here)
            more = "" if everything or len(here) == 1 else f" ({count} of {len(here)})"
            rows.append([
                title, built.subject[i], built.what[i], amount(built, i, built.value[i], units),
                plus_minus(built, i, units), allowed(built, i, units),
                f"{MARKS[built.verdict[i]]}{more}",
            ])  # fmt: skip
    columns = [
        Column("As built"), Column("Where"), Column("Measured as"), Column("Is"),
        Column("±", True, True), Column("Allowed", True, True), Column("Result"),
    ]  # fmt: skip
    which = "" if everything else ", the worst of each kind"
    print_table(out, f"As built against plan{which}", columns, rows)
    if not everything:
        out.print("--all shows every place and every reading.")


def closeness(built: Built, i: int) -> float:
    """How far a value is from the middle of its limits, 1 at a limit."""
    half = 0.5 * (built.high[i] - built.low[i])
    middle = 0.5 * (built.high[i] + built.low[i]) if np.isfinite(half) else 0.0
    return float(abs(built.value[i] - middle) / half) if np.isfinite(half) else 0.0


def amount(built: Built, i: int, value: float, units: str) -> str:
    """A value with its direction in words, where it was measured."""
    if built.verdict[i] is Verdict.UNMEASURED:
        return "?"
    if built.family[i] == "tilt":
        return _said(built, i, value, units)
    size = _said(built, i, abs(value), units)
    if size == _said(built, i, 0.0, units):
        return size
    family = label(built.ids[i]).family
    return f"{size} {family.more if value > 0 else family.less}"


def plus_minus(built: Built, i: int, units: str) -> str:
    """Half the interval of the stated confidence."""
    if not np.isfinite(built.sd[i]):
        return "?"
    half = built.factor * built.sd[i]
    least = np.radians(0.05) if built.angle[i] else 0.0254 / 32 if units == "us" else 0.0005
    if half < least:
        return f"< {_said(built, i, 2 * least, units)}"
    return _said(built, i, half, units)


def allowed(built: Built, i: int, units: str) -> str:
    """The limits of a value."""
    low, high = built.low[i], built.high[i]
    if not np.isfinite(high):
        return "not stated"
    if np.isclose(low, -high):
        return f"± {_said(built, i, high, units)}"
    return f"{_said(built, i, low, units)} to {_said(built, i, high, units)}"


def _said(built: Built, i: int, value: float, units: str) -> str:
    if built.angle[i]:
        return f"{degrees(value) + 0.0:.1f}°"
    return show(value, "length", units, 16) if units == "us" else f"{1000 * value + 0.0:.0f} mm"


def _readings(out: Console, made: Truing) -> None:
    s, units = made.trued.survey, made.plan.job.units
    rows: list[list[str | Text]] = []
    for i, r in enumerate(s.readings):
        angle = r.kind in ("plumb", "tilt")
        where = " – ".join(p for p in (r.start, r.end) if p) + (f" at {r.at}" if r.at else "")
        off = (
            f"{round(degrees(s.residual[i]), 2) + 0.0:+.2f}°"
            if angle
            else _fine(s.residual[i], units)
        )
        finds = "nothing checks it" if not np.isfinite(s.mdb[i]) else (
            f"{degrees(s.mdb[i]):.2f}°" if angle else _fine(s.mdb[i], units).lstrip("+")
        )  # fmt: skip
        rows.append([
            str(r.line), str(r.kind), where, r.text, off, f"{s.redundancy[i]:.2f}", finds,
            "set aside" if s.suspect[i] else "used",
        ])  # fmt: skip
    columns = [Column("Line", True), Column("Kind"), Column("Where"), Column("Read"),
               Column("Correction", True, True), Column("Checked by others", True),
               Column("Blunder it would show", True, True), Column("", no_wrap=True)]  # fmt: skip
    print_table(out, "Readings", columns, rows)


def _fine(value: float, units: str) -> str:
    if units == "us":
        return f"{round(value / 0.0254, 2) + 0.0:+.2f} in"
    return f"{round(1000 * value, 1) + 0.0:+.1f} mm"
