"""What was not checked and what was assumed: on one page, and nothing dropped."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from itertools import product

import pytest
import tomlkit

from plumbrail.check import Status, not_checked
from plumbrail.jobs.book import book_job
from plumbrail.papers.pages_open import OpenFacts, grouped, ids, open_page
from plumbrail.papers.pdf import pdf
from plumbrail.papers.pdf_blocks import Book, Bullets, Dense, flat
from plumbrail.papers.sheet import page
from plumbrail.papers.words import listening, speaking
from plumbrail.plan.demos import demo_text
from plumbrail.plan.reader import load_plan

pytestmark = pytest.mark.usefixtures("worked_once")
needs_reader = pytest.mark.skipif(
    any(shutil.which(t) is None for t in ("pdftotext", "pdfinfo")),
    reason="poppler's command line tools are not installed",
)
PLANS = ("alder-creek", "dry-gulch")


def check(id, title="bending", why="give frame.steel, or ask the maker"):
    return not_checked(id, f"part {id}", title, "post", why)


@pytest.mark.parametrize(("names", "said"), [
    (["F1.bending", "F2.bending", "F3.bending"], "F1 to F3.bending"),
    (["F1.bending", "F2.bending"], "F1.bending, F2.bending"),
    (["F1.bending", "F2.bending", "F3.shear"], "F1.bending, F2.bending, F3.shear"),
    (["F9.x", "F10.x", "F11.x", "B1.x"], "F9 to F11.x, B1.x"),
    (["splice.front-1.bearing", "splice.front-2.bearing", "splice.front-3.bearing", "rails.shear"],
     "splice.front-1 to splice.front-3.bearing, rails.shear"),
    (["rails.shear"], "rails.shear"), ([], ""),
])  # fmt: skip
def test_ids_that_count_on_become_a_range(names, said):
    assert ids(names) == said


def covered(line):
    """Ids that a line names, ranges written out."""
    found = set(re.findall(r"[\w-]+(?:\.[\w-]+)+", line))
    for head, first, other, last, tail in re.findall(
        r"([\w.-]*?)(\d+) (?:to|a) ([\w.-]*?)(\d+)((?:\.[\w-]+)*)", line
    ):
        assert head == other
        found |= {f"{head}{n}{tail}" for n in range(int(first), int(last) + 1)}
    return found


def test_like_items_share_a_line_and_none_is_dropped():
    many = [check(f"{row}{n}.{title}", title) for title in ("bending", "shear") for row in "FB"
            for n in range(1, 41)]  # fmt: skip
    many += [check("rails.deflection", "deflection", "give frame.deflection.rail"),
             check("S1.start", "start", "give wiring.equipment.start_voltage")]  # fmt: skip
    lines = grouped(many)
    assert lines == (
        "F1 to F40.bending, B1 to B40.bending, bending; F1 to F40.shear, B1 to B40.shear, shear: "
        "give frame.steel, or ask the maker",
        "give in the plan: frame.deflection.rail (rails.deflection), "
        "wiring.equipment.start_voltage (S1.start)",
    )
    assert {c.id for c in many} <= set().union(*map(covered, lines))


@cache
def made(name, folder, language="en", paper=None, units="us"):
    plan, text = folder / f"{name}-{units}.toml", tomlkit.parse(demo_text(name))
    text["job"]["units"] = units
    plan.write_text(tomlkit.dumps(text), "utf-8")
    return book_job(load_plan(plan), None, language, paper)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("open")


def pages_of(data, folder, name="open"):
    """Text of each page."""
    (folder / f"{name}.pdf").write_bytes(data)
    done = subprocess.run(["pdftotext", "-raw", str(folder / f"{name}.pdf"), "-"],
                          capture_output=True, check=True)  # fmt: skip
    text = done.stdout.decode().replace("\u00a0", " ").replace("\u200b", "").rstrip("\f")
    return [" ".join(p.split()) for p in text.split("\f")]


@needs_reader
@pytest.mark.parametrize(("name", "paper"), list(product(PLANS, ("letter", "a4"))))
def test_all_of_it_stands_on_one_page(name, paper, folder):
    book = made(name, folder, "en", paper)
    pages = pages_of(pdf(book.book), folder, f"{name}-{paper}")
    last = pages[-1]
    assert last.startswith("Not checked, and assumed What stands here")
    assert "continued" not in last
    assert "more than a page holds" not in last
    left = [c for c in book.results.checks if c.status is Status.NOT_CHECKED]
    assert left
    plain = last.replace(" ", "")
    for c in left:
        assert c.id in covered(last) or c.id in plain, c.id
        assert c.note.replace(" ", "").replace("\u00a0", "").removeprefix("give") in plain, c.id
    facts = book.results.design.checks
    wires, energy = book.results.wires.wired.notes, book.results.energy.facts
    for line in (*facts.not_covered, *facts.notes, *wires, *energy.unchecked, *energy.unstated,
                 *energy.notes, *energy.found.notes, *book.missing):  # fmt: skip
        assert line.replace(" ", "").replace("\u00a0", "") in plain, line


def open_block(book):
    """The page of what is open, by itself."""
    (dense,) = (b for b in book.book.blocks[-1:] if isinstance(b, Dense))
    return replace(book.book, blocks=(dense,))


def with_more(alone, count):
    """The same with so many further notes, each as long as the others are in the mean."""
    (dense,) = alone.blocks
    last = dense.blocks[-1]
    mean = round(sum(map(len, last.items)) / len(last.items))
    more = tuple((f"note {n}, " + "in words of the usual length, " * 20)[:mean]
                 for n in range(count))  # fmt: skip
    blocks = (*dense.blocks[:-1], replace(last, items=(*last.items, *more)))
    return replace(alone, blocks=(replace(dense, blocks=blocks),))


BOTH = list(product(PLANS, ("letter", "a4"), ("en", "es")))


@needs_reader
@pytest.mark.parametrize(("name", "paper", "language"), BOTH)
def test_in_both_languages_one_page_holds_five_more_notes(name, paper, language, folder):
    book = made(name, folder, language, paper)
    alone = open_block(book)
    (page_,) = pages_of(pdf(with_more(alone, 5)), folder, f"more-{name}-{paper}-{language}")
    assert "note 4, in words of the usual length" in page_
    plain = page_.replace(" ", "")
    left = [c for c in book.results.checks if c.status is Status.NOT_CHECKED]
    assert all(c.id in covered(page_) or c.id in plain for c in left)
    points = [i for b in flat(alone.blocks) if isinstance(b, Bullets) for i in b.items]
    assert len(points) > 50
    for item in points:
        assert item.replace(" ", "").replace("\u00a0", "") in plain, item


@needs_reader
def test_its_letters_are_of_eight_points_at_the_least(folder):
    (folder / "size.pdf").write_bytes(pdf(made("dry-gulch", folder, "en", "letter").book))
    data = subprocess.run(["pdftotext", "-bbox-layout", str(folder / "size.pdf"), "-"],
                          capture_output=True, check=True).stdout.decode()  # fmt: skip
    text = data.split("<page ")[-1]
    heights = [float(b) - float(a) for a, b in re.findall(
        r'<word xMin="[\d.]+" yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)"', text)]  # fmt: skip
    assert len(heights) > 500
    assert min(heights) >= 8.0  # box of a word: ascent and descent, about the size of the type


@needs_reader
def test_what_a_page_cannot_hold_is_counted_and_goes_on(folder):
    many = tuple(check(f"part{n}x.bending", why=f"reason number {n}, said at some length")
                 for n in range(400))  # fmt: skip
    facts = OpenFacts(many, (), (), (), (), ())
    pages = pages_of(pdf(Book("t", "r", page("Letter", "portrait"), tuple(open_page(facts)))),
                     folder)  # fmt: skip
    assert len(pages) > 2
    said = r"This is more than a page holds: (\d+) of 400 points stand on page 2–(\d+)\."
    found = re.search(said, pages[0])
    assert found
    assert int(found[2]) == len(pages)
    later = sum(p.count(", said at some length") for p in pages[1:])
    assert int(found[1]) == later
    every = " ".join(pages)
    assert all(f"reason number {n}, said" in every for n in range(400))


VARIANTS = [("alder-creek", "us"), ("dry-gulch", "us"), ("alder-creek", "metric"),
            ("dry-gulch", "metric")]  # fmt: skip


@pytest.mark.parametrize(("name", "units"), VARIANTS)
def test_a_spanish_book_leaves_nothing_in_english(name, units, folder):
    assert made(name, folder, "es", None, units).unsaid == ()


@pytest.mark.parametrize("name", PLANS)
def test_only_the_calculations_are_in_english_and_say_so(name, folder):
    book = made(name, folder, "es")
    plain = made(name, folder)
    said = texts(next(c for c in book.chapters if c.title == "Cálculos").blocks)
    english = texts(next(c for c in plain.chapters if c.title == "Calculations").blocks)
    assert "Los cálculos están en inglés, para el inspector." in said[:3]
    assert [t for t in english[1:] if t not in said and "See the summary" not in t] == []
    field = [t for c in book.chapters if c.title != "Cálculos" for t in texts(c.blocks)]
    same = {t for c in plain.chapters for t in texts(c.blocks)}
    words = {t for t in field if t in same and len(re.findall(r"[a-z]{3,}", t)) > 2}
    assert words == set()


def texts(blocks):
    """Texts of blocks but for tables: names of sections are alike in every language."""
    found = []
    for b in flat(blocks):
        found += [getattr(b, "text", ""), *getattr(b, "lines", ()), *getattr(b, "items", ())]
    return [t for t in found if isinstance(t, str) and t]


def test_metric_pages_in_spanish_have_a_decimal_comma(folder):
    book = made("alder-creek", folder, "es", None, "metric")
    field = [t for c in book.chapters if c.title != "Cálculos" for t in texts(c.blocks)]
    assert any(re.search(r"\d,\d (?:kW|m³|V|%)", t.replace("\u00a0", " ")) for t in field)
    loose = [t for t in field if re.search(r"(?<![\d.(])\d+\.\d+\s(?:mm|m|kg|V|A|kWh)\b", t)]
    assert loose == []


def test_the_page_is_told_in_the_language_of_the_book():
    with speaking("es"), listening() as unsaid:
        lines = grouped([check(f"F{n}.bending", why="give frame.steel") for n in (1, 2, 3)])
    assert lines == ("dé en el plan: frame.steel (F1 a F3.bending)",)
    assert unsaid == []


def test_the_columns_hold_bullets():
    dense = open_page(OpenFacts((check("F1.x"),), ("a thing",), ("b",), ("c",), ("d",), ("e",)))
    assert isinstance(dense[0], Dense)
    points = [i for b in flat(dense) if isinstance(b, Bullets) for i in b.items]
    assert len(points) == 6
