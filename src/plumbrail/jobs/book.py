"""The build book: one PDF of all pages and drawings, and the DXF drawings behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from plumbrail.jobs import book_parts_facts as facts
from plumbrail.jobs.book_parts_drawings import Drawings, drawings, sheets
from plumbrail.jobs.book_parts_pages import Chapter, chapters
from plumbrail.jobs.book_parts_results import STAGES, Results, Tick, results
from plumbrail.papers.dxf import dxf
from plumbrail.papers.pages_cover import SummaryFacts, cover, summary
from plumbrail.papers.pages_open import open_page
from plumbrail.papers.pdf import pdf
from plumbrail.papers.pdf_blocks import Block, Book, Contents, Heading
from plumbrail.papers.sheet import Page, page
from plumbrail.papers.words import listening, say, speaking
from plumbrail.plan.reader import LoadedPlan

PAPERS = ("letter", "tabloid", "a4", "a3")
_SIZES = {"letter": "Letter", "tabloid": "Tabloid", "a4": "A4", "a3": "A3"}
_TEXT = {"letter": "Letter", "tabloid": "Letter", "a4": "A4", "a3": "A4"}
"""Pages of words stay on the paper of a clipboard; drawings take the paper asked for."""


@dataclass(frozen=True)
class BookJob:
    """A book and what it was made from."""

    results: Results
    drawings: Drawings
    book: Book
    summary: SummaryFacts
    chapters: tuple[Chapter, ...]
    missing: tuple[str, ...]
    """Parts that are not in this book, and why."""
    unsaid: tuple[str, ...] = ()
    """Texts that have no message in the language of the book and stand in English."""


def book_job(
    loaded: LoadedPlan, readings: str | Path | None = None, language: str = "en",
    paper: str | None = None, tick: Tick = lambda stage: None,
    tests: str | Path | None = None,
) -> BookJob:  # fmt: skip
    """The book of a plan, not yet written.

    ``paper``: one of :data:`PAPERS`; without it Letter or A4 by the units of the plan. ``tick`` is
    told each stage as it begins; ``tests``: file of the electrical tests. Raises PlanError for a
    plan or notebook that cannot be read,
    PlumbrailError for a language that is not there and for drawings that do not fit the paper.
    """
    with speaking(language, loaded.plan.job.units), listening() as unsaid:
        found = results(loaded, readings, tick, tests)
        size = paper or ("letter" if loaded.plan.job.units == "us" else "a4")
        tick(STAGES[5])
        drawn = drawings(found, page(_SIZES[size]))
        tick(STAGES[6])
        made = _bound(found, drawn, page(_TEXT[size], "portrait"), language)
    return replace(made, unsaid=tuple(unsaid))


def _bound(r: Results, drawn: Drawings, text: Page, language: str) -> BookJob:
    missing = (*_missing(r), *drawn.missing)
    facts_ = facts.summary_facts(r)
    parts = chapters(r, drawn)
    last = open_page(facts.open_facts(r, missing))
    ends = say("Summary"), say("Not checked, and assumed")
    contents = Contents((ends[0], *(_title(c) for c in parts), ends[1]),
                        (ends[0], *(_heading(c) for c in parts), ends[1]))  # fmt: skip
    blocks: Sequence[Block] = [
        *cover(facts.run_facts(r), contents, missing), *summary(facts_),
        *(b for c in parts for b in c.blocks), *last,
    ]  # fmt: skip
    run = f"{r.run.short}, {say('CHECKS FAIL')}" if r.failing else r.run.short
    book = Book(
        say("{job}: build book", job=r.plan.job.name), run, text, tuple(blocks), language,
        say("page {n} of {all}"), say("Caution"), say("{title}, continued"),
    )  # fmt: skip
    return BookJob(r, drawn, book, facts_, parts, missing)


def _heading(chapter: Chapter) -> str:
    """The heading that opens a chapter."""
    return next(b.text for b in chapter.blocks if isinstance(b, Heading))


def _title(chapter: Chapter) -> str:
    count = sum(len(d.sheets) for d in chapter.drawn)
    return say("{title}, with {n} drawings", title=chapter.title, n=count) if count else (
        chapter.title
    )  # fmt: skip


def _missing(r: Results) -> tuple[str, ...]:
    """Parts that the plan has no section for."""
    found = []
    if r.truing is None:
        found.append(say("Truing verdict and moves: no readings were given"))
    if r.energy is None:
        found.append(say("Yield, tilt and shade: the plan has no [energy] section"))
    elif r.energy.facts.island is None and not r.energy.facts.island_missing:
        found.append(say("Off the grid: the plan has no [energy.off_grid] section"))
    if r.wires is None:
        found.append(say("Wiring, signs, torque of terminals: the plan has no [wiring] section"))
    return tuple(found)


def write_book(made: BookJob, folder: str | Path, tick: Tick = lambda stage: None) -> list[Path]:
    """Write book.pdf and one DXF file for each group of drawings; returns the files.

    Raises OSError when it cannot.
    """
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    tick(STAGES[7])
    written = [_wrote(target / "book.pdf", pdf(made.book))]
    tick(STAGES[8])
    plan = made.results.plan
    for name, drawn in made.drawings.groups.items():
        data = dxf(sheets(drawn), plan.job.units, f"{plan.job.name}: {name}")
        written.append(_wrote(target / f"{name}.dxf", data))
    return written


def _wrote(path: Path, data: bytes) -> Path:
    path.write_bytes(data)
    return path
