"""Numbers of the book, read back from the text of the PDF and compared with the JSON of the runs.

Units are turned to print here, apart from the program's own code: a foot is 0.3048 m, a pound
0.45359237 kg, a pound-force inch 0.1129848 N·m (NIST SP 811, App. B, confirmed there in
tests/validation). A number of the JSON that does not stand on its page fails.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from calendar import month_name
from fractions import Fraction
from math import ceil

import numpy as np
import pytest

from plumbrail.cli.main import main
from plumbrail.jobs.book import book_job
from plumbrail.jobs.explaining import explain
from plumbrail.jobs.output import explain_report
from plumbrail.jobs.wire_output import wire_explain_report
from plumbrail.jobs.wiring import explain_wire
from plumbrail.plan.demos import demo_notebooks, demo_text
from plumbrail.plan.reader import load_plan

pytestmark = [
    pytest.mark.usefixtures("worked_once"),
    pytest.mark.skipif(
        shutil.which("pdftotext") is None, reason="poppler's command line tools are not installed"
    ),
]
FOOT, POUND, LBF_IN, CUBIC_FOOT = 0.3048, 0.45359237, 0.1129848290276167, 0.3048**3
NOTEBOOKS = {"alder-creek": "alder-creek-readings.csv", "dry-gulch": ""}
RAISED = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
NUMBER = re.compile(r"(?<![\w.])([−-]?\d[\d,]*(?:\.\d+)?)(?:×10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+))?")


class Made:
    """A book with the JSON of every command that stands behind it."""

    def __init__(self, name, folder, capsys):
        self.plan = folder / f"{name}.toml"
        self.plan.write_text(demo_text(name), "utf-8")
        readings = []
        if NOTEBOOKS[name]:
            path = folder / NOTEBOOKS[name]
            path.write_text(demo_notebooks(name)[path.name], "utf-8")
            readings = [str(path)]
        self.capsys, self.readings = capsys, readings
        self.book = self.ask("book", *readings, "--out", str(folder / name))
        self.true = self.ask("true", *readings) if readings else None
        names = ("check", "cut", "stake", "wire", "yield")
        self.check, self.cut, self.stake, self.wire, self.energy = (self.ask(n) for n in names)
        text = subprocess.run(["pdftotext", "-raw", str(folder / name / "book.pdf"), "-"],
                              capture_output=True, check=True).stdout.decode()  # fmt: skip
        text = text.replace("\u00a0", " ").replace("\u200b", "")
        self.pages = [" ".join(page.split()) for page in text.rstrip("\f").split("\f")]

    def ask(self, command, *more):
        self.capsys.readouterr()
        main([command, str(self.plan), *more, "--json"])
        return json.loads(self.capsys.readouterr().out)

    def chapter(self, title):
        """Text of the pages that begin with a title, and of those that go on with it."""
        found = [p for p in self.pages if p.startswith((f"{title} ", f"{title}, continued"))]
        assert found, title
        return " ".join(found)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("numbers")


KEPT = {}


@pytest.fixture(params=list(NOTEBOOKS))
def made(request, folder, capsys):
    if request.param not in KEPT:
        KEPT[request.param] = Made(request.param, folder, capsys)
    KEPT[request.param].capsys = capsys
    return KEPT[request.param]


def feet(length):
    """``7' 0"``, ``1' 2 5/16"``, ``9/16"``, as a tape shows it."""
    sixteenths = round(length / FOOT * 192)
    whole, rest = divmod(sixteenths, 192)
    inches, part = divmod(rest, 16)
    words = [f"{whole}'"] if whole else []
    share = f"{Fraction(part, 16)}" if part else ""
    words.append(" ".join(w for w in (str(inches) if inches or not share or whole else "", share)
                          if w) + '"')  # fmt: skip
    return " ".join(words)


def money(value):
    return "–" if value is None else f"{value:,.2f}"


def numbers(text):
    """Every number of a text."""
    return np.array([
        float(m[1].replace("−", "-").replace(",", "")) * 10.0 ** int((m[2] or "").translate(RAISED)
                                                                    or 0)
        for m in NUMBER.finditer(text)
    ])  # fmt: skip


def test_our_own_feet_and_inches():
    assert [feet(v * 0.0254) for v in (84, 14.3125, 0.5625, 12, 0)] == [
        "7' 0\"", "1' 2 5/16\"", '9/16"', "1' 0\"", '0"'
    ]  # fmt: skip


def test_no_page_has_a_unit_as_a_plan_writes_it_or_counts_nothing(made):
    text = " ".join(made.pages)
    assert "75 °C column" in text
    assert not re.search(r"deg[CF]\b|each of 0\b", text)


def test_the_summary(made):
    page, s = made.chapter("Summary"), made.book["summary"]
    assert s["cost"] == made.cut["cost"]
    assert s["bags"] == made.cut["concrete"]["bags"]
    assert s["energy"] == pytest.approx(made.energy["energy"], rel=1e-12)
    assert f"{made.cut['cost']:,.0f} for pipe, rails and concrete" in page
    deep = max(h["hole_depth"] for h in made.stake["holes"])
    assert f"{len(made.stake['holes'])} holes, the deepest {feet(deep)}; " in page
    assert re.search(rf"{made.cut['concrete']['bags']} bags, ([\d.]+) ft³", page)
    volume = float(re.search(r"bags, ([\d.]+) ft³", page)[1])
    assert volume == pytest.approx(made.cut["concrete"]["volume"] / CUBIC_FOOT, abs=0.051)
    assert f"{made.energy['energy'] / 3.6e6:,.0f} kWh" in page
    assert f"{made.energy['modules']} modules, {made.energy['rated'] / 1000:.2f} kW" in page
    heaviest = float(re.search(r"heaviest stick weighs ([\d.]+) lb", page)[1])
    assert heaviest == pytest.approx(made.cut["heaviest_stick"] / POUND, abs=0.051)
    for run in (made.check, made.wire):
        total = run["passed"] + run["failed"] + run["not_checked"]
        assert (f"{total} checks: {run['passed']} pass, {run['failed']} fail, "
                f"{run['not_checked']} not checked.") in page  # fmt: skip
    governing = next(c for c in made.check["checks"] if c["id"] == made.check["governing"])
    assert f"{100 * governing['ratio']:.0f} % used" in page


def test_the_shopping_list(made):
    page = made.chapter("Shopping list")
    assert f"come to {money(made.cut['cost'])}, in the money" in page
    for line in made.cut["buying"]:
        each = f"{line['mass_each'] / POUND:.4g}"
        words = rf"{line['count']} {re.escape(line['section'])}, sticks of {feet(line['length'])} "
        row = re.search(words + rf"([\d.,]+) lb each {re.escape(money(line['cost']))}", page)
        assert row, line
        assert float(row[1]) == pytest.approx(float(each), rel=6e-3)
    concrete = made.cut["concrete"]
    assert f"{concrete['bags']} bags of dry mix, {concrete['bag']}" in page
    assert money(concrete["bag_cost"]) in page
    assert f"{concrete['ready_mix_holding']:g} + {concrete['ready_mix_rest']:g} yd³" in page
    assert f"{len(made.stake['holes'])} fittings, beam on post" in page
    bought = {}
    for item in made.wire["buying"]:
        if not item["what"].startswith("placard"):
            key = item["what"], item["unit"]
            bought[key] = bought.get(key, 0.0) + item["amount"]
    assert bought
    for (what, unit), amount in bought.items():
        row = re.search(rf"(?<!\S)(\d+)(?: ft)? {re.escape(what)}", page)
        assert row, what
        whole = ceil(round(amount / FOOT, 6)) if unit == "m" else amount  # feet are bought whole
        assert float(row[1]) == whole, what
    signs = sum(i["what"].startswith("placard") for i in made.wire["buying"])
    assert f"{signs} signs" in page


def test_every_card_of_a_hole(made):
    page = made.chapter("Hole by hole")
    cards = dict(re.findall(r"Hole ([FB]\d+)\b(.*?covered\. Post .*?top (?:up )?[^.]+\.)", page))
    assert list(cards) == [h["id"] for h in made.stake["holes"]]
    for hole in made.stake["holes"]:
        card = cards[hole["id"]]
        for value, words in (
            (hole["pin_1"], "from pin 1"), (hole["pin_2"], "from pin 2"),
            (hole["hole_depth"], "deep, from the ground there"),
            (hole["hole_bottom"]["reading"], "rod on the bottom of the hole"),
        ):  # fmt: skip
            assert f"{feet(value)} {words}" in card, (hole["id"], words)
        assert f"Post {feet(hole['post_length'])} long" in card
        up = "up " if hole["post_top"]["measure_up"] else ""
        assert f"rod on its top {up}{feet(hole['post_top']['reading'])}." in card
    assert f"Laser {feet(made.stake['laser'])} over the top of pin 1" in page


def test_the_pour_sheet(made):
    page, piers = made.chapter("Pour"), made.cut["concrete"]["piers"]
    rows = re.findall(r"([FB]\d+) (\d+) _+ (\d+) _+", page)
    assert rows == [(p["id"], str(p["holding_bags"]), str(p["rest_bags"])) for p in piers]
    size = made.cut["concrete"]["bag"]
    for part, words in (("holding_bags", "for the first pour"), ("rest_bags", "for the rest")):
        assert f"{sum(p[part] for p in piers)} bags of {size} {words}" in page


def test_the_torque_table(made):
    page = made.chapter("Torque")
    assert len(made.book["torques"]) > 8
    for line in made.book["torques"]:
        row = re.search(rf"{re.escape(line['where'])} ([\d.]+) ([\d.]+) {line['certainty']}", page)
        assert row, line
        assert float(row[1]) == pytest.approx(line["torque"] / LBF_IN, abs=0.51)
        assert float(row[2]) == pytest.approx(line["torque"], abs=0.051)


def test_the_wiring_sheets(made):
    """Lists of the sheet of wires, the signs and the voltages that are expected."""
    pages = " ".join(p for p in made.pages if "Wiring" in p)
    for cut in made.wire["cuts"]:
        assert feet(cut["cut"]) in pages or f"{cut['cut'] / FOOT:.0f}" in pages, cut
    for circuit in made.wire["circuits"]:
        assert circuit["size"] in pages
        assert f"{circuit['i_max']:.1f}" in pages, circuit["id"]
    for pipe in made.wire["conduits"]:
        assert pipe["method"] in pages
        assert pipe["trade"] in pages
    signs = made.chapter("Signs")
    for sign in made.wire["placards"]:
        assert f"{sign['number']}: {sign['where']}" in signs
        assert sign["text"] in signs
        assert sign["values"] in signs
    expected = made.chapter("Measured before connecting")
    assert f"at most {made.wire['chosen']['cold']:.1f} V on the coldest morning" in expected
    assert re.findall(r"(S\d+) _", expected) == [s["id"] for s in made.wire["strings"]]


def test_the_yield(made):
    page = made.chapter("Yield")
    assert f"{made.energy['energy'] / 3.6e6:,.0f} kWh a year" in page
    assert f"{made.energy['worst_daily'] / 3.6e6:.0f} " in page
    for month, line in zip(month_name[1:], made.energy["months"], strict=True):
        assert f"{month} {line['delivered'] / 3.6e6:,.0f} " in page


def test_what_the_readings_say(made):
    if made.true is None:
        assert not any(p.startswith("What the readings say") for p in made.pages)
        return
    page = made.chapter("What the readings say: NOT READY TO POUR")
    assert made.true["gate"]["ready"] == "not ready"
    moves = made.true["mending"]["moves"]
    for number, move in enumerate(moves, 1):
        assert f"{number}. {move['words']}" in page
    assert all(reason in page for reason in made.true["gate"]["reasons"])
    inside = sum(v["verdict"] == "inside" for v in made.true["values"])
    assert f"{inside} values inside tolerance" in page


def test_every_calculation(made):
    """Every result of every step of every page, and how much of the capacity is used."""
    page = made.chapter("Calculations").partition(" Loads ")[2]
    ids = made.book["calculations"]
    starts = {}
    for id in ids:
        found = re.search(rf"(?<!\S){re.escape(id)}: [^:]+? (?:By|\d+ %: )", page)
        assert found, id
        starts[id] = found.start()
    runs = explanations(made)
    ends = sorted([*starts.values(), len(page)])
    looked = 0
    for id in ids:
        stop = ends[ends.index(starts[id]) + 1]
        section, run = page[starts[id] : stop], runs[id]
        shown = numbers(section)
        c = run["check"]
        used = round(100 * c["ratio"])
        assert f"{max(used, 101) if c['ratio'] > 1 + 1e-9 else used} %: " in section, id
        for step in run["steps"]:
            values = np.asarray(step["value"], float).ravel()
            for value in (values.min(), values.max()):
                near = np.isclose(shown, value, rtol=6e-5, atol=0.0)
                assert near.any(), (id, step["symbol"], value)
                looked += 1
    assert looked > 500


def explanations(made):
    """JSON of the steps behind each check with a page; the plan is worked out once for all."""
    r = book_job(load_plan(str(made.plan)), *made.readings).results
    wires = {c.id for c in r.wires.checks}
    return {
        id: (wire_explain_report(r.wires, explain_wire(r.wires, id)) if id in wires else
             explain_report(r.run, explain(r.design, id))).model_dump(mode="json")
        for id in made.book["calculations"]
    }  # fmt: skip
