"""The shopping list, shop aisle by shop aisle, to be ticked off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plumbrail.model.parts import Model
from plumbrail.papers.pdf_blocks import Block, Heading, Paragraph, Table
from plumbrail.papers.wire_tables import amount, together
from plumbrail.papers.wording import JobInfo
from plumbrail.papers.words import figures, say, tell
from plumbrail.plan.models import Plan
from plumbrail.stock.buying import Line
from plumbrail.stock.concrete import BagCount, Concrete
from plumbrail.units import show
from plumbrail.wiring.parts import Item

_SIGN = "placard: "


@dataclass(frozen=True)
class Basket:
    """What has to be bought."""

    plan: Plan
    model: Model
    job: JobInfo
    lines: tuple[Line, ...]
    """Sticks of pipe and rail."""
    uncut: tuple[str, ...]
    """Sections without a cut list, and why: their sticks are not in the list."""
    splices: int
    concrete: Concrete
    bags: BagCount
    bag_price: float
    wires: tuple[Item, ...] | None
    """None: the plan has no wiring."""

    @property
    def bag_cost(self) -> float:
        """Of all bags."""
        return self.bags.total * self.bag_price

    @property
    def steel(self) -> tuple[Line, ...]:
        """Sticks of pipe."""
        return tuple(x for x in self.lines if x.section != self.plan.frame.rail.name)

    @property
    def rails(self) -> tuple[Line, ...]:
        """Sticks of rail."""
        return tuple(x for x in self.lines if x.section == self.plan.frame.rail.name)


@dataclass(frozen=True)
class Row:
    """One line of the list."""

    count: str
    what: str
    note: str
    price: float | None


def shopping_list(b: Basket) -> list[Block]:
    """All aisles, then what the prices come to."""
    aisles = [
        (say("Steel yard"), [*_sticks(b, b.steel), *_sleeves(b)]),
        (say("Concrete"), _concrete(b)),
        (say("Hardware and fittings"), _fittings(b)),
        (say("Rails, clamps, modules"), [*_sticks(b, b.rails), *_clamps(b), _modules(b)]),
        (say("Electrical"), None if b.wires is None else _wires(b, b.wires)),
        (say("For whoever does the work"), _protection()),
    ]
    found: list[Block] = [Heading(say("Shopping list")),
                          _sum([row for _, rows in aisles for row in rows or []])]  # fmt: skip
    found += [Paragraph(f"{say('NOT IN THIS LIST')}: {tell(words)}", True) for words in b.uncut]
    found += [_aisle(title, rows) for title, rows in aisles if rows is not None]
    if b.wires is None:
        found.append(Paragraph(say("Electrical: not in this list; the plan has no [wiring] "
                                   "section.")))  # fmt: skip
    return found


def _aisle(title: str, rows: Sequence[Row]) -> Table:
    head = (say("How many"), say("What"), say("Note"), say("Price"))
    cells = tuple((r.count, r.what, r.note, money(r.price)) for r in rows)
    return Table(head, cells, title, ("right", "left", "left", "right"), ticks=True)


def money(price: float | None) -> str:
    """A price in the money of the plan, or a dash where it names none."""
    return "–" if price is None else figures(f"{price:,.2f}")


def _sum(rows: Sequence[Row]) -> Paragraph:
    known = [r.price for r in rows if r.price is not None]
    return Paragraph(say(
        "All lines with a price come to {sum}, in the money of the plan. Lines with a dash have no "
        "price in the plan and are not counted. Each pier and each pour is counted in whole bags "
        "of its own.", sum=money(sum(known)),
    ), strong=True)  # fmt: skip


def _sticks(b: Basket, lines: Sequence[Line]) -> list[Row]:
    system = b.plan.job.units
    return [
        Row(str(x.count), f"{x.section}, {say('sticks of {length}', length=b.job.said(x.length))}",
            say("{mass} each", mass=figures(show(x.mass_each, "mass", system))), x.cost)
        for x in lines
    ]  # fmt: skip


def _sleeves(b: Basket) -> list[Row]:
    splice = b.plan.frame.splice
    if not b.splices or splice.sleeve is None or splice.sleeve_insertion is None:
        return []
    length = b.job.said(2 * splice.sleeve_insertion)
    return [Row(str(b.splices), f"{splice.sleeve}, {say('sleeves of {length}', length=length)}",
                say("inside the joints of the beams"), None)]  # fmt: skip


def _concrete(b: Basket) -> list[Row]:
    system = b.plan.job.units
    each = figures(show(b.bags.size.volume, "volume", system))
    once = " + ".join(figures(f"{v:g}") for v in b.concrete.ready_mix)
    return [
        Row(str(b.bags.total), say("bags of dry mix, {size}", size=b.bags.size.name),
            say("{strength} or stronger; {each} from a bag ({sure}): read the bag",
                strength=figures(show(b.plan.piers.strength, "strength", system)), each=each,
                sure=tell(b.bags.size.certainty.words)), b.bag_cost),
        Row("–", say("or ready-mix: {once} yd³", once=once),
            say("first pour + rest; in place of the bags"), None),
    ]  # fmt: skip


def _fittings(b: Basket) -> list[Row]:
    m = b.model
    ask = say("with bolts and nuts as its maker says")
    rows = [
        Row(str(len(m.posts.ids)), say("fittings, beam on post"), ask, None),
        Row(str(2 * len(m.rails.ids)), say("fittings, rail on beam"), ask, None),
        Row(str(2 * len(m.braces.ids)), say("fittings, brace on post"), ask, None),
        Row(str(b.splices), say("joints of beams"), ask, None),
        Row("1", say("zinc-rich paint"), say("for cut ends"), None),
    ]
    return [r for r in rows if r.count != "0"]


def _clamps(b: Basket) -> list[Row]:
    rails, up = len(b.model.rails.ids), int(b.model.modules.row.max())
    note = say("counted from the layout: modules clamped along each rail")
    rows = [Row(str(2 * rails), say("end clamps"), note, None)]
    between = rails * (up - 1)
    return rows + ([Row(str(between), say("mid clamps"), note, None)] if between else [])


def _modules(b: Basket) -> Row:
    return Row(str(len(b.model.modules.ids)), b.plan.module.name, say("modules"), None)


def _wires(b: Basket, items: Sequence[Item]) -> list[Row]:
    signs = sum(i.what.startswith(_SIGN) for i in items)
    rows = [
        Row(figures(amount(i.amount, i.unit, b.plan.job.units)), _signed(tell(i.what)),
            _signed(tell(i.note)), i.price)
        for i in together(items) if not i.what.startswith(_SIGN)
    ]  # fmt: skip
    if signs:
        rows.append(Row(str(signs), say("signs"), say("each with its own words: see the wiring"),
                        None))  # fmt: skip
    return rows


def _signed(text: str) -> str:
    """Units with the signs of print."""
    return text.replace("mm2", "mm²")


def _protection() -> list[Row]:
    return [
        Row("–", say("goggles, ear protection, gloves for steel"), say("for everyone"), None),
        Row("–", say("waterproof gloves, dust masks, clean water"), say("for the pour"), None),
        Row("–", say("covers for open holes, tape or fence"), say("one for each hole"), None),
    ]
