"""``plumbrail cut``."""

from __future__ import annotations

import argparse
import re

from rich.console import Console

from plumbrail.cli.show import Column, console, print_json, print_table, print_written, working
from plumbrail.jobs.buying import Shopping, shopping
from plumbrail.jobs.cut_output import cut_report
from plumbrail.jobs.cutting import Cutting, SectionCut, with_kerf_report
from plumbrail.jobs.designing import Analysis, analyse, saw
from plumbrail.jobs.drawing import cut_sheets, write_sheets
from plumbrail.jobs.output import CAUTION
from plumbrail.plan.reader import load_plan
from plumbrail.stock.concrete import STAGES
from plumbrail.stock.records import CutPlan, Stick
from plumbrail.units import show, to_si

CAUTIONS = (
    "Sawing and drilling galvanized pipe throws hot, zinc-laden chips: goggles, gloves, no fumes "
    "breathed; zinc-rich paint on every cut end. Long sticks are lifted by two.",
    "Wet concrete burns skin and eyes: gloves, boots, goggles, wash at once.",
)


def run(given: argparse.Namespace) -> int:
    """Cut lists and buying list; 0 when everything can be cut, else 1."""
    made = analyse(load_plan(given.plan))
    with working("Planning the saw cuts; long rows take a while"):
        cuts = with_kerf_report(made.plan, made.planned, saw(made), made.zones)
    shop = shopping(made.plan, made.planned, cuts)
    sheets = [] if given.out is None else cut_sheets(made.run, made.plan, cuts)
    written = write_sheets(sheets, given.out) if given.out is not None else []
    if given.json:
        print_json(cut_report(made, cuts, shop))
    else:
        out = console()
        show_cutting(out, made, cuts, shop)
        print_written(out, written)
    return 0 if cuts.complete else 1


def show_cutting(out: Console, made: Analysis, cuts: Cutting, shop: Shopping) -> None:
    """What to buy, the sticks, splices, concrete."""
    units = made.plan.job.units
    out.print(f"{made.plan.job.name}: {shop.cost:,.2f} for pipe, rail and bagged concrete"
              f"{missing(cuts)}", style="bold", markup=False)  # fmt: skip
    _show_buying(out, shop, units)
    for section in cuts.sections:
        _show_section(out, section, units)
    _show_splices(out, cuts, units)
    _show_concrete(out, shop, units)
    for caution in (*CAUTIONS, CAUTION):
        out.print(caution, markup=False)
    out.print(made.run.short, style="dim", markup=False)


def missing(cuts: Cutting) -> str:
    """What the sum leaves out because it cannot be cut; empty when nothing."""
    left = ", ".join(f"{s.section} ({s.what})" for s in cuts.sections if s.plan is None)
    return f"; NOT COMPLETE, without {left}: it cannot be cut" if left else ""


def _show_buying(out: Console, shop: Shopping, units: str) -> None:
    rows = [
        [line.section, show(line.length, "length", units), str(line.count), f"{line.price:,.2f}",
         f"{line.cost:,.2f}", show(line.mass_each, "mass", units), show(line.mass, "mass", units)]
        for line in shop.sticks.lines
    ]  # fmt: skip
    rows.append([f"Concrete, {shop.bags.size.name} bags", "", str(shop.bags.total),
                 f"{shop.bag_price:,.2f}", f"{shop.bag_cost:,.2f}",
                 show(shop.bags.size.mass, "mass", units),
                 show(shop.bags.total * shop.bags.size.mass, "mass", units)])  # fmt: skip
    heads = ("Buy", "Length", "Count", "Each", "Together", "Weight each", "Weight")
    print_table(out, "Buying list", [Column(h, i > 0) for i, h in enumerate(heads)], rows)


def _show_section(out: Console, s: SectionCut, units: str) -> None:
    if s.plan is None:
        out.print(f"{s.section}, {s.what}: CANNOT BE CUT: {s.problem}\n", style="bold red",
                  markup=False)  # fmt: skip
        return
    columns = [Column("Sticks", True, no_wrap=True), Column("Length", True, no_wrap=True),
               Column("Cut, in this order"), Column("Left", True, no_wrap=True)]  # fmt: skip
    print_table(out, f"{s.section}, {s.what}", columns, _stick_rows(s.plan, units))
    for note in (*_proof(s.plan), *s.kerf):
        out.print(f"  - {note}", markup=False)
    out.print()


def _stick_rows(plan: CutPlan, units: str) -> list[list[str]]:
    """One row for sticks that are cut alike."""
    alike: dict[tuple[object, ...], list[Stick]] = {}
    for stick in plan.sticks:
        key = (stick.length, stick.own, tuple(round(c.length, 6) for c in stick.cuts))
        alike.setdefault(key, []).append(stick)
    rows = []
    for found in alike.values():
        sticks = sorted(found, key=lambda k: [_by_number(c.label) for c in k.cuts])
        first = sticks[0]
        own = " (own)" if first.own else ""
        parts = [
            f"{', '.join(k.cuts[i].label for k in sticks)} {show(c.length, 'length', units)}"
            for i, c in enumerate(first.cuts)
        ]
        rows.append([str(len(sticks)), show(first.length, "length", units) + own,
                     "; ".join(parts), show(first.offcut, "length", units)])  # fmt: skip
    return rows


def _by_number(label: str) -> list[tuple[str, int]]:
    """R2 before R10."""
    return [(word, int(number or 0)) for word, number in re.findall(r"(\D+)(\d*)", label)]


def _proof(plan: CutPlan) -> tuple[str, ...]:
    if all(level.proven for level in plan.levels):
        return ("proven: no cheaper cut list, none with less waste at this price, none with "
                "fewer splices",)  # fmt: skip
    return plan.notes


def _show_splices(out: Console, cuts: Cutting, units: str) -> None:
    for name, positions in zip(("Front beam", "Back beam"), cuts.splices, strict=True):
        at = ", ".join(show(x, "length", units) for x in positions)
        who = "as decided in the plan" if cuts.decided else "where it bends little"
        word = "splices" if len(positions) > 1 else "splice"
        said = f"{word} at {at} from its left end, {who}" if at else "no splice"
        out.print(f"{name}: {said}.", markup=False)
    out.print()


def _show_concrete(out: Console, shop: Shopping, units: str) -> None:
    c, bags = shop.concrete, shop.bags.per_pier
    first, rest = (STAGES.index(s) for s in ("holding", "rest"))
    rows = [
        [name, show(float(c.volume[first, i]), "volume", units), str(bags[first, i]),
         show(float(c.volume[rest, i]), "volume", units), str(bags[rest, i])]
        for i, name in enumerate(c.ids)
    ]  # fmt: skip
    heads = ("Pier", "Holding set", "Bags", "The rest", "Bags")
    print_table(out, "Concrete", [Column(h, i > 0) for i, h in enumerate(heads)], rows)
    others = ", ".join(
        f"{b.total} of {b.size.name}" for b in c.bags if b.size.name != shop.bags.size.name
    )
    out.print(f"In bags: {shop.bags.total} of {shop.bags.size.name}; or {others}.", markup=False)
    out.print(f"All piers: {show(c.total, 'volume', units)}. By ready-mix: "
              f"{_yards(c.ready_mix[first], units)} for the holding set, "
              f"{_yards(c.ready_mix[rest], units)} for the rest (rounded up to quarters of a "
              "yard).\n", markup=False)  # fmt: skip


def _yards(order: float, units: str) -> str:
    """Cubic yards as ready-mix is ordered, with cubic metres behind them on a metric plan."""
    metric = f" ({show(to_si(order, 'yd3'), 'volume', 'metric')})" if units == "metric" else ""
    return f"{order:g} yd³{metric}"
