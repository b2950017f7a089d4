"""PDF books: searchable, true to scale, the same bytes each time, and no text that acts.

Pages are read back by the command-line tools of a free PDF renderer; where these are not
installed, the tests that need them are skipped and say so.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from html import unescape
from xml.etree import ElementTree

import pytest

from plans import model_with
from plumbrail.papers.lettering import width
from plumbrail.papers.pdf import pdf, sheets_pdf
from plumbrail.papers.pdf_blocks import (
    BigNumber,
    BigNumbers,
    Book,
    Bullets,
    Caution,
    Heading,
    PageBreak,
    Paragraph,
    SheetPage,
    Step,
    Steps,
    Table,
    Ticks,
    to_json,
)
from plumbrail.papers.pdf_sheet import ADVANCE, sheet_svg, squeeze
from plumbrail.papers.section import section
from plumbrail.papers.sheet import Line, Polyline, Sheet, Text, page
from plumbrail.papers.wording import JobInfo

MM = 72 / 25.4
needs_reader = pytest.mark.skipif(
    any(shutil.which(tool) is None for tool in ("pdftotext", "pdftoppm", "pdfinfo", "pdffonts")),
    reason="not checked: the PDF reading tools (poppler) are not installed",
)
LETTER = page("Letter", "portrait")
PAGES = [page(name, way) for name in ("Letter", "Tabloid", "A4", "A3")
         for way in ("portrait", "landscape")]  # fmt: skip


def tool(name, data, tmp_path, *options, out="-"):
    path = tmp_path / "book.pdf"
    path.write_bytes(data)
    done = subprocess.run([name, *options, str(path), *([out] if out else [])],
                          capture_output=True, check=True)  # fmt: skip
    return done.stdout.decode("utf-8", "replace")


def words_of(data, tmp_path, *options):
    return tool("pdftotext", data, tmp_path, *options)


def book(*blocks, paper=LETTER, **more):
    return Book("Alder Creek cold store", "plan 3f9a1c07", paper, blocks, **more)


def flat(text):
    return " ".join(text.replace("\u200b", "").split())


def boxes_of(data, tmp_path):
    """(page, word, left, top, right, bottom) in millimetres."""
    found, number = [], 0
    for line in words_of(data, tmp_path, "-bbox").splitlines():
        if "<page " in line:
            number += 1
        box = re.match(
            r'\s*<word xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*)</word>', line
        )
        if box:
            at = [float(box.group(i)) / MM for i in (1, 2, 3, 4)]
            found.append((number, unescape(box.group(5)), *at))
    return found


EVERY_KIND = (
    Heading("Build book"), Heading("Part", 2), Heading("Piece", 3), Paragraph("Words that run."),
    Paragraph("Strong words.", strong=True), Bullets(("One point", "Another")),
    Ticks(("Pins set", "Strings tight")),
    Table(("Post", "Depth"), (("F1", "7' 0\""), ("B1", "6' 0\"")), "Holes", ("left", "right"), True,
          "From the ground."),
    Caution("Call before you dig", ("Wait for the marks.",)),
    Steps("Embedment", (Step("Factor A", "IBC 2021, 1807.3.2.1", "A = 2.34·P/(S₁·b)",
                             "2.34 × 1120 lbf/(560 psf × 2 ft)", "2.34 ft", "second-hand copy"),)),
    BigNumbers((BigNumber("8", "", "holes"), BigNumber("3.4", "yd³", "of concrete"))), PageBreak(),
    Paragraph("The end."),
)  # fmt: skip


@needs_reader
def test_every_block_is_on_the_page_as_words_that_can_be_searched(tmp_path):
    found = flat(words_of(pdf(book(*EVERY_KIND)), tmp_path, "-layout"))
    for words in (
        "Build book", "Part", "Piece", "Words that run.", "Strong words.", "One point", "Another",
        "Pins set", "Strings tight", "Holes", "Post Depth", "F1 7' 0\"", "B1 6' 0\"",
        "From the ground.", "Caution: Call before you dig", "Wait for the marks.", "Embedment",
        "1. Factor A", "IBC 2021, 1807.3.2.1", "A = 2.34·P/(S₁·b)",
        "= 2.34 × 1120 lbf/(560 psf × 2 ft)", "= 2.34 ft", "second-hand copy", "3.4 yd³",
        "of concrete", "The end.", "plan 3f9a1c07", "page 1 of 2", "page 2 of 2",
    ):  # fmt: skip
        assert words in found


HOSTILE = [
    "#panic(\"no\")", "$x$", "*bold*", "_slanted_", "\\u{41} \\", "@name", "<label>", "`raw`",
    "// comment", "/* c */", "= heading", "- list", "+ list", "[x] {y}", "~ -- ---", "'q' \"q\"",
    "#import \"/etc/passwd\"", "&amp; <b>", "]; #let x = 1", "https://x.example",
]  # fmt: skip


@needs_reader
def test_text_is_shown_and_never_evaluated(tmp_path):
    blocks = [
        Heading(HOSTILE[0], 2), *(Paragraph(t) for t in HOSTILE), Bullets(tuple(HOSTILE)),
        Ticks(tuple(HOSTILE)), Table(("a", "b"), tuple((t, t) for t in HOSTILE)),
        Caution(HOSTILE[0], tuple(HOSTILE)),
        Steps(HOSTILE[1], tuple(Step(t, t, t, t, t, t) for t in HOSTILE)),
    ]  # fmt: skip
    made = replace(book(*blocks), title=HOSTILE[0], run=HOSTILE[4])
    found = flat(words_of(pdf(made), tmp_path, "-raw"))
    for text in HOSTILE:
        # a paragraph, a point, a box, two cells, a line, and six in a step, some broken in cells
        shown = found.count(text) + found.count(text.replace('"', "”"))
        assert shown >= 4, text


@needs_reader
def test_long_words_and_words_written_to_the_left_stay_on_the_page(tmp_path):
    long = "9f" * 60
    wide = Table(tuple(f"column {i}" for i in range(9)), (tuple([long[:40]] * 9), ("x",) * 9))
    data = pdf(book(
        Heading(long, 2), Paragraph(long), Bullets((long,)), Ticks((long,)), wide,
        Caution(long, (long,)), Steps(long, (Step(*[long] * 6),)),
        BigNumbers((BigNumber(long[:20], "m", long),) * 4), Paragraph("שלום مرحبا left"),
    ))  # fmt: skip
    found = boxes_of(data, tmp_path)
    assert len(found) > 20
    assert min(b[2] for b in found) > 10.0
    assert max(b[4] for b in found) < LETTER.width - 10.0
    assert "שלום" in words_of(data, tmp_path)


@needs_reader
def test_controls_and_halves_of_characters_do_no_harm(tmp_path):
    words = "a\x00b\x07c \ud83d d\ne"
    sheet = Sheet(words, page("A4"), (), (Text((50, 50), words),))
    made = pdf(book(Paragraph(words), SheetPage(sheet)))
    assert "a b c d e" in flat(words_of(made, tmp_path))


@pytest.mark.parametrize("paper", PAGES, ids=lambda p: f"{p.name} {p.width:g} by {p.height:g}")
@needs_reader
def test_a_drawing_is_true_to_scale_on_its_own_paper(paper, tmp_path):
    """Marks 100 mm apart, both ways, found again in the picture of the page to 0.3 mm."""
    across = Polyline(((40, 30), (140, 30), (140, 30.8), (40, 30.8)), "thin", True, "dark")
    upward = Polyline(((30, 40), (30.8, 40), (30.8, 140), (30, 140)), "thin", True, "dark")
    sheet = Sheet("scale", paper, (), (across, upward))
    data = pdf(book(Paragraph("before"), SheetPage(sheet), paper=LETTER))
    size = re.search(r"Page +2 size: +([\d.]+) x ([\d.]+) pts",
                     tool("pdfinfo", data, tmp_path, "-f", "2", "-l", "2", out=None))  # fmt: skip
    assert float(size.group(1)) / MM == pytest.approx(paper.width, abs=0.05)
    assert float(size.group(2)) / MM == pytest.approx(paper.height, abs=0.05)
    dots, wide, high = raster(data, tmp_path, 254)
    row = [x / 10 for x in range(wide) if dots[(high - 304) * wide + x] < 128]
    column = [(high - y) / 10 for y in range(high) if dots[y * wide + 304] < 128]
    assert (min(row), max(row)) == (pytest.approx(40, abs=0.3), pytest.approx(140, abs=0.3))
    assert max(row) - min(row) == pytest.approx(100.18, abs=0.3)
    assert (min(c for c in column if c > 35), max(column)) == (
        pytest.approx(40, abs=0.3), pytest.approx(140, abs=0.3),
    )  # fmt: skip


def raster(data, tmp_path, dpi):
    """Grey dots of page 2, its width and height in dots."""
    options = ("-gray", "-r", str(dpi), "-f", "2", "-l", "2", "-singlefile")
    tool("pdftoppm", data, tmp_path, *options, out=str(tmp_path / "page"))
    image = (tmp_path / "page.pgm").read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", image)
    return image[head.end() :], int(head.group(1)), int(head.group(2))


@cache
def drawing():
    job = JobInfo("Almacén frío de Peñablanca", "us", "3f9a1c07", "0.1.0")
    return section(model_with(), job, page("Letter"), 1, 0.6)[0]


@needs_reader
def test_words_of_a_drawing_are_found_where_they_were_placed(tmp_path):
    glyphs = "°″×⌀±→≤≥½ñáéíóúü¿¡·—"
    texts = (Text((40, 100), "start", 5.0), Text((140, 100), "middle", 5.0, "middle", bold=True),
             Text((260, 100), "end", 5.0, "end"), Text((40, 60), glyphs))  # fmt: skip
    data = pdf(book(SheetPage(Sheet("words", page("A4"), (), texts))))
    found = {b[1]: b for b in boxes_of(data, tmp_path)}
    for text in texts[:3]:
        _, _, left, _, right, _ = found[text.text]
        wide = len(text.text) * ADVANCE * text.height / 0.73 * squeeze(text)
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.align]
        assert left == pytest.approx(text.at[0] - share * wide, abs=0.3)
        assert right - left == pytest.approx(wide, abs=0.3)
        assert wide <= width(text.text, text.height, text.bold) + 1e-9
    assert glyphs in words_of(data, tmp_path)
    fonts = tool("pdffonts", data, tmp_path, out=None).splitlines()[2:]
    assert fonts
    assert all(re.match(r"[A-Z]{6}\+(DejaVuSansMono|LibertinusSerif)", f) for f in fonts)
    assert all(f.split()[-5:-2] == ["yes", "yes", "yes"] for f in fonts)  # embedded, with Unicode


@needs_reader
def test_a_drawing_keeps_all_its_words(tmp_path):
    data = sheets_pdf([drawing()], "Almacén", "plan 3f9a1c07")
    found = flat(words_of(data, tmp_path))
    for words in ("Almacén frío de Peñablanca", "frost line", "Section at station 1",
                  "page 1 of 1", "10' 0 3/16\""):  # fmt: skip
        assert words in found


def test_no_line_of_words_is_wider_than_the_drawing_gave_it():
    for text in ("illicit tilt", "WWW", "10' 3 9/16\"", "Post", "tilt"):
        for bold in (False, True):
            t = Text((0, 0), text, 3.0, bold=bold)
            own = len(text) * ADVANCE * 3.0 / 0.73
            assert own * squeeze(t) <= width(text, 3.0, bold) + 1e-9
    svg = sheet_svg(Sheet("s", page("A4"), (), (Line((1, 1), (2, 2)), Text((9, 9), "<&>"))))
    root = ElementTree.fromstring(svg)
    assert [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")] == ["<&>"]


def test_a_repeat_has_the_same_bytes_and_no_date():
    made = book(*EVERY_KIND, SheetPage(drawing()))
    data = pdf(made)
    assert data == pdf(made)
    assert b"CreationDate" not in data
    assert b"ModDate" not in data


@needs_reader
def test_a_spanish_book(tmp_path):
    made = book(Heading("Hoja de replanteo"), Caution("Zanjas y hoyos", ("¡Cubra cada hoyo!",)),
                language="es", numbering="página {n} de {all}", cautious="Precaución")  # fmt: skip
    found = flat(words_of(pdf(made), tmp_path))
    for words in ("Hoja de replanteo", "Precaución: Zanjas y hoyos", "¡Cubra cada hoyo!",
                  "página 1 de 1"):  # fmt: skip
        assert words in found


@needs_reader
def test_a_long_table_repeats_its_head_and_loses_no_row(tmp_path):
    rows = tuple((f"F{i}", f"{i} mm") for i in range(120))
    found = words_of(pdf(book(Table(("Post", "Depth"), rows))), tmp_path, "-layout")
    pages = found.rstrip("\f").split("\f")
    assert len(pages) > 2
    assert all(re.search(r"Post +Depth", text) for text in pages)
    assert re.findall(r"(F\d+) +\d+ mm", found) == [r[0] for r in rows]


def test_what_cannot_be_printed_is_refused():
    with pytest.raises(ValueError, match="no pages"):
        pdf(book())
    with pytest.raises(ValueError, match="at least one sheet"):
        sheets_pdf([], "t", "r")
    with pytest.raises(ValueError, match="has not 2 cells"):
        Table(("a", "b"), (("only one",),), "Holes")
    with pytest.raises(ValueError, match="a side for each"):
        Table(("a", "b"), (), "Holes", ("left",))


def test_the_document_is_plain_data():
    data = to_json(book(Heading("x"), BigNumbers((BigNumber("1", "m", "w"),))))
    assert data["blocks"] == [
        {"kind": "Heading", "text": "x", "level": 1},
        {
            "kind": "BigNumbers",
            "items": [{"value": "1", "unit": "m", "words": "w"}],
            "large": False,
        },
    ]
    assert data["page"] == {"width": 215.9, "height": 279.4}
