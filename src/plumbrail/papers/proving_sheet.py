"""The blank test sheet for the clipboard: cautions, what to expect, boxes to write in."""

from __future__ import annotations

from plumbrail.notebook.proof_blank import HINTS
from plumbrail.notebook.proof_entries import Probe
from plumbrail.papers.furniture import drawing_area, finished, notes, numbered
from plumbrail.papers.paragraphs import Para, in_columns
from plumbrail.papers.proving_boxes import BoxTable, drawn_on_pages
from plumbrail.papers.proving_facts import GROUPS, LIGHTS, WARMTHS, ProofFacts, size_words
from plumbrail.papers.sheet import Item, Page, Sheet
from plumbrail.papers.words import figures, say, tell, with_english
from plumbrail.proving.care import budget
from plumbrail.proving.cautions import CAUTIONS, STEPS
from plumbrail.proving.expecting import expected_value
from plumbrail.proving.judging import factor
from plumbrail.proving.parts import TestedString

_BLANK = " "
LIT = (800.0, 318.15)
"""Light [W/m2] and warmth of the cells [K] for the one line of the strings' table."""


def test_sheets(facts: ProofFacts, page: Page) -> tuple[Sheet, ...]:
    """Sheets in order: cautions and steps, what to expect, strings, everything else."""
    return numbered([*_first(facts, page), *_expected(facts, page), *_strings(facts, page),
                     *_rest(facts, page)])  # fmt: skip


test_sheets.__test__ = False  # type: ignore[attr-defined]


def csv_hints() -> tuple[str, ...]:
    """Comments over the CSV in the language spoken; its own words stay English."""
    return (
        say("The words under kind and value stay English: {words}.",
            words=", ".join(with_english(k.value) for k in Probe)),
        *(tell(words) for words in HINTS),
    )  # fmt: skip


def csv_note(words: str) -> str:
    """What to mind at one test, for its row."""
    return tell(words)


def _sheet(title: str, facts: ProofFacts, page: Page, items: list[Item]) -> Sheet:
    return finished(title, page, facts.job, None, (), items)


def _first(facts: ProofFacts, page: Page) -> list[Sheet]:
    s = facts.subject
    told = [
        Para(say("Live array: read this first"), 3.2, True, 0.6, together=True),
        *(Para(tell(c), 2.8, bullet=True) for c in CAUTIONS),
        Para(say("Order of the tests"), 3.2, True, 2.4, together=True),
        *(Para(f"{i}. {tell(c)}", 2.8, tick=True) for i, c in enumerate(STEPS, 1)),
        Para(say("Meter and leads for more than {volts} V direct current: a string on the coldest "
                 "morning. Two strings crossed give twice that.",
                 volts=figures(f"{facts.cold:.0f}")), 2.8, True),
        Para(say("Tested by: {name}", name=facts.by or "______________________________"), 2.8),
        Para(say("Meters, serial numbers: ______________________________"), 2.8),
    ]  # fmt: skip
    if s.not_covered:
        told += [Para(tell(words), 2.8, bullet=True) for words in s.not_covered]
    title = say("Test sheet: before you start")
    return [_sheet(title, facts, page, items) for items in in_columns(told, drawing_area(page))]


def _expected(facts: ProofFacts, page: Page) -> list[Sheet]:
    s, m = facts.subject, facts.subject.module
    counts = sorted({x.count for x in s.strings}, reverse=True)
    heads = (say("Cells"), *(f"{G:.0f} W/m²" for G in LIGHTS))
    tables = [
        BoxTable(
            say("Open voltage of a string of {n} modules [V]", n=n), heads,
            (1.2, *(1.0 for _ in LIGHTS)),
            tuple((facts.warmth(T), *(figures(f"{expected_value(m, Probe.OPEN, n, G, T):.0f}")
                                      for G in LIGHTS)) for T in WARMTHS),
        )
        for n in counts
    ]  # fmt: skip
    currents = tuple(
        (name, *(figures(f"{expected_value(m, kind, 1, G, 318.15):.1f}") for G in LIGHTS))
        for name, kind in ((say("Short-circuit current [A]"), Probe.SHORT),
                           (say("Operating current [A]"), Probe.WORKING_CURRENT))
    )  # fmt: skip
    warm = say("Current of a string, cells at {warmth}", warmth=facts.warmth(318.15))
    tables.append(BoxTable(warm, heads, (2.0, *(1.0 for _ in LIGHTS)), currents))
    area = drawing_area(page)
    said, room = notes(area, _bands(facts))
    title = say("Test sheet: what to expect")
    return [_sheet(title, facts, page, [*said, *items]) for items in drawn_on_pages(tables, room)]


def _bands(facts: ProofFacts) -> tuple[str, ...]:
    r, test = facts.subject.rules, facts.proved.insulation
    parts = ", ".join(f"{tell(p.words)} {size_words(p)} ({tell(p.certainty.words)})"
                      for p in budget(r))  # fmt: skip
    return (
        say("Back of module: cells are 2.5 K warmer in full sun, in proportion less in less. No "
            "current under {light} W/m².", light=figures(f"{r.least_light:.0f}")),
        say("Allowed off the expected value: voltage {volts}, current {amperes}; strings alike "
            "within {alike}. A value passes only when it is inside with all of its uncertainty "
            "({sure} sure, {k} standard uncertainties).",
            volts=figures(f"{100 * r.voltage_limit:.0f} %"),
            amperes=figures(f"{100 * r.current_limit:.0f} %"),
            alike=figures(f"{100 * r.alike:.0f} %"),
            sure=figures(f"{100 * r.confidence:g} %"), k=figures(f"{factor(r.confidence):.2f}")),
        say("Largest errors taken: {parts}.", parts=parts),
        say("Insulation: test voltage {volts} V, at least {ohms} Mohm (IEC 62446-1; limit from "
            "memory).", volts=figures(f"{test.test_voltage:.0f}"),
            ohms=figures(f"{test.least / 1e6:g}")),
        *((tell(test.caution),) if test.caution else ()),
        say("Expected by: {how}.", how=tell(facts.subject.module.how)),
    )  # fmt: skip


def _strings(facts: ProofFacts, page: Page) -> list[Sheet]:
    heads = (say("String"), say("Modules"), say("Expect V, A"), say("Polarity"), say("Open V"),
             say("Light W/m²"), _warmth_head(facts), say("Current A"), say("Light W/m²"),
             _warmth_head(facts), say("Insulation Mohm at V"),
             say("Plus, minus to ground V"))  # fmt: skip
    rows = tuple((x.id, f"{x.count}", _expect(facts, x), *(_BLANK for _ in heads[3:]))
                 for x in facts.subject.strings)  # fmt: skip
    shares = (1.2, 1.3, 1.5, 1.3, 1.2, 1.1, 1.2, 1.3, 1.1, 1.2, 1.7, 1.7)
    table = BoxTable(say("Strings, each by itself"), heads, shares, rows)
    area = drawing_area(page)
    said, room = notes(area, (
        say("Expected at {light} W/m², cells at {warmth}: open voltage, short-circuit current; for "
            "other light and warmth see the sheet before.", light=figures(f"{LIT[0]:.0f}"),
            warmth=facts.warmth(LIT[1])),
        say("Light and warmth at the same moment as each value. Stop at a string that is reversed "
            "or reads nothing. Strike out, never rub out."),
        say("Operating current instead of the short-circuit one only while the equipment takes all "
            "that comes: no full battery, no limit."),
    ))  # fmt: skip
    title = say("Test sheet: strings")
    return [_sheet(title, facts, page, [*said, *i]) for i in drawn_on_pages([table], room)]


def _expect(facts: ProofFacts, x: TestedString) -> str:
    m = facts.subject.module
    volts, amps = (expected_value(m, kind, x.count, *LIT) for kind in (Probe.OPEN, Probe.SHORT))
    return figures(f"{volts:.0f}, {amps:.1f}")


def _warmth_head(facts: ProofFacts) -> str:
    """What the thermometer is held to, in the units that it may show."""
    units = "°C / °F" if facts.job.units == "us" else "°C"
    cell = facts.subject.rules.temperature_at == "cell"
    return f"{say('Cell') if cell else say('Back')} {units}"


def _rest(facts: ProofFacts, page: Page) -> list[Sheet]:
    values = {
        "ground": say("ohm, at most 1"), "torque": say("Marked / set"),
        "function": say("works / fails"), "thermal": say("K hotter"),
        "label": say("in place / missing"),
    }  # fmt: skip
    tables = []
    for group, value in values.items():
        rows = tuple((w.place, tell(w.words), _BLANK, _BLANK) for w in facts.proved.wanted
                     if w.group == group)  # fmt: skip
        heads = (say("No."), say("What"), value, say("Done by"))
        tables.append(BoxTable(say(GROUPS[group]), heads, (1.0, 8.0, 2.6, 1.8), rows))
    photos = (say("each box open, wires in it"), say("every sign"), say("disconnect open, locked"),
              say("trench open, with its ribbon"), say("type plates"),
              say("array from four sides"))  # fmt: skip
    heads = (say("Photo of"), say("Number of the file"), say("What"), say("Serial number"))
    named = (say("equipment"), say("disconnect"), *(say("box {id}", id=b)
                                                    for b in facts.subject.boxes))  # fmt: skip
    serials = (*named, *(_BLANK for _ in photos))[: len(photos)]
    pairs = tuple((p, _BLANK, s, _BLANK) for p, s in zip(photos, serials, strict=True))
    tables.append(BoxTable(say("Photos and serial numbers"), heads, (3.0, 2.5, 2.0, 3.0), pairs))
    title = say("Test sheet: grounding, torque, functions, signs")
    return [_sheet(title, facts, page, i) for i in drawn_on_pages(tables, drawing_area(page))]
