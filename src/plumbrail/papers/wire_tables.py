"""Tables of the wiring, for its sheet and for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, isfinite

from plumbrail.bases.us.nec.torque import torque as nec_torque
from plumbrail.errors import PlumbrailError
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
    sized,
    stretches,
    volts,
)
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, say, tell
from plumbrail.wiring.parts import Conduit, Electrode, Item
from plumbrail.wiring.strings import members

CONNECTORS = ("small slot", "large slot", "split bolt", "other")
_LBF_IN = 0.1129848290276167
_FOOT = 0.3048
_HAIR = 1e-6
"""Part of a foot or metre that sums of lengths may be off by: it buys no whole one."""
_ROOM = 130.0
"""Width of the column that names the modules of a string [mm]."""


def circuits(task: Task) -> Table:
    """Currents, conductor and device of every kind of circuit."""
    said = task.job.length
    rows = tuple(
        (
            tell("string" if c.id == "S1" else "run"), tell(c.what), str(c.count), said(c.length),
            amps(c.i_sc), amps(c.i_max), amps(c.i_op), volts(c.volts), size_words(c),
            amps(c.ampacity), tell(c.device.partition(":")[0]), sized(c.grounding), volts(c.drop),
        )
        for c in task.wired.circuits
    )  # fmt: skip
    heads = (
        say("Circuit"), say("From and to"), say("Alike"), say("Longest,\none way"),
        say("Short\ncircuit"), say("Largest\nby code"), say("Working\ncurrent"),
        say("Working\nvoltage"), say("Wire"), say("Carries\nin its place"), say("Device"),
        say("Equipment\nground"), say("Volts\nlost"),
    )  # fmt: skip
    return Table(say("Circuits"), heads, rows, (1, 8))


def strings(task: Task) -> Table:
    """Modules of every string from its positive end, and where it goes."""
    s, many = task.wired.strings, len(task.wired.chosen.per_input) > 1
    rows: list[tuple[str, ...]] = []
    for k, name in enumerate(s.ids):
        own = members(s, k).tolist()
        goes = [f"C{int(s.combiner[k]) + 1}"]
        goes += [say("input {n}", n=int(s.input[k]) + 1)] * many
        ways = _broken(stretches(task.model, own))
        rows.append((name, str(len(own)), ways[0], *goes))
        rows += [("", "", way, *[""] * len(goes)) for way in ways[1:]]
    heads = (say("String"), say("Modules"), say("In this order, from + to −"), say("Box"),
             *[say("Equipment")] * many)  # fmt: skip
    return Table(say("Strings"), heads, tuple(rows))


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
            f"{c.string} {POLES.get(c.wire) or tell(c.wire)}", c.start, c.end,
            task.job.length(c.laid), cut_words(task.job, c.cut),
        )
        for c in cut_lengths(task.plan, task.model, task.wired)
    )  # fmt: skip
    slack = 100.0 * task.section.conductors.slack
    heads = (say("Wire"), say("From\nmodule"), say("To"), say("Way"),
             say("Cut, with\n{slack} % slack", slack=f"{slack:.0f}"))  # fmt: skip
    return Table(say("Wires to cut"), heads, rows)


def torque(task: Task) -> Table:
    """Torque of the screws that hold the wires of this plan, where the maker gives none."""
    system = task.job.units
    rows = tuple(
        (size, *(_torque(size, kind, system) for kind in CONNECTORS)) for size in _sizes(task)
    )
    heads = (say("Wire"), say("Screw, small\nslot"), say("Screw, large\nslot"),
             say("Split\nbolt"), say("Other"))  # fmt: skip
    title = say("Torque by NFPA 70 Annex I")
    return Table(title, heads, rows)


def _torque(size: str, kind: str, system: str) -> str:
    try:
        value = float(nec_torque(size, kind))
    except PlumbrailError:
        return say(UNKNOWN)
    if system == "us":
        return f"{value / _LBF_IN:.0f}\u00a0lbf·in"
    return figures(f"{value:.1f}\u00a0N·m")


def _sizes(task: Task) -> list[str]:
    """Sizes of all conductors with a terminal, each once; none of a metric plan."""
    if task.section.basis.code == "IEC":
        return []
    named = [s for c in task.wired.circuits for s in (c.size, c.grounding)]
    named += [e.size for e in task.wired.electrodes]
    return list(dict.fromkeys(s for s in named if s[:1].isdigit()))


def grounding(task: Task) -> Table:
    """Grounding conductors: with the circuits, and to the electrodes."""
    rows = [
        (say("with the wires of a string" if c.id == "S1" else "with the run"),
         sized(c.grounding), "NFPA 70 250.122, 690.45")
        for c in task.wired.circuits
    ]  # fmt: skip
    rows += [
        (say("electrode conductor {what}", what=tell(e.what)), electrode_size(e), e.clause)
        for e in task.wired.electrodes
    ]
    heads = (say("Conductor"), say("At least"), say("By"))
    return Table(say("Grounding, of copper"), heads, tuple(rows))


def electrode_size(e: Electrode) -> str:
    """Its size, none where none is needed, else not checked."""
    if e.size:
        return e.size
    return say("none of its own") if e.words.startswith("none of its own") else say(UNKNOWN)


def conduits(task: Task) -> Table:
    """Raceways with what lies in them."""
    rows = tuple(
        (
            _pipe(c), tell(c.what), conduit_words(task.wired, c),
            task.job.length(c.length), contents_words(task, c),
            percent(c.fill) if c.trade else say(UNKNOWN), cover_words(task.job, c),
        )
        for c in task.wired.conduits
    )  # fmt: skip
    heads = (say("Conduit"), say("Where"), say("Kind and size"), say("Length"), say("Wires in it"),
             say("Filled"), say("Least\ncover"))  # fmt: skip
    return Table(say("Conduits"), heads, rows, (1, 4))


def _pipe(c: Conduit) -> str:
    """Which conduit: that of a box by its name, ``run`` or ``riser``."""
    name = c.id.removesuffix(".conduit")
    return tell(name) if name.islower() else name


def cover_words(job: JobInfo, c: Conduit) -> str:
    """Least cover of a raceway in the ground."""
    if c.cover is not None:
        return job.length(c.cover) if isfinite(c.cover) else say(UNKNOWN)
    return say(UNKNOWN) if "in the ground" in c.what else "–"


def buying(task: Task) -> Table:
    """What to buy; signs are listed by themselves."""
    signs = "placard: "
    rows = [
        (amount(i.amount, i.unit, task.job.units), tell(i.what.replace("mm2", "mm²")),
         "–" if i.price is None else figures(f"{i.price:,.2f}"))
        for i in together(task.wired.buying) if not i.what.startswith(signs)
    ]  # fmt: skip
    count = sum(i.what.startswith(signs) for i in task.wired.buying)
    if count:
        rows.append((str(count), say("signs, each with its own words and values"), "–"))
    return Table(say("To buy"), (say("How much"), say("What"), say("Price")), tuple(rows))


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
    """Pieces, or a length in whole feet or in metres, rounded up: nobody buys sixteenths.

    What is over only by the noise of adding lengths up is not over: 264.0000001 ft are 264 ft.
    """
    if unit != "m":
        return f"{value:.0f}"
    if system == "us":
        return f"{ceil(value / _FOOT - _HAIR)}\u00a0ft"
    return f"{ceil(value - _HAIR)}\u00a0m"
