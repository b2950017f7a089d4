"""Tables of the wiring, for its sheet and for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import isfinite

from plumbrail.papers.lettering import width
from plumbrail.papers.tables import Table
from plumbrail.papers.wire_facts import (
    POLES,
    UNKNOWN,
    Task,
    amps,
    conduit_words,
    contents_words,
    cut_lengths,
    cut_words,
    percent,
    size_words,
    stretches,
    volts,
)
from plumbrail.papers.wording import JobInfo
from plumbrail.wiring.parts import Conduit, Item
from plumbrail.wiring.strings import members

_ROOM = 130.0
"""Width of the column that names the modules of a string [mm]."""


def circuits(task: Task) -> Table:
    """Currents, conductor and device of every kind of circuit."""
    said = task.job.length
    rows = tuple(
        (
            "string" if c.id == "S1" else "run", c.what, str(c.count), said(c.length),
            amps(c.i_sc), amps(c.i_max), amps(c.i_op), volts(c.volts), size_words(c),
            amps(c.ampacity), c.device.partition(":")[0], c.grounding, volts(c.drop),
        )
        for c in task.wired.circuits
    )  # fmt: skip
    heads = (
        "Circuit", "From and to", "Alike", "Longest,\none way", "Short\ncircuit",
        "Largest\nby code", "Working\ncurrent", "Working\nvoltage", "Wire",
        "Carries\nin its place", "Device", "Equipment\nground", "Volts\nlost",
    )  # fmt: skip
    return Table("Circuits", heads, rows,
                 (1, 8))  # fmt: skip


def strings(task: Task) -> Table:
    """Modules of every string from its positive end, and where it goes."""
    s, many = task.wired.strings, len(task.wired.chosen.per_input) > 1
    rows: list[tuple[str, ...]] = []
    for k, name in enumerate(s.ids):
        own = members(s, k).tolist()
        goes = [f"C{int(s.combiner[k]) + 1}"] + [f"input {int(s.input[k]) + 1}"] * many
        ways = _broken(stretches(task.model, own))
        rows.append((name, str(len(own)), ways[0], *goes))
        rows += [("", "", way, *[""] * len(goes)) for way in ways[1:]]
    heads = ("String", "Modules", "In this order, from + to −", "Box", *["Equipment"] * many)
    return Table("Strings", heads, tuple(rows))


def _broken(parts: tuple[str, ...]) -> list[str]:
    """Stretches of modules in lines that fit their column."""
    lines: list[str] = []
    for part in parts:
        joined = f"{lines[-1]}, {part}" if lines else part
        if lines and width(joined, 2.5) <= _ROOM:
            lines[-1] = joined
        else:
            lines.append(part)
    return lines


def lengths(task: Task) -> Table:
    """What to cut for every string and pole."""
    rows = tuple(
        (
            f"{c.string} {POLES.get(c.wire, c.wire)}", c.start, c.end, task.job.length(c.laid),
            cut_words(task.job, c.cut),
        )
        for c in cut_lengths(task.plan, task.model, task.wired)
    )  # fmt: skip
    slack = 100.0 * task.section.conductors.slack
    heads = ("Wire", "From\nmodule", "To", "Way", f"Cut, with\n{slack:.0f} % slack")
    return Table("Wires to cut", heads, rows)


def conduits(task: Task) -> Table:
    """Raceways with what lies in them."""
    rows = tuple(
        (
            c.id.removesuffix(".conduit"), c.what, conduit_words(task.wired, c),
            task.job.length(c.length), contents_words(task, c),
            percent(c.fill) if c.trade else UNKNOWN, cover_words(task.job, c),
        )
        for c in task.wired.conduits
    )  # fmt: skip
    heads = ("Conduit", "Where", "Kind and size", "Length", "Wires in it", "Filled", "Least\ncover")
    return Table("Conduits", heads, rows, (1, 4))


def cover_words(job: JobInfo, c: Conduit) -> str:
    """Least cover of a raceway in the ground."""
    if c.cover is not None:
        return job.length(c.cover) if isfinite(c.cover) else UNKNOWN
    return UNKNOWN if "in the ground" in c.what else "–"


def buying(task: Task) -> Table:
    """What to buy; signs are listed by themselves."""
    signs = "placard: "
    rows = [
        (amount(i.amount, i.unit, task.job.units), i.what.replace("mm2", "mm²"),
         "–" if i.price is None else f"{i.price:,.2f}")
        for i in together(task.wired.buying) if not i.what.startswith(signs)
    ]  # fmt: skip
    count = sum(i.what.startswith(signs) for i in task.wired.buying)
    if count:
        rows.append((str(count), "signs, each with its own words and values", "–"))
    return Table("To buy", ("How much", "What", "Price"), tuple(rows))


def together(items: Sequence[Item]) -> list[Item]:
    """Lines of the same thing as one."""
    found: dict[str, Item] = {}
    for i in items:
        old = found.get(i.what)
        if old is None:
            found[i.what] = i
            continue
        price = None if old.price is None or i.price is None else old.price + i.price
        found[i.what] = replace(old, amount=old.amount + i.amount, price=price)
    return list(found.values())


def amount(value: float, unit: str, system: str) -> str:
    """Pieces, or a length in whole feet or in metres, rounded up: nobody buys sixteenths."""
    if unit != "m":
        return f"{value:.0f}"
    if system == "us":
        return f"{-(-value // 0.3048):.0f}\u00a0ft"
    return f"{-(-value // 1.0):.0f}\u00a0m"
