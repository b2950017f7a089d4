"""Writing a book, or drawings alone, as a PDF: searchable words, true to scale, embedded faces.

The template is fixed; everything else goes to Typst as one JSON document, so no text can act as
markup. Only faces inside the Typst wheel are used: the pages look the same on every machine.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib.resources import files

from plumbrail.papers.pdf_blocks import Book, SheetPage, to_json
from plumbrail.papers.sheet import Sheet


def pdf(book: Book) -> bytes:
    """The book as a PDF without a date, the same bytes for the same book.

    Raises ValueError for a book without blocks.
    """
    import typst

    if not book.blocks:
        raise ValueError(f"the book {book.title!r} has no pages")
    template = (files("plumbrail.papers") / "typst" / "book.typ").read_bytes()
    data = json.dumps(to_json(book), ensure_ascii=False, sort_keys=True)
    return typst.compile(
        template, ignore_system_fonts=True, sys_inputs={"book": data}, timestamp=0, format="pdf"
    )


def sheets_pdf(sheets: Sequence[Sheet], title: str, run: str) -> bytes:
    """Drawings alone, each on paper of its own size. Raises ValueError for no sheets."""
    if not sheets:
        raise ValueError("a PDF needs at least one sheet")
    pages = tuple(SheetPage(sheet) for sheet in sheets)
    return pdf(Book(title, run, sheets[0].page, pages))
