"""Sheets of the trench: stakes, crossings, stretches, amounts, pull, and what is done in order."""

from __future__ import annotations

from dataclasses import replace

from plumbrail.papers.furniture import Area, drawing_area, finished, notes, numbered
from plumbrail.papers.paragraphs import Para, in_columns
from plumbrail.papers.sheet import Item, Page, Sheet, Text
from plumbrail.papers.tables import Table, flow
from plumbrail.papers.trench_facts import (
    OPTIONS,
    TrenchFacts,
    angle_words,
    differs_words,
    failing,
    gap_words,
    hours_words,
    piece_words,
    unchecked,
    verdict_words,
)
from plumbrail.papers.wording import bearing
from plumbrail.papers.words import figures, later, say, tell
from plumbrail.trench.parts import Amount, Direction
from plumbrail.units import show

_HEAD = 6.5
_NOTE = later(
    "Along: distance from T1 on the tape. To the next: true bearing, from north by east. Dig to: "
    "from the ground at the stake down to the bottom of the trench, bedding included."
)


def trench_lists(facts: TrenchFacts, page: Page) -> tuple[Sheet, ...]:
    """Tables, then the checklist with cautions, then what is not checked."""
    head = Text((drawing_area(page).left, drawing_area(page).top - 3.6), verdict_words(facts), 3.0,
                bold=True)  # fmt: skip
    area = replace(drawing_area(page), top=drawing_area(page).top - _HEAD)
    said, room = notes(area, (say(_NOTE),))
    lists = [
        _sheet(say("Trench: stakes, crossings, amounts"), [head, *said, *items], facts, page)
        for items in flow(tables(facts), room)
    ]
    work = _told(say("Trench: before and while digging"), [*_cautions(facts), *_steps(facts)], head,
                 area, facts, page)  # fmt: skip
    rest = _told(say("Trench: not checked, rules, notes"), _rest(facts), head, area, facts, page)
    return numbered([*lists, *work, *rest])


def tables(facts: TrenchFacts) -> list[Table]:
    """All of them; those without rows are left out when they are laid out."""
    return [stakes(facts), crossing_table(facts), stretches(facts), options_table(facts),
            pull_table(facts), amounts_table(facts)]  # fmt: skip


def stakes(facts: TrenchFacts) -> Table:
    """The stake-out table."""
    rows = tuple(
        (s.name, facts.length(s.at), "–" if s.bearing is None else bearing(s.bearing),
         facts.length(s.point[0]), facts.length(s.point[1]), facts.length(s.depth),
         "; ".join(tell(w) for w in s.what.split("; ")))
        for s in facts.trench.stations
    )  # fmt: skip
    heads = (say("Stake"), say("Along"), say("To the\nnext"), say("From F1,\nalong row"),
             say("From F1,\nto back"), say("Dig to"), say("What is there"))  # fmt: skip
    return Table(say("Stakes"), heads, rows)


def crossing_table(facts: TrenchFacts) -> Table:
    """Every service that the route passes."""
    rows = tuple(
        (c.number, c.service, facts.length(c.at), angle_words(c.angle),
         f"{facts.length(c.zone[0])} – {facts.length(c.zone[1])}",
         say("not known") if c.top is None else facts.length(c.top),
         facts.length(c.conduit), gap_words(c, facts))
        for c in facts.trench.crossings
    )  # fmt: skip
    heads = (say("No."), say("Service"), say("Along"), say("Angle"), say("By hand\nfrom – to"),
             say("Its top"), say("Conduit,\ntop"), say("Conduit passes"))  # fmt: skip
    return Table(say("Crossings"), heads, rows)


def stretches(facts: TrenchFacts) -> Table:
    """What the trench runs through."""
    rows = tuple(
        (f"{i + 1}", facts.length(p.start), facts.length(p.end), facts.length(p.long),
         say("by hand") if p.hand else say("machine"), figures(f"× {p.factor:g}"), piece_words(p))
        for i, p in enumerate(facts.trench.pieces)
    )  # fmt: skip
    heads = (say("No."), say("From"), say("To"), say("Length"), say("Digging"), say("Effort"),
             say("What lies there"))  # fmt: skip
    return Table(say("Stretches"), heads, rows)


def options_table(facts: TrenchFacts) -> Table:
    """The route proposed and others."""
    t = facts.trench
    rows = tuple(
        (say(OPTIONS[o.name]), facts.length(o.length), facts.length(o.hand), f"{o.crossings}",
         angle_words(o.bends), hours_words(o.hours), differs_words(o))
        for o in (t.option, *t.others)
    )  # fmt: skip
    heads = (say("Route"), say("Length"), say("By hand"), say("Crossings"), say("Bends"),
             say("Work"), say("Differs"))  # fmt: skip
    return Table(say("Routes compared"), heads, rows)


def pull_table(facts: TrenchFacts) -> Table:
    """Every leg, pulled both ways."""
    rows = []
    for leg in facts.trench.legs:
        ways = leg.directions or (None,)
        for d in ways:
            rows.append(
                (
                    leg.name,
                    f"{_end(leg.start)} – {_end(leg.end)}",
                    facts.length(leg.length),
                    angle_words(leg.bends),
                    *_pulled(d, facts, leg.directions and d is leg.directions[leg.better]),
                )
            )
    heads = (say("Leg"), say("Between"), say("Conduit"), say("Bends"), say("Pulled toward"),
             say("Largest pull"), say("In a bend"))  # fmt: skip
    return Table(say("Pulling the wires in"), heads, tuple(rows))


def _end(name: str) -> str:
    return say("Equipment") if name == "equipment" else name


def _pulled(d: Direction | None, facts: TrenchFacts, better: object) -> tuple[str, str, str]:
    if d is None:
        return say("not checked"), "–", "–"
    units = facts.job.units
    way = say("the equipment") if d.toward == "equipment" else say("the array")
    return (say("{way}, better", way=way) if better else way,
            figures(show(float(d.tension.max()), "force", units)),
            figures(show(float(d.sidewall.max()), "line_load", units)))  # fmt: skip


def amounts_table(facts: TrenchFacts) -> Table:
    """What is bought, moved and worked."""
    rows = tuple(
        (tell(a.what), _amount(a, facts),
         say("not given") if a.price is None else figures(f"{a.price:,.2f}"),
         tell(a.note) if a.note else "–")
        for a in facts.trench.amounts if a.amount
    )  # fmt: skip
    heads = (say("What"), say("Amount"), say("Price"), say("Note"))
    return Table(say("Amounts"), heads, rows)


def _amount(a: Amount, facts: TrenchFacts) -> str:
    if a.unit == "m":
        return facts.length(a.amount)
    if a.unit == "m3":
        return figures(show(a.amount, "volume", facts.job.units))
    return hours_words(a.amount) if a.unit == "h" else figures(f"{a.amount:.0f}")


def _cautions(facts: TrenchFacts) -> list[Para]:
    return [Para(say("Cautions"), 3.0, True, 0.6, together=True),
            *(Para(tell(c), bullet=True) for c in facts.trench.cautions)]  # fmt: skip


def _steps(facts: TrenchFacts) -> list[Para]:
    return [
        Para(say("In this order"), 3.0, True, 2.4, together=True),
        *(Para(f"{i + 1}. {tell(c)}", tick=True) for i, c in enumerate(facts.trench.checklist)),
        Para(f"{say('Ticket')} ________________   {say('Expires')} ____________", before=4.0),
    ]


def _rest(facts: TrenchFacts) -> list[Para]:
    found = list[Para]()
    for title, words in (
        (say("Fails"), failing(facts)), (say("Not checked"), unchecked(facts)),
        (say("Pull boxes"), [f"{b.name}: {'; '.join(tell(w) for w in b.why.split('; '))}"
                             for b in facts.trench.boxes]),
        (say("Distance from other services"), [tell(s) for s in facts.trench.separations]),
        (say("To keep in mind"), [tell(n) for n in facts.trench.notes]),
    ):  # fmt: skip
        if words:
            found.append(Para(title, 3.0, True, 2.4, together=True))
            found += [Para(w, bullet=True) for w in words]
    return found


def _told(
    title: str, paragraphs: list[Para], head: Item, area: Area, facts: TrenchFacts, page: Page
) -> list[Sheet]:
    return [_sheet(title, [head, *items], facts, page) for items in in_columns(paragraphs, area)]


def _sheet(title: str, items: list[Item], facts: TrenchFacts, page: Page) -> Sheet:
    return finished(title, page, facts.job, None, (), items)
