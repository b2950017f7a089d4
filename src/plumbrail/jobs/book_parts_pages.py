"""The chapters of a book in the order of the work."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plumbrail.check import Status
from plumbrail.jobs import book_parts_facts as facts
from plumbrail.jobs.book_parts_drawings import Drawings
from plumbrail.jobs.book_parts_results import Results
from plumbrail.jobs.drawing import Drawn
from plumbrail.jobs.proving import facts_of as proof_facts
from plumbrail.jobs.trenching import facts_of
from plumbrail.papers import pages_calculation as calculation
from plumbrail.papers import pages_safety as safety
from plumbrail.papers import pages_trench as trench
from plumbrail.papers import pages_work as work
from plumbrail.papers.pages_inspection import checklist
from plumbrail.papers.pages_open import open_items
from plumbrail.papers.pages_pour import pour_sheet
from plumbrail.papers.pages_proving import proving_pages
from plumbrail.papers.pages_setting import hole_cards
from plumbrail.papers.pages_shop import shopping_list
from plumbrail.papers.pages_truing import truing_pages
from plumbrail.papers.pages_wiring import measured_values, sign_page, torque_page
from plumbrail.papers.pages_works import works_pages
from plumbrail.papers.pages_yield import yield_pages
from plumbrail.papers.pdf_blocks import (
    Block,
    Bullets,
    Dense,
    Heading,
    Paragraph,
    SheetPage,
)
from plumbrail.papers.wire_facts import volts
from plumbrail.papers.words import figures, language, say, speaking
from plumbrail.papers.works_facts import facts_of as works_facts
from plumbrail.wiring.sheet import sheet_of


@dataclass(frozen=True)
class Chapter:
    """A chapter: its opening page, its drawings, and the pages that follow them."""

    title: str
    blocks: tuple[Block, ...]
    drawn: tuple[Drawn, ...] = ()


def chapters(r: Results, drawn: Drawings) -> tuple[Chapter, ...]:
    """All chapters that the plan has something for."""
    found = [
        *_works(r, drawn), _digging(r, drawn), _frame(drawn), _plain(say("Shopping list"),
                                                  shopping_list(facts.basket(r))),
        _sawing(r, drawn), _truing(r, drawn), _pouring(r), *_wiring(r, drawn),
        *_trench(r, drawn), _torque(r),
        *_energy(r, drawn), *_proving(r, drawn), _inspection(r), _calculations(r),
    ]  # fmt: skip
    return tuple(found) if not r.failing else tuple(_warned(c) for c in found)


def _warned(chapter: Chapter) -> Chapter:
    """The chapter with a warning under each of its titles: the plan fails."""
    words = say("CHECKS OF THIS PLAN FAIL: do not build from this page. See the summary.")
    blocks: list[Block] = []
    for block in chapter.blocks:
        blocks.append(block)
        if isinstance(block, Heading) and block.level == 1:
            blocks.append(Paragraph(words, strong=True))
    return replace(chapter, blocks=tuple(blocks))


def _plain(title: str, blocks: list[Block]) -> Chapter:
    return Chapter(title, tuple(blocks))


def _with_sheets(
    title: str, before: list[Block], drawn: list[Drawn], after: list[Block] | None = None
) -> Chapter:
    """Opening page with its cautions and the list of drawings, the drawings, what follows."""
    names = list(dict.fromkeys(s.title.partition(" (")[0] for d in drawn for s in d.sheets))
    opening: list[Block] = [Heading(title), *before]
    if names:
        opening += [Heading(say("Drawings of this chapter"), 2), Bullets(tuple(names))]
    pages = [SheetPage(s) for d in drawn for s in d.sheets]
    return Chapter(title, (*opening, *pages, *(after or [])), tuple(drawn))


def _digging(r: Results, drawn: Drawings) -> Chapter:
    cards = hole_cards(r.staking.stakes, r.job, r.staking.cautions)
    said = [*safety.digging(), *work.setting_out()]
    return _with_sheets(say("Setting out and digging"), said, drawn.site, cards)


def _frame(drawn: Drawings) -> Chapter:
    return _with_sheets(say("Frame"), [*safety.lifting(), *work.framing()], drawn.frame)


def _sawing(r: Results, drawn: Drawings) -> Chapter:
    said: list[Block] = [*safety.sawing(), Paragraph(say(
        "One bar for each stick, its pieces in cutting order. Mark every piece as soon as it is "
        "cut, and tick it off.")), *work.to_saw(r.shop.sticks.lines, r.job)]  # fmt: skip
    return _with_sheets(say("Sawing"), said, drawn.cutting)


def _truing(r: Results, drawn: Drawings) -> Chapter:
    said: list[Block] = [*safety.loose_posts(), Paragraph(say(
        "Measure after the first pour has set, and after the last brace is on. Write every "
        "reading as it is read; strike out, never rub out.")), *work.measuring()]  # fmt: skip
    told = [] if r.truing is None else truing_pages(r.truing.trued, r.truing.notebook.sha256)
    field, picture = drawn.truing[:1], drawn.truing[1:]
    opening = _with_sheets(say("Truing"), said, field, told)
    return Chapter(opening.title, (*opening.blocks, *(SheetPage(s) for d in picture
                                                      for s in d.sheets)),
                   tuple(drawn.truing))  # fmt: skip


def _pouring(r: Results) -> Chapter:
    title = say("Pour")
    return _plain(title, [Heading(title), *safety.concrete(), *pour_sheet(facts.pour(r))])


def _wiring(r: Results, drawn: Drawings) -> list[Chapter]:
    if r.wires is None:
        return []
    wired = r.wires.wired
    cold, usual = wired.chosen.cold, wired.chosen.per_string * sheet_of(r.plan).voc
    expected = figures(say("about {usual} at 25 °C, at most {cold} on the coldest morning",
                           usual=volts(usual), cold=volts(cold)))  # fmt: skip
    after = [*sign_page(wired.placards), *measured_values(wired.strings.ids, expected)]
    return [_with_sheets(say("Wiring"), safety.electricity(wired.cautions), drawn.wiring, after)]


def _trench(r: Results, drawn: Drawings) -> list[Chapter]:
    if r.trench is None:
        return []
    told = facts_of(r.trench)
    return [_with_sheets(say("Trench"), trench.opening(told), drawn.trench, trench.closing(told))]


def _works(r: Results, drawn: Drawings) -> list[Chapter]:
    if r.works is None:
        return []
    pages = works_pages(works_facts(r.works))
    sheets = [SheetPage(s) for d in drawn.works for s in d.sheets]
    return [Chapter(say("Works"), (*pages, *sheets), tuple(drawn.works))]


def _proving(r: Results, drawn: Drawings) -> list[Chapter]:
    if r.proving is None:
        return []
    return [_with_sheets(say("Tests and hand-over"), proving_pages(proof_facts(r.proving)),
                         drawn.proving)]  # fmt: skip


def _torque(r: Results) -> Chapter:
    return _plain(say("Torque"), torque_page(facts.torque_facts(r)))


def _energy(r: Results, drawn: Drawings) -> list[Chapter]:
    if r.energy is None:
        return []
    pages = yield_pages(r.energy.facts)
    sheets = [SheetPage(s) for d in drawn.energy for s in d.sheets]
    return [Chapter(say("Yield"), (*pages, *sheets), tuple(drawn.energy))]


def _inspection(r: Results) -> Chapter:
    left = [c for c in r.checks if c.status is Status.NOT_CHECKED]
    return _plain(say("Inspection checklist"), checklist(open_items(left), r.wires is not None))


def _calculations(r: Results) -> Chapter:
    """In English in every language: an inspector reads them beside the printed code."""
    title = say("Calculations")
    opening: list[Block] = [Heading(title)]
    if language() != "en":
        opening.append(Paragraph(say("The calculations are in English, for the inspector."), True))
    with speaking("en", r.plan.job.units):
        return _plain(title, [*opening, *_in_english(r)])


def _in_english(r: Results) -> list[Block]:
    """How to read, every check with its page, then loads and checks in columns."""
    system = r.plan.job.units
    frame, loads = facts.sums(r)
    every = (*frame, *facts.wire_sums(r), *facts.trench_sums(r))
    index = calculation.index_of([s.check for s in every], system)
    steps = calculation.load_pages(loads, system)
    for one in every:
        steps += calculation.sum_pages(one, system)
    found: list[Block] = [*calculation.how_to_read(), Dense((index,), 1)]
    return [*found, Dense(tuple(steps))] if steps else found
