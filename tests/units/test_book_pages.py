"""Pages of the book: what they say is what the results hold, and nothing else."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest
import tomlkit

from plumbrail.check import Status
from plumbrail.jobs.book import book_job
from plumbrail.jobs.book_output import book_report
from plumbrail.papers import boxes
from plumbrail.papers.pages_calculation import chosen
from plumbrail.papers.pdf_blocks import (
    BigNumbers,
    Bullets,
    Caution,
    Contents,
    Heading,
    Paragraph,
    SheetPage,
    Step,
    Steps,
    Table,
    Ticks,
    flat,
)
from plumbrail.plan.demos import demo_notebooks, demo_text
from plumbrail.plan.reader import load_plan

pytestmark = pytest.mark.usefixtures("worked_once")
SUPER = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
FIGURE = r"−?\d+(?:\.\d+)?(?:×10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?"


def read(text):
    """The number of a printed figure."""
    mantissa, _, power = text.replace("−", "-").partition("×10")
    return float(mantissa) * 10.0 ** int(power.translate(SUPER) or 0)


@cache
def book(name, folder, notebook="", drop=(), **given):
    plan, text = folder / f"{name}.toml", tomlkit.parse(demo_text(name))
    for section in drop:
        text.pop(section, None)
    plan.write_text(tomlkit.dumps(text), "utf-8")
    readings = None
    if notebook:
        readings = folder / notebook
        readings.write_text(demo_notebooks(name)[notebook], "utf-8")
    return book_job(load_plan(plan), readings, **given)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("book")


@pytest.fixture
def whole(folder):
    return book("alder-creek", folder, "alder-creek-readings.csv")


@pytest.fixture
def poor(folder):
    return book("dry-gulch", folder, drop=("energy", "wiring"))


@pytest.fixture
def gulch(folder):
    return book("dry-gulch", folder)


def of(made, kind):
    return [b for b in flat(made.book.blocks) if isinstance(b, kind)]


def words(made):
    """All texts of the pages, without the drawings."""
    found = []
    for b in flat(made.book.blocks):
        match b:
            case Heading() | Paragraph():
                found.append(b.text)
            case Bullets() | Ticks() | Contents():
                found += b.items
            case Caution():
                found += [b.title, *b.lines]
            case Table():
                found += [b.title, b.note, *b.head, *(c for row in b.rows for c in row)]
            case BigNumbers():
                found += [w for n in b.items for w in (n.value, n.unit, n.words)]
            case Steps():
                found += [w for s in b.steps for w in (s.what, s.formula, s.numbers, s.result)]
    return "\n".join(found).replace("\u00a0", " ")


def chapter(made, title):
    """Blocks of a chapter."""
    return after(made, title, (1,))


def after(made, title, levels=(1, 2, 3)):
    """Blocks from a heading that begins so to the next heading of its level or a higher one."""
    blocks = list(flat(made.book.blocks))
    start = next(i for i, b in enumerate(blocks) if isinstance(b, Heading)
                 and b.level in levels and b.text.startswith(title))  # fmt: skip
    rest = blocks[start + 1 :]
    stop = next((i for i, b in enumerate(rest) if isinstance(b, Heading)
                 and b.level <= blocks[start].level), len(rest))  # fmt: skip
    return rest[:stop]


@pytest.mark.parametrize("which", ["whole", "poor", "gulch"])
def test_every_number_of_a_calculation_page_is_in_its_record(which, request):
    made = request.getfixturevalue(which)
    r = made.results
    checks = [*r.design.checks.checks, *(r.wires.checks if r.wires else ())]
    looked = 0
    for c in [*chosen(r.design.checks.checks), *(chosen(r.wires.checks) if r.wires else ())]:
        if c.replay is None:
            continue
        record = c.replay()
        pages = after(made, f"{c.id}: ")
        steps = [s for b in pages if isinstance(b, Steps) for s in b.steps]
        worked = [s for s in record.steps if s.kind != "given"]
        assert len(steps) == len(worked)
        for printed, recorded in zip(steps, worked, strict=True):
            _agrees(printed, recorded)
            looked += 1
        given = {s.provision.symbol for s in record.steps if s.kind == "given"}
        bullets = [i for b in pages if isinstance(b, Bullets) for i in b.items]
        assert len(bullets) >= len(given)
    assert looked > 100
    failing = {c.id for c in checks if c.status is Status.FAIL and c.replay is not None}
    assert failing <= set(book_report(made, []).calculations)


def _agrees(printed: Step, recorded):
    meta = recorded.provision
    assert printed.clause == meta.source
    assert printed.certainty.startswith(meta.certainty.words)
    low, high = float(recorded.value.min()), float(recorded.value.max())
    result = [read(x) for x in re.findall(FIGURE, printed.result.partition("(")[0])]
    assert np.isclose(result[0], low, rtol=1e-4, atol=1e-300)
    if low != high:
        assert np.isclose(result[1], high, rtol=1e-4)
    if not meta.formula:
        return
    there = [v for a in recorded.inputs.values() for v in (a.min(), a.max(), a.size)]
    there += [v for v, _ in meta.constants.values()]
    there += [float(x) for x in re.findall(r"\d+\.?\d*(?:e-?\d+)?", meta.formula)]
    plain = re.sub(r"\u00a0\[\d+\]", "", printed.numbers)
    plain = re.sub(r"\u00a0[^\s,()^/]+", "", plain)  # units
    for text in re.findall(r"(?<![\w.])\d+(?:\.\d+)?(?:e-?\d+|×10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?", plain):
        value = float(text) if "e" in text else read(text)
        assert any(np.isclose(value, abs(float(t)), rtol=1e-4, atol=1e-300) for t in there), (
            text, printed.numbers,
        )  # fmt: skip


def test_the_chosen_are_the_worst_of_each_kind_and_all_that_fail(poor):
    checks = poor.results.design.checks.checks
    kept = chosen(checks)
    assert {c.id for c in checks if c.status is Status.FAIL} <= {c.id for c in kept}
    for c in checks:
        if c.ratio is None:
            continue
        same = [k for k in kept if (k.family, k.title) == (c.family, c.title)]
        assert max(k.ratio or 0.0 for k in same) >= c.ratio


def test_the_summary_says_the_numbers_of_the_json(whole):
    s = book_report(whole, []).summary
    r = whole.results
    numbers = of(whole, BigNumbers)[0].items
    assert [n.value for n in numbers] == [
        f"{s.cost:,.0f}", str(s.holes), f"{s.energy / 3.6e6:,.0f}"
    ]  # fmt: skip
    assert f"{s.bags} bags" in numbers[1].words
    assert s.cost == r.shop.cost
    assert s.energy == r.energy.facts.energy
    assert s.frame.passed + s.frame.failed + s.frame.not_checked == len(r.design.checks.checks)
    assert s.gate == "not ready"
    assert "NOT READY TO POUR" in words(whole)
    assert "do not build" not in words(whole)
    assert f"{s.wiring.not_checked} not checked" in words(whole)


def test_a_plan_that_fails_says_so_before_its_numbers(poor):
    s = book_report(poor, []).summary
    summary = after(poor, "Summary")
    assert isinstance(summary[0], Caution)
    total = s.frame.passed + s.frame.failed + s.frame.not_checked
    assert f"{s.frame.failed} of {total} checks FAIL" in summary[0].lines[0]
    assert not poor.results.passed
    assert "CHECKS FAIL" in poor.book.run
    for title in ("Hole by hole", "Shopping list", "Pour", "Torque", "Sawing"):
        assert "do not build from this page" in chapter(poor, title)[0].text


def test_shopping_counts_are_those_of_the_results(whole):
    rows = {}
    for b in after(whole, "Shopping list"):
        if isinstance(b, Table):
            rows |= {row[1].partition(",")[0]: row for row in b.rows}
    r = whole.results
    bought = sum(line.count for line in r.shop.sticks.lines)
    sticks = [row for b in after(whole, "Shopping list") if isinstance(b, Table) for row in b.rows
              if "sticks of" in row[1]]  # fmt: skip
    assert sum(int(row[0]) for row in sticks) == bought
    assert int(rows["bags of dry mix"][0]) == r.shop.bags.total
    assert int(rows["fittings"][0]) in (8, 24)
    rails, up = len(r.design.model.rails.ids), 4
    assert int(rows["end clamps"][0]) == 2 * rails
    assert int(rows["mid clamps"][0]) == rails * (up - 1)
    prices = [float(row[3].replace(",", "")) for b in after(whole, "Shopping list")
              if isinstance(b, Table) for row in b.rows if row[3] != "–"]  # fmt: skip
    assert sum(prices) == pytest.approx(r.shop.cost)


def test_the_pour_sheet_has_every_hole_in_order_and_no_amount_of_water(whole):
    table = next(b for b in after(whole, "Pour") if isinstance(b, Table))
    bags = whole.results.shop.bags.per_pier
    assert [row[0] for row in table.rows] == list(whole.results.shop.concrete.ids)
    assert [int(row[1]) for row in table.rows] == bags[0].tolist()
    assert [int(row[3]) for row in table.rows] == bags[1].tolist()
    assert "ask the bag" in table.note


def test_torques_are_those_of_the_table_and_fittings_are_not_checked(whole):
    # NFPA 70 Annex I, as in the program's table: 10 AWG in a split bolt 80 lbf·in
    tables = [b for b in after(whole, "Torque") if isinstance(b, Table)]
    cells = [row for t in tables for row in t.rows]
    assert any(row[0] == "10 AWG, split bolt" and row[1] == "80" for row in cells)
    assert any(row[0] == "beam on post" and row[1] == "NOT CHECKED" for row in cells)


def test_each_hole_has_a_card_with_its_tapes(whole):
    s, job = whole.results.staking.stakes, whole.results.job
    for i, name in enumerate(s.ids):
        card = after(whole, f"Hole {name}")
        shown = [n.value for b in card if isinstance(b, BigNumbers) for n in b.items]
        assert shown[0] == job.length(float(s.tapes.level[i, 0]))
        assert shown[1] == job.length(float(s.tapes.level[i, 1]))
        assert shown[2] == job.length(float(s.levels.hole_depth[i]))


def test_cautions_stand_at_the_head_of_the_chapters_where_they_matter(whole):
    for name, title in (
        ("Setting out and digging", "buried services"), ("Frame", "lifting"),
        ("Sawing", "heat on galvanized steel"), ("Truing", "posts that are not set"),
        ("Pour", "fresh concrete"), ("Wiring", "direct current"), ("Wiring", "stored energy"),
    ):  # fmt: skip
        assert title in [b.title for b in chapter(whole, name)[:3] if isinstance(b, Caution)]


def test_nothing_left_open_is_hidden(whole, poor):
    for made in (whole, poor):
        said = words(made)
        for c in made.results.checks:
            if c.status is Status.NOT_CHECKED:
                assert c.note.replace("\u00a0", " ") in said
        for line in made.results.design.checks.not_covered:
            assert line.replace("\u00a0", " ") in said
        for line in made.results.design.checks.notes:
            assert line.replace("\u00a0", " ") in said


def test_what_the_plan_has_no_section_for_is_listed_as_missing(whole, poor):
    assert not whole.missing
    assert len(poor.missing) == 3
    titles = [c.title for c in poor.chapters]
    assert "Wiring" not in titles
    assert "Yield" not in titles
    assert all(m in words(poor) for m in poor.missing)


def test_moves_of_the_readings_are_in_the_book(whole):
    moves = whole.results.truing.trued.mending.moves
    assert moves
    assert all(m.words.replace("\u00a0", " ") in words(whole) for m in moves)


def overlapping(made):
    return {pair for page in of(made, SheetPage) for pair in boxes.overlaps(page.sheet)}


@pytest.mark.parametrize("which", ["whole", "poor", "gulch"])
def test_no_words_of_any_drawing_overlap_or_leave_the_page(which, request):
    made = request.getfixturevalue(which)
    assert not overlapping(made)
    for page in of(made, SheetPage):
        assert boxes.off_page(page.sheet) == []
