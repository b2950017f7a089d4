"""``plumbrail yield``."""

from __future__ import annotations

import argparse
from pathlib import Path

from rich.console import Console
from rich.text import Text

from plumbrail.cli.explain import show_steps
from plumbrail.cli.show import (
    STYLES,
    Column,
    console,
    print_json,
    print_table,
    print_written,
    working,
)
from plumbrail.jobs.drawing import write_sheets
from plumbrail.jobs.output import CAUTION
from plumbrail.jobs.yield_explaining import explain_yield
from plumbrail.jobs.yield_output import hours_csv, yield_explain_report, yield_report
from plumbrail.jobs.yielding import YieldJob, yield_drawings, yielding
from plumbrail.papers import yield_words as words
from plumbrail.papers.yield_facts import Facts, status
from plumbrail.plan.reader import load_plan
from plumbrail.weather.year import DAYS, Origin

_FEW = 3


def run(given: argparse.Namespace) -> int:
    """The yield; 0 when nothing is unchecked and the load is met, else 1."""
    loaded = load_plan(given.plan)
    with working("Working out the year, hour by hour"):
        made = yielding(loaded, blame=given.explain is None)
    if given.explain is not None:
        _explain(made, given.explain, given.json)
        return 0
    sheets = [] if given.out is None else yield_drawings(made)
    written = [] if given.out is None else write_sheets(sheets, given.out)
    if given.hours is not None:
        path = Path(given.hours)
        path.write_text(hours_csv(made), encoding="utf-8")
        written.append(path)
    if given.json:
        print_json(yield_report(made, given.all))
    else:
        out = console()
        show_yield(out, made, given.all)
        print_written(out, written)
    return 0 if made.complete else 1


def show_yield(out: Console, made: YieldJob, everything: bool) -> None:
    """Three numbers, then where they come from."""
    f = made.facts
    out.print(made.plan.job.name, style="bold", markup=False)
    for line in headline(made):
        out.print(f"  {line}", style="bold", markup=False)
    out.print()
    out.print(f"{words.weather_words(made.year)}. {words.error_words(made.year)}\n", markup=False,
              style="bold yellow" if made.year.origin is Origin.CLEAR else "")  # fmt: skip
    for line in words.weather_warnings(made.year):
        out.print(f"{line}\n", style="bold yellow", markup=False)
    _months(out, f)
    _chain(out, f)
    _shade(out, f, everything)
    out.print("The angle", style="bold")
    for line in words.tilt_words(f):
        out.print(f"  {line}", markup=False)
    out.print()
    _strings(out, f, everything)
    _off_grid(out, f)
    _list(out, "Not checked, and counted as nothing:", f.unchecked)
    loud = words.weather_warnings(f.year)
    own = [*f.notes, *(n for n in f.found.notes if n not in f.year.notes)]
    weather = [f"weather: {n}" for n in f.year.notes if n not in loud]
    _list(out, "Notes:", [*own, *weather])
    out.print(CAUTION, markup=False)
    out.print(made.run.short, style="dim", markup=False)


def headline(made: YieldJob) -> list[str]:
    """Energy of the year, the worst month, what shade takes."""
    return list(words.headline(made.facts, made.worst.month, made.worst.daily))


def _list(out: Console, title: str, lines: list[str] | tuple[str, ...]) -> None:
    if lines:
        out.print(title, style="bold", markup=False)
        for line in lines:
            out.print(f"  - {line}", markup=False)
        out.print()


def _number(energy: float) -> str:
    return words.kwh(energy).removesuffix(" kWh")


def _months(out: Console, f: Facts) -> None:
    light, lost, months = f.light_months, f.shade.cost, f.months
    known = f.shading is not None
    rows: list[list[str]] = [
        [words.MONTHS[k], f"{light[k] / words.KWH:.0f}",
         _number(lost[k]) if known else "not checked", _number(months[k]),
         f"{months[k] / words.KWH / DAYS[k]:.1f}"]
        for k in range(12)
    ]  # fmt: skip
    rows.append(["Year", f"{light.sum() / words.KWH:.0f}",
                 _number(lost.sum()) if known else "not checked", _number(f.energy),
                 f"{f.energy / words.KWH / 365:.1f}"])  # fmt: skip
    heads = ("Month", "Light on the open plane, kWh/m²", "Lost to shade, kWh", "Delivered, kWh",
             "a day, kWh")  # fmt: skip
    print_table(out, "By month", [Column(h, i > 0) for i, h in enumerate(heads)], rows)


def _chain(out: Console, f: Facts) -> None:
    left = f.start
    rated = f"{f.modules} modules, {f.found.rated / 1000:.2f} kW"
    rows: list[list[str | Text]] = [[f"Light on the open plane at rated efficiency, {rated}", "",
                                     "", _number(left), ""]]  # fmt: skip
    for loss in f.found.losses:
        left -= loss.energy
        said = status(loss)
        mark = "" if said == "worked out" else said
        style = STYLES["not checked"] if said == "not checked" else ""
        name = loss.name[0].upper() + loss.name[1:]
        rows.append([name, words.percent(loss.share, 1), _number(loss.energy), _number(left),
                     Text(mark, style=style)])  # fmt: skip
    rows.append(["Delivered", "", "", _number(f.energy), ""])
    columns = [Column("What takes it"), Column("Share", True, True), Column("Lost, kWh", True),
               Column("Left, kWh", True), Column("", no_wrap=True)]  # fmt: skip
    print_table(out, "From light to delivered energy, by the year", columns, rows)


def _shade(out: Console, f: Facts, everything: bool) -> None:
    if f.shading is None:
        return
    out.print("What shades", style="bold")
    for c in f.found.culprits:
        out.print(f"  {words.culprit_words(c)}.", markup=False)
    if not f.found.culprits:
        out.print("  Nothing is named in site.shade.", markup=False)
    for line in filter(None, [words.shade_rest(f)]):
        out.print(f"  {line}", markup=False)
    ids, lost = f.model.modules.ids, f.shade.module
    order = sorted(range(len(ids)), key=lambda i: -lost[i])
    few = order if everything else order[:_FEW]
    told = ", ".join(f"{ids[i]} {words.lost_share(float(lost[i]))}" for i in few)
    which = "Every module loses" if everything else "Most shaded modules lose"
    out.print(f"  {which} of its light: {told}." if everything
              else f"  {which} of their light: {told}; the least shaded {ids[order[-1]]} "
              f"{words.lost_share(float(lost[order[-1]]))}.\n", markup=False)  # fmt: skip


def _strings(out: Console, f: Facts, everything: bool) -> None:
    rows = [
        [s.id, str(len(s.modules)), _number(s.energy), words.percent(s.against_best, 1),
         words.lost_share(s.shade), *([" ".join(s.modules)] if everything else [])]
        for s in f.strings
    ]  # fmt: skip
    heads = ["String", "Modules", "Direct current, kWh", "a module, against the best string",
             "Light lost to shade", *(["Which"] if everything else [])]  # fmt: skip
    columns = [Column(h, 0 < i < 5) for i, h in enumerate(heads)]
    print_table(out, "Strings", columns, rows)


def _off_grid(out: Console, f: Facts) -> None:
    if f.island_missing:
        out.print("Off the grid: NOT CHECKED", style="bold yellow")
        out.print(f"  {f.island_missing}\n", markup=False)
    if f.island is None:
        return
    out.print("Off the grid", style="bold")
    told = (*words.island_lines(f.island), *words.sizing_lines(f.island),
            words.battery_weather(f.year))  # fmt: skip
    for i, line in enumerate(filter(None, told)):
        bad = i == 0 and not f.island.reliable
        out.print(f"  {line}", markup=False, style="bold red" if bad else "")
    out.print()


def _explain(made: YieldJob, id: str, as_json: bool) -> None:
    found = explain_yield(made, id)
    if as_json:
        print_json(yield_explain_report(made, found))
        return
    out = console()
    moment = f", {found.moment}" if found.moment else ""
    out.print(f"{found.id}: {found.title}{moment}", style="bold", markup=False)
    for note in found.notes:
        out.print(note, markup=False)
    show_steps(out, found.record, made.plan.job.units)
    out.print(f"\n{CAUTION}", markup=False)
