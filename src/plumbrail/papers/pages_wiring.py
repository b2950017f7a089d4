"""Torque table and signs of the wiring."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.papers.pdf_blocks import Block, Bullets, Heading, Paragraph, Side, Table
from plumbrail.papers.words import figures, say, tell
from plumbrail.wiring.parts import Placard


@dataclass(frozen=True)
class Torque:
    """One figure of the code's table."""

    where: str
    """Conductor and kind of connector, or width of the socket."""
    value: float | None
    """[N*m]; None: the table has none."""
    sure: str


@dataclass(frozen=True)
class TorqueFacts:
    """What is known of torques."""

    terminals: tuple[Torque, ...]
    sockets: tuple[Torque, ...]
    source: str
    missing: str
    """Why there is no table; empty where there is one."""
    fittings: tuple[str, ...]
    """What is bolted and has no figure in the plan."""


_LBF_IN = 0.1129848290276167


def torque_page(t: TorqueFacts) -> list[Block]:
    """Terminals by the code's table, fittings to be asked for."""
    found: list[Block] = [
        Heading(say("Torque")),
        Paragraph(say("A torque marked on the equipment or printed by its maker goes before "
                      "everything here. Use a torque tool; mark each screw that is done."), True),
        _fittings(t),
    ]  # fmt: skip
    if t.missing:
        found.append(Paragraph(f"{say('Terminals')}: {say('NOT CHECKED')}. {tell(t.missing)}"))
    found += [_table(title, rows) for title, rows in (
        (say("Screws of terminals"), t.terminals),
        (say("Socket-head screws, by width across flats"), t.sockets),
    ) if rows]  # fmt: skip
    if t.source:
        found.append(Paragraph(say("Terminals and sockets: by {source}, for screws without a "
                                   "figure of their own.", source=t.source)))  # fmt: skip
    return found


def _table(title: str, rows: Sequence[Torque]) -> Table:
    head = (say("Screw"), "lbf·in", "N·m", say("How sure"), say("Done by"))
    cells = tuple(
        (tell(r.where), *_both(r.value), tell(r.sure), "________") for r in rows
    )  # fmt: skip
    sides: tuple[Side, ...] = ("left", "right", "right", "left", "left")
    return Table(head, cells, title, sides, ticks=True)


def _both(value: float | None) -> tuple[str, str]:
    if value is None:
        return say("NOT CHECKED"), "–"
    return figures(f"{value / _LBF_IN:.0f}"), figures(f"{value:.1f}")


def _fittings(t: TorqueFacts) -> Table:
    head = (say("Bolts of"), say("Torque"), say("From the maker, write it here"), say("Done by"))
    rows = tuple((tell(f), say("NOT CHECKED"), "____________", "________") for f in t.fittings)
    note = say("The plan holds no figure of their makers. Ask for it before the first bolt.")
    return Table(head, rows, say("Fittings of the frame"), ticks=True, note=note)


def sign_page(placards: Sequence[Placard]) -> list[Block]:
    """Every sign with its place and its values."""
    if not placards:
        words = say("NOT CHECKED: no list of signs is at hand for this code.")
        return [Heading(say("Signs")), Paragraph(words)]
    head = (say("Sign and place"), say("What it says"), say("Write in"), say("Clause"))
    rows = tuple(
        (f"P{i}: {tell(p.where)}", tell(p.text), tell(p.values) if p.values else "–", p.clause)
        for i, p in enumerate(placards, 1)
    )
    note = say("In our own words: the code in force has the exact words and colours.")
    return [Heading(say("Signs")), Table(head, rows, ticks=True, note=note)]


def measured_values(strings: Sequence[str], expected: str) -> list[Block]:
    """Blank lines for what is measured on every string before it is connected."""
    head = (say("String"), say("Polarity"), say("Volts, open"), say("Amperes, in sun"),
            say("Time, light"))  # fmt: skip
    rows = tuple((s, "_______", "_______", "_______", "_______") for s in strings)
    return [
        Heading(say("Measured before connecting")),
        Bullets((say("Expected of each string: {volts}, all alike.", volts=expected),)),
        Table(head, rows, ticks=True),
    ]
