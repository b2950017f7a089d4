"""What a page of a book is made of: a few kinds of blocks, written as data, never as markup."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any, Literal, TypeAlias

from plumbrail.papers.pdf_sheet import sheet_svg
from plumbrail.papers.sheet import Page, Sheet

Side = Literal["left", "right", "center"]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 is a chapter, which begins a page of its own."""

    text: str
    level: Literal[1, 2, 3] = 1


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running words."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list of points."""

    items: tuple[str, ...]
    run_in: bool = False
    """One behind the other in running lines."""


@dataclass(frozen=True, slots=True)
class Ticks:
    """Things to do, each with a box to tick."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a head that is repeated on every page."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""
    sides: tuple[Side, ...] = ()
    """One for each column; left when not given."""
    ticks: bool = False
    """A box to tick before every row."""
    note: str = ""
    pages: tuple[str, ...] = ()
    """For each row a heading whose page number fills its last cell; none when not given."""

    def __post_init__(self) -> None:
        if any(len(row) != len(self.head) for row in self.rows):
            raise ValueError(f"a row of the table {self.title!r} has not {len(self.head)} cells")
        if self.sides and len(self.sides) != len(self.head):
            raise ValueError(f"the table {self.title!r} needs a side for each of its columns")
        if self.pages and len(self.pages) != len(self.rows):
            raise ValueError(f"the table {self.title!r} needs a heading for each of its rows")


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt someone: with a heavy bar, never broken over two pages."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One recorded step of a calculation."""

    what: str
    clause: str
    """Where the formula is printed."""
    formula: str
    """As printed, in plain characters."""
    numbers: str
    """The formula with its values and units."""
    result: str
    certainty: str = ""
    """How sure the values behind it are."""


@dataclass(frozen=True, slots=True)
class Steps:
    """A calculation, step by step."""

    title: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class BigNumber:
    """A number that is asked for first."""

    value: str
    unit: str
    words: str


@dataclass(frozen=True, slots=True)
class BigNumbers:
    """A few large numbers side by side."""

    items: tuple[BigNumber, ...]
    large: bool = False
    """To be read at arm's length from a clipboard."""


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows begins a new page."""


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in the book, each with the page of its heading."""

    items: tuple[str, ...]
    headings: tuple[str, ...]

    def __post_init__(self) -> None:
        if len(self.items) != len(self.headings):
            raise ValueError("every line of the contents needs the heading it leads to")


@dataclass(frozen=True, slots=True)
class Dense:
    """Blocks in small print of 8 pt and more, in columns; for the desk, not for the field."""

    blocks: tuple[Block, ...]
    columns: Literal[1, 2] = 2
    over: str = ""
    """Said over the columns when points run over to further pages; {n} of {all} points, {pages}
    where they continue. Empty: nothing is said."""
    head: tuple[Block, ...] = ()
    """Stands over the columns."""
    narrow: bool = False
    """On pages of its own with narrow margins."""


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A drawing on a page of its own size, true to scale."""

    sheet: Sheet


Block: TypeAlias = (
    Heading | Paragraph | Bullets | Ticks | Table | Caution | Steps | BigNumbers | PageBreak
    | Contents | Dense | SheetPage
)  # fmt: skip


@dataclass(frozen=True)
class Book:
    """Pages that are printed together."""

    title: str
    run: str
    """What the pages were made from; at the foot of every page."""
    page: Page
    """Paper of the text pages; drawings bring their own."""
    blocks: tuple[Block, ...]
    language: str = "en"
    """Two letters, for hyphens and for readers of the file."""
    numbering: str = "page {n} of {all}"
    """At the foot, in the language of the book."""
    cautious: str = field(default="Caution")
    """Word before the title of every caution."""
    continued: str = "{title}, continued"
    """At the head of the pages on which a chapter goes on."""


def to_json(book: Book) -> dict[str, Any]:
    """The book as plain lists, texts and numbers; lengths in millimetres."""
    return {
        "title": clean(book.title), "run": clean(book.run), "language": book.language,
        "numbering": book.numbering, "cautious": book.cautious,
        "continued": book.continued,
        "page": {"width": book.page.width, "height": book.page.height},
        "blocks": [_block(block) for block in book.blocks],
    }  # fmt: skip


def clean(text: str) -> str:
    """Characters that no page can show become spaces."""
    return "".join(c if c >= " " and not "\ud800" <= c <= "\udfff" else " " for c in text)


def _block(block: Block) -> dict[str, Any]:
    kind = type(block).__name__
    if isinstance(block, SheetPage):
        page = block.sheet.page
        return {
            "kind": kind, "title": clean(block.sheet.title), "width": page.width,
            "height": page.height, "svg": sheet_svg(block.sheet),
        }  # fmt: skip
    if isinstance(block, Dense):
        return {
            "kind": kind, "columns": block.columns, "over": clean(block.over),
            "narrow": block.narrow, "head": [_block(b) for b in block.head],
            "blocks": [_block(b) for b in block.blocks],
        }  # fmt: skip
    return {"kind": kind, **_cleaned(asdict(block))}


def flat(blocks: Sequence[Block]) -> Iterator[Block]:
    """All blocks in order, those in columns by themselves."""
    for block in blocks:
        if isinstance(block, Dense):
            yield from flat((*block.head, *block.blocks))
        else:
            yield block


def _cleaned(value: Any) -> Any:
    match value:
        case str():
            return clean(value)
        case dict():
            return {key: _cleaned(v) for key, v in value.items()}
        case list() | tuple():
            return [_cleaned(v) for v in value]
    return value
