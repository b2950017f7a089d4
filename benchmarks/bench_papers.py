"""How long drawings and a book take to write. Rows: (name, value, unit)."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from tempfile import TemporaryDirectory

from plumbrail.jobs.demo import copy_demo, copy_notebooks, main_job, truing_name
from plumbrail.jobs.drawing import cut_sheets, frame_sheets, stake_sheets
from plumbrail.jobs.truing import truing_sheets
from plumbrail.papers.dxf import dxf
from plumbrail.papers.pdf import pdf
from plumbrail.papers.pdf_blocks import (
    Block,
    Book,
    Bullets,
    Caution,
    Heading,
    Paragraph,
    SheetPage,
    Step,
    Steps,
    Table,
    Ticks,
)
from plumbrail.papers.sheet import Sheet, page
from plumbrail.papers.svg import svg

Row = tuple[str, float, str]
SHEETS = 20
CHAPTERS = 20
"""A chapter fills one page of Letter paper."""


def demo_sheets() -> list[Sheet]:
    """All drawings of the demo with readings."""
    with TemporaryDirectory() as folder:
        job = main_job(copy_demo("alder-creek", folder), copy_notebooks("alder-creek", folder))
    made = job.design
    drawn = [
        *stake_sheets(job.staking), *frame_sheets(made),
        *cut_sheets(made.run, made.plan, job.cutting),
        *(truing_sheets(t, truing_name(t)) for t in job.truing),
    ]  # fmt: skip
    return [sheet for drawing in drawn for sheet in drawing.sheets]


def chapter(number: int) -> tuple[Block, ...]:
    """A page of each kind in turn: a table, a calculation, a list with a caution."""
    head = Heading(f"Chapter {number}")
    if number % 3 == 0:
        rows = tuple((f"F{i}", "7' 0\"", "10' 3 9/16\"", f'{i}/16"') for i in range(20))
        return head, Table(("Post", "Depth", "Length", "Ground"), rows, ticks=True)
    if number % 3 == 1:
        step = Step("Factor", "clause 1.2.3", "A = 2.34·P/(S₁·b)", "2.34 × 1120 lbf/(560 psf × 2)",
                    "2.34 ft", "second-hand copy")  # fmt: skip
        return head, Steps("Embedment", (step,) * 9)
    words = "Words that run on for a line and a half or so, as instructions on a page do. " * 3
    return (
        head,
        Paragraph(words),
        Caution("Open holes", (words,)),
        Ticks((words,) * 4),
        Bullets((words,) * 3),
    )


def mixed_book(sheets: list[Sheet]) -> Book:
    """Forty pages, half of them drawings."""
    drawings = [SheetPage(s) for s in (sheets * SHEETS)[:SHEETS]]
    chapters = [block for i in range(CHAPTERS) for block in chapter(i)]
    return Book("Benchmark", "plan 00000000", page("Letter", "portrait"), (*drawings, *chapters))


def timed(what: Callable[[], object], times: int = 3) -> tuple[float, object]:
    """Least seconds of the processor, and the result."""
    taken, made = [], None
    for _ in range(times):
        begun = time.process_time()
        made = what()
        taken.append(time.process_time() - begun)
    return min(taken), made


def run() -> list[Row]:
    """All rows."""
    sheets = demo_sheets()
    first = time.process_time()
    dxf(sheets[:1], "us")
    loaded = time.process_time() - first
    cad, file = timed(lambda: dxf(sheets, "us"))
    drawn, _ = timed(lambda: [svg(s) for s in sheets])
    book = mixed_book(sheets)
    begun = time.perf_counter()
    data = pdf(book)
    whole = time.perf_counter() - begun
    again, _ = timed(lambda: pdf(book))
    assert isinstance(file, bytes)
    return [
        ("sheets of the demo", float(len(sheets)), "-"),
        ("all sheets as SVG", drawn, "s"),
        ("first DXF of one sheet, with loading the library", loaded, "s"),
        ("all sheets as one DXF", cad, "s"),
        ("size of the DXF", len(file) / 1e3, "kB"),
        ("pages of the book", float(len(re.findall(rb"/Type ?/Page\b", data))), "-"),
        ("book as PDF, first time, by the clock", whole, "s"),
        ("book as PDF, again, of the processor", again, "s"),
        ("size of the PDF", len(data) / 1e3, "kB"),
    ]


if __name__ == "__main__":
    for name, value, unit in run():
        print(f"{name:<60} {value:>12.4g} {unit}")
